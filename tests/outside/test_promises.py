"""Promised dates against a library's calendar, published working days, Little's law, and draws of whole queues.

The draws: a day is a whole day, so that the band of dates and the promised date hold a little more than the hours
themselves would, half a day's worth at either end.
"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from math import ceil

import numpy as np
import pytest
from scipy.stats import lognorm

from shop.core.promise import QueuedJob, WorkingDays, begin_by, chance, promises
from shop.core.spread import Estimate, doubtful, sure

FULL_WEEK = (8, 8, 8, 8, 8, 0, 0)
INDEPENDENCE_DAY, CHRISTMAS, NEW_YEAR = date(2026, 7, 3), date(2026, 12, 25), date(2027, 1, 1)
"""Legal holidays of the United States; 4 July 2026 is a Saturday, and the Friday before it is kept."""


def a_calendar(week, first, off=()):
    return WorkingDays(week=tuple(Decimal(str(hours)) for hours in week), first=first, off=frozenset(off))


def done_after(first, working_days, off):
    """The day on which so many full days of work are done."""
    days = a_calendar(FULL_WEEK, first, off)
    (found,) = promises(days, [QueuedJob(name="rug", minutes=sure(working_days * 480))])
    return found.promised


def test_five_working_days_from_the_day_before_christmas_eve():
    """2026-12-23 plus 5 working days, with Christmas off: work begins the day after."""
    assert done_after(date(2026, 12, 24), 5, [CHRISTMAS]) == date(2026, 12, 31)
    assert done_after(date(2026, 12, 23), 6, [CHRISTMAS]) == date(2026, 12, 31)
    assert done_after(date(2026, 12, 24), 6, [CHRISTMAS, NEW_YEAR]) == date(2027, 1, 4)


def test_the_working_day_after_the_second_of_july():
    """2026-07-03 is off, and a weekend follows."""
    assert done_after(date(2026, 7, 3), 1, [INDEPENDENCE_DAY]) == date(2026, 7, 6)
    assert done_after(date(2026, 7, 2), 2, [INDEPENDENCE_DAY]) == date(2026, 7, 6)


@pytest.mark.parametrize("weekmask", ["1111100", "1010100", "0111111", "0000010", "1111111"])
@pytest.mark.parametrize("hours", [8, 5.5, 0.75])
def test_work_without_doubt_over_a_calendar(weekmask, hours):
    """Hours over hours a day, rounded up, in working days: NumPy's ``busday_offset``, from any day of the week."""
    rng = np.random.default_rng(2026)
    off = [date(2026, 3, 2) + timedelta(days=int(count)) for count in rng.integers(0, 300, 40)]
    for count in range(7):
        first = date(2026, 3, 2) + timedelta(days=count)
        days = a_calendar([hours * int(works) for works in weekmask], first, off)
        queue = [QueuedJob(name=str(n), minutes=sure(float(each))) for n, each in enumerate(rng.integers(1, 90, 12) * 15)]
        so_far = 0.0
        for found in promises(days, queue):
            so_far += found.job.minutes.middle
            working_days = ceil(so_far / (hours * 60))
            last = np.busday_offset(first, working_days - 1, roll="forward", weekmask=weekmask, holidays=off).item()
            assert found.done.low == found.done.middle == found.promised == last
            assert chance(days, found, last) == 1
            assert chance(days, found, last - timedelta(days=1)) == 0
            begun = np.busday_offset(last, 1 - working_days, roll="backward", weekmask=weekmask, holidays=off).item()
            assert begin_by(days, found, last) == begun


def test_littles_law():
    """J. D. C. Little, 1961: 160 jobs waiting, at 8 a month, is a wait of 20 months.

    A month is a twelfth of 365.2425 days; 20 of them from New Year's Day end on the first of September of the next year.
    """
    days = a_calendar([2] * 7, date(2026, 1, 1))
    a_month = 365.2425 / 12 * 120
    queue = [QueuedJob(name=str(n), minutes=sure(a_month / 8)) for n in range(160)]
    found = promises(days, queue)
    assert found[-1].work.middle / a_month == pytest.approx(160 / 8, rel=1e-12)
    assert found[-1].promised == date(2027, 9, 1)
    assert found[95].promised == date(2027, 1, 1)


BESIDE_OTHER_WORK = (2, 2, 1, 2, 2, 3.5, 1)
GUESSED = {"packing": 0.2, "pace": 0.2}


def a_queue(rng, jobs, shared, own):
    """Rugs of 15 to 80 hours, in doubt by what all on a loom share and by something of their own."""
    return [
        QueuedJob(
            name=str(n),
            minutes=Estimate(float(minutes), tuple(sorted((shared | {f"own.{n}": own}).items()))),
            drying=int(drying),
            post=int(post),
        )
        for n, (minutes, drying, post) in enumerate(
            zip(rng.uniform(900, 4800, jobs), rng.integers(0, 4, jobs), rng.integers(0, 8, jobs), strict=True)
        )
    ]


