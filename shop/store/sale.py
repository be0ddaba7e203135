"""Sales looked up: by number, of a rug, of an outlet; which sale of a rug stands, and what it brought."""

from collections.abc import Collection, Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from shop.core.money import Money
from shop.store.till import Sale, SaleLine


def by_number(session: Session, number: int, *, lock: bool = False) -> Sale | None:
    """The sale of that number."""
    found = select(Sale).where(Sale.number == number)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def lines_of(session: Session, sale_ids: Collection[int]) -> Sequence[SaleLine]:
    """The lines of these sales, in order."""
    if not sale_ids:
        return ()
    found = select(SaleLine).where(SaleLine.sale_id.in_(sale_ids)).order_by(SaleLine.sale_id, SaleLine.place)
    return session.execute(found).scalars().all()


def of_rug(session: Session, rug_id: int) -> Sequence[Sale]:
    """The sales that have had a rug, undone ones too, oldest first."""
    of_it = select(SaleLine.sale_id).where(SaleLine.rug_id == rug_id)
    return session.execute(select(Sale).where(Sale.id.in_(of_it)).order_by(Sale.id)).scalars().all()


def standing_of_rug(session: Session, rug_id: int, *, but: int) -> tuple[Sale, SaleLine] | None:
    """The first sale of a rug that is not undone, another than that of the id ``but``, with its line."""
    found = (
        select(Sale, SaleLine)
        .join(SaleLine, SaleLine.sale_id == Sale.id)
        .where(SaleLine.rug_id == rug_id, Sale.undone_at.is_(None), Sale.id != but)
        .order_by(Sale.id, SaleLine.place)
        .limit(1)
    )
    row = session.execute(found).first()
    return None if row is None else (row[0], row[1])


def brought_by(session: Session, rug_ids: Collection[int]) -> dict[int, Money]:
    """What each of these rugs brought in the sale that stands; the first, where two have the same rug. Asks nothing of none."""
    if not rug_ids:
        return {}
    found = (
        select(SaleLine.rug_id, SaleLine.price, Sale.currency)
        .join(Sale, SaleLine.sale_id == Sale.id)
        .where(SaleLine.rug_id.in_(rug_ids), Sale.undone_at.is_(None))
        .order_by(Sale.id.desc(), SaleLine.place.desc())
    )
    return {rug: Money(price, currency) for rug, price, currency in session.execute(found)}


def of_outlet(session: Session, outlet_id: int, *, limit: int) -> Sequence[Sale]:
    """The newest sales of an outlet, undone ones too."""
    found = select(Sale).where(Sale.outlet_id == outlet_id).order_by(Sale.id.desc()).limit(limit)
    return session.execute(found).scalars().all()


def sums_of_outlet(session: Session, outlet_id: int) -> tuple[int, int, int]:
    """How many sales of an outlet stand, what they brought, and what it kept of that."""
    found = select(
        func.count(Sale.id), func.coalesce(func.sum(Sale.total), 0), func.coalesce(func.sum(Sale.outlet_share), 0)
    ).where(Sale.outlet_id == outlet_id, Sale.undone_at.is_(None))
    count, brought, kept = session.execute(found).one()
    return int(count), int(brought), int(kept)
