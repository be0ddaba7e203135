"""The clock of a job runs while the phone is closed; minutes can be typed in and struck out; quoted stands beside real."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.core.account_of_order import Happening
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.variance import InputKind
from shop.usecases import clock, job, job_card, order_money, price, quoted_real
from shop.usecases.given import fresh_token
from tests.builders import (
    a_cone,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_planned_job,
    a_shaft_loom,
    a_sheet,
    an_open_shop,
    codes,
    drawn,
    held,
    inches,
    money,
)


@pytest.fixture
def bench(store, now):
    """A job on a shaft loom, No. 1; a sheet that it was planned with, another, and a cone."""
    an_open_shop(store, now)
    a_kept_loom(store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    a_haul_at_home(store, now, a_sheet(ready=True), a_sheet(ready=True), a_cone())
    a_planned_job(store, now, 1)
    return store


def start(store, now, step="weave", saving=None):
    return clock.start(store, job=1, step=step, saving=saving or fresh_token(), now=now)


def stop(store, now, saving=None):
    return clock.stop(store, job=1, saving=saving or fresh_token(), now=now)


def refused(what, where, code, error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {(where, code)}


def test_the_clock_measures_from_start_to_stop_once_a_press(bench, now):
    token = fresh_token()
    for _ in range(2):
        found = start(bench, now, saving=token)
    assert (found.running.step, len(found.lines)) == ("weave", 1)
    token = fresh_token()
    for minutes in (50, 90):
        found = stop(bench, now + timedelta(minutes=minutes), saving=token)
    assert (found.running, found.spent["weave"]) == (None, Decimal(50))
    refused(lambda: stop(bench, now), "", "clock.stopped", Clash)


def test_starting_another_step_ends_the_one_that_ran(bench, now):
    start(bench, now)
    found = start(bench, now + timedelta(minutes=30), "finish")
    assert (found.running.step, found.spent["weave"], len(found.lines)) == ("finish", Decimal(30), 2)


def test_a_forgotten_clock_stops_at_a_day_and_never_runs_backwards(bench, now):
    start(bench, now)
    assert stop(bench, now + timedelta(days=9)).spent["weave"] == clock.LONGEST
    start(bench, now)
    assert stop(bench, now - timedelta(minutes=5)).spent["weave"] == clock.LONGEST


def test_minutes_are_typed_in_and_struck_out(bench, now):
    typed = {"job": 1, "step": "cut", "minutes": Decimal("42.5"), "note": "at the kitchen table", "now": now}
    token = fresh_token()
    for _ in range(2):
        found = clock.type_in(bench, saving=token, **typed)
    (line,) = found.lines
    assert (line.minutes, line.by_clock, line.note) == (Decimal("42.5"), False, "at the kitchen table")
    found = clock.strike(bench, job=1, entry=line.id, saving=fresh_token(), now=now)
    assert (found.spent["cut"], found.lines[0].struck) == (Decimal(0), True)
    refused(lambda: clock.strike(bench, job=1, entry=line.id, saving=fresh_token(), now=now), "", "time.struck", Clash)
    other = a_job(bench, now, name="Other")
    refused(lambda: clock.strike(bench, job=other, entry=line.id, saving=fresh_token(), now=now), "", "time.unknown", NotFound)


@pytest.mark.parametrize(
    ("changed", "where", "code"),
    [
        ({"step": "dream"}, "step", "choice.unknown"),
        ({"minutes": Decimal(0)}, "minutes", "number.range"),
        ({"minutes": Decimal(10**6)}, "minutes", "number.range"),
        ({"note": "x" * 500}, "note", "text.long"),
    ],
)
def test_what_cannot_be_is_refused(bench, now, changed, where, code):
    given = {"job": 1, "step": "cut", "minutes": Decimal(5), "saving": fresh_token(), "now": now, **changed}
    refused(lambda: clock.type_in(bench, **given), where, code)


def test_a_job_that_was_called_off_takes_no_time(bench, now):
    job.call_off(bench, number=1, saving=fresh_token(), now=now)
    refused(lambda: start(bench, now), "", "job.closed")


def test_what_was_quoted_stands_beside_what_was(bench, now):
    held(bench, now, 1)
    (line,) = job_card.card(bench, number=1).cuts
    job_card.draw_cut(bench, job=1, cut=line.id, strips=line.strips, saving=fresh_token(), now=now)
    drawn(bench, now, 2, 1)
    drawn(bench, now, 3, 1)
    for step, minutes in (("cut", 60), ("weave", 200)):
        clock.type_in(bench, job=1, step=step, minutes=Decimal(minutes), saving=fresh_token(), now=now)
    found = quoted_real.quoted_real(bench, job=1)
    reckoning = found.rug.reckoning
    comparison = found.comparison
    assert comparison.whole.standard == reckoning.cost.total
    assert comparison.of(InputKind.CLOTH, InputKind.WARP).actual == job.job(bench, number=1).cost
    by_key = {line.key: (line, variance) for line, variance in comparison.lines}
    assert by_key[quoted_real.BESIDE][1].actual.minor == 400
    weave, variance = by_key["weave"]
    assert weave.actual.quantity == Decimal(200) / 60
    assert abs(variance.price.minor) <= 5, "paid at the quoted rate, but for the coins by which steps were rounded"
    assert comparison.whole.total == comparison.whole.price + comparison.whole.usage
    assert comparison.hourly_quoted == reckoning.hourly
    assert found.timed


def test_without_time_the_real_hour_is_not_known(bench, now):
    found = quoted_real.quoted_real(bench, job=1)
    assert (found.timed, found.comparison.hourly_real) == (False, None)
    plain = a_job(bench, now, name="Plain")
    refused(lambda: quoted_real.quoted_real(bench, job=plain), "", "plan.no_rug")


def test_yarn_that_was_not_drawn_stands_as_quoted_until_it_is(bench, now):
    clock.type_in(bench, job=1, step="weave", minutes=Decimal(200), saving=fresh_token(), now=now)
    before = quoted_real.quoted_real(bench, job=1)
    warp = before.comparison.of(InputKind.WARP)
    assert before.yarn_not_drawn
    assert warp.actual == warp.standard == before.rug.reckoning.warp_cost
    drawn(bench, now, 3, 1)
    after = quoted_real.quoted_real(bench, job=1)
    assert not after.yarn_not_drawn
    assert after.comparison.of(InputKind.WARP).actual == job.job(bench, number=1).cost


def test_the_real_hour_bears_the_fee_of_what_was_paid_by_card(bench, now):
    fees = price.PricingGiven(fee_share=Decimal("0.03"), fee_fixed=money("0.30"))
    price.change(bench, pricing=fees, revision=price.current(bench).revision, saving=fresh_token(), now=now)
    number = a_planned_job(bench, now, 2, name="Sold by card")
    clock.type_in(bench, job=number, step="weave", minutes=Decimal(60), saving=fresh_token(), now=now)

    def paid(what, amount, means):
        order_money.record(bench, job=number, what=what, amount=money(amount), means=means, saving=fresh_token(), now=now)
        return quoted_real.quoted_real(bench, job=number)

    nothing = quoted_real.quoted_real(bench, job=number)
    assert (nothing.paid, nothing.fee_real) == (False, nothing.fee_quoted)
    assert nothing.fee_quoted.minor > 0, "the rule has a fee, or the test tells nothing"
    cash = paid(Happening.PAYMENT, "60", "cash")
    assert (cash.paid, cash.fee_real.minor) == (True, 0)
    assert cash.comparison.hourly_real == nothing.comparison.hourly_real + nothing.fee_quoted
    assert cash.comparison.hourly_quoted == nothing.comparison.hourly_quoted
    half = paid(Happening.PAYMENT, "60", "card")
    assert half.fee_real == half.fee_quoted.share(Decimal("0.5"))
    tipped = paid(Happening.TIP, "10", "cash")
    assert (tipped.tips, tipped.comparison.hourly_real) == (money("10"), half.comparison.hourly_real)
