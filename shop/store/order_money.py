"""The money of orders: what happened to each, and the papers about it; and the time that was spent on it."""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import (
    CheckConstraint,
    ForeignKey,
    Index,
    LargeBinary,
    UniqueConstraint,
    case,
    func,
    select,
    text,
)
from sqlalchemy.orm import Mapped, Session, deferred, mapped_column

from shop.core.account_of_order import Happening
from shop.core.hours import STEPS
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.job import Job

WHATS: Final = tuple(one.value for one in Happening)
MEANS: Final = ("cash", "card", "transfer", "cheque", "other")
PAPERS: Final = ("invoice", "credit note", "receipt")
_RUNNING: Final = text("minutes IS NULL")
_STRUCK: Final = text("struck_at IS NOT NULL")


def _names(words: Sequence[str]) -> str:
    return ", ".join(repr(word) for word in words)


class OrderEvent(Base):
    """Something that happened to the money of a job; never changed. A mistake is undone by marking who undid it.

    Attributes:
        what: as ``shop.core.account_of_order.Happening``; ``amount`` its amount.
        means: how it was paid; ``reference`` what stands on the slip.
        on: the day that it counts for.
        undone_at: when it was undone; both stay in the record.
    """

    __tablename__ = "order_event"
    __table_args__ = (
        CheckConstraint(f"what IN ({_names(WHATS)})", name="what"),
        CheckConstraint(f"means IN ('', {_names(MEANS)})", name="means"),
        CheckConstraint("amount >= 0", name="amount"),
        Index("ix_order_event_job_id", "job_id", "id"),
    )

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    what: Mapped[Key]
    amount: Mapped[Minor]
    currency: Mapped[Key]
    means: Mapped[Key]
    reference: Mapped[str]
    on: Mapped[date]
    at: Mapped[datetime]
    undone_at: Mapped[datetime | None]


class Paper(Base):
    """An invoice, a credit note or a receipt; frozen once it is written.

    Attributes:
        number: without holes, by kind.
        content: what it says, as finished text; ``pdf`` the same on paper.
        of_id: of a credit note, the invoice; ``event_id`` of a receipt, the payment.
    """

    __tablename__ = "paper"
    __table_args__ = (
        CheckConstraint(f"kind IN ({_names(PAPERS)})", name="kind"),
        UniqueConstraint("kind", "number"),
        Index("ix_paper_job_id", "job_id", "id"),
    )

    id: Mapped[Id]
    kind: Mapped[Key]
    number: Mapped[int]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    content: Mapped[Document]
    pdf: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))
    total: Mapped[Minor]
    currency: Mapped[Key]
    on: Mapped[date]
    at: Mapped[datetime]
    of_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("paper.id"))
    event_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(OrderEvent.id))


class TimeEntry(Base):
    """Time spent on a step of a job: typed in, or by a clock that runs until it is stopped.

    Attributes:
        minutes: ``None`` while the clock runs.
        by_clock: it was measured and not typed.
        struck_at: when it was struck out as a mistake; it counts no more and stays in the record.
    """

    __tablename__ = "time_entry"
    __table_args__ = (
        CheckConstraint(f"step IN ({_names(STEPS)})", name="step"),
        CheckConstraint("minutes >= 0", name="minutes"),
        Index("ix_time_entry_job_id", "job_id", "id"),
        Index("ix_time_entry_begun_at", "begun_at"),
        Index("ix_time_entry_struck", "id", sqlite_where=_STRUCK, postgresql_where=_STRUCK),
        Index("uq_time_entry_running", "job_id", unique=True, sqlite_where=_RUNNING, postgresql_where=_RUNNING),
    )

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    step: Mapped[Key]
    begun_at: Mapped[datetime]
    minutes: Mapped[Decimal | None]
    by_clock: Mapped[bool]
    note: Mapped[str]
    struck_at: Mapped[datetime | None]


def events_of(session: Session, job_id: int) -> Sequence[OrderEvent]:
    """What happened to the money of a job, oldest first."""
    return session.execute(select(OrderEvent).where(OrderEvent.job_id == job_id).order_by(OrderEvent.id)).scalars().all()


def papers_of(session: Session, job_id: int) -> Sequence[Paper]:
    """The papers of a job, oldest first."""
    return session.execute(select(Paper).where(Paper.job_id == job_id).order_by(Paper.id)).scalars().all()


def papers_of_jobs(session: Session, job_ids: Collection[int]) -> Sequence[Paper]:
    """The papers of these jobs, oldest first."""
    return session.execute(select(Paper).where(Paper.job_id.in_(job_ids)).order_by(Paper.id)).scalars().all()


def paper_by_id(session: Session, paper_id: int) -> Paper | None:
    """The paper of that id."""
    return session.get(Paper, paper_id)


def times_of(session: Session, job_id: int) -> Sequence[TimeEntry]:
    """The time spent on a job, oldest first."""
    return session.execute(select(TimeEntry).where(TimeEntry.job_id == job_id).order_by(TimeEntry.id)).scalars().all()


def paid_of_jobs(session: Session, job_ids: Collection[int]) -> dict[int, int]:
    """What was paid for each of these jobs and not given back, in minor units; tips and what was undone left out."""
    sign = case((OrderEvent.what == Happening.PAYMENT.value, 1), else_=-1)
    found = (
        select(OrderEvent.job_id, func.sum(OrderEvent.amount * sign))
        .where(
            OrderEvent.job_id.in_(job_ids),
            OrderEvent.what.in_((Happening.PAYMENT.value, Happening.REFUND.value)),
            OrderEvent.undone_at.is_(None),
        )
        .group_by(OrderEvent.job_id)
    )
    return {job: int(paid) for job, paid in session.execute(found)}


def minutes_of_jobs(session: Session, job_ids: Collection[int]) -> dict[int, dict[str, Decimal]]:
    """The minutes spent on each of these jobs, by step; struck ones and a running clock left out."""
    found = (
        select(TimeEntry.job_id, TimeEntry.step, func.sum(TimeEntry.minutes))
        .where(TimeEntry.job_id.in_(job_ids), TimeEntry.struck_at.is_(None), TimeEntry.minutes.is_not(None))
        .group_by(TimeEntry.job_id, TimeEntry.step)
    )
    spent: dict[int, dict[str, Decimal]] = {}
    for job, step, minutes in session.execute(found):
        spent.setdefault(job, {})[step] = minutes
    return spent


def running_of(session: Session, job_id: int) -> TimeEntry | None:
    """The clock that runs for a job."""
    found = select(TimeEntry).where(TimeEntry.job_id == job_id, TimeEntry.minutes.is_(None))
    return session.execute(found.with_for_update()).scalar_one_or_none()


def minutes_since(session: Session, since: datetime) -> tuple[Decimal, datetime | None]:
    """All minutes begun since then, struck ones left out, and when the first of all was begun."""
    counts = (TimeEntry.struck_at.is_(None), TimeEntry.minutes.is_not(None))
    spent = select(func.sum(TimeEntry.minutes)).where(TimeEntry.begun_at >= since, *counts)
    first = select(TimeEntry.begun_at).where(*counts).order_by(TimeEntry.begun_at).limit(1)
    minutes = session.execute(spent).scalar_one_or_none()
    return minutes or Decimal(0), session.execute(first).scalar_one_or_none()
