"""Sales of rugs: written once for every place that sells, from home, by an outlet or at a fair; and undone.

A rug is sold once. Only a sale that has happened already, out of reach, is written all the same where another one has the
rug: it is marked as doubtful in both, and a person settles it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.money import Money, total
from shop.store import rug as table
from shop.store import sale as sale_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.store.till import Sale, SaleLine
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.sold_twice import settle
from shop.usecases.whereabouts import at_home


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldRug:
    """A rug in a sale to be written, by its id: what its tag said, and what it brought, without tax that comes on top."""

    rug_id: int
    asked: Money
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleCard:
    """A sale as it is kept.

    Attributes:
        number: of all sales.
        outlet, fair: the ids of where it was; neither for one from home.
        total: what was paid, with ``tax`` in it; ``outlet_share`` what the outlet keeps.
    """

    number: int
    fair: int | None
    outlet: int | None
    asked: Money
    total: Money
    tax: Money
    outlet_share: Money
    means: str
    note: str
    on: date
    undone: bool
    undone_why: str


def sell_in(
    session: Session,
    *,
    rugs: Sequence[SoldRug],
    total_paid: Money,
    tax: Money,
    rounding: Money | None = None,
    means: str,
    given: Money | None = None,
    change: Money | None = None,
    fair_id: int | None = None,
    outlet_id: int | None = None,
    entry_id: int | None = None,
    outlet_share: Money | None = None,
    mail: str = "",
    note: str = "",
    on: date,
    at: datetime,
    now: datetime,
    has_happened: bool = False,
) -> Sale:
    """Write a sale, as part of another use case; its rugs are locked here, in the order of their ids.

    Args:
        session: of the transaction.
        rugs: that were sold, in the order of the receipt.
        total_paid: what was to be paid, with tax and rounding in it.
        tax: of it.
        rounding: what cash rounding added, or took.
        means: how it was paid, of ``MEANS``.
        given: in cash.
        change: that went back.
        fair_id: the fair where it was, if it was at one.
        outlet_id: the outlet that sold it, if one did.
        entry_id: what a till's phone sent.
        outlet_share: what the outlet keeps.
        mail: where a receipt goes.
        note: in her words.
        on: the day that it counts for.
        at: when it happened.
        now: when it is written.
        has_happened: it took place already, wherever the rug was thought to be: nothing is refused. A rug that another
            sale has is marked as doubtful in both, until that is settled.

    Raises:
        Clash: unless it has happened: ``rug.sold``, ``rug.gone`` or ``rug.elsewhere`` for a rug that is not where it is sold.
        Refusal: unless it has happened: ``rug.twice`` for a rug that is named twice.
    """
    rows = {row.id: row for row in table.locked(session, {one.rug_id for one in rugs})}
    if not has_happened:
        if len(rows) < len(rugs):
            raise Refusal(Problem("rug.twice"))
        for row in rows.values():
            _is_there(row, fair_id, outlet_id)
    nothing = Money.zero(total_paid.currency)
    sale = Sale(
        number=take(session, "sale")[0],
        fair_id=fair_id,
        outlet_id=outlet_id,
        entry_id=entry_id,
        asked=total((one.asked for one in rugs), total_paid.currency).minor,
        total=total_paid.minor,
        tax=tax.minor,
        rounding=(rounding or nothing).minor,
        currency=total_paid.currency,
        means=means,
        given=(given or nothing).minor,
        change=(change or nothing).minor,
        outlet_share=(outlet_share or nothing).minor,
        mail=mail,
        note=note,
        on=on,
        at=at,
        received_at=now,
        undone_at=None,
        undone_why="",
    )
    session.add(sale)
    session.flush()
    for place, one in enumerate(rugs):
        row = rows[one.rug_id]
        session.add(
            SaleLine(
                sale_id=sale.id, place=place, rug_id=row.id, asked=one.asked.minor, price=one.price.minor,
                doubt="", settled="", said_rug_id=None,
            )
        )  # fmt: skip
    settle(session, list(rows), by=sale, now=now)
    return sale


def _is_there(row: table.Rug, fair_id: int | None, outlet_id: int | None) -> None:
    """Refuse a rug that is not where it is being sold."""
    if fair_id is None and outlet_id is None:
        at_home(row)
    elif (row.place, row.fair_id, row.outlet_id) not in (("fair", fair_id, None), ("outlet", None, outlet_id)):
        if row.place in ("sold", "gone"):
            at_home(row)
        raise Clash(Problem("rug.elsewhere", values={"number": row.number}))


def undo_in(session: Session, sale: Sale, *, why: str, now: datetime) -> None:
    """A locked sale no longer counts, and its rugs are where they were; as part of another use case.

    Where another sale that stands has the same rug, that one has it now, without doubt.
    """
    sale.undone_at, sale.undone_why = now, why
    session.flush()
    rugs = {line.rug_id for line in sale_table.lines_of(session, [sale.id])}
    table.locked(session, rugs)
    settle(session, list(rugs), by=sale, note=why, now=now)


def undo(store: Store, *, number: int, why: str = "", saving: str, now: datetime) -> SaleCard:
    """A sale was a mistake, or was taken back; it stays in the record and no longer counts.

    Raises:
        NotFound: ``sale.unknown``.
        Clash: ``sale.undone``.
        Refusal: ``text.long`` and so on at ``why``.
    """
    given = Given()
    said = given.line("why", why)
    given.done()
    with store.writing() as session:
        sale = sale_in(session, number, lock=True)
        if presses.claim(session, act=f"sale.undo.{sale.id}", token=saving, given=said, now=now) is None:
            if sale.undone_at is not None:
                raise Clash(Problem("sale.undone", values={"number": number}))
            undo_in(session, sale, why=said, now=now)
        return card_in(sale)


def sale_in(session: Session, number: int, *, lock: bool = False) -> Sale:
    """The sale of that number, as part of another use case.

    Raises:
        NotFound: ``sale.unknown``.
    """
    row = sale_table.by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("sale.unknown", values={"number": number}))
    return row


def card_in(row: Sale) -> SaleCard:
    """A sale's card, as part of another use case."""
    return SaleCard(
        number=row.number,
        fair=row.fair_id,
        outlet=row.outlet_id,
        asked=Money(row.asked, row.currency),
        total=Money(row.total, row.currency),
        tax=Money(row.tax, row.currency),
        outlet_share=Money(row.outlet_share, row.currency),
        means=row.means,
        note=row.note,
        on=row.on,
        undone=row.undone_at is not None,
        undone_why=row.undone_why,
    )
