"""When can it be ready? The jobs in the order in which they are taken, each with the day that it can be promised for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.order import OfferState
from shop.core.promise import Promise, QueuedJob, WorkingDays, begin_by, chance, promises
from shop.core.reckoning import Reckoning
from shop.core.spread import Estimate, add, sure
from shop.store import job as job_table
from shop.store import offer as offer_table
from shop.store import order_money as money_table
from shop.store import saving as presses
from shop.store import workweek as table
from shop.store.engine import Session, Store
from shop.usecases.given import Given
from shop.usecases.job import OPEN, JobLine, lines_in
from shop.usecases.moving import today_in
from shop.usecases.private_link import fresh_secret, is_the_same, secret_part
from shop.usecases.public_holidays import public_holidays
from shop.usecases.rug_of_job import rug_of
from shop.usecases.shop import shop_in

MOST_JOBS: Final = 60
MOST_OFF: Final = 40
LOOKED_AHEAD: Final = timedelta(days=3 * 366)
USUAL_HOURS: Final = tuple(Decimal(hours) for hours in (4, 4, 4, 4, 4, 0, 0))
"""Starting guess: four hours at the loom on each weekday."""
USUAL_DRYING: Final = 1
USUAL_POST: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class WeekGiven:
    """How the weaver works.

    Attributes:
        hours: of Monday to Sunday.
        off: days off, each from one day to another, both off.
        country: whose public holidays are off too, two letters; empty for none.
        drying, post: calendar days after the work.
    """

    hours: tuple[Decimal, ...] = USUAL_HOURS
    off: tuple[tuple[date, date], ...] = ()
    country: str = ""
    drying: int = USUAL_DRYING
    post: int = USUAL_POST


@dataclass(frozen=True, slots=True, kw_only=True)
class Week(WeekGiven):
    """The same as it is kept; revision 0 while it is all a starting guess."""

    queue: tuple[int, ...] = ()
    revision: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class QueueLine:
    """A job in the queue.

    Attributes:
        minutes: of work still to do.
        promise: when it can be ready; ``None`` for a job whose work nobody knows.
        promised: the day that its customer was promised.
        chance: that this is kept; ``None`` where none was promised or nothing is known.
        begin_by: the last day to begin so that it is kept in nine of ten.
        moves: by how many days its promise moves in the order looked at, against the one kept.
    """

    line: JobLine
    minutes: Estimate | None
    promise: Promise | None
    promised: date | None
    chance: float | None
    begin_by: date | None
    moves: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """The queue in an order, kept or looked at."""

    week: Week
    lines: tuple[QueueLine, ...]
    changed: bool


def week_of(store: Store) -> Week:
    """How the weaver works."""
    with store.reading() as session:
        return _week(table.only(session))


def _week(row: table.WorkWeek | None) -> Week:
    if row is None:
        return Week()
    return Week(
        hours=tuple(Decimal(str(hours)) for hours in row.hours),
        off=tuple((date.fromisoformat(first), date.fromisoformat(last)) for first, last in row.off),
        country=row.country,
        drying=row.drying,
        post=row.post,
        queue=tuple(int(number) for number in row.queue),
        revision=row.revision,
    )


def keep_week(store: Store, *, week: WeekGiven, revision: int, saving: str, now: datetime) -> Week:
    """Keep how the weaver works.

    Raises:
        Clash: ``week.changed``.
        Refusal: what ``WorkingDays`` and ``QueuedJob`` refuse, at ``week.0`` and so on; ``week.off`` at ``off`` for days off that
            end before they begin, or too many of them; ``country.unknown`` at ``country``.
    """
    given = Given()
    for first, last in week.off:
        if last < first:
            given.note("week.off", "off", first=first, last=last)
    if len(week.off) > MOST_OFF:
        given.note("week.many", "off", most=MOST_OFF)
    if week.country and not public_holidays(country=week.country, first=now.date(), last=now.date()).known:
        given.note("country.unknown", "country", text=week.country[:24])
    try:
        WorkingDays(week=_seven(week.hours), first=now.date())
        QueuedJob(name="", minutes=sure(1), drying=week.drying, post=week.post)
    except Refusal as refusal:
        given.problems.extend(refusal.problems)
    given.done()
    with store.writing() as session:
        if presses.claim(session, act="week.keep", token=saving, given=week, now=now) is None:
            row = _row(session, now)
            if row.revision != revision:
                raise Clash(Problem("week.changed"))
            row.hours = [str(hours) for hours in week.hours]
            row.off = [[first.isoformat(), last.isoformat()] for first, last in week.off]
            row.country, row.drying, row.post = week.country, week.drying, week.post
            row.revision, row.changed_at = row.revision + 1, now
            session.flush()
        return _week(table.only(session))


def _row(session: Session, now: datetime) -> table.WorkWeek:
    row = table.only(session, lock=True)
    if row is None:
        usual = WeekGiven()
        row = table.WorkWeek(
            id=1,
            hours=[str(hours) for hours in usual.hours],
            off=[],
            country="",
            drying=usual.drying,
            post=usual.post,
            queue=[],
            calendar="",
            revision=0,
            changed_at=now,
        )
        session.add(row)
        session.flush()
    return row


def _seven(hours: Sequence[Decimal]) -> tuple[Decimal, Decimal, Decimal, Decimal, Decimal, Decimal, Decimal]:
    if len(hours) != 7:
        raise Refusal(Problem("promise.no_hours", "week"))
    return (hours[0], hours[1], hours[2], hours[3], hours[4], hours[5], hours[6])


def days_of(week: WeekGiven, today: date) -> WorkingDays:
    """The working days from today on, days off and public holidays taken out."""
    off = {first + timedelta(days=day) for first, last in week.off for day in range(min(1000, (last - first).days) + 1)}
    if week.country:
        off |= public_holidays(country=week.country, first=today, last=today + LOOKED_AHEAD).days
    return WorkingDays(week=_seven(week.hours), first=today, off=frozenset(off))


def queue(store: Store, *, order: Sequence[int] | None = None, now: datetime) -> Queue:
    """The jobs under way with their promises; nothing is kept.

    Args:
        store: the shop's database.
        order: numbers of jobs in an order to look at; the one kept where none is given.
        now: the time, zoned.

    Raises:
        Refusal: what ``promises`` refuses.
    """
    with store.reading() as session:
        week = _week(table.only(session))
        rows = job_table.newest(session, states=OPEN, below=None, limit=MOST_JOBS)
        by_number = {row.number: row for row in rows}
        lines = {line.number: line for line in lines_in(session, rows)}
        ids = {row.id: row.number for row in rows}
        spent = money_table.minutes_of_jobs(session, ids)
        left = {row.number: _minutes_left(row, spent.get(row.id, {})) for row in rows}
        promised = {ids[job]: day for job, (day, _) in offer_table.promised_of_jobs(session, ids).items()}
        today = today_in(session, now)
    kept = _ordered(week.queue, by_number)
    looked = _ordered(order if order is not None else week.queue, by_number)
    days = days_of(week, today)
    before = _promises(days, week, kept, left)
    after = _promises(days, week, looked, left)
    return Queue(
        week=week,
        lines=tuple(_line(days, lines[number], left[number], after.get(number), before.get(number), promised.get(number)) for number in looked),
        changed=kept != looked,
    )


def _ordered(order: Sequence[int], jobs: dict[int, job_table.Job]) -> list[int]:
    chosen = [number for number in dict.fromkeys(order) if number in jobs]
    return [*chosen, *sorted(number for number in jobs if number not in chosen)]


def _minutes_left(row: job_table.Job, spent: Mapping[str, Decimal]) -> Estimate | None:
    """Work that is still to do; ``None`` where nobody knows it, because the job was begun without a quote."""
    try:
        rug = rug_of(row)
    except Refusal:
        return None
    if rug is None:
        return None
    return minutes_left(rug.reckoning, spent)


def minutes_left(reckoning: Reckoning, spent: Mapping[str, Decimal]) -> Estimate:
    """What is left of the work of each step: what was reckoned less what was spent, and in all at least a minute."""
    parts = [
        each.scaled(max(0.0, 1 - float(spent.get(step, 0)) / each.middle))
        for step, each in reckoning.minutes.items()
        if each.middle > 0
    ]
    found = add(parts)
    return found if found.middle > 1 else sure(1.0)


def _promises(days: WorkingDays, week: WeekGiven, order: Sequence[int], left: dict[int, Estimate | None]) -> dict[int, Promise]:
    queued = [
        QueuedJob(name=str(number), minutes=minutes, drying=week.drying, post=week.post)
        for number in order
        if (minutes := left[number]) is not None
    ]
    return {int(one.job.name): one for one in promises(days, queued)}


def _line(
    days: WorkingDays, line: JobLine, minutes: Estimate | None, promise: Promise | None, before: Promise | None, promised: date | None
) -> QueueLine:
    kept = begun = None
    if promise is not None and promised is not None:
        try:
            kept, begun = chance(days, promise, promised), begin_by(days, promise, promised)
        except Refusal:
            kept, begun = None, None
    return QueueLine(
        line=line,
        minutes=minutes,
        promise=promise,
        promised=promised,
        chance=kept,
        begin_by=begun,
        moves=(promise.promised - before.promised).days if promise and before else 0,
    )


def keep_order(store: Store, *, order: Sequence[int], saving: str, now: datetime) -> None:
    """Keep an order of the jobs."""
    with store.writing() as session:
        if presses.claim(session, act="queue.order", token=saving, given=tuple(order), now=now) is None:
            row = _row(session, now)
            row.queue = [int(number) for number in dict.fromkeys(order)][:MOST_JOBS]
            row.changed_at = now
            session.flush()


@dataclass(frozen=True, slots=True, kw_only=True)
class CanBeReady:
    """When a rug that is not begun can be ready, after all that is in the queue; ``chance`` that a day asked for is kept."""

    promise: Promise
    chance: float | None


def can_be_ready(store: Store, *, reckoning: Reckoning, asked: date | None = None, now: datetime) -> CanBeReady:
    """When a rug can be ready if it is taken last.

    Raises:
        Refusal: what ``promises`` and ``chance`` refuse.
    """
    found = queue(store, now=now)
    with store.reading() as session:
        today = today_in(session, now)
    days = days_of(found.week, today)
    waiting = [one.promise.job for one in found.lines if one.promise is not None]
    new = QueuedJob(name="new", minutes=minutes_left(reckoning, {}), drying=found.week.drying, post=found.week.post)
    promise = promises(days, [*waiting, new])[-1]
    return CanBeReady(promise=promise, chance=chance(days, promise, asked) if asked else None)


def country_of_shop(store: Store) -> str:
    """The country that the shop's locale names, as a first guess."""
    with store.reading() as session:
        return shop_in(session).locale.rpartition("_")[2][:2].upper()


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A day on which something is due.

    Attributes:
        ready: that the job of that number is promised for that day; else the offer of the quote of that number lapses after it.
        title: of the rug; may be empty.
        since: since when it is so.
    """

    ready: bool
    number: int
    title: str
    day: date
    since: datetime


def due_dates(store: Store, *, now: datetime) -> tuple[Due, ...]:
    """The days that the jobs under way are promised for, and the last days of the offers that wait for an answer."""
    with store.reading() as session:
        rows = {row.id: row for row in job_table.newest(session, states=OPEN, below=None, limit=MOST_JOBS)}
        promised = offer_table.promised_of_jobs(session, rows)
        waiting = offer_table.newest(session, state=OfferState.OFFERED.value, below=None, limit=MOST_JOBS)
        today = today_in(session, now)
        jobs = (
            Due(ready=True, number=rows[job].number, title=rows[job].name, day=day, since=since)
            for job, (day, since) in promised.items()
        )
        lapses = (
            Due(ready=False, number=quote.number, title=quote.title, day=offer.holds_until, since=offer.offered_at)
            for offer, quote, _ in waiting
            if offer.holds_until >= today
        )
        return tuple(sorted((*jobs, *lapses), key=lambda due: (due.day, not due.ready, due.number)))


def calendar_address(store: Store, *, key: bytes) -> str:
    """The secret part of the calendar's private address; empty while there is none."""
    with store.reading() as session:
        row = table.only(session)
        return _calendar_token(key, row.calendar) if row is not None and row.calendar else ""


def renew_calendar(store: Store, *, key: bytes, wanted: bool = True, saving: str, now: datetime) -> str:
    """Make a private address for the calendar, or none; the one before opens nothing any more. Gives its secret part."""
    with store.writing() as session:
        if presses.claim(session, act="queue.calendar", token=saving, given=wanted, now=now) is None:
            row = _row(session, now)
            row.calendar = fresh_secret() if wanted else ""
            row.changed_at = now
            session.flush()
        row = _row(session, now)
        return _calendar_token(key, row.calendar) if row.calendar else ""


def _calendar_token(key: bytes, secret: str) -> str:
    return secret_part(key, to="calendar", secret=secret)


def due_dates_for(store: Store, *, token: str, key: bytes, now: datetime) -> tuple[Due, ...]:
    """The due dates for whoever has the private address.

    Raises:
        NotFound: ``calendar.unknown`` for any that is not, or not any more, the shop's.
    """
    if not is_the_same(calendar_address(store, key=key), token):
        raise NotFound(Problem("calendar.unknown"))
    return due_dates(store, now=now)
