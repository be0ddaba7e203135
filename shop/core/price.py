"""From a cost to a price, and what the maker earns an hour at it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import Final

from shop.core.cost import JobCost
from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, round_to_step
from shop.core.tax import tax_contained, tax_on_top

LARGEST_MARKUP: Final = Decimal(10)
"""Ten times the cost on top of it: a bigger markup is a percentage written as a number, 35 for 0.35."""


class PriceBy(Enum):
    """How the price wanted is found."""

    MARKUP = "markup"
    """A share of the cost, on top of it."""
    MARGIN = "margin"
    """A share of the price, kept from it."""
    TRADE = "trade"
    """A trade price to shops, by a markup on cost; the retail price is a multiple of it."""
    AREA = "area"
    """So much for an area."""
    HAND = "hand"
    """Set by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceRule:
    """The shop's rule for a price.

    Attributes:
        by: which of the rules.
        share: the markup or margin (0.35 is 35 %), or the markup to the trade price.
        retail_times: a retail price over its trade price; 2 is common practice.
        area_rate: amount for a square metre, unrounded.
        set_price: the price set by hand, as the customer sees it.
        fee_share: what card or marketplace keeps of the price.
        fee_fixed: what it takes besides, for each sale.
        tax_rate: as a share.
        tax_included: the price shown contains the tax.
        step: price steps; a price goes to one of them.
        up: always up to the next step, or to the nearest.
        discount: taken off the price, as a share.
        below_floor: a price below the floor has been asked for.
        deposit: the part of the total to pay first.
    """

    by: PriceBy = PriceBy.MARKUP
    share: Decimal = Decimal("0.35")
    retail_times: Decimal = Decimal(2)
    area_rate: Decimal = Decimal(0)
    set_price: Money | None = None
    fee_share: Decimal = Decimal(0)
    fee_fixed: Money
    tax_rate: Decimal = Decimal(0)
    tax_included: bool = False
    step: Money
    up: bool = True
    discount: Decimal = Decimal(0)
    below_floor: bool = False
    deposit: Decimal = Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Price:
    """A price worked out.

    Attributes:
        floor: the lowest that still pays for materials, things bought in and fees.
        cost: the price at which everything is paid, wage and overhead too.
        asking: the price asked, tax contained or not as the rule has it.
        discount: what was taken off before; nothing where the price was raised again.
        tax: the tax on it or in it.
        total: what the customer pays.
        deposit: the part to pay first.
        fees: what card or marketplace keep of it.
        net: what stays after fees and contained tax.
        trade: the price to a shop, where the rule has one.
        per_area: asked for a square metre.
        raised: whether the rule came out below the floor and was raised to it.
    """

    floor: Money
    cost: Money
    asking: Money
    discount: Money
    tax: Money
    total: Money
    deposit: Money
    fees: Money
    net: Money
    trade: Money | None
    per_area: Decimal
    raised: bool


def with_markup(cost: Money, markup: Decimal) -> Decimal:
    """``cost x (1 + markup)``, unrounded. A markup is a share of the cost.

    Raises:
        NotPossible: ``markup.range`` below nothing or beyond ten times.
    """
    if not 0 <= markup <= LARGEST_MARKUP:
        raise NotPossible(Problem("markup.range", "price.markup", {"share": markup}))
    return cost.amount * (1 + markup)


def with_margin(cost: Money, margin: Decimal) -> Decimal:
    """``cost / (1 - margin)``, unrounded. A margin is a share of the price, so it stays below 100 %.

    Raises:
        NotPossible: ``margin.range``.
    """
    if not 0 <= margin < 1:
        raise NotPossible(Problem("margin.range", "price.margin", {"share": margin}))
    return cost.amount / (1 - margin)


def margin_of(markup: Decimal) -> Decimal:
    """The margin that a markup is: 0.25 is 0.20, 1 is 0.5."""
    return markup / (1 + markup)


