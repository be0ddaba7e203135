"""What to bring to a fair and at which prices: each rug beside its cost and its like, and what the table must and may bring."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.batch import RugPriced, RugToPrice, TableSum, price_batch, table_sum
from shop.core.errors import Clash, Problem, Refusal
from shop.core.fair_chance import WET_TO_FINE, Hope, number_sold, profit
from shop.core.fair_cost import BreakEven, RugBrought, RugLeaves, break_even, leaves, rugs_to_bring
from shop.core.fair_years import TIMES
from shop.core.ladder import Rung, Slip, ladder, slips
from shop.core.money import Money
from shop.core.price import PriceRule
from shop.core.price_points import Listed, PricePoints, Steps
from shop.core.profit_range import ProfitRange
from shop.core.sale_chance import SaleChance, sale_chances
from shop.core.tax import tax_of
from shop.store import packing, rug_list
from shop.store import rug as rug_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.fair_card import FairCard, card_of, fair_in
from shop.usecases.fair_record import (
    area_of,
    fair_cost_of,
    minutes_of,
    past_sales_in,
    reader_of,
    tried_in,
)
from shop.usecases.given import Given
from shop.usecases.price import pricing_in
from shop.usecases.rates import rates_in
from shop.usecases.rug import price_in
from shop.usecases.rug_card import RugCard, cards_in, cost_of, rugs_in
from shop.usecases.whereabouts import TAKES_RUGS, pack_in, unpack_in

MOST_RUGS: Final = 300
"""Rugs that a table shows at once: those packed, and the newest at home."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRug:
    """A rug that may go to the fair.

    Attributes:
        card: the rug.
        packed: it is packed for this fair now; ``chosen`` it is to be.
        priced: its price there beside its cost and its like.
        by_hand: the price was typed; else the rule made it.
        leaves: what it leaves towards the fair's cost when it is sold, over what was spent on it and over its whole cost.
        chance: of its sale there.
    """

    card: RugCard
    packed: bool
    chosen: bool
    priced: RugPriced
    by_hand: bool
    leaves: RugLeaves
    chance: SaleChance


@dataclass(frozen=True, slots=True, kw_only=True)
class FairTable:
    """A fair's table.

    Attributes:
        fair: which.
        rugs: that are packed for it or could be; ``more`` at home than are shown.
        sum: of those chosen.
        rungs, slips: of those chosen; a slip names rugs by their numbers written out.
        wanted: what the fair must bring: its cost and the wage wanted for the hours at it.
        even: what it takes to bear the fair's cost; ``even_with_wage`` the wage of the hours at it too.
        profit: over the cost of rugs and fair, in its range; ``None`` with nothing chosen.
        sold: the chance of none, one, two and so on being sold.
        sells: how many are sold in the mean.
        bring: rugs to bring so that as many are sold as it takes, sold as these are; ``None`` where it never takes enough.
        ten_times: ten times the fee of the stall.
        guessed: nothing is known of any fair, so chances are a starting guess.
    """

    fair: FairCard
    rugs: tuple[TableRug, ...]
    more: int
    sum: TableSum
    rungs: tuple[Rung, ...]
    slips: tuple[Slip, ...]
    even: BreakEven
    even_with_wage: BreakEven
    profit: ProfitRange | None
    sold: tuple[float, ...]
    sells: float
    bring: int | None
    ten_times: Money
    guessed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TableGiven:
    """A table as it was typed.

    Attributes:
        chosen: numbers of the rugs to bring.
        prices: typed for rugs; one that is not named, or ``None``, goes by the rule.
        also_own: the prices become the rugs' own, and not only for this fair.
    """

    chosen: Collection[int]
    prices: Mapping[int, Money | None]
    also_own: bool = False


def points_of(card: FairCard) -> PricePoints:
    """The round prices of a fair."""
    if card.price_points:
        return Listed(prices=card.price_points, up=False)
    return Steps(step=card.price_step, ending=Money.zero(card.currency), up=False)


def rule_at(rule: PriceRule, card: FairCard) -> PriceRule:
    """The shop's price rule with the tax and the card fees of a fair, whose round prices come after it."""
    on_top = Decimal(0) if card.tax_contained else card.tax_rate
    return replace(
        rule,
        fee_share=card.card_percent * card.card_share * (1 + on_top),  # the reader keeps its part of the tax too
        fee_fixed=card.card_fixed.share(card.card_share),
        tax_rate=card.tax_rate,
        tax_included=card.tax_contained,
        step=Money.zero(card.currency),
    )


def table(store: Store, *, number: int, typed: TableGiven | None = None) -> FairTable:
    """A fair's table as it is kept, or as it was typed and is only looked at.

    Raises:
        NotFound: ``fair.unknown``.
        Refusal: what the arithmetic refuses, such as ``markup.range``.
    """
    with store.reading() as session:
        return _table(session, card_of(fair_in(session, number)), typed)


def packed(store: Store, *, number: int) -> tuple[tuple[RugCard, Money | None], ...]:
    """The rugs that are packed for a fair, each with its price there, in the order of their numbers.

    Raises:
        NotFound: ``fair.unknown``.
    """
    with store.reading() as session:
        fair = fair_in(session, number)
        found = packing.packed_for(session, fair.id)
        prices = [None if one.price is None else Money(one.price, fair.currency) for one, _ in found]
        return tuple(zip(cards_in(session, [rug for _, rug in found]), prices, strict=True))


