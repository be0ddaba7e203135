"""When can a rug be ready? The days on which the jobs of a queue are done, and which date can be promised.

The work of a job and of all before it is one sum, in which a source of doubt that two jobs share moves both together
(``spread.add``); the hours of the working days are filled with it from the first day on. A date is promised at the high
end of the sum, so that it is kept in nine of ten.

    work of a job = sum of the minutes of the jobs up to and including it, log-normal
    done at an end = the first day until whose evening there are as many working minutes as the work takes at that end
    chance of a date = Phi(ln(working minutes until it / middle of the work) / sigma of the work)

Phi is the standard normal's distribution function. While the sigma of each job is at most 0.6 (its high end 4.7 times its
low), more work never comes out earlier at any of the three ends, whatever doubts the jobs share: the standard deviation of
a sum grows or falls by no more than that of the job that joins it, and with a coefficient of variation of up to 0.66 the
log-normal's ends and middle then rise. A job in greater doubt than that can seem to bring the low end forward.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import accumulate, islice
from statistics import NormalDist
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.spread import Estimate, add

YEARS: Final = 5
HORIZON: Final = 1826
"""Days, five years of them, beyond which nothing is said."""
MOST_WAIT: Final = 366
"""The longest drying, and the longest post, in days."""
FIRST_YEAR: Final = 1900
LAST_YEAR: Final = 2999
HARDLY: Final = 1e-5
"""Minutes of work that are none: what rounding leaves over when hours are filled to the last minute."""

Week = tuple[Decimal, Decimal, Decimal, Decimal, Decimal, Decimal, Decimal]
"""Working hours of Monday to Sunday."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingDays:
    """The days on which there is work, from the first one on.

    Attributes:
        week: working hours by weekday, Monday first; 0 for a day without work.
        first: the day on which work begins; its own hours count.
        off: dates on which nobody works, whatever the weekday.

    Raises:
        NotPossible: ``promise.hours_range`` for hours below 0 or above 24, ``promise.no_hours`` for a week without any,
            ``promise.year`` for a first day outside the years 1900 to 2999.
    """

    week: Week
    first: date
    off: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        problems = [
            Problem("promise.hours_range", f"week.{weekday}", {"hours": hours, "most": 24})
            for weekday, hours in enumerate(self.week)
            if not (hours.is_finite() and 0 <= hours <= 24)
        ]
        if not problems and not any(self.week):
            problems.append(Problem("promise.no_hours", "week"))
        if not FIRST_YEAR <= self.first.year <= LAST_YEAR:
            problems.append(Problem("promise.year", "first", {"least": FIRST_YEAR, "most": LAST_YEAR}))
        if problems:
            raise NotPossible(*problems)

    def minutes_on(self, day: date) -> Decimal:
        """Working minutes of one day, also of one before the first."""
        return Decimal(0) if day in self.off else self.week[day.weekday()] * 60

    def minutes_until(self, day: date) -> float:
        """Working minutes from the first day to the evening of this one; none before the first day."""
        count = max((day - self.first).days + 1, 0)
        return float(sum(islice(self._minutes(self.first, 1), count), Decimal(0)))

    def filled(self) -> list[float]:
        """Working minutes until the evening of each day, from the first day to the horizon."""
        return [float(minutes) for minutes in accumulate(islice(self._minutes(self.first, 1), HORIZON))]

    def last_start(self, minutes: float, evening: date) -> date | None:
        """The last day to begin, for so many minutes to be worked by that evening; ``None`` beyond the horizon."""
        worked = accumulate(islice(self._minutes(evening, -1), HORIZON))
        for back, until_now in enumerate(worked):
            if float(until_now) + HARDLY >= minutes:
                return evening - timedelta(days=back)
        return None

    def _minutes(self, start: date, step: int) -> Iterator[Decimal]:
        day, one = start, timedelta(days=step)
        while True:
            yield self.minutes_on(day)
            day += one


@dataclass(frozen=True, slots=True, kw_only=True)
class QueuedJob:
    """A job that waits, or is begun.

    Attributes:
        name: what it is called by; a queue has a name once.
        minutes: work that is still to do. Jobs that share a source of doubt name it alike.
        drying: calendar days from the end of the work until it is ready.
        post: calendar days from then until it is there.

    Raises:
        NotPossible: ``promise.wait_range`` for days of drying or post below 0 or above 366.
    """

    name: str
    minutes: Estimate
    drying: int = 0
    post: int = 0

    def __post_init__(self) -> None:
        problems = [
            Problem("promise.wait_range", where, {"days": days, "most": MOST_WAIT})
            for where, days in (("drying", self.drying), ("post", self.post))
            if not 0 <= days <= MOST_WAIT
        ]
        if problems:
            raise NotPossible(*problems)


