"""What is remembered of a job beside its cloth, its time and its money: notes, photographs, and what its rug measured.

Notes and measures are only added: what was written down by mistake is struck out, and stays. Photographs come and go.
"""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Final

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint, func, select, text, update
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.measure import Length, Weight
from shop.store.base import BIG_ID, Base, Id
from shop.store.job import Job
from shop.store.photograph import KeptPicture

_STANDS: Final = text("stands")
_STRUCK: Final = text("struck_at IS NOT NULL")


class JobNote(Base):
    """A note that was made at the loom.

    Attributes:
        at: when it was made.
        struck_at: when it was struck out as a mistake.
    """

    __tablename__ = "job_note"
    __table_args__ = (Index("ix_job_note_job_id", "job_id", "id"),)

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    words: Mapped[str]
    at: Mapped[datetime]
    struck_at: Mapped[datetime | None]


class JobPhotograph(KeptPicture, Base):
    """A photograph of a job's rug, on its way or done; the same picture once for each job.

    Attributes:
        words: a few, about what is seen.
        stands: it was chosen to stand for the rug; where none was, the first does.
    """

    __tablename__ = "job_photograph"
    __table_args__ = (
        UniqueConstraint("job_id", "digest"),
        Index("uq_job_photograph_stands", "job_id", unique=True, sqlite_where=_STANDS, postgresql_where=_STANDS),
    )

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    words: Mapped[str]
    stands: Mapped[bool]


class JobMeasure(Base):
    """What a rug measured and weighed off the loom, at one time; the newest that is not struck out counts.

    Attributes:
        weight: ``None`` where it was not weighed.
        at: when it was written down.
        struck_at: when it was struck out as a mistake.
    """

    __tablename__ = "job_measure"
    __table_args__ = (
        CheckConstraint("width > 0 AND length > 0 AND weight > 0", name="size"),
        Index("ix_job_measure_job_id", "job_id", "id"),
        Index("ix_job_measure_struck", "id", sqlite_where=_STRUCK, postgresql_where=_STRUCK),
    )

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    width: Mapped[Length]
    length: Mapped[Length]
    weight: Mapped[Weight | None]
    at: Mapped[datetime]
    struck_at: Mapped[datetime | None]


def notes_of(session: Session, job_id: int, *, below: int | None = None, limit: int) -> Sequence[JobNote]:
    """The notes of a job, newest first, struck ones too, from where the page before ended."""
    found = select(JobNote).where(JobNote.job_id == job_id)
    if below is not None:
        found = found.where(JobNote.id < below)
    return session.execute(found.order_by(JobNote.id.desc()).limit(limit)).scalars().all()


def notes_of_jobs(session: Session, job_ids: Collection[int]) -> Sequence[JobNote]:
    """All notes of these jobs, oldest first."""
    return session.execute(select(JobNote).where(JobNote.job_id.in_(job_ids)).order_by(JobNote.id)).scalars().all()


def photographs_of(session: Session, job_ids: Collection[int]) -> Sequence[JobPhotograph]:
    """The photographs of these jobs, oldest first; loads no picture."""
    found = select(JobPhotograph).where(JobPhotograph.job_id.in_(job_ids))
    return session.execute(found.order_by(JobPhotograph.job_id, JobPhotograph.id)).scalars().all()


def standing(photographs: Sequence[JobPhotograph]) -> JobPhotograph | None:
    """Of the photographs of one job, oldest first: the one that stands for the rug."""
    return next((one for one in photographs if one.stands), photographs[0] if photographs else None)


def measures_of(session: Session, job_id: int) -> Sequence[JobMeasure]:
    """What a job's rug measured, newest first, struck ones too."""
    found = select(JobMeasure).where(JobMeasure.job_id == job_id)
    return session.execute(found.order_by(JobMeasure.id.desc())).scalars().all()


def measured(session: Session, job_ids: Collection[int]) -> dict[int, JobMeasure]:
    """What counts of what these jobs' rugs measured, where they were."""
    newest = (
        select(func.max(JobMeasure.id))
        .where(JobMeasure.job_id.in_(job_ids), JobMeasure.struck_at.is_(None))
        .group_by(JobMeasure.job_id)
    )
    found = session.execute(select(JobMeasure).where(JobMeasure.id.in_(newest))).scalars()
    return {one.job_id: one for one in found}


def forget_words(session: Session, job_ids: Collection[int], *, note: str) -> None:
    """Take the words out of the notes and from under the photographs of these jobs; ``note`` is what then stands there."""
    session.execute(update(JobNote).where(JobNote.job_id.in_(job_ids)).values(words=note))
    session.execute(update(JobPhotograph).where(JobPhotograph.job_id.in_(job_ids)).values(words=""))
