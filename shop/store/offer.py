"""Offers: a quote as it was offered to a customer, frozen; and what became of each."""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from typing import Final

from sqlalchemy import (
    CheckConstraint,
    ForeignKey,
    Index,
    LargeBinary,
    UniqueConstraint,
    exists,
    func,
    or_,
    select,
    text,
)
from sqlalchemy.orm import Mapped, Session, aliased, deferred, mapped_column

from shop.core.measure import Length
from shop.core.order import OfferState
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.customer import Customer
from shop.store.job import Job
from shop.store.quote import Quote

STATES: Final = tuple(state.value for state in OfferState)
_OFFERED: Final = text("state = 'offered'")


class Offer(Base):
    """An offer.

    Attributes:
        revision: of the quote's offers the first, the second and so on.
        content: everything that the customer reads, as finished text; never changed. ``digest`` of it.
        described: the rug as it was described and chosen; ``figures`` what it came to.
        paper: the PDF; taken away when the customer is erased.
        secret: what the private link is made from; ``link`` a digest of the link itself, by which it is found.
        holds_until: the last day that it can be accepted; ``promised`` the day by which the rug is to be ready.
        closed_at: when it was answered or withdrawn; ``said`` the name or the word that was typed then.
        job_id: the job that came of it.
    """

    __tablename__ = "offer"
    __table_args__ = (
        CheckConstraint(f"state IN ({', '.join(repr(state) for state in STATES)})", name="state"),
        CheckConstraint("(state = 'offered') = (closed_at IS NULL)", name="closed"),
        UniqueConstraint("quote_id", "revision"),
        UniqueConstraint("link"),
        Index("ix_offer_open", "holds_until", sqlite_where=_OFFERED, postgresql_where=_OFFERED),
        Index("uq_offer_one_open", "quote_id", unique=True, sqlite_where=_OFFERED, postgresql_where=_OFFERED),
    )

    id: Mapped[Id]
    quote_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Quote.id))
    customer_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Customer.id), index=True)
    revision: Mapped[int]
    state: Mapped[Key]
    content: Mapped[Document]
    digest: Mapped[Key]
    described: Mapped[Document]
    figures: Mapped[Document]
    paper: Mapped[bytes | None] = deferred(mapped_column(LargeBinary))
    stripes: Mapped[Document]
    width: Mapped[Length]
    length: Mapped[Length]
    asking: Mapped[Minor]
    total: Mapped[Minor]
    deposit: Mapped[Minor]
    currency: Mapped[Key]
    secret: Mapped[Key]
    link: Mapped[Key]
    holds_until: Mapped[date]
    promised: Mapped[date | None]
    offered_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]
    said: Mapped[str]
    job_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Job.id), index=True)


class Question(Base):
    """What a customer asked on the page of an offer."""

    __tablename__ = "question"

    id: Mapped[Id]
    offer_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Offer.id), index=True)
    words: Mapped[str]
    at: Mapped[datetime]


def by_id(session: Session, offer_id: int, *, lock: bool = False) -> Offer | None:
    """The offer of that id."""
    found = select(Offer).where(Offer.id == offer_id)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def by_link(session: Session, link: str, *, lock: bool = False) -> Offer | None:
    """The offer that a private link opens, by the link's digest."""
    found = select(Offer).where(Offer.link == link)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def of_quote(session: Session, quote_id: int, *, lock: bool = False) -> Sequence[Offer]:
    """The offers of a quote, newest first."""
    found = select(Offer).where(Offer.quote_id == quote_id).order_by(Offer.revision.desc())
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalars().all()


def newest_of_quote(session: Session, quote_id: int, *, limit: int) -> Sequence[Offer]:
    """The newest offers of a quote, newest first."""
    found = select(Offer).where(Offer.quote_id == quote_id).order_by(Offer.revision.desc()).limit(limit)
    return session.execute(found).scalars().all()


def newest_of_quotes(session: Session, quote_ids: Collection[int]) -> dict[int, tuple[OfferState, date]]:
    """Of each of these quotes that was ever offered: the newest offer's state as it is kept, and until when it holds."""
    if not quote_ids:
        return {}
    last = select(Offer.quote_id, func.max(Offer.revision).label("last")).where(Offer.quote_id.in_(quote_ids)).group_by(Offer.quote_id).subquery()
    found = select(Offer.quote_id, Offer.state, Offer.holds_until).join(
        last, (last.c.quote_id == Offer.quote_id) & (last.c.last == Offer.revision)
    )
    return {quote: (OfferState(state), until) for quote, state, until in session.execute(found)}


