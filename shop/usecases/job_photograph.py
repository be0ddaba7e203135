"""Photographs of a job's rug: several, each with a few words; one of them stands for the rug."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal
from shop.store import job as job_table
from shop.store import job_record as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.developing import developed
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.job import JobLine, job_in, lines_in
from shop.usecases.picture import Shown

MOST: Final = 12
"""Photographs that a job may have: enough to tell of a rug, and few enough for a copy of the shop to stay small."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographLine:
    """A photograph without its picture.

    Attributes:
        digest: of the picture, by which browsers keep it; ``width`` and ``height`` are its points.
        words: a few, about what is seen.
        stands: it stands for the rug.
    """

    id: int
    digest: str
    width: int
    height: int
    words: str
    at: datetime
    stands: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPhotographs:
    """A job and its photographs, oldest first."""

    line: JobLine
    photographs: tuple[PhotographLine, ...]


def photographs(store: Store, *, job: int) -> JobPhotographs:
    """The photographs of a job; loads no picture.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        return JobPhotographs(line=lines_in(session, [row])[0], photographs=photographs_in(session, row))


def photographs_in(session: Session, row: job_table.Job) -> tuple[PhotographLine, ...]:
    """The photographs of a job, as part of another use case."""
    return lines_of(table.photographs_of(session, [row.id]))


def lines_of(found: Sequence[table.JobPhotograph]) -> tuple[PhotographLine, ...]:
    """Photographs of one job, oldest first, as lines."""
    standing = table.standing(found)
    return tuple(
        PhotographLine(
            id=one.id,
            digest=one.digest,
            width=one.width,
            height=one.height,
            words=one.words,
            at=one.at,
            stands=one is standing,
        )
        for one in found
    )


def put_up(store: Store, *, job: int, content: bytes, words: str = "", saving: str, now: datetime) -> int:
    """Add a photograph to a job; gives its id.

    Args:
        store: the shop's database.
        job: the number of the job.
        content: the file as it came from the phone.
        words: a few, about what is seen.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: as ``shop.usecases.developing.developed``, and ``photograph.many`` or ``photograph.twice``, at
            ``photograph``; ``text.long`` or ``text.control`` at ``words``.
    """
    given = Given()
    said = given.line("words", words)
    try:
        picture = developed(content)
    except Refusal as refusal:
        raise Refusal(*given.problems, *refusal.problems) from None
    given.done()
    digest = hashlib.sha256(picture.image).hexdigest()[:32]
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act, told = f"job_photograph.put_up.{row.id}", {"file": content, "words": said}
        earlier = presses.claim(session, act=act, token=saving, given=told, now=now)
        if earlier is not None:
            return earlier
        there = table.photographs_of(session, [row.id])
        if any(one.digest == digest for one in there):
            given.note("photograph.twice", "photograph")
        elif len(there) >= MOST:
            given.note("photograph.many", "photograph", most=MOST)
        given.done()
        made = table.JobPhotograph(
            job_id=row.id,
            words=said,
            stands=False,
            image=picture.image,
            thumbnail=picture.thumbnail,
            width=picture.width,
            height=picture.height,
            digest=digest,
            at=now,
        )
        session.add(made)
        session.flush()
        presses.settle(session, act=act, token=saving, about=made.id)
        return made.id


def reword(store: Store, *, job: int, photograph: int, words: str, saving: str, now: datetime) -> None:
    """Say something else about a photograph.

    Raises:
        NotFound: ``job.unknown``, ``photograph.unknown``.
        Refusal: ``text.long`` or ``text.control`` at ``words``.
    """
    given = Given()
    said = given.line("words", words)
    given.done()
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"job_photograph.reword.{row.id}.{photograph}"
        if presses.claim(session, act=act, token=saving, given=said, now=now) is None:
            _found(session, row, photograph).words = said


def choose(store: Store, *, job: int, photograph: int, saving: str, now: datetime) -> None:
    """This one stands for the rug.

    Raises:
        NotFound: ``job.unknown``, ``photograph.unknown``.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"job_photograph.choose.{row.id}.{photograph}"
        if presses.claim(session, act=act, token=saving, given=None, now=now) is None:
            chosen = _found(session, row, photograph)
            for one in table.photographs_of(session, [row.id]):
                one.stands = False
            session.flush()  # two never stand at once
            chosen.stands = True


def take_away(store: Store, *, job: int, photograph: int, saving: str, now: datetime) -> None:
    """Take a photograph away; if it stood for the rug, the first that is left does.

    Raises:
        NotFound: ``job.unknown``, ``photograph.unknown``.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"job_photograph.take_away.{row.id}.{photograph}"
        if presses.claim(session, act=act, token=saving, given=None, now=now) is None:
            session.delete(_found(session, row, photograph))


def shown(store: Store, *, job: int, photograph: int, small: bool) -> Shown:
    """A photograph itself, or the small one.

    Raises:
        NotFound: ``job.unknown``, ``photograph.unknown``.
    """
    with store.reading() as session:
        row = _found(session, job_in(session, job), photograph)
        return Shown(row.thumbnail if small else row.image, row.digest)


def _found(session: Session, row: job_table.Job, photograph: int) -> table.JobPhotograph:
    found = session.get(table.JobPhotograph, photograph) if is_number_of_a_row(photograph) else None
    if found is None or found.job_id != row.id:
        raise NotFound(Problem("photograph.unknown"))
    return found
