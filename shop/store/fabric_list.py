"""Lists and counts of cloth: in hand, waiting to be washed, or gone, newest first."""

from collections.abc import Sequence
from typing import Final

from sqlalchemy import ColumnElement, Select, and_, func, select
from sqlalchemy.orm import Session

from shop.store.fabric import Piece

SHOWN: Final = ("in hand", "to wash", "ready", "gone", "all")


_CHOSEN: Final[dict[str, ColumnElement[bool]]] = {
    "in hand": Piece.left > 0,
    "to wash": and_(Piece.left > 0, Piece.state == "set aside to wash"),
    "ready": and_(Piece.left > 0, Piece.state == "ready"),
    "gone": Piece.left == 0,
}


def _pieces(which: str, words: Sequence[str], *, cloth_only: bool = False) -> Select[tuple[Piece]]:
    found = select(Piece)
    if which != "all":
        found = found.where(_CHOSEN[which])
    if cloth_only:
        found = found.where(Piece.yarn == "")
    for word in words:
        found = found.where(Piece.name_key.contains(word, autoescape=True))
    return found


def newest(
    session: Session,
    *,
    which: str,
    words: Sequence[str],
    below: int | None,
    limit: int,
    cloth_only: bool = False,
) -> Sequence[Piece]:
    """Pieces by falling number.

    Args:
        session: to read with.
        which: ``in hand``, ``to wash``, ``ready``, ``gone`` or ``all``.
        words: folded words that the name must hold, every one.
        below: only numbers below this, where the page before ended.
        limit: at most so many.
        cloth_only: without cones of yarn.
    """
    found = _pieces(which, words, cloth_only=cloth_only)
    if below is not None:
        found = found.where(Piece.number < below)
    return session.execute(found.order_by(Piece.number.desc()).limit(limit)).scalars().all()


def by_colour(session: Session, *, limit: int) -> Sequence[Piece]:
    """What is ready to be drawn, in the order of its colours."""
    ready = select(Piece).where(Piece.left > 0, Piece.state == "ready")
    return session.execute(ready.order_by(Piece.shade, Piece.number).limit(limit)).scalars().all()


def count(session: Session, *, which: str, most: int) -> int:
    """How many pieces there are, counting no further than ``most``."""
    some = _pieces(which, ()).with_only_columns(Piece.id).limit(most).subquery()
    return session.execute(select(func.count()).select_from(some)).scalar_one()
