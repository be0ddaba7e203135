"""Cloth: hauls brought home, and their pieces.

What is left of a piece is the sum of its movements (``shop.store.ledger``), which carry it along here so that a shelf
of any size can be looked through. Nothing else changes it.
"""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, Select, select, text
from sqlalchemy.orm import Mapped, Session, mapped_column, relationship

from shop.core.measure import Length, Weight
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.types import LARGEST

MOST_AT_ONCE: Final = 500
STATES: Final = ("set aside to wash", "ready", "used up", "given away", "spoiled")
CONDITIONS: Final = ("", "as new", "good", "worn", "patchy", "stained")
_IN_HAND: Final = text('"left" > 0')
_GONE: Final = text('"left" = 0')
_CORRECTED: Final = text("revision > 1")
_TO_WASH: Final = text("state = 'set aside to wash'")


class Haul(Base):
    """Cloth bought or given at one place on one day.

    Attributes:
        spread_by: how tax, washing and trip are spread over the pieces: ``price``, ``weight``, ``area`` or
            ``evenly``. A discount always goes by price.
    """

    __tablename__ = "haul"
    __table_args__ = (
        CheckConstraint("spread_by IN ('price', 'weight', 'area', 'evenly')", name="spread_by"),
        CheckConstraint("tax >= 0 AND discount >= 0 AND washing >= 0 AND trip >= 0", name="amounts"),
        Index("ix_haul_on", "on", "id"),
    )

    id: Mapped[Id]
    place: Mapped[str]
    on: Mapped[date]
    tax: Mapped[Minor]
    discount: Mapped[Minor]
    washing: Mapped[Minor]
    trip: Mapped[Minor]
    spread_by: Mapped[Key]
    currency: Mapped[Key]
    note: Mapped[str]
    created_at: Mapped[datetime]
    pieces: Mapped[list["Piece"]] = relationship(back_populates="haul", order_by="Piece.id")


class Piece(Base):
    """A piece of cloth, or a cone of warp yarn, as it came home.

    Attributes:
        number: what its label says.
        name_key: its name made for comparing and searching.
        yarn: the count of a warp yarn, such as ``8/4``; empty for cloth.
        cloth: the kind of cloth, such as ``sheeting``; empty when unknown.
        shade: where its colour stands among all colours, to sort by.
        fibres: ``[fibre, share as text]`` pairs; empty when unknown. ``fibre``: that which there is most of.
        width: usable width, hems and selvedges cut off; nothing for yarn. ``length`` likewise; of yarn, its run.
        weight: on a scale; ``None`` when not weighed.
        grams_per_m2: what its kind of cloth usually weighs, where it was not weighed.
        tears: its tear test; ``None`` when not tried.
        condition: one of ``CONDITIONS``; ``kept``: where it lies.
        paid: the price on it.
        parent_id: the piece that it was cut from.
        came: what it cost with all that was spread over it when it came; ``later`` what was paid for it since.
        left: parts of it on the shelf, in billionths; ``left_cost`` what they cost.
        state: one of ``STATES``.
        revision: goes up when its facts are corrected.
    """

    __tablename__ = "piece"
    __table_args__ = (
        CheckConstraint(
            "(yarn = '' AND width > 0 AND length > 0)"
            " OR (yarn <> '' AND width = 0 AND length > 0 AND weight IS NOT NULL)",
            name="size",
        ),
        CheckConstraint("weight > 0", name="weight"),
        CheckConstraint("paid >= 0 AND came >= 0 AND later >= 0", name="paid"),
        CheckConstraint(
            '"left" BETWEEN 0 AND 1000000000 AND left_cost >= 0 AND ("left" > 0 OR left_cost = 0)', name="on_shelf"
        ),
        CheckConstraint(f"state IN ({', '.join(repr(state) for state in STATES)})", name="state"),
        Index("ix_piece_in_hand", "number", sqlite_where=_IN_HAND, postgresql_where=_IN_HAND),
        Index("ix_piece_by_shade", "shade", "number", sqlite_where=_IN_HAND, postgresql_where=_IN_HAND),
        Index("ix_piece_by_colour", "colour", sqlite_where=_IN_HAND, postgresql_where=_IN_HAND),
        Index("ix_piece_to_wash", "number", sqlite_where=_TO_WASH, postgresql_where=_TO_WASH),
        Index("ix_piece_corrected", "revision", sqlite_where=_CORRECTED, postgresql_where=_CORRECTED),
        Index("ix_piece_gone", "number", sqlite_where=_GONE, postgresql_where=_GONE),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    haul_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Haul.id), index=True)
    name: Mapped[str]
    name_key: Mapped[Key]
    yarn: Mapped[Key]
    cloth: Mapped[Key]
    colour: Mapped[Key]
    shade: Mapped[int] = mapped_column(BigInteger)
    fibres: Mapped[Document]
    fibre: Mapped[Key]
    width: Mapped[Length]
    length: Mapped[Length]
    weight: Mapped[Weight | None]
    grams_per_m2: Mapped[Decimal | None]
    tears: Mapped[bool | None]
    condition: Mapped[Key]
    kept: Mapped[str]
    paid: Mapped[Minor]
    parent_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("piece.id"), index=True)
    came: Mapped[Minor]
    later: Mapped[Minor]
    left: Mapped[int] = mapped_column(BigInteger)
    left_cost: Mapped[Minor]
    state: Mapped[Key]
    revision: Mapped[int]
    haul: Mapped[Haul] = relationship(back_populates="pieces")


