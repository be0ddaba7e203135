"""The account of an order: a deposit is a debt until the rug is handed over, and every coin has its place."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from shop.core.account_of_order import Event, Happening, OrderAccount, Stage, account_of
from shop.core.errors import NotPossible
from shop.core.money import Money
from tests.core.a_rug import attempted, problems_of

ASKED, PAID, REFUND, TIP, OVER, CANCELLED = Happening
UNHURRIED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
CODES = {"order.amount", "order.ended", "order.refund", "order.kept"}


def usd(minor):
    return Money(minor, "USD")


def an_account(*happenings):
    """The account after (what, smallest coins) in turn."""
    return account_of((Event(what=what, amount=usd(minor)) for what, minor in happenings), "USD")


def places(account):
    return [account.received.minor, account.earned.minor, account.owed.minor, account.returned.minor]


class Book:
    """A plain book: what came, went and was said, from which everything is told anew each time."""

    def __init__(self):
        self.came, self.went, self.tips, self.asked = 0, 0, 0, 0
        self.came_to = self.kept = None

    def earned(self):
        if self.kept is not None:
            return self.kept
        return 0 if self.came_to is None else min(self.came - self.went, self.came_to)

    def owed(self):
        return self.came - self.went - self.earned()

    def refuses(self, what, minor):
        if minor < 0 or (minor == 0 and what not in (OVER, CANCELLED)):
            return "order.amount"
        handed, cancelled = self.came_to is not None, self.kept is not None
        settled = self.owed() == 0 and (cancelled or self.earned() == self.came_to)
        if handed and (what in (ASKED, OVER, CANCELLED) or (settled and what is not TIP)):
            return "order.ended"
        if cancelled and (what is not REFUND or settled):
            return "order.ended"
        if what is REFUND and minor > self.owed():
            return "order.refund"
        if what is CANCELLED and minor > self.owed():
            return "order.kept"
        return None

    def write(self, what, minor):
        if what is ASKED:
            self.asked += minor
        elif what is PAID:
            self.came += minor
        elif what is REFUND:
            self.went += minor
        elif what is TIP:
            self.tips += minor
        elif what is OVER:
            self.came_to = minor
        else:
            self.kept = minor


class Orders(RuleBasedStateMachine):
    """One order under whatever may happen to it."""

    def __init__(self):
        super().__init__()
        self.account, self.book = OrderAccount.opened("USD"), Book()

    def happen(self, what, minor):
        expected = self.book.refuses(what, minor)
        after, problems = attempted(self.account.after, Event(what=what, amount=usd(minor)))
        assert [problem.code for problem in problems] == ([expected] if expected else [])
        if after:
            self.book.write(what, minor)
            self.account = after

    @rule(what=st.sampled_from([ASKED, PAID, REFUND, TIP]), minor=st.integers(-1, 100))
    def money_moves(self, what, minor):
        self.happen(what, minor)

    @rule(what=st.sampled_from([OVER, CANCELLED]), minor=st.integers(-1, 200))
    def it_comes_to_an_end(self, what, minor):
        self.happen(what, minor)

    @rule(more=st.integers(-1, 1))
    def all_that_is_owed_goes_back(self, more):
        self.happen(REFUND, self.book.owed() + more)

    @rule(more=st.integers(-1, 1))
    def the_rest_is_paid(self, more):
        self.happen(PAID, (self.book.came_to or 0) - self.book.earned() + more)

    @invariant()
    def what_was_received_is_earned_or_owed_or_returned(self):
        account = self.account
        assert account.received == account.earned + account.owed + account.returned
        assert min(places(account)) >= 0

    @invariant()
    def the_account_is_what_the_book_tells(self):
        account, book = self.account, self.book
        assert places(account) == [book.came, book.earned(), book.owed(), book.went]
        assert (account.tips.minor, account.asked.minor) == (book.tips, book.asked)
        to_pay = 0 if book.came_to is None else book.came_to - book.earned()
        assert account.to_pay.minor == to_pay
        closed = book.came_to is not None or book.kept is not None
        assert account.ended == (closed and not to_pay and not book.owed())
        assert account.deposit_open.minor == (0 if closed else max(0, book.asked - book.owed()))

    @invariant()
    def nothing_is_earned_of_an_order_still_open(self):
        if self.account.stage is Stage.OPEN:
            assert not self.account.earned


def test_whatever_happens_to_an_order():
    run_state_machine_as_test(Orders, settings=settings(UNHURRIED, stateful_step_count=25))


@UNHURRIED
@given(st.lists(st.tuples(st.sampled_from(Happening), st.integers(0, 300)), max_size=20))
def test_the_law_holds_after_every_event_that_is_not_refused(happenings):
    taken = []
    for what, minor in happenings:
        account, problems = attempted(an_account, *taken, (what, minor))
        assert {problem.code for problem in problems} <= CODES
        if account:
            taken.append((what, minor))
            assert places(account)[0] == sum(places(account)[1:])
            assert account.received.minor == sum(some for kind, some in taken if kind is PAID)
            assert account.returned.minor == sum(some for kind, some in taken if kind is REFUND)
            assert account.tips.minor == sum(some for kind, some in taken if kind is TIP)


@UNHURRIED
@given(st.lists(st.integers(1, 500), min_size=1, max_size=6), st.integers(0, 1500), st.data())
def test_it_is_the_same_whether_an_order_is_paid_before_or_after_it_is_handed_over(payments, came_to, data):
    cut = data.draw(st.integers(0, len(payments)))
    paid = [(PAID, minor) for minor in payments]
    after, problems = attempted(an_account, *paid[:cut], (OVER, came_to), *paid[cut:])
    if problems:
        assert [problem.code for problem in problems] == ["order.ended"]
        assert came_to in [sum(payments[:count]) for count in range(cut, len(payments))]
    else:
        assert after == an_account(*paid, (OVER, came_to))
        assert after.earned.minor == min(came_to, sum(payments))


def test_a_deposit_is_owed_until_the_rug_is_handed_over():
    account = an_account((ASKED, 5000), (PAID, 5000))
    assert (places(account), account.deposit_open, account.ended) == ([5000, 0, 5000, 0], usd(0), False)
    account = account.after(Event(what=OVER, amount=usd(12_000)))
    assert (places(account), account.to_pay, account.ended) == ([5000, 5000, 0, 0], usd(7000), False)
    account = account.after(Event(what=PAID, amount=usd(7000)))
    assert (places(account), account.to_pay, account.ended) == ([12_000, 12_000, 0, 0], usd(0), True)


def test_what_is_kept_of_a_cancelled_order_is_earned_and_the_rest_goes_back():
    account = an_account((ASKED, 5000), (PAID, 5000), (CANCELLED, 2000))
    assert (places(account), account.ended, account.stage) == ([5000, 2000, 3000, 0], False, Stage.CANCELLED)
    account = account.after(Event(what=REFUND, amount=usd(3000)))
    assert (places(account), account.ended) == ([5000, 2000, 0, 3000], True)


def test_a_tip_is_the_makers_at_once_and_no_payment():
    account = an_account((TIP, 500), (PAID, 100), (CANCELLED, 0), (REFUND, 100))
    assert (places(account), account.tips) == ([100, 0, 0, 100], usd(500))
    assert an_account((PAID, 100), (OVER, 100), (TIP, 20)).tips == usd(20)


def test_a_deposit_asked_twice_is_so_much_more_and_what_went_back_is_open_again():
    assert an_account((ASKED, 100), (ASKED, 50), (PAID, 120)).deposit_open == usd(30)
    assert an_account((ASKED, 100), (PAID, 100), (REFUND, 40)).deposit_open == usd(40)


@pytest.mark.parametrize(
    ("before", "event", "code"),
    [
        ([(PAID, 100)], (REFUND, 101), "order.refund"),
        ([(PAID, 100), (OVER, 100)], (REFUND, 1), "order.ended"),
        ([(PAID, 100), (OVER, 90)], (REFUND, 11), "order.refund"),
        ([(PAID, 50), (OVER, 90)], (REFUND, 1), "order.refund"),
        ([(PAID, 100)], (CANCELLED, 101), "order.kept"),
        ([(PAID, 100), (REFUND, 60)], (CANCELLED, 41), "order.kept"),
        ([(PAID, 100), (CANCELLED, 40)], (REFUND, 61), "order.refund"),
        ([(PAID, 100), (CANCELLED, 40)], (PAID, 1), "order.ended"),
        ([(PAID, 100), (CANCELLED, 40)], (TIP, 1), "order.ended"),
        ([(PAID, 100), (CANCELLED, 40)], (OVER, 100), "order.ended"),
        ([(PAID, 100), (CANCELLED, 40)], (CANCELLED, 40), "order.ended"),
        ([(PAID, 100), (CANCELLED, 100)], (REFUND, 1), "order.ended"),
        ([(CANCELLED, 0)], (ASKED, 1), "order.ended"),
        ([(OVER, 100)], (OVER, 100), "order.ended"),
        ([(OVER, 100)], (CANCELLED, 0), "order.ended"),
        ([(OVER, 100)], (ASKED, 1), "order.ended"),
        ([(PAID, 100), (OVER, 100)], (PAID, 1), "order.ended"),
        ([], (ASKED, 0), "order.amount"),
        ([], (PAID, 0), "order.amount"),
        ([], (TIP, -1), "order.amount"),
        ([], (OVER, -1), "order.amount"),
        ([], (CANCELLED, -1), "order.amount"),
    ],
)
def test_what_cannot_happen_is_refused(before, event, code):
    account = an_account(*before)
    found = problems_of(account.after, Event(what=event[0], amount=usd(event[1])))
    assert {one for one, _ in found} == {code}


@pytest.mark.parametrize("what", Happening)
def test_another_currency_is_refused(what):
    account = an_account((PAID, 100))
    with pytest.raises(NotPossible, match=r"money\.mixed"):
        account.after(Event(what=what, amount=Money.of(1, "EUR")))
