"""What the shop learns from beside its jobs: quick measurements, records set aside with a reason, and how long a pace holds.

Measurements are only added; one that was a mistake is struck out and stays. A record is set aside by its key, as often as
the weaver likes, and each time is a row of its own.
"""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any, Final

from sqlalchemy import CheckConstraint, ForeignKey, Index, Row, Select, func, select, text
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import BIG_ID, Base, Document, Id, Key, OnlyRow
from shop.store.fabric import Piece
from shop.store.job import Job
from shop.store.job_record import JobMeasure
from shop.store.ledger import JobCloth, Movement
from shop.store.loom import LoomRow
from shop.store.numbering import Counter
from shop.store.order_money import TimeEntry
from shop.store.reservation import LoomMark

_ASIDE: Final = text("restored_at IS NULL")
PACE: Final = "pace"
"""The series in which the setting of paces is counted."""


class QuickMeasure(Base):
    """A counted inch, a timed row, a warp measured on the loom and off it.

    Attributes:
        what: the number of the trade that it tells.
        loom_id: the loom; ``None`` for what stands by a tool.
        tool: strips were cut with; empty for what stands by a loom.
        told: what was counted, as it was told.
        value: what it came to; ``size`` of the row, the warp or the edges.
        kind: of cloth; empty where it does not matter or is not known.
        piece_id: the cloth, where it was one of the shelf.
        struck_at: when it was struck out as a mistake.
    """

    __tablename__ = "measurement"
    __table_args__ = (
        CheckConstraint("(loom_id IS NULL) = (tool <> '')", name="place"),
        Index("ix_measurement_what", "what", "id"),
    )

    id: Mapped[Id]
    what: Mapped[Key]
    loom_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(LoomRow.id))
    tool: Mapped[Key]
    told: Mapped[Document]
    value: Mapped[Decimal]
    size: Mapped[Decimal]
    kind: Mapped[Key]
    piece_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Piece.id))
    on: Mapped[date]
    at: Mapped[datetime]
    struck_at: Mapped[datetime | None]


class EvidenceAside(Base):
    """A record that does not count, and why.

    Attributes:
        key: of the record.
        restored_at: when it was taken in again.
    """

    __tablename__ = "evidence_aside"
    __table_args__ = (
        Index("uq_evidence_aside_now", "key", unique=True, sqlite_where=_ASIDE, postgresql_where=_ASIDE),
    )

    id: Mapped[Id]
    key: Mapped[Key]
    reason: Mapped[str]
    at: Mapped[datetime]
    restored_at: Mapped[datetime | None]


class LearningHabit(Base):
    """How the shop learns. One row.

    Attributes:
        half_life: days after which a record of the weaver's pace counts half; ``None`` for never.
        revision: goes up with each change.
    """

    __tablename__ = "learning_habit"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        CheckConstraint("half_life BETWEEN 30 AND 36500", name="half_life"),
    )

    id: Mapped[OnlyRow]
    half_life: Mapped[int | None]
    revision: Mapped[int]


def habit(session: Session, *, lock: bool = False) -> LearningHabit | None:
    """How the shop learns, if it has set that."""
    return session.get(LearningHabit, 1, with_for_update=lock or None)


def measurement_by_id(session: Session, measurement_id: int) -> QuickMeasure | None:
    """The measurement of that id, locked so that it is struck out once."""
    return session.get(QuickMeasure, measurement_id, with_for_update=True)


def measurements(session: Session, *, limit: int) -> Sequence[tuple[QuickMeasure, int | None]]:
    """The newest measurements that are not struck out, each with the number of its piece."""
    found = (
        select(QuickMeasure, Piece.number)
        .outerjoin(Piece, Piece.id == QuickMeasure.piece_id)
        .where(QuickMeasure.struck_at.is_(None))
        .order_by(QuickMeasure.id.desc())
        .limit(limit)
    )
    return [(one, number) for one, number in session.execute(found)]