def piece_by_number(session: Session, number: int, *, lock: bool = False) -> Piece | None:
    """The piece of that number; locked, so that two cannot use the same cloth at once, if so asked."""
    found = select(Piece).where(Piece.number == number)
    return session.execute(_locked(found) if lock else found).scalar_one_or_none()


def _locked(found: Select[tuple[Piece]]) -> Select[tuple[Piece]]:
    """Locked, and read as it is once the lock is ours, even where it was read before."""
    return found.with_for_update().execution_options(populate_existing=True)


def pieces_by_number(session: Session, numbers: Collection[int]) -> Sequence[Piece]:
    """The pieces of these numbers, newest first; numbers that no piece has are passed over."""
    wanted = sorted(number for number in numbers if 0 < number <= LARGEST)[:MOST_AT_ONCE]
    found = select(Piece).where(Piece.number.in_(wanted)).order_by(Piece.number.desc())
    return session.execute(found).scalars().all()


def haul_by_id(session: Session, haul_id: int) -> Haul | None:
    """The haul of that number."""
    return session.get(Haul, haul_id)


def hauls_of(session: Session, haul_ids: set[int]) -> dict[int, Haul]:
    """Hauls by their numbers."""
    rows = session.execute(select(Haul).where(Haul.id.in_(haul_ids))).scalars()
    return {haul.id: haul for haul in rows}


def pieces_of_haul(session: Session, haul_id: int, *, cut_ones: bool = True) -> Sequence[Piece]:
    """The pieces of a haul, in order, with those that were cut from them since or without."""
    found = select(Piece).where(Piece.haul_id == haul_id)
    if not cut_ones:
        found = found.where(Piece.parent_id.is_(None))
    return session.execute(found.order_by(Piece.id)).scalars().all()


def numbers_of(session: Session, piece_ids: set[int]) -> dict[int, int]:
    """The numbers of pieces by their ids; asks nothing where none is wanted."""
    if not piece_ids:
        return {}
    found = select(Piece.id, Piece.number).where(Piece.id.in_(piece_ids))
    return {row.id: row.number for row in session.execute(found)}


def lock_pieces_of_haul(session: Session, haul_id: int) -> Sequence[Piece]:
    """The pieces of a haul, locked, in order."""
    found = select(Piece).where(Piece.haul_id == haul_id).order_by(Piece.id)
    return session.execute(_locked(found)).scalars().all()


def lock_pieces(session: Session, piece_ids: Collection[int]) -> Sequence[Piece]:
    """These pieces, locked, in order."""
    found = select(Piece).where(Piece.id.in_(piece_ids)).order_by(Piece.id)
    return session.execute(_locked(found)).scalars().all()
