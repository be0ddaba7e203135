"""What is asked of a customer, and whether it has come: however payments and refunds follow one another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.account_of_order import Event, Happening, OrderAccount, account_of
from shop.core.errors import NotPossible
from shop.core.money import Money
from shop.core.money_request import Asked, Standing, Sum, missing, reference, standing, to_ask
from tests.builders import codes


def usd(minor):
    return Money(minor, "USD")


def an_account(*events):
    return account_of((Event(what=what, amount=usd(minor)) for what, minor in events), "USD")


PRICE, DEPOSIT = usd(10000), usd(5000)


def asked_of(account, what=Asked.BALANCE, agreed=PRICE, deposit=DEPOSIT):
    return to_ask(what, agreed=agreed, deposit=deposit, account=account)


PAID, BACK, TIP, OVER, OFF = (
    Happening.PAYMENT,
    Happening.REFUND,
    Happening.TIP,
    Happening.HANDED_OVER,
    Happening.CANCELLED,
)


@pytest.mark.parametrize(
    ("events", "deposit", "balance"),
    [
        ([], 5000, 10000),
        ([(PAID, 2000)], 3000, 8000),
        ([(PAID, 2000), (TIP, 900)], 3000, 8000),
        ([(PAID, 6000), (BACK, 2000)], 1000, 6000),
        ([(PAID, 5000)], None, 5000),
        ([(PAID, 5000), (OVER, 9000)], None, 4000),
        ([(PAID, 10000)], None, None),
        ([(OVER, 9000)], None, 9000),
        ([(OVER, 0)], None, None),
    ],
)
def test_what_has_come_is_not_asked_for_again(events, deposit, balance):
    account = an_account(*events)
    for what, wanted, code in ((Asked.DEPOSIT, deposit, "request.no_deposit"), (Asked.BALANCE, balance, "request.paid")):
        if wanted is None:
            with pytest.raises(NotPossible) as refused:
                asked_of(account, what)
            assert codes(refused) == {("what", code)}
        else:
            assert asked_of(account, what).amount == usd(wanted)


def test_without_a_price_or_after_the_order_is_cancelled_nothing_is_asked():
    for what in Asked:
        with pytest.raises(NotPossible) as refused:
            asked_of(an_account(), what, agreed=None)
        assert codes(refused) == {("", "request.no_price")}
        with pytest.raises(NotPossible) as refused:
            asked_of(an_account((PAID, 100), (OFF, 100)), what)
        assert codes(refused) == {("", "request.cancelled")}


def test_a_deposit_is_never_more_than_the_price():
    assert asked_of(an_account(), Asked.DEPOSIT, agreed=usd(4000)).amount == usd(4000)


def test_a_reference_says_the_job_and_which_request_of_it():
    assert reference(12, 1) == "12-1"


@given(st.lists(st.tuples(st.sampled_from([PAID, BACK, TIP]), st.integers(1, 12000)), max_size=8))
def test_a_request_is_outstanding_until_what_it_asks_for_has_come(events):
    asked = asked_of(an_account(), Asked.DEPOSIT)
    account = OrderAccount.opened("USD")
    for what, minor in events:
        try:
            account = account.after(Event(what=what, amount=usd(minor)))
        except NotPossible:
            continue
        here = account.received - account.returned
        left = missing(asked, account)
        assert usd(0) <= left <= asked.amount
        assert left == max(usd(0), asked.to_reach - here)
        assert standing(asked, account, newest=True) is (Standing.OUTSTANDING if left else Standing.PAID)
        assert standing(asked, account, newest=False) is (Standing.REPLACED if left else Standing.PAID)


def test_it_is_dropped_with_the_order():
    asked = Sum(amount=usd(5000), to_reach=usd(5000))
    assert standing(asked, an_account((PAID, 100), (OFF, 100)), newest=True) is Standing.DROPPED
