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
from shop.core.tax import tax_contained, tax_on_top
from shop.store import rug as table
from shop.store import sale as sale_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.store.order_money import MEANS
from shop.store.till import Sale, SaleLine
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.moving import today_in
from shop.usecases.outlet import outlet_in
from shop.usecases.price import pricing_in
from shop.usecases.rug import rugs_in
from shop.usecases.shop import shop_in
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


def sell_from_home(
    store: Store,
    *,
    number: int,
    price: Money,
    means: str,
    note: str = "",
    on: date | None = None,
    saving: str,
    now: datetime,
) -> SaleCard:
    """A rug is sold from home; tax by the shop's price rule, contained in the price or on top of it.

    Args:
        store: the shop's database.
        number: of the rug.
        price: what it brings, after a bargain; with the tax where the shop's prices contain it.
        means: of ``MEANS``.
        note: in her words.
        on: the day; today unless another is given.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.sold``, ``rug.gone`` or ``rug.elsewhere``.
        Refusal: ``money.negative`` and so on at ``sale.price``; ``choice.unknown`` at ``sale.means``; ``date.future`` at ``sale.on``.
    """
    with store.writing() as session:
        (row,) = rugs_in(session, [number])
        told = {"price": price, "means": means, "note": note, "on": on}
        act = f"sale.home.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given=told, now=now)
        if earlier is not None:
            return card_in(sale_in(session, earlier))
        said, day = _looked_over(session, price, means, note, on, now)
        pricing = pricing_in(session, price.currency)
        included = pricing.tax_included
        tax = (tax_contained if included else tax_on_top)(price, pricing.tax_rate)
        to_pay = price if included else price + tax
        made = sell_in(
            session,
            rugs=[SoldRug(rug_id=row.id, asked=_asked(row, price), price=price)],
            total_paid=to_pay,
            tax=tax,
            means=means,
            given=to_pay if means == "cash" else None,
            note=said,
            on=day,
            at=now,
            now=now,
        )
        presses.settle(session, act=act, token=saving, about=made.number)
        return card_in(made)


def sell_at_outlet(
    store: Store,
    *,
    outlet_id: int,
    number: int,
    price: Money,
    means: str = "transfer",
    note: str = "",
    on: date | None = None,
    saving: str,
    now: datetime,
) -> SaleCard:
    """An outlet has sold a rug, and keeps its share. It is the seller, so its tax is none of this shop's as a rule.

    Args:
        store: the shop's database.
        outlet_id: which.
        number: of the rug.
        price: what the rug brought, without tax.
        means: how the outlet pays.
        note: in her words.
        on: the day; today unless another is given.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``outlet.unknown``, ``rug.unknown``.
        Clash: ``rug.sold``, ``rug.gone`` or ``rug.elsewhere``.
        Refusal: as ``sell_from_home``.
    """
    with store.writing() as session:
        outlet = outlet_in(session, outlet_id, lock=True)
        (row,) = rugs_in(session, [number])
        told = {"price": price, "means": means, "note": note, "on": on}
        act = f"sale.outlet.{outlet.id}.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given=told, now=now)
        if earlier is not None:
            return card_in(sale_in(session, earlier))
        said, day = _looked_over(session, price, means, note, on, now)
        made = sell_in(
            session,
            rugs=[SoldRug(rug_id=row.id, asked=_asked(row, price), price=price)],
            total_paid=price,
            tax=Money.zero(price.currency),
            means=means,
            outlet_id=outlet.id,
            outlet_share=price.share(outlet.share),
            note=said,
            on=day,
            at=now,
            now=now,
        )
        presses.settle(session, act=act, token=saving, about=made.number)
        return card_in(made)


def _asked(row: table.Rug, price: Money) -> Money:
    return price if row.price is None else Money(row.price, row.currency)


def _looked_over(
    session: Session, price: Money, means: str, note: str, on: date | None, now: datetime
) -> tuple[str, date]:
    given = Given()
    given.amount("sale.price", price, shop_in(session).currency)
    given.choice("sale.means", means, MEANS)
    said = given.line("sale.note", note)
    today = today_in(session, now)
    if on is not None and on > today:
        given.note("date.future", "sale.on")
    given.done()
    return said, on or today


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
