"""The risk in a price: the chance that a rug earns less than the wage wanted, and what a month of open quotes may bring.

Cloth and work are in doubt, the price is not. A rug earns less than the wage just when its cost, with that wage in it, comes
to more than is left of the price after fees and tax. The parts in doubt are one log-normal sum (``spread.add``), in which a
source that moves two of them moves them together; what is known stands beside it.

    chance = 1 - Phi(ln((left of the price - known) / middle of the sum) / sigma of the sum)

Quotes of one month share what is not known of a loom; how each rug turns out, and whether its customer says yes, is its own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from statistics import NormalDist
from typing import Final

from shop.core.cost import OverheadPerHour
from shop.core.doubt import cost_parts
from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, exact
from shop.core.own_doubt import OF_THE_RUG
from shop.core.price import before_fees
from shop.core.reckoning import Reckoning
from shop.core.spread import EIGHT_OF_TEN, Estimate, add

_NORMAL: Final = NormalDist()


def chance_of_less(reckoning: Reckoning) -> float:
    """The chance, 0 to 1, that the rug earns less than the wage wanted at the price asked."""
    known, doubted = _parts(reckoning)
    room = float(reckoning.price.net.amount) - known
    if not doubted.sigma:
        return 0.0 if room >= doubted.middle else 1.0
    if room <= 0:
        return 1.0
    return _NORMAL.cdf(-math.log(room / doubted.middle) / doubted.sigma)


def price_at(reckoning: Reckoning, chance: float = 0.1) -> Money:
    """The asking price at which the chance of earning less than the wage wanted is so small; off the price steps.

    Raises:
        NotPossible: ``risk.chance`` for a chance that is not between 0 and 1; ``fee.range`` where fees take the whole price.
    """
    if not 0 < chance < 1:
        raise NotPossible(Problem("risk.chance", "chance", {"chance": chance}))
    known, doubted = _parts(reckoning)
    room = doubted.middle * math.exp(-_NORMAL.inv_cdf(chance) * doubted.sigma)
    rule = reckoning.plan.price
    contained = rule.tax_rate if rule.tax_included else Decimal(0)
    asking = before_fees(exact(known + room), rule.fee_share, rule.fee_fixed, contained)
    return Money.rounded(asking, reckoning.plan.currency)


def _parts(reckoning: Reckoning) -> tuple[float, Estimate]:
    """What is known of the cost at the wage wanted, and the sum of what is in doubt, in units of the currency."""
    plan, cost, minutes = reckoning.plan, reckoning.cost, reckoning.minutes
    return _in_two(cost_parts(plan, cost, reckoning.cloths, minutes, reckoning.minutes_total))


def _in_two(parts: Sequence[Estimate]) -> tuple[float, Estimate]:
    """The sum of what is known, and that of what is in doubt."""
    known = math.fsum(part.middle for part in parts if part.is_sure)
    return known, add(part for part in parts if not part.is_sure)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenQuote:
    """A quote that is open.

    Attributes:
        name: what it is called by; a month has a name once.
        reckoning: its rug.
        likely: the chance that the customer says yes, 0 to 1.
    """

    name: str
    reckoning: Reckoning
    likely: float = 1.0


@dataclass(frozen=True, slots=True)
class Span:
    """From low to high: eight of ten months lie between. Income can be below nothing, so it is no ``Estimate``."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """What the quotes now open may come to.

    Attributes:
        hours: of work.
        cloth: to cut, in square metres.
        income: what the hours earn, all together: prices after fees, less materials, overhead and things bought in.
    """

    hours: Span
    cloth: Span
    income: Span


def month_of(quotes: Sequence[OpenQuote]) -> Month:
    """The month of these quotes.

    Raises:
        NotPossible: ``risk.twice`` for a name that two quotes have, ``risk.likely`` for a chance outside 0 to 1.
    """
    problems = [
        Problem("risk.likely", f"quote.{one.name}", {"chance": one.likely}) for one in quotes if not 0 <= one.likely <= 1
    ]
    if len({one.name for one in quotes}) < len(quotes):
        problems.append(Problem("risk.twice", "quote"))
    if problems:
        raise NotPossible(*problems)
    hours, cloth, income = [], [], []
    for one in quotes:
        found = one.reckoning
        strip = found.plan.strip.metres
        hours.append(_Share(one.likely, 0.0, 1 / 60, _apart(found.minutes_total, one)))
        cloth.append(_Share(one.likely, 0.0, strip, _apart(add(use.to_cut for use in found.cloths), one)))
        known, spent = _in_two(_spent(found))
        income.append(_Share(one.likely, float(found.price.net.amount) - known, -1.0, _apart(spent, one)))
    return Month(hours=_span(hours), cloth=_span(cloth), income=_span(income))


def _spent(reckoning: Reckoning) -> list[Estimate]:
    """What a rug costs without its labour, in its parts: as ``cost_parts``, with no wage and nobody paid."""
    plan = reckoning.plan
    nothing = Money.zero(plan.currency)
    overhead = plan.overhead
    if not isinstance(overhead, OverheadPerHour):
        borne = reckoning.cost.overhead.amount * 60 / exact(reckoning.minutes_total.middle or 1.0)
        overhead = OverheadPerHour(borne)
    unpaid = replace(plan, wage=nothing, pay={}, overhead=overhead)
    return cost_parts(unpaid, reckoning.cost, reckoning.cloths, reckoning.minutes, reckoning.minutes_total)


@dataclass(frozen=True, slots=True)
class _Share:
    """``fixed + times x part``, where the customer says yes; nothing where not."""

    likely: float
    fixed: float
    times: float
    part: Estimate

    @property
    def mean(self) -> float:
        """Where the customer says yes."""
        return self.fixed + self.times * self.part.mean


def _apart(estimate: Estimate, quote: OpenQuote) -> Estimate:
    """The same with sources named so that other quotes share what they should: not what is a rug's own, nor another loom's."""
    loom = quote.reckoning.plan.loom

    def named(source: str) -> str:
        if source.endswith(OF_THE_RUG):
            return f"{source} {quote.name}"
        return source if source.startswith("hours.pace.cut") else f"{source} on {loom.kind} {loom.name}"

    return Estimate(estimate.middle, tuple(sorted((named(source), sigma) for source, sigma in estimate.doubts)))


def _span(shares: Sequence[_Share]) -> Span:
    """The sum of all shares, by its mean and variance: log-normal where it cannot be negative, else normal.

    For two quotes with chances p and q the covariance is ``p q cov``, since customers do not ask one another; for one it is
    ``p (variance + mean^2) - p^2 mean^2``.
    """
    mean = math.fsum(one.likely * one.mean for one in shares)
    variance = 0.0
    for i, one in enumerate(shares):
        mine = dict(one.part.doubts)
        for j, other in enumerate(shares[: i + 1]):
            shared = math.fsum(sigma * mine[source] for source, sigma in other.part.doubts if source in mine)
            together = one.times * other.times * one.part.mean * other.part.mean * math.expm1(shared)
            if i == j:
                variance += one.likely * (together + one.mean**2) - (one.likely * one.mean) ** 2
            else:
                variance += 2 * one.likely * other.likely * together
    spread = math.sqrt(max(0.0, variance))
    if all(one.fixed == 0 and one.times > 0 for one in shares) and mean > 0:
        sigma = math.sqrt(math.log1p((spread / mean) ** 2))
        return Span(*(mean * math.exp(out * sigma - sigma**2 / 2) for out in (-EIGHT_OF_TEN, 0.0, EIGHT_OF_TEN)))
    return Span(mean - EIGHT_OF_TEN * spread, mean, mean + EIGHT_OF_TEN * spread)