@dataclass(frozen=True, slots=True)
class Dates:
    """A day that is not known exactly: 8 of 10 outcomes fall between ``low`` and ``high``."""

    low: date
    middle: date
    high: date

    def later(self, days: int) -> Dates:
        """So many calendar days later, each of the three."""
        return Dates(*(day + timedelta(days=days) for day in (self.low, self.middle, self.high)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """When a job of a queue can be ready.

    Attributes:
        job: the job.
        work: minutes of it and of all before it.
        done: the day on which that work is done.
    """

    job: QueuedJob
    work: Estimate
    done: Dates

    @property
    def ready(self) -> Dates:
        """The day on which it is dry."""
        return self.done.later(self.job.drying)

    @property
    def there(self) -> Dates:
        """The day on which it has come with the post."""
        return self.ready.later(self.job.post)

    @property
    def promised(self) -> date:
        """The date to promise it for, there with drying and post: it is kept in nine of ten."""
        return self.there.high


def promises(days: WorkingDays, queue: Sequence[QueuedJob]) -> tuple[Promise, ...]:
    """A promise for each job of a queue, in its order.

    Raises:
        NotPossible: ``promise.twice`` for a name that two jobs have, ``promise.far`` for the first job that is not done
            within five years at the high end.
    """
    names = [job.name for job in queue]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise NotPossible(*(Problem("promise.twice", "queue", {"name": name}) for name in twice))
    filled = days.filled()
    found = []
    for place, job in enumerate(queue, 1):
        work = add(each.minutes for each in queue[:place])
        after = [bisect_left(filled, minutes - HARDLY) for minutes in (work.low, work.middle, work.high)]
        if max(after) == HORIZON:
            raise NotPossible(Problem("promise.far", "queue", {"name": job.name, "years": YEARS}))
        done = Dates(*(days.first + timedelta(days=count) for count in after))
        found.append(Promise(job=job, work=work, done=done))
    return tuple(found)


def _evening(days: WorkingDays, job: QueuedJob, asked: date) -> date:
    """The last day on which the work can be done, for the job to be there on the date that is asked for."""
    count = (asked - days.first).days - job.drying - job.post
    if not -HORIZON <= count < HORIZON:
        raise NotPossible(Problem("promise.asked_far", "asked", {"asked": asked, "years": YEARS}))
    return days.first + timedelta(days=count)


def chance(days: WorkingDays, promise: Promise, asked: date) -> float:
    """The chance, from 0 to 1, that a job is there on the date that is asked for, drying and post with it.

    Raises:
        NotPossible: ``promise.asked_far`` when the work would have to end more than five years from the first day.
    """
    evening = _evening(days, promise.job, asked)
    if evening < days.first:
        return 0.0
    minutes, work = days.minutes_until(evening) + HARDLY, promise.work
    if not work.sigma:
        return 1.0 if minutes >= work.middle else 0.0
    return NormalDist().cdf(math.log(minutes / work.middle) / work.sigma)


def begin_by(days: WorkingDays, promise: Promise, asked: date) -> date:
    """The last day to begin a job and those before it, for the date that is asked for to be kept in nine of ten.

    A day before the first one says that it is too late for so sure a promise.

    Raises:
        NotPossible: ``promise.asked_far`` as for ``chance``, and when the work would begin five years before its end.
    """
    begun = days.last_start(promise.work.high, _evening(days, promise.job, asked))
    if begun is None:
        raise NotPossible(Problem("promise.asked_far", "asked", {"asked": asked, "years": YEARS}))
    return begun


def moves(days: WorkingDays, queue: Sequence[QueuedJob], other: Sequence[QueuedJob]) -> dict[str, int]:
    """By how many days the promise of each job moves when a queue is put into another order; later is positive.

    Returns:
        days by the name of the job, in the new order.

    Raises:
        NotPossible: as ``promises``; ``promise.other_jobs`` when the two are not orders of the same jobs.
    """
    if set(queue) != set(other):
        raise NotPossible(Problem("promise.other_jobs", "queue"))
    before = {promise.job.name: promise.promised for promise in promises(days, queue)}
    after = {promise.job.name: promise.promised for promise in promises(days, other)}
    return {name: (promised - before[name]).days for name, promised in after.items()}
