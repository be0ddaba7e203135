"""How sure the money is: the cost of a rug and what an hour earns, with the sources of their doubt."""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, fsum, hypot

from shop.core.cost import JobCost, OverheadPerHour
from shop.core.plan import RugPlan
from shop.core.price import Price
from shop.core.reckoning import ClothUse
from shop.core.spread import Estimate, sure


def cost_parts(
    plan: RugPlan,
    cost: JobCost,
    uses: tuple[ClothUse, ...],
    minutes: Mapping[str, Estimate],
    minutes_total: Estimate,
) -> list[Estimate]:
    """The cost in its parts, in units of the currency, each with its doubt.

    Cloth moves with its strip; work with its minutes, step by step where steps are paid differently, at its pay
    and the overhead it bears; warp and things bought in are known.
    """
    parts = _cloth(uses)
    for step, each in minutes.items() if plan.pay else (("", minutes_total),):
        pay = float(plan.pay.get(step, plan.wage).amount)
        borne = plan.overhead
        overhead = float(borne.rate) if isinstance(borne, OverheadPerHour) else pay * float(borne.share)
        parts.append(each.scaled((pay + overhead) / 60))
    parts.append(sure(_known(cost, uses)))
    return parts


def _cloth(uses: tuple[ClothUse, ...]) -> list[Estimate]:
    """What each cloth costs, weft and rag warp together: it moves with the strip that is cut of it."""
    return [use.to_cut.at_middle(float((use.cost + use.warp_cost).amount)) for use in uses]


def _known(cost: JobCost, uses: tuple[ClothUse, ...]) -> float:
    """Yarn and things bought in: what is left of the materials when the cloth is taken out."""
    yarn_and_bought = cost.materials + cost.bought_in
    return float(yarn_and_bought.amount) - fsum(float((use.cost + use.warp_cost).amount) for use in uses)


def hourly_doubt(price: Price, cost: JobCost, uses: tuple[ClothUse, ...], minutes: Estimate) -> float:
    """Standard deviation of what an hour earns, by moving each source of doubt a step up and down.

    The price stands; cloth, overhead and hours move with their sources.
    """
    cloth = _cloth(uses)
    fixed = float(price.net.amount) - _known(cost, uses)
    overhead_a_minute = float(cost.overhead.amount) / minutes.middle
    sources = sorted({name for part in (*cloth, minutes) for name, _ in part.doubts})

    def moved(part: Estimate, source: str, way: int) -> float:
        shift = next((s for name, s in part.doubts if name == source), 0.0)
        return part.middle * exp(way * shift)

    def earned(source: str, way: int) -> float:
        time = moved(minutes, source, way)
        left = fixed - fsum(moved(part, source, way) for part in cloth) - overhead_a_minute * time
        return left / time * 60

    return hypot(*((earned(source, 1) - earned(source, -1)) / 2 for source in sources))
