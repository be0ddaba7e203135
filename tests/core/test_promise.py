"""Promises: never earlier for more work, kept in nine of ten, and told in dates that a calendar has."""

import math
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.promise import (
    HORIZON,
    MOST_WAIT,
    Dates,
    QueuedJob,
    WorkingDays,
    begin_by,
    chance,
    moves,
    promises,
)
from shop.core.spread import Estimate, add, doubtful, sure

MONDAY = date(2026, 3, 16)
UNHURRIED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
FIVE_OF_EIGHT = tuple(Decimal(hours) for hours in (8, 8, 8, 8, 8, 0, 0))


def a_calendar(*week, first=MONDAY, off=()):
    return WorkingDays(week=tuple(Decimal(hours) for hours in week) or FIVE_OF_EIGHT, first=first, off=frozenset(off))


def a_job(minutes, name="rug", **more):
    return QueuedJob(name=name, minutes=minutes if isinstance(minutes, Estimate) else sure(minutes), **more)


def the_promise(days, *queue):
    return promises(days, queue)[-1]


def no_later(one, other):
    return one.low <= other.low and one.middle <= other.middle and one.high <= other.high


def codes(refused):
    return [(problem.code, problem.where) for problem in refused.value.problems]


# Four hours a week or more, so that no queue drawn here goes beyond the horizon.
HOURS = st.sampled_from([Decimal(quarters) / 4 for quarters in range(33)])
WEEKS = st.tuples(*[HOURS] * 7).filter(lambda week: sum(week) >= 4)
FIRSTS = st.dates(date(2020, 1, 1), date(2040, 12, 31))


@st.composite
def calendars(draw):
    week, first = draw(WEEKS), draw(FIRSTS)
    off = draw(st.frozensets(st.integers(0, 120), max_size=20))
    return WorkingDays(week=week, first=first, off=frozenset(first + timedelta(days=count) for count in off))


# Some sources are shared, one is each job's own; all together stay below the 0.6 that the order of the ends holds for.
SIGMAS = st.sampled_from([-0.3, -0.2, -0.1, 0.05, 0.1, 0.2, 0.3])


@st.composite
def queues(draw, least=1, most=5):
    jobs = []
    for place in range(draw(st.integers(least, most))):
        doubts = draw(st.dictionaries(st.sampled_from(["packing", "take_up", f"own.{place}"]), SIGMAS))
        minutes = Estimate(draw(st.floats(10, 1500)), tuple(sorted(doubts.items())))
        drying, post = draw(st.integers(0, 9)), draw(st.integers(0, 9))
        jobs.append(a_job(minutes, f"rug {place}", drying=drying, post=post))
    return tuple(jobs)


def test_work_counts_from_the_first_day_and_a_full_day_is_a_days_work():
    days = a_calendar()
    for minutes, done in [(0, 16), (1, 16), (480, 16), (480.01, 17), (5 * 480, 20), (5 * 480 + 1, 23)]:
        assert the_promise(days, a_job(minutes)).done == Dates(*[date(2026, 3, done)] * 3)


def test_thirds_of_hours_fill_a_day_to_its_last_minute():
    """Seven times a third of the day's 7.6 hours, and so on: rounding is not let go over into the next day."""
    days = a_calendar(*["7.6"] * 7)
    for parts in (3, 7, 11, 13):
        queue = [a_job(456 / parts, str(place)) for place in range(parts * 4)]
        found = promises(days, queue)
        assert [found[parts * count - 1].done.high for count in (1, 2, 3, 4)] == [date(2026, 3, 15 + n) for n in (1, 2, 3, 4)]
        assert found[parts].done.high == date(2026, 3, 17)


def test_days_off_and_days_without_hours_are_passed_over():
    days = a_calendar(first=date(2026, 3, 20), off=[date(2026, 3, 23), date(2026, 3, 25)])
    assert the_promise(days, a_job(481)).done.high == date(2026, 3, 24)
    assert the_promise(days, a_job(961)).done.high == date(2026, 3, 26)
    saturday = replace(days, first=date(2026, 3, 21))
    assert the_promise(saturday, a_job(1)).done.high == date(2026, 3, 24)


def test_each_weekday_has_its_own_hours():
    days = a_calendar(1, 2, 3, 4, 5, "6.5", 7)
    so_far = 0
    for count, hours in enumerate((1, 2, 3, 4, 5, 6.5, 7, 1, 2)):
        so_far += hours * 60
        assert days.minutes_on(MONDAY + timedelta(days=count)) == hours * 60
        assert days.minutes_until(MONDAY + timedelta(days=count)) == so_far
        assert the_promise(days, a_job(so_far)).done.low == MONDAY + timedelta(days=count)
    assert days.minutes_until(MONDAY - timedelta(days=1)) == 0


