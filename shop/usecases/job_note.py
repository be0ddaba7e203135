"""Notes of a job: made at the loom with their day, newest first; a mistake is struck out and stays in the record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem
from shop.store import job as job_table
from shop.store import job_record as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.job import JobLine, job_in, lines_in

PAGE: Final = 30


@dataclass(frozen=True, slots=True)
class NoteLine:
    """A note; ``struck`` when it was a mistake."""

    id: int
    words: str
    at: datetime
    struck: bool


@dataclass(frozen=True, slots=True)
class Notes:
    """Some of a job's notes, newest first; ``further`` is where the next ones begin, if there are more."""

    notes: tuple[NoteLine, ...]
    further: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobNotes:
    """A job and a page of its notes."""

    line: JobLine
    page: Notes


def notes(store: Store, *, job: int, below: int | None = None, limit: int = PAGE) -> JobNotes:
    """A page of a job's notes.

    Args:
        store: the shop's database.
        job: the number of the job.
        below: ``further`` of the page before.
        limit: notes on a page.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        return JobNotes(line=lines_in(session, [row])[0], page=notes_in(session, row, below=below, limit=limit))


def notes_in(session: Session, row: job_table.Job, *, below: int | None = None, limit: int = PAGE) -> Notes:
    """A page of a job's notes, as part of another use case."""
    if below is not None and not is_number_of_a_row(below):
        below = None
    rows = table.notes_of(session, row.id, below=below, limit=limit + 1)
    page = tuple(NoteLine(one.id, one.words, one.at, one.struck_at is not None) for one in rows[:limit])
    return Notes(page, page[-1].id if len(rows) > limit else None)


def add(store: Store, *, job: int, words: str, saving: str, now: datetime) -> None:
    """Make a note; of any job, done and handed over too.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``text.missing``, ``text.long`` or ``text.control`` at ``words``.
    """
    given = Given()
    said = given.block("words", words)
    if not said and not given.problems:
        given.note("text.missing", "words")
    given.done()
    with store.writing() as session:
        row = job_in(session, job)
        if presses.claim(session, act=f"note.add.{row.id}", token=saving, given=said, now=now) is None:
            session.add(table.JobNote(job_id=row.id, words=said, at=now, struck_at=None))


def strike(store: Store, *, job: int, note: int, saving: str, now: datetime) -> None:
    """Strike a note out that was a mistake; it stays in the record.

    Raises:
        NotFound: ``job.unknown``, ``note.unknown``.
        Clash: ``note.struck`` when it is struck out already.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"note.strike.{row.id}.{note}", token=saving, given=None, now=now) is None:
            found = session.get(table.JobNote, note) if is_number_of_a_row(note) else None
            if found is None or found.job_id != row.id:
                raise NotFound(Problem("note.unknown"))
            if found.struck_at is not None:
                raise Clash(Problem("note.struck"))
            found.struck_at = now
