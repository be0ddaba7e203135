"""Time spent on a job: a clock that runs however often the phone is closed, or minutes typed in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.hours import STEPS
from shop.core.spread import Estimate
from shop.store import job as job_table
from shop.store import order_money as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.job import JobLine, job_in, lines_in
from shop.usecases.rug_of_job import rug_of

LONGEST: Final = Decimal(24 * 60)
"""Minutes after which a clock was forgotten: it has to be corrected by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeLine:
    """Time that was spent; ``minutes`` is ``None`` while the clock runs."""

    id: int
    step: str
    begun_at: datetime
    minutes: Decimal | None
    by_clock: bool
    note: str
    struck: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobTime:
    """The time of a job.

    Attributes:
        running: the clock that runs, if one does.
        lines: what was spent, newest first.
        spent: minutes by step, struck ones left out.
        planned: minutes by step as they were reckoned; nothing for a job without a quote.
    """

    line: JobLine
    running: TimeLine | None
    lines: tuple[TimeLine, ...]
    spent: dict[str, Decimal]
    planned: dict[str, Estimate]


def time_of(store: Store, *, job: int) -> JobTime:
    """The time of a job.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        return time_in(session, job_in(session, job))


def time_in(session: Session, row: job_table.Job) -> JobTime:
    """The time of a job, as part of another use case."""
    entries = [_line(one) for one in table.times_of(session, row.id)]
    spent = dict.fromkeys(STEPS, Decimal(0))
    for one in entries:
        if one.minutes is not None and not one.struck:
            spent[one.step] += one.minutes
    rug = rug_of(row)
    return JobTime(
        line=lines_in(session, [row])[0],
        running=next((one for one in entries if one.minutes is None), None),
        lines=tuple(reversed(entries)),
        spent=spent,
        planned=dict(rug.reckoning.minutes) if rug else {},
    )


def _line(one: table.TimeEntry) -> TimeLine:
    return TimeLine(
        id=one.id,
        step=one.step,
        begun_at=one.begun_at,
        minutes=one.minutes,
        by_clock=one.by_clock,
        note=one.note,
        struck=one.struck_at is not None,
    )


def _takes_time(row: job_table.Job) -> None:
    if row.state in ("handed over", "called off"):
        raise Refusal(Problem("job.closed", values={"number": row.number}))


def start(store: Store, *, job: int, step: str, saving: str, now: datetime) -> JobTime:
    """Start the clock on a step; if it runs on another step, that ends here.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.closed``; ``choice.unknown`` at ``step``.
    """
    _known(step)
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"clock.start.{row.id}", token=saving, given=step, now=now) is None:
            _takes_time(row)
            running = table.running_of(session, row.id)
            if running is not None:
                _stop(running, now)
                session.flush()
            session.add(
                table.TimeEntry(
                    job_id=row.id, step=step, begun_at=now, minutes=None, by_clock=True, note="", struck_at=None
                )
            )
            session.flush()
        return time_in(session, row)


def stop(store: Store, *, job: int, saving: str, now: datetime) -> JobTime:
    """Stop the clock.

    Raises:
        NotFound: ``job.unknown``.
        Clash: ``clock.stopped`` when none runs.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"clock.stop.{row.id}", token=saving, given=None, now=now) is None:
            running = table.running_of(session, row.id)
            if running is None:
                raise Clash(Problem("clock.stopped"))
            _stop(running, now)
            session.flush()
        return time_in(session, row)


def _stop(running: table.TimeEntry, now: datetime) -> None:
    seconds = Decimal(str((now - running.begun_at).total_seconds()))
    running.minutes = round(min(LONGEST, max(Decimal(0), seconds / 60)), 2)


def type_in(
    store: Store, *, job: int, step: str, minutes: Decimal, note: str = "", saving: str, now: datetime
) -> JobTime:
    """Write minutes down that no clock measured.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.closed``; ``choice.unknown`` at ``step``; ``number.range`` at ``minutes``; ``text.long`` at ``note``.
    """
    given = Given()
    said = given.line("note", note)
    given.choice("step", step, STEPS)
    if not 0 < minutes <= 100_000:
        given.note("number.range", "minutes", text=str(minutes)[:24], least=0, most=100_000)
    given.done()
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        told = {"step": step, "minutes": minutes, "note": said}
        if presses.claim(session, act=f"clock.type.{row.id}", token=saving, given=told, now=now) is None:
            _takes_time(row)
            session.add(
                table.TimeEntry(
                    job_id=row.id,
                    step=step,
                    begun_at=now,
                    minutes=round(minutes, 2),
                    by_clock=False,
                    note=said,
                    struck_at=None,
                )
            )
            session.flush()
        return time_in(session, row)


def strike(store: Store, *, job: int, entry: int, saving: str, now: datetime) -> JobTime:
    """Strike time out that was written down by mistake; it stays in the record and counts no more.

    Raises:
        NotFound: ``job.unknown``, ``time.unknown``.
        Clash: ``time.struck`` when it is struck out already, or still runs.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"clock.strike.{row.id}.{entry}", token=saving, given=None, now=now) is None:
            found = session.get(table.TimeEntry, entry) if is_number_of_a_row(entry) else None
            if found is None or found.job_id != row.id:
                raise NotFound(Problem("time.unknown"))
            if found.struck_at is not None or found.minutes is None:
                raise Clash(Problem("time.struck"))
            found.struck_at = now
            session.flush()
        return time_in(session, row)


def _known(step: str) -> None:
    given = Given()
    given.choice("step", step, STEPS)
    given.done()