def drawn_minutes(queue, draws, rng):
    """Minutes of each job in turn, of each draw."""
    names = sorted({name for job in queue for name, _ in job.minutes.doubts})
    normal = dict(zip(names, rng.standard_normal((len(names), draws)), strict=True))
    of_each = [sum(s * normal[name] for name, s in job.minutes.doubts) for job in queue]
    return [job.minutes.middle * np.exp(shift) for job, shift in zip(queue, of_each, strict=True)]


def drawn_days(days, queue, minutes):
    """Days from the first until each job is there, of each draw: the minutes are filled into the days in turn."""
    calendar = [days.first + timedelta(days=count) for count in range(1500)]
    evenings = np.cumsum([0 if day in days.off else 60 * float(days.week[day.weekday()]) for day in calendar])
    done = np.searchsorted(evenings, np.cumsum(minutes, axis=0))
    return done + np.array([[job.drying + job.post] for job in queue])


QUEUES = {
    "the same doubts in every job": (12, GUESSED, 0.05),
    "doubts of each job's own": (30, {}, 0.5),
    "some shared and some not": (16, {"packing": 0.2}, 0.25),
    "loosely packed cloth": (10, {"packing": -0.3, "take_up": 0.1}, 0.2),
}


@pytest.fixture(scope="module", params=QUEUES)
def waiting(request):
    """A queue with its promises, and forty thousand ways in which it may go."""
    rng = np.random.default_rng(8)
    first = date(2026, 3, 16)
    days = a_calendar(BESIDE_OTHER_WORK, first, [first + timedelta(days=int(count)) for count in rng.integers(0, 400, 30)])
    queue = a_queue(rng, *QUEUES[request.param])
    return days, queue, promises(days, queue), drawn_minutes(queue, 40_000, rng)


def test_eight_of_ten_fall_between_the_dates(waiting):
    """Of jobs with 90 days between them; where there are fewer, the whole day at either end weighs more."""
    days, queue, found, minutes = waiting
    held = []
    for one, drawn in zip(found, drawn_days(days, queue, minutes), strict=True):
        low, middle, high = ((day - days.first).days for day in (one.there.low, one.there.middle, one.there.high))
        if high - low >= 90:
            held.append(np.mean((low <= drawn) & (drawn <= high)))
            assert 0.48 <= np.mean(drawn <= middle) <= 0.54
    assert len(held) >= 5
    assert 0.78 <= min(held) <= max(held) <= 0.82


def test_nine_of_ten_promises_are_kept(waiting):
    """Of jobs with three weeks between their dates, and of all the promises of the queue together."""
    days, queue, found, minutes = waiting
    there = drawn_days(days, queue, minutes)
    kept = [np.mean(drawn <= (one.promised - days.first).days) for one, drawn in zip(found, there, strict=True)]
    wide = [share for one, share in zip(found, kept, strict=True) if (one.done.high - one.done.low).days >= 21]
    assert len(wide) >= 8
    assert 0.88 <= min(wide) <= max(wide) <= 0.92
    assert 0.88 <= np.mean(kept) <= 0.92
    assert min(kept) >= 0.88


def test_the_chance_of_a_date_is_the_share_of_draws_that_keep_it(waiting):
    """Of every job in the queue, for dates from the low end to beyond the high one."""
    days, queue, found, minutes = waiting
    for one, drawn in zip(found, drawn_days(days, queue, minutes), strict=True):
        wide = (one.there.high - one.there.low).days
        for count in range(0, wide * 3 // 2, max(1, wide // 5)):
            asked = one.there.low + timedelta(days=count)
            assert chance(days, one, asked) == pytest.approx(np.mean(drawn <= (asked - days.first).days), abs=0.015)


def test_who_begins_on_the_last_day_keeps_the_date_in_nine_of_ten(waiting):
    days, queue, found, minutes = waiting
    asked = found[-1].promised + timedelta(days=100)
    begun = begin_by(days, found[-1], asked)
    assert begun > days.first + timedelta(days=50)

    def kept(first):
        return np.mean(drawn_days(replace(days, first=first), queue, minutes)[-1] <= (asked - first).days)

    assert 0.89 <= kept(begun) <= 0.92
    assert kept(begun + timedelta(days=21)) < 0.89


@pytest.mark.parametrize("sigma", [0.1, 0.25, 0.5])
def test_a_single_job_against_scipys_log_normal(sigma):
    """The dates at its tenths, and the chance of each date, from ``lognorm``."""
    days = a_calendar([1] * 7, date(2026, 1, 1))
    (found,) = promises(days, [QueuedJob(name="rug", minutes=doubtful(6000, "pace", sigma))])
    hours = lognorm(s=sigma, scale=100)
    for day, share in ((found.done.low, 0.1), (found.done.middle, 0.5), (found.done.high, 0.9)):
        assert (day - days.first).days + 1 == ceil(round(hours.ppf(share), 6))
    for count in (60, 90, 100, 110, 150, 200):
        asked = days.first + timedelta(days=count - 1)
        assert chance(days, found, asked) == pytest.approx(hours.cdf(count), abs=1e-6)