def test_drying_and_post_are_calendar_days():
    found = the_promise(a_calendar(), a_job(5 * 480, drying=2, post=4))
    assert found.done.high == date(2026, 3, 20)
    assert found.ready.high == date(2026, 3, 22)
    assert found.there == Dates(*[date(2026, 3, 26)] * 3)
    assert found.promised == date(2026, 3, 26)


def test_a_job_in_doubt_has_three_days_and_is_promised_for_the_last():
    """20 hours at 4 a day, with a sigma of 0.2: from 15.5 to 25.8 hours, which is 4, 5 and 7 days."""
    found = the_promise(a_calendar(*[4] * 7), a_job(doubtful(1200, "packing", 0.2)))
    assert found.done == Dates(date(2026, 3, 19), date(2026, 3, 20), date(2026, 3, 22))
    assert found.promised == date(2026, 3, 22)


def test_doubt_that_two_jobs_share_makes_the_second_less_sure():
    days = a_calendar(*[1] * 7)
    shared = the_promise(days, a_job(doubtful(1200, "a", 0.3), "one"), a_job(doubtful(1200, "a", 0.3), "two"))
    apart = the_promise(days, a_job(doubtful(1200, "a", 0.3), "one"), a_job(doubtful(1200, "b", 0.3), "two"))
    assert shared.work == add([doubtful(1200, "a", 0.3)] * 2)
    assert shared.done.low < apart.done.low
    assert apart.done.high < shared.done.high


def test_the_chance_of_a_date():
    """10 hours in the middle, at 5 a day: half a chance for the second evening; log 1.5 over 0.2 for the third."""
    days = a_calendar(*[5] * 7)
    found = the_promise(days, a_job(doubtful(600, "packing", 0.2), drying=1, post=2))
    at = [chance(days, found, MONDAY + timedelta(days=count)) for count in range(-9, 9)]
    assert at[:12] == [0.0] * 12
    assert at[12] == pytest.approx(0.5 * (1 + math.erf(math.log(0.5) / 0.2 / math.sqrt(2))), rel=1e-4)
    assert at[13] == pytest.approx(0.5, abs=1e-6)
    assert at[14] == pytest.approx(0.5 * (1 + math.erf(math.log(1.5) / 0.2 / math.sqrt(2))), rel=1e-6)
    assert at[17] > 0.999


def test_what_is_known_is_kept_or_is_not():
    days = a_calendar()
    found = the_promise(days, a_job(960, post=1))
    assert [chance(days, found, date(2026, 3, day)) for day in (15, 16, 17, 18, 19)] == [0, 0, 0, 1, 1]
    nothing = the_promise(days, a_job(0, post=1))
    assert [chance(days, nothing, date(2026, 3, day)) for day in (16, 17)] == [0, 1]


def test_the_last_day_to_begin():
    days = a_calendar(off=[date(2026, 3, 26)])
    found = the_promise(days, a_job(480, "one"), a_job(960, "two", drying=1, post=2))
    assert begin_by(days, found, date(2026, 3, 30)) == date(2026, 3, 24)
    assert begin_by(days, found, date(2026, 3, 29)) == date(2026, 3, 23)
    assert begin_by(days, found, date(2026, 3, 20)) == date(2026, 3, 13)
    nothing = the_promise(days, a_job(0, post=2))
    assert begin_by(days, nothing, date(2026, 3, 31)) == date(2026, 3, 29)


@UNHURRIED
@given(calendars(), queues())
def test_the_three_days_stand_in_order_and_later_jobs_are_done_later(days, queue):
    found = promises(days, queue)
    for one in found:
        assert days.first <= one.done.low <= one.done.middle <= one.done.high <= one.ready.high <= one.promised
        assert (one.there.low - one.done.low).days == one.job.drying + one.job.post
    for one, other in pairwise(found):
        assert no_later(one.done, other.done)


@UNHURRIED
@given(calendars(), queues())
def test_a_promise_is_kept_in_nine_of_ten_and_the_day_before_is_not(days, queue):
    for found in promises(days, queue):
        assert chance(days, found, found.promised) >= 0.9
        assert chance(days, found, found.promised - timedelta(days=1)) < 0.9
        assert chance(days, found, found.there.middle) >= 0.5
        assert chance(days, found, found.there.middle - timedelta(days=1)) < 0.5


