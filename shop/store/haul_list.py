"""The list of hauls, newest day first, with how many pieces each brought home and what they cost together."""

from collections.abc import Collection, Sequence
from datetime import date

from sqlalchemy import Date, func, literal, select, tuple_
from sqlalchemy.orm import Session

from shop.store.fabric import Haul, Piece

Place = tuple[date, int]
"""Where in the list: the day and the id of a haul."""


def newest(session: Session, *, after: Place | None, limit: int) -> Sequence[Haul]:
    """Hauls by falling day, from where the page before ended."""
    found = select(Haul)
    if after is not None:
        found = found.where(tuple_(Haul.on, Haul.id) < tuple_(literal(after[0], Date()), after[1]))
    return session.execute(found.order_by(Haul.on.desc(), Haul.id.desc()).limit(limit)).scalars().all()


def came_home(session: Session, haul_ids: Sequence[int]) -> dict[int, tuple[int, int]]:
    """How many pieces each of these hauls brought home, and their cost in the smallest coin."""
    counted = (
        select(Piece.haul_id, func.count(), func.sum(Piece.came))
        .where(Piece.haul_id.in_(haul_ids), Piece.parent_id.is_(None))
        .group_by(Piece.haul_id)
    )
    return {haul_id: (count, int(cost)) for haul_id, count, cost in session.execute(counted)}


def of_days(session: Session, days: Collection[date]) -> Sequence[Haul]:
    """The hauls of these days, oldest first."""
    return session.execute(select(Haul).where(Haul.on.in_(days)).order_by(Haul.id)).scalars().all()
