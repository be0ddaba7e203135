"""A rug off the loom, as whoever sells it needs to know it: its measures, its weight, and the photograph that stands for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.core.measure import Length, Weight
from shop.store import job as job_table
from shop.store import job_record as table
from shop.store.engine import Session, Store
from shop.usecases.job import job_in


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedRug:
    """A finished rug.

    Attributes:
        job: the number of the job that it was woven in; ``name`` what it is called.
        width: as measured off the loom, as ``length``; ``None`` until it was measured.
        weight: on the scale; ``None`` until it was weighed.
        photograph: the id of the one that stands for it, ``digest`` of its picture; ``None`` and empty without one.
    """

    job: int
    name: str
    width: Length | None
    length: Length | None
    weight: Weight | None
    photograph: int | None
    digest: str


def finished_rug(store: Store, *, job: int) -> FinishedRug:
    """The rug of a job as it came off the loom.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        return finished_in(session, [job_in(session, job)])[0]


def finished_in(session: Session, jobs: Sequence[job_table.Job]) -> tuple[FinishedRug, ...]:
    """The rugs of some jobs, as part of another use case; two queries however many there are, and no picture is loaded."""
    ids = [job.id for job in jobs]
    measured = table.measured(session, ids)
    seen: dict[int, list[table.JobPhotograph]] = {}
    for one in table.photographs_of(session, ids):
        seen.setdefault(one.job_id, []).append(one)
    return tuple(_finished(job, measured.get(job.id), table.standing(seen.get(job.id, []))) for job in jobs)


def _finished(
    job: job_table.Job, measured: table.JobMeasure | None, photograph: table.JobPhotograph | None
) -> FinishedRug:
    return FinishedRug(
        job=job.number,
        name=job.name,
        width=measured.width if measured else None,
        length=measured.length if measured else None,
        weight=measured.weight if measured else None,
        photograph=photograph.id if photograph else None,
        digest=photograph.digest if photograph else "",
    )
