"""Requests for money: what was asked of a customer for a job, on which day, and when it was last sent."""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from typing import Final

from sqlalchemy import CheckConstraint, ForeignKey, LargeBinary, UniqueConstraint, func, select
from sqlalchemy.orm import Mapped, Session, deferred, mapped_column

from shop.core.money_request import Asked
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.job import Job

WHATS: Final = tuple(one.value for one in Asked)


class MoneyRequest(Base):
    """A request; what it says is frozen once it is written.

    Attributes:
        nth: how manieth of its job, from 1.
        what: the deposit or the balance.
        amount: asked for, so that ``to_reach`` has come in all.
        due: the day by which it is to be paid.
        content: what it says, as finished text, and ``pdf`` the same on paper; both are taken away with the customer's name.
        sent_at: when it was last sent, as far as anybody said.
    """

    __tablename__ = "money_request"
    __table_args__ = (
        CheckConstraint(f"what IN ({', '.join(repr(what) for what in WHATS)})", name="what"),
        CheckConstraint("amount > 0 AND to_reach >= amount", name="amount"),
        UniqueConstraint("job_id", "nth"),
    )

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    nth: Mapped[int]
    what: Mapped[Key]
    amount: Mapped[Minor]
    to_reach: Mapped[Minor]
    currency: Mapped[Key]
    due: Mapped[date]
    content: Mapped[Document]
    pdf: Mapped[bytes | None] = deferred(mapped_column(LargeBinary))
    on: Mapped[date]
    at: Mapped[datetime]
    sent_at: Mapped[datetime | None]


def of_job(session: Session, job_id: int) -> Sequence[MoneyRequest]:
    """The requests of a job, oldest first."""
    found = select(MoneyRequest).where(MoneyRequest.job_id == job_id).order_by(MoneyRequest.nth)
    return session.execute(found).scalars().all()


def of_jobs(session: Session, job_ids: Collection[int]) -> Sequence[MoneyRequest]:
    """The requests of these jobs."""
    found = select(MoneyRequest).where(MoneyRequest.job_id.in_(job_ids))
    return session.execute(found.order_by(MoneyRequest.id)).scalars().all()


def newest_of_jobs(session: Session, job_ids: Collection[int], what: Asked) -> dict[int, tuple[date, datetime | None]]:
    """Of each of these jobs of which this was ever asked: the day of the newest such request, and when it was last sent."""
    last = (
        select(MoneyRequest.job_id, func.max(MoneyRequest.nth).label("last"))
        .where(MoneyRequest.job_id.in_(job_ids), MoneyRequest.what == what.value)
        .group_by(MoneyRequest.job_id)
        .subquery()
    )
    found = select(MoneyRequest.job_id, MoneyRequest.on, MoneyRequest.sent_at).join(
        last, (last.c.job_id == MoneyRequest.job_id) & (last.c.last == MoneyRequest.nth)
    )
    return {job: (on, sent_at) for job, on, sent_at in session.execute(found)}
