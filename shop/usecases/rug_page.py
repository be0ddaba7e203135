"""A rug's page: what it cost, what the hour earns at its price, every way that it went, and its sales."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.cost import JobCost
from shop.core.errors import Refusal
from shop.core.measure import LENGTH_UNITS
from shop.core.money import Money, split
from shop.core.price import Price, PriceBy, hourly, price_of
from shop.store import fair as fair_table
from shop.store import rug as table
from shop.store import rug_list
from shop.store import sale as sale_table
from shop.store.engine import Session, Store
from shop.store.till import Sale, SaleLine
from shop.usecases.fair_card import card_of
from shop.usecases.fair_record import reader_of
from shop.usecases.outlet import MOST_SHOWN
from shop.usecases.price import Pricing, pricing_in
from shop.usecases.rates import rates_in
from shop.usecases.rug_card import RugCard, card_in, rug_in
from shop.usecases.shop import shop_in

MOVES_SHOWN: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A way that a rug went: ``what`` as in ``shop.store.rug.MOVES``, ``where`` the name of the fair or outlet."""

    what: str
    where: str
    sale: int | None
    note: str
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class RugSale:
    """A sale of the rug.

    Attributes:
        price: what the rug brought in it; ``tax`` of the whole sale, ``outlet_share`` of it.
        fee: this rug's part of what the card reader keeps, as the fair's reckoning takes it.
        left: what is left of it for the shop: without tax, and without what an outlet or the card reader keeps.
        rugs: how many were sold together.
    """

    number: int
    on: date
    where: str
    means: str
    price: Money
    total: Money
    tax: Money
    outlet_share: Money
    fee: Money
    left: Money
    note: str
    rugs: int
    undone: bool
    undone_why: str
    doubt: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RugOpened:
    """A rug with all that there is to say of it.

    Attributes:
        by_rule: what the shop's rule would ask for it; ``None`` where the rule cannot say, or would go by a cost that is not known.
        at_price: its price worked out; ``None`` without a price.
        hour: what the hour earns at that price, or really earned in the sale that stands; ``None`` where nobody knows its hours.
        really: ``hour`` is of that sale.
        per_area: that price for a square foot or a square metre, as the shop measures.
        wage: that is wanted for an hour.
        tax_name: what the tax of a sale from home is called, ``tax_rate`` of it, ``tax_included`` in prices or on top.
        prices: that it was given, with the time, newest first.
        outlets: (id, name) of those that it can be sent to.
        can_undo: it came of a job and has gone nowhere.
    """

    card: RugCard
    by_rule: Price | None
    at_price: Price | None
    hour: Money | None
    really: bool
    per_area: Money
    wage: Money | None
    tax_name: str
    tax_rate: Decimal
    tax_included: bool
    moves: tuple[Move, ...]
    sales: tuple[RugSale, ...]
    prices: tuple[tuple[Money | None, datetime], ...]
    outlets: tuple[tuple[int, str], ...]
    can_undo: bool


def opened(store: Store, *, number: int) -> RugOpened:
    """All that there is to say of a rug; a bounded number of queries, however long its story.

    Raises:
        NotFound: ``rug.unknown``.
    """
    with store.reading() as session:
        row = rug_in(session, number)
        card = card_in(session, row)
        pricing = pricing_in(session, row.currency)
        moves = table.moves_of(session, row.id)
        sales = _sales(session, row)
        standing = next((one for one in sales if not one.undone and not one.doubt), None)
        at_price = price_at(card, card.price, pricing) if card.price is not None else None
        net = standing.left if standing else at_price.net if at_price else None
        return RugOpened(
            card=card,
            by_rule=price_at(card, None, pricing) if card.cost_known or pricing.rule.by is PriceBy.AREA else None,
            at_price=at_price,
            hour=hour_at(card, net) if net is not None else None,
            really=standing is not None,
            per_area=_per_area(card, imperial=shop_in(session).units == "imperial"),
            wage=rates_in(session, row.currency).wage,
            tax_name=pricing.tax_name,
            tax_rate=pricing.tax_rate,
            tax_included=pricing.tax_included,
            moves=_moves(session, moves[-MOVES_SHOWN:], {one.id: one.number for one in sale_table.of_rug(session, row.id)}),
            sales=sales,
            prices=tuple(
                (None if one.price is None else Money(one.price, row.currency), one.at)
                for one in reversed(table.prices_of(session, row.id))
            ),
            outlets=tuple((one.id, one.name) for one in rug_list.outlets(session, closed=False, limit=MOST_SHOWN)),
            can_undo=row.job_id is not None and row.place == "home" and len(moves) == 1,
        )


