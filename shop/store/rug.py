"""Finished rugs that are for sale: what each cost, where it is, its price; and the shops that take some on sale or return."""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, delete, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.measure import Length, Weight
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.fair import Fair
from shop.store.job import Job
from shop.store.photograph import KeptPicture

PLACES: Final = ("home", "fair", "outlet", "sold", "gone")
"""Where a rug can be: ``gone`` is given away, lost or kept for the house."""
MOVES: Final = ("came", "packed", "sent", "back", "sold", "taken back", "gone")
_PLACES: Final = ", ".join(repr(place) for place in PLACES)
_MOVES: Final = ", ".join(repr(move) for move in MOVES)


class Outlet(Base):
    """A shop that has rugs on sale or return.

    Attributes:
        share: what it keeps of each price, as a part of one.
        closed_at: when no more is sent to it.
    """

    __tablename__ = "outlet"
    __table_args__ = (CheckConstraint("share >= 0 AND share < 1000000000", name="share"),)

    id: Mapped[Id]
    name: Mapped[str]
    contact: Mapped[str]
    note: Mapped[str]
    share: Mapped[Decimal]
    created_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]
    revision: Mapped[int]


class Rug(Base):
    """A finished rug for sale.

    Attributes:
        number: what it is called by, on its tag and its label.
        job_id: the job that it was woven as; ``None`` for one that was entered by hand.
        made_on: the day it was done.
        stripes: its drawing, as ``[[colour, share], ...]`` along its length; ``colour`` the one that stands for it, ``#rrggbb``.
        content: ``fibres`` its fibre content and ``care`` how to care for it, as finished text; empty where nobody knows.
        cloth, warp, labour, overhead, bought_in: what it cost, and the ``minutes`` of work in it.
        guessed: that cost is an estimate and no record.
        price: what it is to bring; ``None`` before anybody decided.
        place: where it is; ``fair_id`` which fair it is packed for, ``outlet_id`` which shop has it.
        search_text: the folded words of its name and note, each with a space before it.
    """

    __tablename__ = "rug"
    __table_args__ = (
        CheckConstraint(f"place IN ({_PLACES})", name="place"),
        CheckConstraint("(place = 'outlet') = (outlet_id IS NOT NULL)", name="outlet"),
        CheckConstraint("(place = 'fair') = (fair_id IS NOT NULL)", name="fair"),
        CheckConstraint(
            "cloth >= 0 AND warp >= 0 AND labour >= 0 AND overhead >= 0 AND bought_in >= 0", name="cost"
        ),
        CheckConstraint("price >= 0", name="price"),
        Index("ix_rug_place", "place", "number"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    job_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Job.id), unique=True)
    name: Mapped[str]
    note: Mapped[str]
    made_on: Mapped[date]
    width: Mapped[Length]
    length: Mapped[Length]
    weight: Mapped[Weight | None]
    stripes: Mapped[Document]
    colour: Mapped[Key]
    content: Mapped[Document]
    cloth: Mapped[Minor]
    warp: Mapped[Minor]
    labour: Mapped[Minor]
    overhead: Mapped[Minor]
    bought_in: Mapped[Minor]
    minutes: Mapped[Decimal]
    guessed: Mapped[bool]
    currency: Mapped[Key]
    price: Mapped[int | None] = mapped_column(BigInteger)
    place: Mapped[Key]
    fair_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Fair.id), index=True)
    outlet_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Outlet.id), index=True)
    search_text: Mapped[Key]
    created_at: Mapped[datetime]
    revision: Mapped[int]

    @property
    def cost(self) -> int:
        """All that it cost, in minor units."""
        return self.cloth + self.warp + self.labour + self.overhead + self.bought_in


class RugMove(Base):
    """A way that a rug went, and every price that it was given; never changed.

    Attributes:
        what: ``came`` home from the loom or entered, ``packed`` for a fair, ``sent`` to an outlet, come ``back``, ``sold``,
            ``taken back`` after a sale, ``gone``.
        sale_id: the sale, where one moved it.
    """

    __tablename__ = "rug_move"
    __table_args__ = (
        CheckConstraint(f"what IN ({_MOVES})", name="what"),
        Index("ix_rug_move_rug_id", "rug_id", "id"),
    )

    id: Mapped[Id]
    rug_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Rug.id))
    what: Mapped[Key]
    fair_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Fair.id))
    outlet_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Outlet.id))
    sale_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("sale.id"))
    note: Mapped[str]
    on: Mapped[date]
    at: Mapped[datetime]


