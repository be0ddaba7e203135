"""A batch of rugs and its prices: what each costs and earns beside what was paid for its like, and what the table brings.

A rug's price is the shop's rule, brought to the fair's price points and never below its floor; or it is set by hand. Its
price for an area is held against the shop's own past sales of rugs of about that size. Both are before tax, since at one
fair prices contain it and at the next they do not.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from statistics import median_high
from typing import Final

from shop.core.cost import JobCost
from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, exact, total
from shop.core.price import Price, PriceBy, PriceRule, hourly, price_of
from shop.core.price_points import PricePoints, at_least

LIKE: Final = 1.25
"""Rugs are like each other in size when the larger has at most so many times the area of the smaller."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RugToPrice:
    """A finished rug that wants a price.

    Attributes:
        rug: its key or number.
        cost: what it cost, or is thought to have cost.
        minutes: of work in it; ``None`` where nobody knows any more.
        area_m2: its finished area.
        by_hand: the price set by hand; ``None`` for the rule.

    Raises:
        NotPossible: ``ladder.area`` for a rug without an area.
    """

    rug: str
    cost: JobCost
    minutes: float | None
    area_m2: float
    by_hand: Money | None = None

    def __post_init__(self) -> None:
        if not self.area_m2 > 0:
            raise NotPossible(Problem("ladder.area", self.rug))


@dataclass(frozen=True, slots=True, kw_only=True)
class PastSale:
    """A rug that was sold.

    Attributes:
        area_m2: its area.
        price: what it went for, before tax.
    """

    area_m2: float
    price: Money


@dataclass(frozen=True, slots=True)
class LikeSales:
    """What rugs of about that size went for, before tax.

    Attributes:
        count: how many of them.
        low, middle, high: amounts for a square metre, the lowest, the middle and the highest; of an even number the dearer middle one.
    """

    count: int
    low: Decimal
    middle: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class RugPriced:
    """A rug with its price.

    Attributes:
        rug: what was priced.
        by_rule: the price by the rule, unrounded by the fair.
        price: at what is asked, with its floor, cost, tax, fees and what is left of it.
        per_area: asked for a square metre, before tax.
        likes: what rugs of about that size went for; ``None`` where none was sold.
        hour: what an hour of the work in it earns; ``None`` where nobody knows the hours.
        raised: it stands at its floor, since the rule and the price points came out below.
    """

    rug: RugToPrice
    by_rule: Money
    price: Price
    per_area: Decimal
    likes: LikeSales | None
    hour: Money | None
    raised: bool

    @property
    def asking(self) -> Money:
        """What is asked."""
        return self.price.asking

    @property
    def below_floor(self) -> bool:
        """The price set by hand does not pay for materials and fees."""
        return self.price.asking < self.price.floor


def price_batch(
    rugs: Sequence[RugToPrice], rule: PriceRule, points: PricePoints, past: Sequence[PastSale] = ()
) -> tuple[RugPriced, ...]:
    """Each rug with its price, in the order given.

    Args:
        rugs: to price.
        rule: the shop's; its own steps give way to the fair's points.
        points: round prices of the fair.
        past: the shop's sales.

    Raises:
        NotPossible: as ``price_of``.
    """
    ordered = sorted(past, key=lambda sale: sale.area_m2)
    areas = [sale.area_m2 for sale in ordered]
    return tuple(_priced(rug, rule, points, _near(rug.area_m2, areas, ordered)) for rug in rugs)


def _near(area_m2: float, areas: list[float], ordered: Sequence[PastSale]) -> LikeSales | None:
    near = ordered[bisect_left(areas, area_m2 / LIKE) : bisect_right(areas, area_m2 * LIKE)]
    rates = [sale.price.amount / exact(sale.area_m2) for sale in near]
    return LikeSales(len(rates), min(rates), median_high(rates), max(rates)) if rates else None


def _priced(rug: RugToPrice, rule: PriceRule, points: PricePoints, likes: LikeSales | None) -> RugPriced:
    unrounded = price_of(replace(rule, step=Money.zero(rule.step.currency)), rug.cost, rug.area_m2)
    least = Money.zero(rule.step.currency) if rule.below_floor else unrounded.floor
    asked = rug.by_hand if rug.by_hand is not None else at_least(unrounded.asking, least, points)
    set_rule = replace(rule, by=PriceBy.HAND, set_price=asked, discount=Decimal(0))
    price = price_of(set_rule, rug.cost, rug.area_m2)
    before_tax = asked - price.tax if rule.tax_included else asked
    return RugPriced(
        rug=rug,
        by_rule=unrounded.asking,
        price=price,
        per_area=before_tax.amount / exact(rug.area_m2),
        likes=likes,
        hour=hourly(price.net, rug.cost, rug.minutes) if rug.minutes else None,
        raised=rug.by_hand is None and (unrounded.raised or points.at(unrounded.asking) < least),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TableSum:
    """What all the rugs on the table come to.

    Attributes:
        count: rugs.
        asking: what is asked for them.
        fees, tax: of that, or on top of it.
        net: what stays of it after fees and contained tax.
        cost: what they cost, wage and overhead too.
        minutes: of work in them, as far as anybody knows; ``timed`` rugs have them.
        hour: what an hour of it earns; ``None`` where nobody knows the hours of any.
    """

    count: int
    asking: Money
    fees: Money
    tax: Money
    net: Money
    cost: Money
    minutes: float
    timed: int
    hour: Money | None


def table_sum(priced: Sequence[RugPriced], currency: str) -> TableSum:
    """What the table brings when all of it is sold."""
    timed = [one for one in priced if one.rug.minutes]
    minutes = sum(one.rug.minutes or 0.0 for one in timed)
    left = total(
        (one.price.net - one.rug.cost.total + one.rug.cost.labour for one in timed), currency
    )
    return TableSum(
        count=len(priced),
        asking=total((one.asking for one in priced), currency),
        fees=total((one.price.fees for one in priced), currency),
        tax=total((one.price.tax for one in priced), currency),
        net=total((one.price.net for one in priced), currency),
        cost=total((one.rug.cost.total for one in priced), currency),
        minutes=minutes,
        timed=len(timed),
        hour=Money.rounded(left.amount * 60 / exact(minutes), currency) if timed else None,
    )
