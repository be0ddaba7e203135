"""What happened at fairs in the words of the arithmetic: rugs that were there, what each went for, and how it was paid."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby

from shop.core.batch import PastSale
from shop.core.colour import family_of
from shop.core.fair_account import (
    FairAccount,
    NearlySold,
    Payment,
    RugAtFair,
    RugSale,
    fair_account,
    nearly_sold,
)
from shop.core.fair_cost import CardReader, FairCost
from shop.core.money import Money, split, total
from shop.core.sale_chance import Tried
from shop.store import fair_record as record
from shop.store import rug as rug_table
from shop.store.engine import Session
from shop.usecases.fair_card import FairCard
from shop.usecases.rug_card import cost_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FairRecord:
    """A fair with all that happened at it.

    Attributes:
        card: the fair.
        account: reckoned up.
        rugs: all that were there, sold or not.
        names: of the rugs, by their numbers written out.
        nearly: what somebody wanted and did not buy.
        doubtful: what came in for rugs that another sale has too; no takings until it is settled whose they are.
    """

    card: FairCard
    account: FairAccount
    rugs: tuple[RugAtFair, ...]
    names: Mapping[str, str]
    nearly: tuple[NearlySold, ...]
    doubtful: Money


def area_of(rug: rug_table.Rug) -> float:
    """Its area in square metres."""
    return rug.width.metres * rug.length.metres


def minutes_of(rug: rug_table.Rug) -> float | None:
    """Minutes of work in it; ``None`` where none were written down."""
    return float(rug.minutes) or None


def fair_cost_of(card: FairCard) -> FairCost:
    """What a fair costs, sold or not."""
    return FairCost(
        stall=card.stall,
        travel=card.travel,
        lodging=card.nights,
        helper=card.helper,
        permits=card.permits,
        other=card.other,
        days=card.days,
        hours_stood=card.hours_stood,
        hours_travelled=card.hours_travelled,
    )


def reader_of(card: FairCard) -> CardReader:
    """What the card reader keeps there."""
    return CardReader(share=card.card_percent, fixed=card.card_fixed, used=card.card_share)


def records_in(session: Session, cards: Collection[FairCard]) -> tuple[FairRecord, ...]:
    """Fairs with all that happened at them, in the order given; four queries however many there are."""
    ids = {card.id for card in cards}
    if not ids:
        return ()
    brought: dict[int, list[record.Brought]] = {card_id: [] for card_id in ids}
    for one in record.brought_to(session, ids):
        brought[one.fair_id].append(one)
    sold: dict[int, list[record.SoldAt]] = {card_id: [] for card_id in ids}
    for line in record.sold_at(session, ids):
        sold[line.fair_id].append(line)
    doubtful = {line.rug.id for lines in sold.values() for line in lines if line.line.doubt}
    first = record.first_sales(session, doubtful)
    refused: dict[int, list[tuple[int | None, rug_table.Rug]]] = {card_id: [] for card_id in ids}
    for fair_id, offered, rug in record.refused_at(session, ids):
        refused[fair_id].append((offered, rug))
    return tuple(_record(card, brought[card.id], sold[card.id], refused[card.id], first) for card in cards)


def _record(
    card: FairCard,
    brought: Iterable[record.Brought],
    sold: list[record.SoldAt],
    refused: list[tuple[int | None, rug_table.Rug]],
    first: Mapping[int, int],
) -> FairRecord:
    """A fair; of a rug that was sold more than once, only its ``first`` sale counts, wherever that was."""
    sales: dict[int, RugSale] = {}
    twice: dict[int, Money] = {}
    for sale_id, rug_id, rug_sale in _sales(sold):
        if first.get(rug_id, sale_id) != sale_id:
            twice[sale_id] = twice.get(sale_id, Money.zero(card.currency)) + rug_sale.net + rug_sale.tax
        else:
            sales[rug_id] = rug_sale
    there = {one.rug.id: (one.rug, one.price) for one in brought}
    for line in sold:  # one that was sold without having been packed was there all the same
        there.setdefault(line.rug.id, (line.rug, line.line.asked))
    rugs = tuple(_at_fair(rug, price, sales.get(rug.id)) for rug, price in there.values())
    reader, nothing = reader_of(card), Money.zero(card.currency)
    different = {line.sale.id: line.sale for line in sold}.values()
    account = fair_account(
        rugs,
        [Payment(sale.means, Money(sale.total, sale.currency) - twice.get(sale.id, nothing)) for sale in different],
        rounding=total((Money(sale.rounding, sale.currency) for sale in different), card.currency),
        fees=total((reader.fee(Money(sale.total, sale.currency)) for sale in different if sale.means == "card"), card.currency),
        cost=fair_cost_of(card),
    )
    asked = [(str(rug.number), None if offered is None else nothing + Money(offered, card.currency)) for offered, rug in refused]
    names = {str(rug.number): rug.name for rug, _ in there.values()} | {str(rug.number): rug.name for _, rug in refused}
    return FairRecord(card=card, account=account, rugs=rugs, names=names, nearly=nearly_sold(asked), doubtful=total(twice.values(), card.currency))


def _at_fair(rug: rug_table.Rug, price: int | None, sale: RugSale | None) -> RugAtFair:
    return RugAtFair(
        rug=str(rug.number),
        area_m2=area_of(rug),
        colour=family_of(rug.colour).value,
        tag=Money(price if price is not None else rug.price or 0, rug.currency),
        cost=cost_of(rug),
        minutes=minutes_of(rug),
        sale=sale,
    )


def _sales(lines: Iterable[record.SoldAt]) -> Iterable[tuple[int, int, RugSale]]:
    """Sale by sale, what each rug went for: tax is shared over the rugs of a sale, and taken off where the price contains it."""
    for _, together in groupby(lines, key=lambda one: one.sale.id):
        of_sale = list(together)
        sale = of_sale[0].sale
        prices = [Money(one.line.price, sale.currency) for one in of_sale]
        tax = Money(sale.tax, sale.currency)
        shares = split(tax, [price.minor for price in prices]) if any(prices) else [Money.zero(sale.currency) for _ in prices]
        on_top = Money(sale.total - sale.rounding, sale.currency) - total(prices, sale.currency)
        for one, price, share in zip(of_sale, prices, shares, strict=True):
            yield sale.id, one.rug.id, RugSale(net=price if on_top else price - share, tax=share)


def tried_in(session: Session, *, but: int, currency: str) -> list[Tried]:
    """What was brought to the latest fairs that are over, and how much of it was sold, by price."""
    ids = record.past_fairs(session, but=but)
    if not ids:
        return []
    return [
        Tried(price=Money(price, currency), brought=brought, sold=min(sold, brought))
        for price, brought, sold in record.tried_at(session, ids)
    ]


def past_sales_in(session: Session, *, currency: str) -> list[PastSale]:
    """What rugs went for, before tax, wherever they were sold."""
    lines = [line for line in record.sold_before(session) if line.sale.currency == currency]
    went = {rug_id: sale for _, rug_id, sale in _sales(lines)}
    areas = {line.rug.id: area_of(line.rug) for line in lines}
    return [PastSale(area_m2=areas[rug], price=sale.net) for rug, sale in went.items()]