class RugPrice(Base):
    """A price that a rug was given, so that it is known later what was asked and when; never changed."""

    __tablename__ = "rug_price"
    __table_args__ = (Index("ix_rug_price_rug_id", "rug_id", "id"),)

    id: Mapped[Id]
    rug_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Rug.id))
    price: Mapped[int | None] = mapped_column(BigInteger)
    at: Mapped[datetime]


class RugPhotograph(KeptPicture, Base):
    """The photograph of a rug: one at most; its ``thumbnail`` is small enough for a phone that keeps many."""

    __tablename__ = "rug_photograph"

    rug_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Rug.id), primary_key=True, autoincrement=False)


def by_number(session: Session, number: int) -> Rug | None:
    """The rug of that number."""
    return session.execute(select(Rug).where(Rug.number == number)).scalar_one_or_none()


def by_numbers(session: Session, numbers: Collection[int]) -> Sequence[Rug]:
    """The rugs of these numbers, in the order of their numbers."""
    if not numbers:
        return ()
    return session.execute(select(Rug).where(Rug.number.in_(numbers)).order_by(Rug.number)).scalars().all()


def by_ids(session: Session, ids: Collection[int]) -> Sequence[Rug]:
    """These rugs, in the order of their numbers; asks nothing where none is wanted."""
    if not ids:
        return ()
    return session.execute(select(Rug).where(Rug.id.in_(ids)).order_by(Rug.number)).scalars().all()


def of_job(session: Session, job_id: int) -> Rug | None:
    """The rug that a job was woven as, where it is one for sale."""
    return session.execute(select(Rug).where(Rug.job_id == job_id)).scalar_one_or_none()


def locked(session: Session, ids: Collection[int]) -> Sequence[Rug]:
    """These rugs, each locked until the end of the transaction in the order of their ids, and read anew."""
    found = select(Rug).where(Rug.id.in_(ids)).order_by(Rug.id).with_for_update()
    return session.execute(found.execution_options(populate_existing=True)).scalars().all()


def moves_of(session: Session, rug_id: int) -> Sequence[RugMove]:
    """The ways that a rug went, oldest first."""
    return session.execute(select(RugMove).where(RugMove.rug_id == rug_id).order_by(RugMove.id)).scalars().all()


def prices_of(session: Session, rug_id: int) -> Sequence[RugPrice]:
    """The prices that a rug was given, oldest first."""
    return session.execute(select(RugPrice).where(RugPrice.rug_id == rug_id).order_by(RugPrice.id)).scalars().all()


def remove(session: Session, rug: Rug) -> None:
    """A rug that has gone nowhere is none for sale after all: nothing of it stays."""
    for of_it in (RugMove, RugPrice, RugPhotograph):
        session.execute(delete(of_it).where(of_it.rug_id == rug.id))
    session.delete(rug)
    session.flush()


def photograph_of(session: Session, rug_id: int) -> RugPhotograph | None:
    """The photograph of a rug; its pictures are loaded when they are looked at."""
    return session.get(RugPhotograph, rug_id)


def remove_photograph(session: Session, rug_id: int) -> None:
    """Take the photograph of a rug away, if there is one."""
    session.execute(delete(RugPhotograph).where(RugPhotograph.rug_id == rug_id))


def digests_of(session: Session, rug_ids: Collection[int]) -> dict[int, str]:
    """Of those of these rugs that have one, the digest of their photograph; loads no picture."""
    if not rug_ids:
        return {}
    found = select(RugPhotograph.rug_id, RugPhotograph.digest).where(RugPhotograph.rug_id.in_(rug_ids))
    return {row.rug_id: row.digest for row in session.execute(found)}


def outlet_by_id(session: Session, outlet_id: int, *, lock: bool = False) -> Outlet | None:
    """The outlet of that id."""
    return session.get(Outlet, outlet_id, with_for_update=lock or None, populate_existing=lock)
