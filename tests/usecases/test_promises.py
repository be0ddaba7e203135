"""The queue of jobs: a day to promise for each, moved by its order, by days off and by what is done already."""

from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.usecases import answer, clock, drafting, job, offer, promises
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.offer import OfferGiven
from shop.usecases.promises import WeekGiven, minutes_left
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_planned_quote,
    a_sheet,
    an_open_shop,
    codes,
    money,
)

KEY = b"a key that only this shop has, and long"
FIVE = tuple(Decimal(hours) for hours in (1, 1, 1, 1, 1, 0, 0))


@pytest.fixture
def bench(store, now):
    """Three jobs of one rug each, Nos. 1 to 3, and an hour of work on each weekday."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    for _ in range(3):
        a_planned_job(store, now, 1)
    keep(store, now)
    return store


def keep(store, now, revision=0, saving=None, **changed):
    week = WeekGiven(**{"hours": FIVE, "drying": 0, "post": 0, **changed})
    return promises.keep_week(store, week=week, revision=revision, saving=saving or fresh_token(), now=now)


def an_offer(store, now, day):
    return offer.offer(
        store,
        quote=a_planned_quote(store, now, 1),
        revision=1,
        given=OfferGiven(
            content={"name": "Hall runner", "terms": []}, paper=b"%PDF", deposit=money("1.00"), holds_until=day, promised=day
        ),
        customer=CustomerGiven(name="Asa Lindqvist"),
        key=KEY,
        saving=fresh_token(),
        now=now,
    )


def accepted(store, now, made):
    return answer.accept(store, token=made.token, name="Asa", digest=made.digest, key=KEY, saving=fresh_token(), now=now)


def order_of(found):
    return [one.line.number for one in found.lines]


def test_a_job_further_back_is_promised_later_and_all_the_work_fits_before_it(bench, now):
    found = promises.queue(bench, now=now)
    assert order_of(found) == [1, 2, 3]
    days = [one.promise.promised for one in found.lines]
    assert days == sorted(set(days))
    working = promises.days_of(found.week, now.date())
    for one in found.lines:
        assert working.minutes_until(one.promise.done.high) >= one.promise.work.high
        assert working.minutes_until(one.promise.done.high - timedelta(days=1)) < one.promise.work.high


def test_an_order_is_looked_at_first_and_kept_when_it_is_wished(bench, now):
    looked = promises.queue(bench, order=[3, 1], now=now)
    assert (order_of(looked), looked.changed) == ([3, 1, 2], True)
    moves = {one.line.number: one.moves for one in looked.lines}
    assert moves[3] < 0 < moves[1]
    kept = promises.queue(bench, now=now)
    assert (order_of(kept), kept.changed, {one.moves for one in kept.lines}) == ([1, 2, 3], False, {0})
    token = fresh_token()
    for _ in range(2):
        promises.keep_order(bench, order=[3, 1, 2, 99], saving=token, now=now)
    kept = promises.queue(bench, now=now)
    assert (order_of(kept), kept.changed) == ([3, 1, 2], False)
    assert [one.promise for one in kept.lines] == [one.promise for one in looked.lines]


def test_a_new_job_comes_last_and_one_that_is_called_off_leaves(bench, now):
    promises.keep_order(bench, order=[2, 1], saving=fresh_token(), now=now)
    a_planned_job(bench, now, 1)
    assert order_of(promises.queue(bench, now=now)) == [2, 1, 3, 4]
    before = promises.queue(bench, now=now).lines[1].promise.promised
    job.call_off(bench, number=2, saving=fresh_token(), now=now)
    found = promises.queue(bench, now=now)
    assert order_of(found) == [1, 3, 4]
    assert found.lines[0].promise.promised < before


def test_work_that_is_done_brings_every_promise_nearer(bench, now):
    before = [one.promise.work.middle for one in promises.queue(bench, now=now).lines]
    clock.type_in(bench, job=1, step="weave", minutes=Decimal(30), saving=fresh_token(), now=now)
    after = [one.promise.work.middle for one in promises.queue(bench, now=now).lines]
    assert all(late < early for late, early in zip(after, before, strict=True))
    clock.type_in(bench, job=1, step="weave", minutes=Decimal(9000), saving=fresh_token(), now=now)
    assert 0 < promises.queue(bench, now=now).lines[0].promise.work.middle < after[0]


def test_what_is_left_is_never_less_than_a_minute(bench):
    nothing = SimpleNamespace(minutes={})
    assert minutes_left(nothing, {"weave": Decimal(5)}).middle == 1


def test_days_off_and_public_holidays_hold_every_promise_up(bench, now):
    today = now.date()
    before = promises.queue(bench, now=now).lines[0].promise.done
    kept = keep(bench, now, revision=1, off=((today, today + timedelta(days=13)),))
    off = promises.queue(bench, now=now).lines[0].promise.done
    assert (off.high - before.high).days >= 14
    keep(bench, now, revision=kept.revision, country="US", drying=2, post=3)
    found = promises.queue(bench, now=now).lines[0].promise
    assert found.promised == found.done.high + timedelta(days=5)
    days = promises.days_of(promises.week_of(bench), today)
    assert days.minutes_on(date(today.year, 12, 25)) == 0


def test_a_day_that_was_promised_has_a_chance_and_a_last_day_to_begin(bench, now):
    promised = now.date() + timedelta(days=60)
    accepted(bench, now, an_offer(bench, now, promised))
    found = promises.queue(bench, now=now)
    [late] = [one for one in found.lines if one.promised]
    assert (late.promised, late.line.number) == (promised, 4)
    assert late.chance > 0.9
    assert now.date() <= late.begin_by < promised
    assert {one.chance for one in found.lines if not one.promised} == {None}


def test_a_rug_not_begun_comes_after_all_that_waits(bench, now):
    opened = drafting.open_quote(bench, number=1)
    last = promises.queue(bench, now=now).lines[-1].promise
    found = promises.can_be_ready(bench, reckoning=opened.reckoning, asked=last.promised, now=now)
    assert found.promise.promised > last.promised
    assert found.chance < 0.9
    assert promises.can_be_ready(bench, reckoning=opened.reckoning, now=now).chance is None


def test_a_job_without_a_quote_stands_in_the_queue_without_a_day(bench, now):
    a_job(bench, now)
    found = promises.queue(bench, now=now).lines[-1]
    assert (found.line.number, found.minutes, found.promise, found.begin_by) == (4, None, None, None)


def test_a_week_is_kept_once_a_press_and_by_one_window_at_a_time(bench, now):
    token = fresh_token()
    kept = {keep(bench, now, revision=1, saving=token, drying=9).revision for _ in range(2)}
    assert (kept, promises.week_of(bench).drying) == ({2}, 9)
    with pytest.raises(Clash) as caught:
        keep(bench, now, revision=1)
    assert codes(caught) == {("", "week.changed")}


@pytest.mark.parametrize(
    ("changed", "where", "code"),
    [
        ({"hours": (Decimal(0),) * 7}, "week", "promise.no_hours"),
        ({"hours": (Decimal(25),) * 7}, "week.0", "promise.hours_range"),
        ({"off": ((date(2026, 5, 2), date(2026, 5, 1)),)}, "off", "week.off"),
        ({"off": ((date(2026, 5, 2), date(2026, 5, 2)),) * 41}, "off", "week.many"),
        ({"country": "QQ"}, "country", "country.unknown"),
        ({"drying": 400}, "drying", "promise.wait_range"),
    ],
)
def test_a_week_that_cannot_be_changes_nothing(bench, now, changed, where, code):
    before = promises.week_of(bench)
    with pytest.raises(Refusal) as caught:
        keep(bench, now, revision=1, **changed)
    assert (where, code) in codes(caught)
    assert promises.week_of(bench) == before


def test_the_queue_asks_as_often_for_many_jobs_as_for_few(bench, now, count_queries):
    def asked():
        with count_queries(bench) as said:
            promises.queue(bench, now=now)
        return len(said)

    few = asked()
    for _ in range(9):
        a_planned_job(bench, now, 1)
    assert asked() == few


def test_due_dates_are_the_days_promised_and_the_last_days_of_offers(bench, now):
    day = now.date() + timedelta(days=30)
    accepted(bench, now, an_offer(bench, now, day))
    waiting = an_offer(bench, now, day - timedelta(days=10))
    found = promises.due_dates(bench, now=now)
    assert [(one.ready, one.number, one.day) for one in found] == [
        (False, waiting.quote, day - timedelta(days=10)),
        (True, 4, day),
    ]
    late = promises.due_dates(bench, now=now + timedelta(days=25))
    assert [one.ready for one in late] == [True]
    job.call_off(bench, number=4, saving=fresh_token(), now=now)
    assert [one.ready for one in promises.due_dates(bench, now=now)] == [False]


def test_only_the_private_address_of_now_opens_the_calendar(bench, now):
    assert promises.calendar_address(bench, key=KEY) == ""
    closed = ["", "x", "å"]
    token = fresh_token()
    first = {promises.renew_calendar(bench, key=KEY, saving=token, now=now) for _ in range(2)}
    assert len(first) == 1
    second = promises.renew_calendar(bench, key=KEY, saving=fresh_token(), now=now)
    assert promises.due_dates_for(bench, token=second, key=KEY, now=now) == ()
    for wrong in (*closed, *first, second[:-1]):
        with pytest.raises(NotFound):
            promises.due_dates_for(bench, token=wrong, key=KEY, now=now)
    with pytest.raises(NotFound):
        promises.due_dates_for(bench, token=second, key=b"another key than the shop has", now=now)
    assert promises.renew_calendar(bench, key=KEY, wanted=False, saving=fresh_token(), now=now) == ""
    for wrong in (*closed, second):
        with pytest.raises(NotFound):
            promises.due_dates_for(bench, token=wrong, key=KEY, now=now)
