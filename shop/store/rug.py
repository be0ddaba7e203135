"""Finished rugs that are for sale: what each cost, where it is, its price; and the shops that take some on sale or return."""

from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, LargeBinary
from sqlalchemy.orm import Mapped, deferred, mapped_column

from shop.core.measure import Length, Weight
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.fair import Fair
from shop.store.job import Job

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
        content: its fibre content, care and cautions as finished text by name; empty where nobody knows.
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


class RugPhotograph(Base):
    """The photograph of a rug: one at most, drawn anew, small enough to travel with the database.

    Attributes:
        image: a JPEG with nothing in it but the picture; ``thumbnail`` the same, small enough for a phone that keeps many.
        digest: of ``image``, by which browsers keep it.
    """

    __tablename__ = "rug_photograph"

    rug_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Rug.id), primary_key=True, autoincrement=False)
    image: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))
    thumbnail: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))
    width: Mapped[int]
    height: Mapped[int]
    digest: Mapped[Key]
    at: Mapped[datetime]
