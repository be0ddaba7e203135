"""The shelf as it was at the end of a day, summed from the movements that count for that day or an earlier one."""

from collections.abc import Sequence
from datetime import date

from sqlalchemy import ColumnElement, case, func, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from shop.core.ledger import Place
from shop.store.fabric import Piece
from shop.store.ledger import Movement

SHELF = Place.SHELF.value


def _on_shelf(what: InstrumentedAttribute[int]) -> ColumnElement[int]:
    came = case((Movement.target == SHELF, what), else_=0)
    went = case((Movement.source == SHELF, what), else_=0)
    return func.sum(came - went)


def shelf_on(
    session: Session, *, day: date, below: int | None, limit: int
) -> Sequence[tuple[Piece, int, int]]:
    """Pieces of which something lay there, by falling number, each with its parts and its cost in the smallest coin."""
    share, cost = _on_shelf(Movement.share), _on_shelf(Movement.cost)
    lay = select(Movement.piece_id, share.label("share"), cost.label("cost")).where(Movement.on <= day)
    summed = lay.group_by(Movement.piece_id).having(share > 0).subquery()
    found = select(Piece, summed.c.share, summed.c.cost).join(summed, summed.c.piece_id == Piece.id)
    if below is not None:
        found = found.where(Piece.number < below)
    rows = session.execute(found.order_by(Piece.number.desc()).limit(limit))
    return [(piece, int(parts), int(money)) for piece, parts, money in rows]
