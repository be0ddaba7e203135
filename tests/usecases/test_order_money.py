"""The money of an order: received is what was earned, is owed or was given back; papers number without holes."""

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.core.account_of_order import Happening, Stage
from shop.core.errors import Clash, NotFound, NotPossible, Refusal
from shop.core.money import Money
from shop.usecases import job, order_money
from shop.usecases.given import fresh_token
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_sheet,
    an_open_shop,
    codes,
    drawn,
    money,
)


@pytest.fixture
def bench(store, now):
    """A job from a quote, No. 1."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True), a_sheet(ready=True))
    a_planned_job(store, now, 1)
    return store


def paid(store, now, amount="50.00", what=Happening.PAYMENT, saving=None, **more):
    usual = {"means": "cash", "job": 1, "amount": money(amount) if isinstance(amount, str) else amount, "what": what, "saving": saving or fresh_token(), "now": now}
    return order_money.record(store, **{**usual, **more})


def finished(store, now):
    drawn(store, now, 1, 1)
    job.weave(store, number=1, saving=fresh_token(), now=now)


def over(store, now, amount="120.00", saving=None):
    return order_money.hand_over(store, job=1, came_to=money(amount), saving=saving or fresh_token(), now=now)


def refused(what, where, code, error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {(where, code)}


def figures(found):
    account = found.account
    return tuple(str(one.amount) for one in (account.received, account.earned, account.owed, account.returned))


def test_a_payment_is_owed_until_the_rug_is_handed_over(bench, now):
    token = fresh_token()
    for _ in range(2):
        found = paid(bench, now, saving=token, reference="slip 7")
    assert figures(found) == ("50.00", "0.00", "50.00", "0.00")
    assert [(one.means, one.reference) for one in found.events] == [("cash", "slip 7")]
    finished(bench, now)
    token = fresh_token()
    for _ in range(2):
        found = over(bench, now, saving=token)
    assert figures(found) == ("50.00", "50.00", "0.00", "0.00")
    assert str(found.account.to_pay.amount) == "70.00"
    found = paid(bench, now, "75.00")
    assert figures(found) == ("125.00", "120.00", "5.00", "0.00")
    assert job.job(bench, number=1).line.state == "handed over"


def test_it_cannot_be_handed_over_before_it_is_done_nor_twice(bench, now):
    refused(lambda: over(bench, now), "", "job.not_ready")
    finished(bench, now)
    over(bench, now)
    refused(lambda: over(bench, now), "", "job.handed_over", Clash)


def test_a_cancelled_order_keeps_what_the_terms_say_and_owes_the_rest(bench, now):
    paid(bench, now)
    refused(
        lambda: order_money.cancel(bench, job=1, kept=money("60.00"), saving=fresh_token(), now=now), "amount", "order.kept", NotPossible
    )
    found = order_money.cancel(bench, job=1, kept=money("20.00"), saving=fresh_token(), now=now)
    assert (found.account.stage, figures(found)) == (Stage.CANCELLED, ("50.00", "20.00", "30.00", "0.00"))
    assert job.job(bench, number=1).line.state == "called off"
    found = paid(bench, now, "30.00", Happening.REFUND)
    assert figures(found) == ("50.00", "20.00", "0.00", "30.00")
    refused(lambda: paid(bench, now, "1.00"), "", "order.ended", NotPossible)


def test_a_job_with_cloth_in_it_is_not_cancelled(bench, now):
    drawn(bench, now, 1, 1)
    refused(lambda: order_money.cancel(bench, job=1, kept=money("0"), saving=fresh_token(), now=now), "", "job.full")


def test_a_mistake_is_struck_out_and_stays_in_the_record(bench, now):
    found = paid(bench, now)
    paid(bench, now, "20.00", Happening.REFUND)
    event = found.events[0].id
    refused(lambda: order_money.undo(bench, job=1, event=event, saving=fresh_token(), now=now), "", "event.leaning")
    second = paid(bench, now, "5.00", Happening.TIP).events[-1].id
    token = fresh_token()
    for _ in range(2):
        found = order_money.undo(bench, job=1, event=second, saving=token, now=now)
    assert [one.undone for one in found.events] == [False, False, True]
    assert str(found.account.tips.amount) == "0.00"
    refused(lambda: order_money.undo(bench, job=1, event=second, saving=fresh_token(), now=now), "", "event.undone", Clash)
    refused(lambda: order_money.undo(bench, job=1, event=99, saving=fresh_token(), now=now), "", "event.unknown", NotFound)


@pytest.mark.parametrize(
    ("changed", "where", "code"),
    [
        ({"amount": Money(5000, "SEK")}, "amount", "money.mixed"),
        ({"amount": Money(0, "USD")}, "amount", "order.amount"),
        ({"means": "gold"}, "means", "choice.unknown"),
        ({"what": Happening.HANDED_OVER}, "what", "choice.unknown"),
        ({"on": "tomorrow"}, "on", "money.future"),
        ({"what": Happening.REFUND}, "amount", "order.refund"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(bench, now, changed, where, code):
    if changed.get("on"):
        changed = {"on": now.date() + timedelta(days=1)}
    refused(lambda: paid(bench, now, **changed), where, code)
    assert order_money.money_of(bench, job=1).events == ()


MOVES = st.lists(
    st.tuples(st.sampled_from([Happening.PAYMENT, Happening.REFUND, Happening.TIP, "over", "cancel", "undo"]), st.integers(0, 9000)),
    max_size=12,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(moves=MOVES)
def test_whatever_happens_received_is_earned_owed_or_returned(sqlite_store, now, moves):
    store = sqlite_store
    with store.reading() as session:
        fresh = not session.execute(__import__("sqlalchemy").text("SELECT count(*) FROM shop")).scalar_one()
    if fresh:
        an_open_shop(store, now)
    number = a_job(store, now)
    for what, minor in moves:
        amount, token = Money(minor, "USD"), fresh_token()
        try:
            if what == "over":
                order_money.hand_over(store, job=number, came_to=amount, saving=token, now=now)
            elif what == "cancel":
                order_money.cancel(store, job=number, kept=amount, saving=token, now=now)
            elif what == "undo":
                events = order_money.money_of(store, job=number).events
                if events:
                    order_money.undo(store, job=number, event=events[minor % len(events)].id, saving=token, now=now)
            else:
                order_money.record(store, job=number, what=what, amount=amount, means="card", saving=token, now=now)
        except Refusal:
            pass
        account = order_money.money_of(store, job=number).account
        assert account.received == account.earned + account.owed + account.returned
        assert min(account.owed.minor, account.earned.minor, account.returned.minor) >= 0
