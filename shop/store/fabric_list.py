"""Lists and counts of cloth: in hand, waiting to be washed, or gone, newest first."""

from collections.abc import Sequence
from functools import cache
from typing import Final

from sqlalchemy import ColumnElement, Select, and_, exists, func, select
from sqlalchemy.orm import Session, aliased

from shop.store.fabric import STATE_KINDS, Movement, Piece

SHOWN: Final = ("in hand", "to wash", "ready", "gone", "all")


def _left() -> ColumnElement[int]:
    mine = select(func.coalesce(func.sum(Movement.share), 0)).where(Movement.piece_id == Piece.id)
    return mine.scalar_subquery()


def _last_state() -> ColumnElement[str]:
    """The last time that a piece was set aside or found ready, unless that was undone."""
    undoing = aliased(Movement)
    undone = exists(select(undoing.id).where(undoing.reverses_id == Movement.id))
    last = select(Movement.kind).where(Movement.piece_id == Piece.id, Movement.kind.in_(STATE_KINDS), ~undone)
    return last.order_by(Movement.id.desc()).limit(1).scalar_subquery()


@cache
def _chosen(which: str) -> ColumnElement[bool]:
    if which == "gone":
        return _left() == 0
    if which == "to wash":
        return and_(_left() > 0, _last_state() == "set aside to wash")
    if which == "ready":
        return and_(_left() > 0, _last_state() == "ready")
    return _left() > 0


def _pieces(which: str, words: Sequence[str]) -> Select[tuple[Piece]]:
    found = select(Piece)
    if which != "all":
        found = found.where(_chosen(which))
    for word in words:
        found = found.where(Piece.name_key.contains(word, autoescape=True))
    return found


def newest(
    session: Session, *, which: str, words: Sequence[str], below: int | None, limit: int
) -> Sequence[Piece]:
    """Pieces by falling number.

    Args:
        session: to read with.
        which: ``in hand``, ``to wash``, ``ready``, ``gone`` or ``all``.
        words: folded words that the name must hold, every one.
        below: only numbers below this, where the page before ended.
        limit: at most so many.
    """
    found = _pieces(which, words)
    if below is not None:
        found = found.where(Piece.number < below)
    return session.execute(found.order_by(Piece.number.desc()).limit(limit)).scalars().all()


def count(session: Session, *, which: str, most: int) -> int:
    """How many pieces there are, counting no further than ``most``."""
    some = _pieces(which, ()).with_only_columns(Piece.id).limit(most).subquery()
    return session.execute(select(func.count()).select_from(some)).scalar_one()
