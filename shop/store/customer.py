"""Customers: who asks for rugs, and how to reach them."""

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import BIG_ID, Base, Id, Key
from shop.store.folding import words_of

STATES: Final = ("known", "merged", "erased")


class Customer(Base):
    """A customer.

    Attributes:
        number: by which they are called; never used again.
        contact: telephone or anything else; ``mail`` an address for letters by e-mail.
        search_text: the folded words of it all, each with a space before it.
        state: ``merged`` into another, ``erased`` when the person asked for it; such are not found any more.
        merged_into_id: the customer that it was merged into.
    """

    __tablename__ = "customer"
    __table_args__ = (
        CheckConstraint(f"state IN ({', '.join(repr(state) for state in STATES)})", name="state"),
        CheckConstraint("(state = 'merged') = (merged_into_id IS NOT NULL)", name="merged"),
        Index("ix_customer_known", "state", "number"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    name: Mapped[str]
    mail: Mapped[str]
    contact: Mapped[str]
    address: Mapped[str]
    note: Mapped[str]
    search_text: Mapped[Key]
    state: Mapped[Key]
    merged_into_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("customer.id"), index=True)
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]
    revision: Mapped[int]


def by_number(session: Session, number: int, *, lock: bool = False) -> Customer | None:
    """The customer of that number."""
    found = select(Customer).where(Customer.number == number)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def by_ids(session: Session, ids: set[int]) -> dict[int, Customer]:
    """Customers by their ids; asks nothing where none is wanted."""
    if not ids:
        return {}
    return {one.id: one for one in session.execute(select(Customer).where(Customer.id.in_(ids))).scalars()}


def merged_into(session: Session, ids: set[int]) -> Sequence[Customer]:
    """The entries that were merged into these, and into those in turn."""
    found: dict[int, Customer] = {}
    asked = ids
    while asked:
        rows = session.execute(select(Customer).where(Customer.merged_into_id.in_(asked)).order_by(Customer.id)).scalars()
        new = {one.id: one for one in rows if one.id not in found}
        found |= new
        asked = set(new)
    return list(found.values())


def search_text(*texts: str) -> str:
    """The words of these texts as they are searched."""
    return "".join(f" {word}" for word in words_of(" ".join(texts)))


def newest(session: Session, *, words: Sequence[str], below: int | None, limit: int) -> Sequence[Customer]:
    """Known customers by falling number, whose words begin with those looked for."""
    found = select(Customer).where(Customer.state == "known")
    for word in words:
        found = found.where(Customer.search_text.contains(f" {word}", autoescape=True))
    if below is not None:
        found = found.where(Customer.number < below)
    return session.execute(found.order_by(Customer.number.desc()).limit(limit)).scalars().all()
