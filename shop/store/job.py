"""Jobs: a rug on its way through the studio, from the first cut to the finished piece."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, Select, func, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import BIG_ID, Base, Document, Id, Key
from shop.store.quote import Quote

STATES: Final = (
    "waiting",
    "cutting",
    "warping",
    "weaving",
    "finishing",
    "ready",
    "handed over",
    "called off",
)
OPEN: Final = STATES[:5]
"""The states in which a job still takes cloth."""
_NAMES: Final = ", ".join(f"'{state}'" for state in STATES)


class Job(Base):
    """A job.

    Attributes:
        number: what it is called by.
        quote_id: the quote that it was begun from.
        described: the rug as that quote described it on that day, and what was chosen for it; ``None`` without a quote.
        ended_at: when its rug was ready, or it was called off.
        revision: goes up with each change.
    """

    __tablename__ = "job"
    __table_args__ = (
        CheckConstraint(f"state IN ({_NAMES})", name="state"),
        Index("ix_job_state", "state", "number"),
        Index("ix_job_state_begun", "state", "begun_at", "id"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    name: Mapped[str]
    note: Mapped[str]
    state: Mapped[Key]
    quote_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Quote.id), index=True)
    begun_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    revision: Mapped[int]
    described: Mapped[Document | None]


def by_number(session: Session, number: int, *, lock: str = "") -> Job | None:
    """The job of that number.

    Args:
        session: to load it in.
        number: its number.
        lock: ``stay`` so that its state stays as it is meanwhile, ``change`` to change it; else neither.
    """
    found = select(Job).where(Job.number == number)
    return session.execute(_locked(found, lock)).scalar_one_or_none()


def _locked(found: Select[tuple[Job]], lock: str) -> Select[tuple[Job]]:
    if not lock:
        return found
    return found.with_for_update(read=lock == "stay").execution_options(populate_existing=True)


def by_id(session: Session, job_id: int, *, lock: str = "") -> Job | None:
    """The job of that id; ``lock`` as in ``by_number``."""
    return session.execute(_locked(select(Job).where(Job.id == job_id), lock)).scalar_one_or_none()


def newest(session: Session, *, states: Sequence[str], below: int | None, limit: int) -> Sequence[Job]:
    """Jobs in these states by falling number, from where the page before ended."""
    found = select(Job).where(Job.state.in_(states))
    if below is not None:
        found = found.where(Job.number < below)
    return session.execute(found.order_by(Job.number.desc()).limit(limit)).scalars().all()


def of_quote(session: Session, quote_id: int) -> Sequence[Job]:
    """The jobs that were begun from a quote."""
    return session.execute(select(Job).where(Job.quote_id == quote_id).order_by(Job.number)).scalars().all()


def newest_of_quotes(session: Session, quote_ids: Collection[int]) -> dict[int, Job]:
    """Of each of these quotes that a job was begun from: the newest one."""
    if not quote_ids:
        return {}
    last = select(func.max(Job.id)).where(Job.quote_id.in_(quote_ids)).group_by(Job.quote_id)
    rows = session.execute(select(Job).where(Job.id.in_(last))).scalars()
    return {row.quote_id: row for row in rows if row.quote_id is not None}


def by_ids(session: Session, ids: set[int]) -> dict[int, Job]:
    """Jobs by their ids."""
    return {job.id: job for job in session.execute(select(Job).where(Job.id.in_(ids))).scalars()}


def quotes_begun(session: Session, quote_ids: Collection[int]) -> set[int]:
    """Which of these quotes a job was begun from."""
    return set(session.execute(select(Job.quote_id).where(Job.quote_id.in_(quote_ids))).scalars()) - {None}