def _table(session: Session, fair: FairCard, typed: TableGiven | None) -> FairTable:
    packed = packing.packed_for(session, fair.id)
    home = rug_list.newest(session, places=("home",), limit=MOST_RUGS + 1) if fair.state in TAKES_RUGS else ()
    rows = [rug for _, rug in packed] + list(home[:MOST_RUGS])
    kept = {rug.number: None if one.price is None else Money(one.price, fair.currency) for one, rug in packed}
    chosen = set(kept) if typed is None else set(typed.chosen)
    prices: Mapping[int, Money | None] = typed.prices if typed is not None else {**_own(rows, fair.currency), **kept}
    rule = rule_at(pricing_in(session, fair.currency).rule, fair)
    priced = price_batch(
        [_to_price(row, prices.get(row.number)) for row in rows], rule, points_of(fair), past_sales_in(session, currency=fair.currency)
    )
    chances = sale_chances([one.asking for one in priced], tried_in(session, but=fair.id, currency=fair.currency))
    cards = cards_in(session, rows)
    rugs = tuple(
        TableRug(
            card=card,
            packed=card.number in kept,
            chosen=card.number in chosen,
            priced=one,
            by_hand=prices.get(card.number) is not None,
            leaves=leaves(_brought(one, fair), reader_of(fair)),
            chance=chance,
        )
        for card, one, chance in zip(cards, priced, chances, strict=True)
    )
    wage = rates_in(session, fair.currency).wage or Money.zero(fair.currency)
    return _summed(fair, rugs, more=max(0, len(home) - MOST_RUGS), wage=wage)


def _own(rows: Sequence[rug_table.Rug], currency: str) -> dict[int, Money | None]:
    """The prices that rugs have of their own."""
    return {row.number: None if row.price is None else Money(row.price, currency) for row in rows}


def _to_price(row: rug_table.Rug, by_hand: Money | None) -> RugToPrice:
    return RugToPrice(rug=str(row.number), cost=cost_of(row), minutes=minutes_of(row), area_m2=area_of(row), by_hand=by_hand)


def _brought(one: RugPriced, fair: FairCard) -> RugBrought:
    tax = tax_of([one.asking], fair.tax_rate, included=fair.tax_contained)
    paid = one.asking if fair.tax_contained else one.asking + tax
    return RugBrought(rug=one.rug.rug, paid=paid, tax=tax, cost=one.rug.cost.total)


def _summed(fair: FairCard, rugs: tuple[TableRug, ...], *, more: int, wage: Money) -> FairTable:
    taken = [rug for rug in rugs if rug.chosen]
    left = [rug.leaves for rug in taken]
    cost = fair_cost_of(fair)
    even = break_even(left, cost.total)
    with_wage = break_even(left, cost.with_wage(wage))
    chances = [rug.chance.chance for rug in taken]
    sells = sum(chances)
    share = sells / len(taken) if taken else 0.0
    hopes = [Hope(chance=rug.chance.chance, leaves=rug.leaves.contribution) for rug in taken]
    return FairTable(
        fair=fair,
        rugs=rugs,
        more=more,
        sum=table_sum([rug.priced for rug in taken], fair.currency),
        rungs=ladder(rug.priced for rug in taken),
        slips=slips([rug.priced for rug in taken]),
        even=even,
        even_with_wage=with_wage,
        profit=profit(hopes, cost.total, WET_TO_FINE) if taken else None,
        sold=number_sold(chances, WET_TO_FINE),
        sells=sells,
        bring=rugs_to_bring(even.average, share) if even.average is not None and share > 0 else None,
        ten_times=Money(fair.stall.minor * TIMES, fair.currency),
        guessed=any(rug.chance.guessed for rug in taken),
    )


def keep(store: Store, *, number: int, typed: TableGiven, revision: int, saving: str, now: datetime) -> FairTable:
    """Pack the rugs chosen at their prices, and unpack those that were packed and are no longer chosen.

    Raises:
        NotFound: ``fair.unknown``, ``rug.unknown``.
        Clash: ``fair.changed`` when the fair was changed since the page was shown; ``rug.elsewhere``, ``rug.sold`` or
            ``rug.gone`` for a rug that has gone meanwhile.
        Refusal: ``fair.over`` for one that is over or called off; ``money.negative`` and so on at ``rug.<number>.price``.
    """
    with store.writing() as session:
        fair = fair_in(session, number, lock="change")
        if presses.claim(session, act=f"fair.table.{fair.id}", token=saving, given=typed, now=now) is None:
            if fair.revision != revision:
                raise Clash(Problem("fair.changed", values={"number": number}))
            if fair.state not in TAKES_RUGS:
                raise Refusal(Problem("fair.over", values={"name": fair.name}))
            _check(typed, fair.currency)
            before = {rug.number for _, rug in packing.packed_for(session, fair.id)}
            priced = {rug.card.number: rug.priced.asking for rug in _table(session, card_of(fair), typed).rugs if rug.chosen}
            rows = rugs_in(session, before | set(typed.chosen))
            unpack_in(session, [row for row in rows if row.number in before - set(typed.chosen)], now=now)
            pack_in(session, fair, [(one, priced.get(one)) for one in sorted(typed.chosen)], now=now)
            if typed.also_own:
                for row in rows:
                    if row.number in priced:
                        price_in(session, row, price=priced[row.number], now=now)
            fair.revision += 1
            session.flush()
        session.expire_all()
        return _table(session, card_of(fair), None)


def _check(typed: TableGiven, currency: str) -> None:
    given = Given()
    for number, price in typed.prices.items():
        given.money(f"rug.{number}.price", price, currency)
    given.done()
