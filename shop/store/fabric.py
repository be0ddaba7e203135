"""Cloth: hauls brought home, their pieces, and what became of each piece.

What is left of a piece is never written down. It is the sum of the piece's movements, which are only ever added
to: a mistake is mended by a second movement that names the first and undoes it.
"""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, select, text
from sqlalchemy.orm import Mapped, Session, mapped_column, relationship

from shop.core.measure import Length, Weight
from shop.store.base import BIG_ID, Base, Document, Id, Key, Minor
from shop.store.types import LARGEST

WHOLE: Final = 10**9
"""A whole piece, in the parts that a movement counts."""
MOST_AT_ONCE: Final = 500
BROUGHT_HOME: Final = "brought home"
REVERSED: Final = "reversed"
STATE_KINDS: Final = ("set aside to wash", "ready")
OUT_KINDS: Final = ("used up", "given away")


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
    """A piece of cloth as it came home.

    Attributes:
        number: what its label says.
        name_key: its name made for comparing and searching.
        cloth: the kind of cloth, such as ``sheeting``; empty when unknown.
        fibres: ``[fibre, share as text]`` pairs; empty when unknown.
        width: usable width, hems and selvedges cut off; ``length`` likewise.
        weight: on a scale; ``None`` when not weighed.
        grams_per_m2: what its kind of cloth usually weighs, where it was not weighed.
        tears: its tear test; ``None`` when not tried.
        paid: the price on it; its full cost is its first movement's.
    """

    __tablename__ = "piece"
    __table_args__ = (
        CheckConstraint("width > 0 AND length > 0", name="size"),
        CheckConstraint("weight > 0", name="weight"),
        CheckConstraint("paid >= 0", name="paid"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    haul_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Haul.id), index=True)
    name: Mapped[str]
    name_key: Mapped[Key]
    cloth: Mapped[Key]
    colour: Mapped[Key]
    fibres: Mapped[Document]
    width: Mapped[Length]
    length: Mapped[Length]
    weight: Mapped[Weight | None]
    grams_per_m2: Mapped[Decimal | None]
    tears: Mapped[bool | None]
    paid: Mapped[Minor]
    haul: Mapped[Haul] = relationship(back_populates="pieces")


class Movement(Base):
    """Something that happened to a piece. Never changed, never removed.

    Attributes:
        kind: ``brought home``, ``set aside to wash``, ``ready``, ``used up``, ``given away``, or ``reversed``.
        share: parts of the piece that came (positive) or went (negative), in billionths of the whole.
        cost: what came or went with it, in the smallest coin.
        reverses_id: the movement that this one undoes.
    """

    __tablename__ = "movement"
    __table_args__ = (
        CheckConstraint(
            "kind IN ('brought home', 'set aside to wash', 'ready', 'used up', 'given away', 'reversed')",
            name="kind",
        ),
        CheckConstraint("(kind = 'reversed') = (reverses_id IS NOT NULL)", name="reverses"),
        Index(
            "uq_movement_brought_home_once",
            "piece_id",
            unique=True,
            sqlite_where=text("kind = 'brought home'"),
            postgresql_where=text("kind = 'brought home'"),
        ),
        Index("ix_movement_piece_id", "piece_id", "id"),
    )

    id: Mapped[Id]
    piece_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Piece.id))
    kind: Mapped[Key]
    share: Mapped[int] = mapped_column(BigInteger)
    cost: Mapped[Minor]
    at: Mapped[datetime]
    reverses_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("movement.id"), unique=True)
    note: Mapped[str]


def piece_by_number(session: Session, number: int, *, lock: bool = False) -> Piece | None:
    """The piece of that number; locked, so that two cannot use the same cloth at once, if so asked."""
    found = select(Piece).where(Piece.number == number)
    return session.execute(found.with_for_update() if lock else found).scalar_one_or_none()


def pieces_by_number(session: Session, numbers: Collection[int]) -> Sequence[Piece]:
    """The pieces of these numbers, newest first; numbers that no piece has are passed over."""
    wanted = sorted(number for number in numbers if 0 < number <= LARGEST)[:MOST_AT_ONCE]
    found = select(Piece).where(Piece.number.in_(wanted)).order_by(Piece.number.desc())
    return session.execute(found).scalars().all()


def movement_by_id(session: Session, movement_id: int) -> Movement | None:
    """The movement of that number."""
    return session.get(Movement, movement_id)


def haul_by_id(session: Session, haul_id: int) -> Haul | None:
    """The haul of that number."""
    return session.get(Haul, haul_id)


def hauls_of(session: Session, haul_ids: set[int]) -> dict[int, Haul]:
    """Hauls by their numbers."""
    rows = session.execute(select(Haul).where(Haul.id.in_(haul_ids))).scalars()
    return {haul.id: haul for haul in rows}


def pieces_of_haul(session: Session, haul_id: int) -> Sequence[Piece]:
    """The pieces of a haul, in order."""
    return session.execute(select(Piece).where(Piece.haul_id == haul_id).order_by(Piece.id)).scalars().all()


def movements_of(session: Session, piece_ids: Sequence[int]) -> dict[int, list[Movement]]:
    """The movements of each piece, oldest first."""
    by_piece: dict[int, list[Movement]] = {piece_id: [] for piece_id in piece_ids}
    found = select(Movement).where(Movement.piece_id.in_(piece_ids)).order_by(Movement.id)
    for movement in session.execute(found).scalars():
        by_piece[movement.piece_id].append(movement)
    return by_piece


def standing(movements: Sequence[Movement]) -> list[Movement]:
    """The movements that still hold: neither undone nor undoing."""
    undone = {movement.reverses_id for movement in movements}
    return [one for one in movements if one.id not in undone and one.reverses_id is None]
