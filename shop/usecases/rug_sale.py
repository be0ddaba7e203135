"""A rug sold from home, or by the outlet that has it."""

from __future__ import annotations

from datetime import date, datetime

from shop.core.money import Money
from shop.core.tax import tax_contained, tax_on_top
from shop.store import rug as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.order_money import MEANS
from shop.usecases.given import Given
from shop.usecases.moving import today_in
from shop.usecases.outlet import outlet_in
from shop.usecases.price import pricing_in
from shop.usecases.rug_card import rugs_in
from shop.usecases.sale import SaleCard, SoldRug, card_in, sale_in, sell_in
from shop.usecases.shop import shop_in


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
