"""What is remembered of a job on its own page: the newest notes, its photographs, and what its rug measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.store.engine import Store
from shop.usecases.job import job_in
from shop.usecases.job_note import Notes, notes_in
from shop.usecases.job_photograph import PhotographLine, photographs_in
from shop.usecases.measuring import Measures, measures_in

NEWEST: Final = 5
"""Notes that stand on the page of a job; the rest stand on a page of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRecord:
    """What is remembered of a job."""

    notes: Notes
    photographs: tuple[PhotographLine, ...]
    measures: Measures


def record(store: Store, *, job: int) -> JobRecord:
    """What is remembered of a job; the same few queries however much it is.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        return JobRecord(
            notes=notes_in(session, row, limit=NEWEST),
            photographs=photographs_in(session, row),
            measures=measures_in(session, row),
        )
