"""What happened at fairs, for those who reckon with it: what was brought at which price, what it went for, and how it was paid."""

from collections.abc import Collection, Sequence
from typing import Final, NamedTuple

from sqlalchemy import and_, func, select
from sqlalchemy.orm import Session

from shop.store.fair import Fair
from shop.store.packing import PackedRug
from shop.store.rug import Rug
from shop.store.till import Refused, Sale, SaleLine

MOST_PAST: Final = 40
"""Fairs of the past that chances are learnt from, the latest of them."""
MOST_SALES: Final = 1000
"""Sales of the past that prices are held against, the latest of them."""


class Brought(NamedTuple):
    """A rug that was packed for a fair: its price there, and whether it is still to be counted as there."""

    fair_id: int
    price: int | None
    rug: Rug


class SoldAt(NamedTuple):
    """A line of a sale that stands, at a fair."""

    fair_id: int
    sale: Sale
    line: SaleLine
    rug: Rug


def brought_to(session: Session, fair_ids: Collection[int]) -> list[Brought]:
    """Every rug that was ever packed for these fairs, by fair and number."""
    found = (
        select(PackedRug.fair_id, PackedRug.price, Rug)
        .join(Rug, Rug.id == PackedRug.rug_id)
        .where(PackedRug.fair_id.in_(fair_ids))
        .order_by(PackedRug.fair_id, Rug.number)
    )
    return [Brought(*row) for row in session.execute(found)]


def sold_at(session: Session, fair_ids: Collection[int]) -> list[SoldAt]:
    """Every line of the sales that stand of these fairs, in the order in which they were received."""
    found = (
        select(Sale.fair_id, Sale, SaleLine, Rug)
        .join(SaleLine, SaleLine.sale_id == Sale.id)
        .join(Rug, Rug.id == SaleLine.rug_id)
        .where(Sale.fair_id.in_(fair_ids), Sale.undone_at.is_(None))
        .order_by(Sale.id, SaleLine.place)
    )
    return [SoldAt(*row) for row in session.execute(found)]


def first_sales(session: Session, rug_ids: Collection[int]) -> dict[int, int]:
    """The id of the first sale that stands of each of these rugs, wherever it was."""
    found = select(SaleLine.rug_id, func.min(Sale.id)).join(Sale, Sale.id == SaleLine.sale_id)
    found = found.where(SaleLine.rug_id.in_(rug_ids), Sale.undone_at.is_(None)).group_by(SaleLine.rug_id)
    return {row[0]: row[1] for row in session.execute(found)}


def refused_at(session: Session, fair_ids: Collection[int]) -> list[tuple[int, int | None, Rug]]:
    """What nearly sold at these fairs: the fair, what was offered, the rug."""
    found = select(Refused.fair_id, Refused.offered, Rug).join(Rug, Rug.id == Refused.rug_id).where(Refused.fair_id.in_(fair_ids))
    return [(fair, offered, rug) for fair, offered, rug in session.execute(found.order_by(Refused.at, Refused.id))]


def past_fairs(session: Session, *, but: int) -> Sequence[int]:
    """The ids of the latest fairs that are over, another than this."""
    found = select(Fair.id).where(Fair.state == "over", Fair.id != but).order_by(Fair.first_on.desc(), Fair.id.desc())
    return session.execute(found.limit(MOST_PAST)).scalars().all()


def tried_at(session: Session, fair_ids: Collection[int]) -> list[tuple[int, int, int]]:
    """At these fairs, by price: how many rugs were brought at it, and how many of them were sold there."""
    sold = (
        select(Sale.fair_id, SaleLine.rug_id)
        .join(SaleLine, SaleLine.sale_id == Sale.id)
        .where(Sale.fair_id.in_(fair_ids), Sale.undone_at.is_(None))
        .distinct()
        .subquery()
    )
    found = (
        select(PackedRug.price, func.count(), func.count(sold.c.rug_id))
        .outerjoin(sold, and_(sold.c.fair_id == PackedRug.fair_id, sold.c.rug_id == PackedRug.rug_id))
        .where(PackedRug.fair_id.in_(fair_ids), PackedRug.price.is_not(None))
        .group_by(PackedRug.price)
        .order_by(PackedRug.price)
    )
    return [(int(price), int(brought), int(went)) for price, brought, went in session.execute(found) if price is not None]


def sold_before(session: Session) -> list[SoldAt]:
    """The latest lines of sales that stand, wherever the rugs went."""
    found = (
        select(func.coalesce(Sale.fair_id, 0), Sale, SaleLine, Rug)
        .join(SaleLine, SaleLine.sale_id == Sale.id)
        .join(Rug, Rug.id == SaleLine.rug_id)
        .where(Sale.undone_at.is_(None))
        .order_by(Sale.id.desc(), SaleLine.place)
    )
    return [SoldAt(*row) for row in session.execute(found.limit(MOST_SALES))]