@UNHURRIED
@given(calendars(), queues(), st.integers(-30, 400))
def test_the_chance_rises_with_the_date(days, queue, count):
    asked = days.first + timedelta(days=count)
    found = the_promise(days, *queue)
    chances = [chance(days, found, asked + timedelta(days=more)) for more in (0, 1, 2, 30)]
    assert chances == sorted(chances)
    assert 0 <= chances[0] <= chances[-1] <= 1
    last = asked - timedelta(days=found.job.drying + found.job.post)
    if found.work.sigma and last > days.first and days.minutes_on(last) and 0.001 < chances[0] < 0.999:
        assert chance(days, found, asked - timedelta(days=1)) < chances[0]


@UNHURRIED
@given(calendars(), queues(), st.integers(0, 6), st.sampled_from([Decimal("0.25"), Decimal(1), Decimal(5)]))
def test_more_hours_never_make_anything_later(days, queue, weekday, more):
    week = list(days.week)
    week[weekday] += more
    longer = replace(days, week=tuple(week))
    for one, other in zip(promises(days, queue), promises(longer, queue), strict=True):
        assert no_later(other.done, one.done)
        assert chance(longer, other, one.promised) >= chance(days, one, one.promised)


@UNHURRIED
@given(calendars(), queues(), st.integers(0, 120))
def test_a_day_off_never_makes_anything_earlier(days, queue, count):
    away = replace(days, off=days.off | {days.first + timedelta(days=count)})
    for one, other in zip(promises(days, queue), promises(away, queue), strict=True):
        assert no_later(one.done, other.done)
        assert chance(away, other, one.promised) <= chance(days, one, one.promised)


def test_a_day_off_while_there_is_work_is_a_day_later():
    days = a_calendar(*[4] * 7)
    away = replace(days, off=frozenset({date(2026, 3, 18)}))
    job = a_job(doubtful(1200, "packing", 0.2))
    assert the_promise(away, job).done == the_promise(days, job).done.later(1)


@UNHURRIED
@given(calendars(), queues(), st.data(), st.floats(1, 3))
def test_more_work_never_makes_anything_earlier(days, queue, data, times):
    place = data.draw(st.integers(0, len(queue) - 1))
    more = list(queue)
    more[place] = replace(queue[place], minutes=queue[place].minutes.scaled(times))
    for one, other in zip(promises(days, queue), promises(days, more), strict=True):
        assert no_later(one.done, other.done)


@UNHURRIED
@given(calendars(), queues(least=2), st.data())
def test_moving_a_job_up_never_makes_it_later_nor_another_earlier(days, queue, data):
    place = data.draw(st.integers(1, len(queue) - 1))
    to = data.draw(st.integers(0, place - 1))
    job = queue[place]
    other = [*queue[:to], job, *queue[to:place], *queue[place + 1 :]]
    moved = moves(days, queue, other)
    assert list(moved) == [one.name for one in other]
    assert moved[job.name] <= 0
    assert all(moved[one.name] >= 0 for one in queue[to:place])
    assert all(moved[one.name] == 0 for one in (*queue[:to], *queue[place + 1 :]))
    assert {name: -days for name, days in moved.items()} == moves(days, other, queue)


def test_how_the_promises_move_when_a_job_is_put_first():
    days = a_calendar()
    one, two, three = a_job(480, "one"), a_job(1440, "two", post=3), a_job(960, "three")
    assert moves(days, [one, two, three], [three, one, two]) == {"three": -6, "one": 2, "two": 4}
    assert moves(days, [one, two, three], [one, two, three]) == {"one": 0, "two": 0, "three": 0}


@UNHURRIED
@given(calendars(), queues(), st.integers(0, 300))
def test_who_begins_on_the_last_day_keeps_the_date_and_who_begins_later_does_not(days, queue, count):
    found = the_promise(days, *queue)
    asked = found.promised + timedelta(days=count)
    begun = begin_by(days, found, asked)
    assert begun >= days.first
    assert the_promise(replace(days, first=begun), *queue).promised <= asked
    assert the_promise(replace(days, first=begun + timedelta(days=1)), *queue).promised > asked
    assert begin_by(days, found, found.promised - timedelta(days=1)) < days.first


def test_a_week_without_hours_is_refused():
    with pytest.raises(NotPossible) as refused:
        a_calendar(*[0] * 7)
    assert codes(refused) == [("promise.no_hours", "week")]


