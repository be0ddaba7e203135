"""What stands beside the movements and has to agree with them, read a few rows at a time to be proved."""

from collections.abc import Iterator
from typing import Any

from sqlalchemy import Row, func, select
from sqlalchemy.orm import Session

from shop.store.fabric import Haul, Piece
from shop.store.ledger import JobCloth

_AT_ONCE = {"yield_per": 2000}


def pieces(session: Session) -> Iterator[Row[Any]]:
    """Of every piece: id, haul_id, parent_id, paid, came, later, left, left_cost, state."""
    columns = (
        Piece.id,
        Piece.haul_id,
        Piece.parent_id,
        Piece.paid,
        Piece.came,
        Piece.later,
        Piece.left,
        Piece.left_cost,
        Piece.state,
    )
    yield from session.execute(select(*columns).order_by(Piece.id).execution_options(**_AT_ONCE))


def job_cloths(session: Session) -> Iterator[Row[Any]]:
    """Of every piece in a job: job_id, piece_id, share, cost, rug_share, rug_cost."""
    columns = (
        JobCloth.job_id,
        JobCloth.piece_id,
        JobCloth.share,
        JobCloth.cost,
        JobCloth.rug_share,
        JobCloth.rug_cost,
    )
    ordered = select(*columns).order_by(JobCloth.job_id, JobCloth.piece_id)
    yield from session.execute(ordered.execution_options(**_AT_ONCE))


def hauls(session: Session) -> Iterator[Row[Any]]:
    """Of every haul: id, tax, discount, washing, trip."""
    columns = (Haul.id, Haul.tax, Haul.discount, Haul.washing, Haul.trip)
    yield from session.execute(select(*columns).order_by(Haul.id).execution_options(**_AT_ONCE))


def count_pieces(session: Session) -> int:
    """How many pieces there are."""
    return session.execute(select(func.count()).select_from(Piece)).scalar_one()
