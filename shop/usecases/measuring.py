"""A job's rug off the loom: what it measures and weighs, beside what was planned.

Each measuring is a row of its own. A correction is a newer one, a mistake is struck out, and all of it stays to be seen.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.loom import LONGEST, WIDEST, Size
from shop.core.measure import Length, Weight
from shop.store import job as job_table
from shop.store import job_record as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.job import CALLED_OFF, JobLine, job_in, lines_in
from shop.usecases.rug_of_job import RugOfJob, rug_of

SMALLEST: Final = Length.of(1, "cm")
HEAVIEST: Final = Weight.of(1000, "kg")
FAR_OFF: Final = 0.25
"""Of what was planned: a measure that differs by more is looked at again, since it may be a slip of the hand."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What a rug measures and weighs; ``weight`` is ``None`` where it was not weighed."""

    size: Size
    weight: Weight | None = None


@dataclass(frozen=True, slots=True)
class Planned:
    """What a rug was to measure and to weigh, in grams."""

    size: Size
    grams: float


@dataclass(frozen=True, slots=True)
class MeasureLine:
    """A measuring as it was written down; ``struck`` when it was a mistake, ``counts`` when it is the one that counts."""

    id: int
    measured: Measured
    at: datetime
    struck: bool
    counts: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """What a rug measured.

    Attributes:
        planned: what it was to be; ``None`` for a job without a quote.
        measured: what counts; ``None`` until it was measured.
        lines: every time that it was, newest first.
    """

    planned: Planned | None
    measured: Measured | None
    lines: tuple[MeasureLine, ...]

    @property
    def far_off(self) -> bool:
        """Whether a measure is so far from what was planned that it may be a slip."""
        if self.planned is None or self.measured is None:
            return False
        size, weight = self.measured.size, self.measured.weight
        pairs = [
            (size.width.metres, self.planned.size.width.metres),
            (size.length.metres, self.planned.size.length.metres),
            (weight.grams if weight else self.planned.grams, self.planned.grams),
        ]
        return any(abs(real - planned) > FAR_OFF * planned for real, planned in pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class JobMeasures:
    """A job and what its rug measured; ``can_be_measured`` unless it was called off."""

    line: JobLine
    measures: Measures

    @property
    def can_be_measured(self) -> bool:
        """Whether there is, or will be, a rug to measure."""
        return self.line.state != CALLED_OFF


def measures(store: Store, *, job: int) -> JobMeasures:
    """What a job's rug measured, beside what was planned.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        return JobMeasures(line=lines_in(session, [row])[0], measures=measures_in(session, row))


def measures_in(session: Session, row: job_table.Job) -> Measures:
    """What a job's rug measured, as part of another use case."""
    rows = table.measures_of(session, row.id)
    counts = next((one for one in rows if one.struck_at is None), None)
    return Measures(
        planned=_planned(row),
        measured=read(counts) if counts else None,
        lines=tuple(MeasureLine(one.id, read(one), one.at, one.struck_at is not None, one is counts) for one in rows),
    )


def read(row: table.JobMeasure) -> Measured:
    """A measuring as it was kept."""
    return Measured(Size(row.width, row.length), row.weight)


def measured_in(session: Session, row: job_table.Job) -> Measured | None:
    """What counts of what a job's rug measured, as part of another use case; ``None`` until it was measured."""
    found = table.measured(session, [row.id]).get(row.id)
    return read(found) if found else None


def measured(store: Store, *, job: int) -> Measured | None:
    """What a job's rug measures and weighs; ``None`` until it was measured.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        return measured_in(session, job_in(session, job))


def planned_of(rug: RugOfJob) -> Planned:
    """What a rug was to measure and to weigh."""
    return Planned(rug.reckoning.made.size, rug.reckoning.weight.middle)


def _planned(row: job_table.Job) -> Planned | None:
    """The same of a job; none where it can no longer be read, which keeps nobody from measuring."""
    try:
        rug = rug_of(row)
    except Refusal:
        return None
    return planned_of(rug) if rug else None


def measure(store: Store, *, job: int, measured: Measured, saving: str, now: datetime) -> None:
    """Write down what a rug measures and weighs; what was written down before stays in the record.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``length.small`` or ``length.most`` at ``width`` or ``length``; ``weight.zero`` or ``weight.most`` at
            ``weight``; ``job.no_rug`` when the job was called off.
    """
    given = Given()
    given.length("width", measured.size.width, SMALLEST, WIDEST)
    given.length("length", measured.size.length, SMALLEST, LONGEST)
    given.weight("weight", measured.weight, HEAVIEST)
    given.done()
    with store.writing() as session:
        row = job_in(session, job, lock="stay")
        told = {"width": measured.size.width, "length": measured.size.length, "weight": measured.weight}
        if presses.claim(session, act=f"measure.{row.id}", token=saving, given=told, now=now) is None:
            if row.state == CALLED_OFF:
                raise Refusal(Problem("job.no_rug", values={"number": job}))
            size = measured.size
            session.add(
                table.JobMeasure(
                    job_id=row.id,
                    width=size.width,
                    length=size.length,
                    weight=measured.weight,
                    at=now,
                    struck_at=None,
                )
            )


def strike(store: Store, *, job: int, measure: int, saving: str, now: datetime) -> None:
    """Strike a measuring out that was a mistake; it stays in the record, and the one before it counts again.

    Raises:
        NotFound: ``job.unknown``, ``measure.unknown``.
        Clash: ``measure.struck`` when it is struck out already.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"measure.strike.{row.id}.{measure}", token=saving, given=None, now=now) is None:
            found = session.get(table.JobMeasure, measure) if is_number_of_a_row(measure) else None
            if found is None or found.job_id != row.id:
                raise NotFound(Problem("measure.unknown"))
            if found.struck_at is not None:
                raise Clash(Problem("measure.struck"))
            found.struck_at = now