def test_hours_that_no_day_has_are_refused_all_at_once():
    with pytest.raises(NotPossible) as refused:
        a_calendar(8, "-0.25", 24, "24.01", "NaN", "Infinity", 0)
    assert codes(refused) == [("promise.hours_range", f"week.{weekday}") for weekday in (1, 3, 4, 5)]
    assert refused.value.problems[1].values == {"hours": Decimal("24.01"), "most": 24}


@pytest.mark.parametrize("first", [date(1899, 12, 31), date(3000, 1, 1)])
def test_a_first_day_in_a_year_that_nobody_means_is_refused(first):
    with pytest.raises(NotPossible) as refused:
        a_calendar(first=first)
    assert codes(refused) == [("promise.year", "first")]


@pytest.mark.parametrize("first", [date(1900, 1, 1), date(2999, 12, 31)])
def test_the_longest_work_with_the_longest_drying_and_post(first):
    found = the_promise(a_calendar(*[1] * 7, first=first), a_job(HORIZON * 60, drying=MOST_WAIT, post=MOST_WAIT))
    assert (found.promised - first).days == HORIZON - 1 + 2 * MOST_WAIT


def test_drying_and_post_have_their_range():
    with pytest.raises(NotPossible) as refused:
        a_job(1, drying=-1, post=MOST_WAIT + 1)
    assert codes(refused) == [("promise.wait_range", "drying"), ("promise.wait_range", "post")]


def test_more_than_five_years_is_too_far():
    days = a_calendar(*[1] * 7)
    assert the_promise(days, a_job(HORIZON * 60)).done.high == date(2031, 3, 15)
    for minutes in (sure(HORIZON * 60 + 1), doubtful(HORIZON * 55, "packing", 0.2), sure(math.inf)):
        with pytest.raises(NotPossible) as refused:
            promises(days, [a_job(60, "one"), a_job(minutes, "two"), a_job(60, "three")])
        assert codes(refused) == [("promise.far", "queue")]
        assert refused.value.problems[0].values == {"name": "two", "years": 5}


def test_nobody_works_who_is_always_away():
    away = a_calendar(off=[MONDAY + timedelta(days=count) for count in range(HORIZON)])
    with pytest.raises(NotPossible) as refused:
        promises(away, [a_job(1)])
    assert codes(refused) == [("promise.far", "queue")]


def test_a_date_is_asked_for_within_five_years():
    days = a_calendar()
    found = the_promise(days, a_job(480, post=3))
    last = MONDAY + timedelta(days=HORIZON + 2)
    assert chance(days, found, last) == 1
    assert begin_by(days, found, last) == date(2031, 3, 14)
    assert chance(days, found, MONDAY - timedelta(days=HORIZON - 3)) == 0
    for asked in (last + timedelta(days=1), date.max, MONDAY - timedelta(days=HORIZON - 2), date.min):
        for ask in (chance, begin_by):
            with pytest.raises(NotPossible) as refused:
                ask(days, found, asked)
            assert codes(refused) == [("promise.asked_far", "asked")]


def test_work_that_would_begin_five_years_before_its_end_is_too_far():
    off = [MONDAY - timedelta(days=count) for count in range(1, HORIZON + 1)]
    days = a_calendar(off=off)
    found = the_promise(days, a_job(960))
    with pytest.raises(NotPossible) as refused:
        begin_by(days, found, MONDAY)
    assert codes(refused) == [("promise.asked_far", "asked")]


def test_a_queue_has_each_name_once():
    with pytest.raises(NotPossible) as refused:
        promises(a_calendar(), [a_job(1, "b"), a_job(1, "a"), a_job(2, "b"), a_job(3, "c"), a_job(1, "a")])
    assert [problem.values for problem in refused.value.problems] == [{"name": "a"}, {"name": "b"}]
    assert codes(refused) == [("promise.twice", "queue")] * 2


@pytest.mark.parametrize("other", [["one"], ["one", "two", "three"], ["one", "three"], ["one", "one"]])
def test_two_orders_are_of_the_same_jobs(other):
    with pytest.raises(NotPossible) as refused:
        moves(a_calendar(), [a_job(1, "one"), a_job(1, "two")], [a_job(1, name) for name in other])
    assert codes(refused) == [("promise.other_jobs", "queue")]


def test_an_empty_queue_promises_nothing():
    assert promises(a_calendar(), []) == ()
    assert moves(a_calendar(), [], []) == {}