def before_fees(wanted: Decimal, fee_share: Decimal, fee_fixed: Money, contained: Decimal = Decimal(0)) -> Decimal:
    """The price that leaves ``wanted`` after fees: ``(wanted + fixed) / (1 - percent)``.

    Where the price contains tax at a rate, the part ``rate / (1 + rate)`` of it goes too.

    Raises:
        NotPossible: ``fee.range`` when fees and tax would take the whole price.
    """
    kept = 1 - fee_share - contained / (1 + contained)
    if not 0 <= fee_share < 1 or kept <= 0:
        raise NotPossible(Problem("fee.range", "price.fee_percent", {"share": fee_share}))
    return (wanted + fee_fixed.amount) / kept


def _wanted(rule: PriceRule, cost: Money, area_m2: float) -> tuple[Decimal, Decimal | None]:
    """What is to be left of the price before fees and tax; and the trade price, where there is one."""
    if rule.by is PriceBy.MARGIN:
        return with_margin(cost, rule.share), None
    if rule.by is PriceBy.TRADE:
        trade = with_markup(cost, rule.share)
        return trade * rule.retail_times, trade
    if rule.by is PriceBy.AREA:
        return rule.area_rate * Decimal(repr(area_m2)), None
    return with_markup(cost, rule.share), None


def price_of(rule: PriceRule, cost: JobCost, area_m2: float) -> Price:
    """The price of a rug by the shop's rule.

    The price wanted is made good for fees and contained tax, brought to the price steps, and lessened by
    the discount. It is raised to the floor (again on a step) where the rule or a discount falls below it,
    unless a price below the floor has been asked for.

    Raises:
        NotPossible: as the parts: ``markup.range``, ``margin.range``, ``fee.range``, ``tax.range``,
            ``discount.range``, ``deposit.range``.
    """
    currency = rule.fee_fixed.currency
    for name, share in (("discount", rule.discount), ("deposit", rule.deposit)):
        if not 0 <= share <= 1:
            raise NotPossible(Problem(f"{name}.range", f"price.{name}", {"share": share}))
    contained = rule.tax_rate if rule.tax_included else Decimal(0)

    def shown(wanted: Decimal) -> Money:
        return Money.rounded(before_fees(wanted, rule.fee_share, rule.fee_fixed, contained), currency)

    floor = shown((cost.materials + cost.bought_in).amount)
    wanted, trade = _wanted(rule, cost.total, area_m2)
    if rule.by is PriceBy.HAND and rule.set_price is not None:
        asking = rule.set_price
    else:
        asking = round_to_step(shown(wanted), rule.step, up=rule.up)
    off = asking.share(rule.discount)
    asking = asking - off
    asked_below = rule.below_floor or rule.by is PriceBy.HAND
    raised = asking < floor and not asked_below
    if raised:
        asking, off = round_to_step(floor, rule.step, up=True), Money.zero(currency)
    tax = tax_contained(asking, contained) if contained else tax_on_top(asking, rule.tax_rate)
    to_pay = asking if rule.tax_included else asking + tax
    fees = asking.share(rule.fee_share) + (rule.fee_fixed if asking else Money.zero(currency))
    return Price(
        floor=floor,
        cost=shown(cost.total.amount),
        asking=asking,
        discount=off,
        tax=tax,
        total=to_pay,
        deposit=to_pay.share(rule.deposit),
        fees=fees,
        net=asking - fees - (tax if rule.tax_included else Money.zero(currency)),
        trade=Money.rounded(trade, currency) if trade is not None else None,
        per_area=asking.amount / Decimal(repr(area_m2)),
        raised=raised,
    )


def hourly(net: Money, cost: JobCost, minutes: float) -> Money:
    """What an hour earns: ``(price after fees - materials - overhead - bought in) / hours``.

    Raises:
        NotPossible: ``hourly.no_hours`` for a rug that takes no time.
    """
    if minutes <= 0:
        raise NotPossible(Problem("hourly.no_hours", "hours"))
    left = net - cost.materials - cost.overhead - cost.bought_in
    return Money.rounded(left.amount * 60 / Decimal(repr(minutes)), net.currency)


def break_even_units(fixed: Money, price: Money, variable: Money) -> int:
    """Sales needed to bear a fixed cost: ``fixed / (price - variable)``, counted up.

    Raises:
        NotPossible: ``break_even.none`` when each sale loses money or leaves nothing.
    """
    contribution = price - variable
    if contribution.minor <= 0:
        raise NotPossible(Problem("break_even.none"))
    return -(-fixed.minor // contribution.minor)
