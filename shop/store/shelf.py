"""The shelf looked through by colour: swatches in the order of the eye, and filters on what they are."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import ColumnElement, Float, and_, cast, literal, select, tuple_
from sqlalchemy.orm import Session

from shop.store.fabric import Piece

ORDERS: Final = ("colour", "newest")
TEARS: Final = {"yes": True, "no": False, "untried": None}
NM: Final = 1e9


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is looked for on the shelf; what is empty or ``None`` does not matter.

    Attributes:
        state: ``in hand``, ``to wash``, ``ready`` or ``gone``.
        words: folded words that the name must hold, every one.
        colours: of which it must be one.
        fibre: that there is most of; ``unknown`` for none known.
        tears: ``yes``, ``no`` or ``untried``.
        stuff: ``cloth`` or ``yarn``.
        square_metres: that must be left of it.
    """

    state: str = "in hand"
    words: tuple[str, ...] = ()
    colours: Collection[str] | None = None
    fibre: str = ""
    tears: str = ""
    stuff: str = ""
    square_metres: float | None = None


def _conditions(wanted: Wanted) -> list[ColumnElement[bool]]:
    found: list[ColumnElement[bool]] = [Piece.left == 0 if wanted.state == "gone" else Piece.left > 0]
    if wanted.state == "to wash":
        found.append(Piece.state == "set aside to wash")
    elif wanted.state == "ready":
        found.append(Piece.state == "ready")
    found.extend(Piece.name_key.contains(word, autoescape=True) for word in wanted.words)
    if wanted.colours is not None:
        found.append(Piece.colour.in_(list(wanted.colours)))
    if wanted.fibre:
        found.append(Piece.fibre == ("" if wanted.fibre == "unknown" else wanted.fibre))
    if wanted.tears in TEARS:
        tears = TEARS[wanted.tears]
        found.append(Piece.tears.is_(None) if tears is None else Piece.tears.is_(tears))
    if wanted.stuff:
        found.append(Piece.yarn != "" if wanted.stuff == "yarn" else Piece.yarn == "")
    if wanted.square_metres is not None:
        area = cast(Piece.width, Float) / NM * cast(Piece.length, Float) / NM * cast(Piece.left, Float) / NM
        found.append(and_(Piece.yarn == "", area >= wanted.square_metres))
    return found


def by_colour(
    session: Session, *, wanted: Wanted, after: tuple[int, int] | None, limit: int
) -> Sequence[Piece]:
    """Pieces in the order of their colours, from behind the (shade, number) where the page before ended."""
    found = select(Piece).where(*_conditions(wanted))
    if after is not None:
        found = found.where(tuple_(Piece.shade, Piece.number) > tuple_(literal(after[0]), literal(after[1])))
    return session.execute(found.order_by(Piece.shade, Piece.number).limit(limit)).scalars().all()


def newest(session: Session, *, wanted: Wanted, below: int | None, limit: int) -> Sequence[Piece]:
    """Pieces by falling number."""
    found = select(Piece).where(*_conditions(wanted))
    if below is not None:
        found = found.where(Piece.number < below)
    return session.execute(found.order_by(Piece.number.desc()).limit(limit)).scalars().all()


def colours_in_hand(session: Session) -> Sequence[str]:
    """The different colours of all that is left."""
    return session.execute(select(Piece.colour).where(Piece.left > 0).distinct()).scalars().all()