def price_at(card: RugCard, price: Money | None, pricing: Pricing) -> Price | None:
    """A rug's price worked out by the shop's rule: one set by hand, or the one that the rule comes to.

    ``None`` where the rule cannot say, such as a margin of all of it.
    """
    rule = pricing.rule
    if price is not None:
        rule = replace(rule, by=PriceBy.HAND, set_price=price)
    try:
        return price_of(replace(rule, discount=rule.discount * 0), card.cost, _area(card))
    except Refusal:
        return None


def _area(card: RugCard) -> float:
    return card.size.width.metres * card.size.length.metres


def _per_area(card: RugCard, *, imperial: bool) -> Money:
    price = card.price or Money.zero(card.cost.cloth.currency)
    side = LENGTH_UNITS["ft" if imperial else "m"]
    squares = Decimal(card.size.width.nm * card.size.length.nm) / Decimal(side) ** 2
    return Money.rounded(price.amount / squares, price.currency)


def hour_at(card: RugCard, net: Money) -> Money | None:
    """What an hour earns where so much is left after fees and tax; ``None`` where nobody knows its hours."""
    cost: JobCost = card.cost
    return hourly(net, cost, float(card.minutes)) if card.minutes else None


def _moves(session: Session, rows: Sequence[table.RugMove], sales: dict[int, int]) -> tuple[Move, ...]:
    outlets = rug_list.outlet_names(session, {one.outlet_id for one in rows if one.outlet_id})
    fairs = rug_list.fair_names(session, {one.fair_id for one in rows if one.fair_id})
    return tuple(
        Move(
            what=one.what,
            where=fairs[one.fair_id][1] if one.fair_id else outlets.get(one.outlet_id or 0, ""),
            sale=sales.get(one.sale_id or 0),
            note=one.note,
            on=one.on,
        )
        for one in reversed(rows)
    )


def _sales(session: Session, row: table.Rug) -> tuple[RugSale, ...]:
    found = sale_table.of_rug(session, row.id)
    lines = sale_table.lines_of(session, [one.id for one in found])
    outlets = rug_list.outlet_names(session, {one.outlet_id for one in found if one.outlet_id})
    fairs = fair_table.by_ids(session, {one.fair_id for one in found if one.fair_id})
    return tuple(
        _sale(
            one,
            [line for line in lines if line.sale_id == one.id],
            row.id,
            outlets.get(one.outlet_id or 0, ""),
            fairs.get(one.fair_id or 0),
        )
        for one in reversed(found)
    )


def _sale(sale: Sale, lines: list[SaleLine], rug_id: int, outlet: str, fair: fair_table.Fair | None) -> RugSale:
    """A sale, and this rug's part of what is left of it, shared by price to the coin."""
    by_card = fair is not None and sale.means == "card"
    kept = reader_of(card_of(fair)).fee(Money(sale.total, sale.currency)) if fair and by_card else Money.zero(sale.currency)
    prices = [line.price for line in lines]
    place = next(at for at, line in enumerate(lines) if line.rug_id == rug_id)
    fee = split(kept, prices)[place]
    left = Money(sale.total - sale.rounding - sale.tax - sale.outlet_share, sale.currency)
    return RugSale(
        number=sale.number,
        on=sale.on,
        where=fair.name if fair else outlet,
        means=sale.means,
        price=Money(lines[place].price, sale.currency),
        total=Money(sale.total, sale.currency),
        tax=Money(sale.tax, sale.currency),
        outlet_share=Money(sale.outlet_share, sale.currency),
        fee=fee,
        left=split(left, prices)[place] - fee,
        note=sale.note,
        rugs=len(lines),
        undone=sale.undone_at is not None,
        undone_why=sale.undone_why,
        doubt=bool(lines[place].doubt),
    )