def aside_now(session: Session) -> dict[str, str]:
    """The records that do not count, by key, and why."""
    found = select(EvidenceAside.key, EvidenceAside.reason).where(EvidenceAside.restored_at.is_(None))
    return {key: value for key, value in session.execute(found)}  # noqa: C416 - a row is no pair to mypy


def aside_of(session: Session, key: str) -> EvidenceAside | None:
    """The row that sets a record aside now."""
    found = select(EvidenceAside).where(EvidenceAside.key == key, EvidenceAside.restored_at.is_(None))
    return session.execute(found.with_for_update()).scalar_one_or_none()


def newest_jobs(session: Session, *, limit: int) -> Sequence[Row[Any]]:
    """The newest jobs, without what their quotes described."""
    columns = (Job.id, Job.number, Job.name, Job.state, Job.begun_at, Job.ended_at, Job.revision)
    return session.execute(select(*columns).order_by(Job.number.desc()).limit(limit)).all()


def marks_of(session: Session, job_ids: Collection[int]) -> dict[int, int]:
    """The rows of these jobs' rugs that are woven, by their newest marks."""
    newest = select(func.max(LoomMark.id)).where(LoomMark.job_id.in_(job_ids)).group_by(LoomMark.job_id)
    found = select(LoomMark.job_id, LoomMark.rows).where(LoomMark.id.in_(newest))
    return {key: value for key, value in session.execute(found)}  # noqa: C416 - a row is no pair to mypy


def cloth_in(session: Session, job_ids: Collection[int]) -> Sequence[Row[Any]]:
    """The cloth that lies in these jobs and their rugs: job, number, kind, width and length of the piece, and the share of it."""
    found = (
        select(
            JobCloth.job_id,
            Piece.number,
            Piece.cloth,
            Piece.width,
            Piece.length,
            (JobCloth.share + JobCloth.rug_share).label("share"),
        )
        .join(Piece, Piece.id == JobCloth.piece_id)
        .where(JobCloth.job_id.in_(job_ids), Piece.yarn == "", JobCloth.share + JobCloth.rug_share > 0)
        .order_by(JobCloth.job_id, Piece.number)
    )
    return session.execute(found).all()


def standing_of(session: Session, *, limit: int) -> tuple[int, ...]:
    """A mark of all that is learned from: it differs after every act that changes any of it, and never comes again.

    Rows that are only added are told by their newest id, those that may be struck out by how many are, the others by their
    revisions, which only rise. Each is a step along an index, or a sum over few rows.
    """
    return tuple(int(value or 0) for value in session.execute(_standing(limit)).one())


@cache
def _standing(limit: int) -> Select[Any]:
    """The one query for that, put together once."""
    newest = select(Job.number, Job.revision).order_by(Job.number.desc()).limit(limit).subquery()
    told: tuple[Select[Any], ...] = (
        select(func.max(newest.c.number)),
        select(func.sum(newest.c.revision)),
        select(func.max(LoomMark.id)),
        select(func.max(Movement.id)),
        select(func.max(TimeEntry.id)),
        select(func.count()).where(TimeEntry.minutes.is_(None)),
        select(func.count()).where(TimeEntry.struck_at.is_not(None)),
        select(func.max(JobMeasure.id)),
        select(func.count()).where(JobMeasure.struck_at.is_not(None)),
        select(func.sum(Piece.revision)).where(Piece.revision > 1),
        select(func.max(QuickMeasure.id)),
        select(func.count()).where(QuickMeasure.struck_at.is_not(None)),
        select(func.max(EvidenceAside.id)),
        select(func.count()).where(EvidenceAside.restored_at.is_not(None)),
        select(func.sum(LoomRow.revision)),
        select(func.sum(LearningHabit.revision)),
        select(func.max(Counter.last)).where(Counter.series == PACE),
    )
    return select(*(one.scalar_subquery() for one in told))