def newest(session: Session, *, state: str | None, below: int | None, limit: int) -> Sequence[tuple[Offer, Quote, Customer]]:
    """Offers by falling id, with their quotes and customers."""
    found = select(Offer, Quote, Customer).join(Quote, Quote.id == Offer.quote_id).join(Customer, Customer.id == Offer.customer_id)
    if state is not None:
        found = found.where(Offer.state == state)
    if below is not None:
        found = found.where(Offer.id < below)
    rows = session.execute(found.order_by(Offer.id.desc()).limit(limit))
    return [(offer, quote, customer) for offer, quote, customer in rows]


def declined_since(session: Session, since: datetime, *, among: int, limit: int) -> Sequence[tuple[Offer, Quote, Customer]]:
    """Of the newest offers those that were declined since then and not followed by another offer, by falling id."""
    newest_ids = select(Offer.id).order_by(Offer.id.desc()).limit(among)
    later = aliased(Offer)
    found = (
        select(Offer, Quote, Customer)
        .join(Quote, Quote.id == Offer.quote_id)
        .join(Customer, Customer.id == Offer.customer_id)
        .where(Offer.id.in_(newest_ids), Offer.state == OfferState.DECLINED.value, Offer.closed_at >= since)
        .where(~exists().where(later.quote_id == Offer.quote_id, later.revision > Offer.revision))
    )
    return [(offer, quote, customer) for offer, quote, customer in session.execute(found.order_by(Offer.id.desc()).limit(limit))]


def of_customer(session: Session, customer_id: int, *, limit: int) -> Sequence[tuple[Offer, Quote]]:
    """A customer's offers, newest first."""
    found = select(Offer, Quote).join(Quote, Quote.id == Offer.quote_id).where(Offer.customer_id == customer_id)
    return [(offer, quote) for offer, quote in session.execute(found.order_by(Offer.id.desc()).limit(limit))]


def jobs_of_customer(session: Session, customer_id: int, *, lock: bool = False) -> Sequence[Job]:
    """A customer's jobs, oldest first: those that came of their offers, and those begun from their quotes without one."""
    theirs = select(Offer.job_id).where(Offer.customer_id == customer_id, Offer.job_id.is_not(None))
    quotes = select(Offer.quote_id).where(Offer.customer_id == customer_id)
    of_an_offer = exists().where(Offer.job_id == Job.id)
    found = select(Job).where(or_(Job.id.in_(theirs), Job.quote_id.in_(quotes) & ~of_an_offer)).order_by(Job.id)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalars().all()


def questions_of(session: Session, offer_id: int) -> Sequence[Question]:
    """What was asked of an offer, oldest first."""
    found = select(Question).where(Question.offer_id == offer_id).order_by(Question.id).limit(200)
    return session.execute(found).scalars().all()


def of_job(session: Session, job_id: int) -> Offer | None:
    """The offer that a job came of."""
    return session.execute(select(Offer).where(Offer.job_id == job_id)).scalar_one_or_none()


def promised_of_jobs(session: Session, job_ids: Collection[int]) -> dict[int, tuple[date, datetime]]:
    """Of each of these jobs whose customer was promised a day: that day, and when it was agreed."""
    found = select(Offer.job_id, Offer.promised, Offer.closed_at).where(
        Offer.job_id.in_(job_ids), Offer.promised.is_not(None), Offer.closed_at.is_not(None)
    )
    return {job: (day, at) for job, day, at in session.execute(found)}


def deposits_of_jobs(session: Session, job_ids: Collection[int]) -> list[tuple[int, int, str]]:
    """Of each of these jobs that came of an offer: the job, the deposit that was agreed in minor units, and its currency."""
    found = select(Offer.job_id, Offer.deposit, Offer.currency).where(Offer.job_id.in_(job_ids)).order_by(Offer.job_id)
    return [(job, deposit, currency) for job, deposit, currency in session.execute(found)]


def asked_about(session: Session, offer_ids: Collection[int]) -> set[int]:
    """Which of these offers a customer has asked something about."""
    return set(session.execute(select(Question.offer_id).where(Question.offer_id.in_(offer_ids)).distinct()).scalars())
