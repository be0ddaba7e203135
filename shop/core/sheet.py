"""The cost sheet for programs: a reckoning as plain tables of SI numbers and money in strings.

Every figure that is an estimate is a table of ``low``, ``middle`` and ``high``, always, even where the
three agree; what follows exactly from the loom is a plain number; money is a string in the currency's own
decimals.
"""

from __future__ import annotations

from shop.core.hours import STEPS
from shop.core.loom import FrameLoom
from shop.core.measure import ceil_count
from shop.core.money import Money
from shop.core.reckoning import Reckoning
from shop.core.spread import Estimate
from shop.core.strips import Way, strips_of

Table = dict[str, object]


def _rounded(value: float) -> float:
    """Nine significant digits: far finer than any of it is known, and free of binary dust."""
    return float(f"{value:.9g}")


def estimate_table(estimate: Estimate) -> Table:
    """An estimate as ``low``, ``middle`` and ``high``."""
    return {
        "low": _rounded(estimate.low),
        "middle": _rounded(estimate.middle),
        "high": _rounded(estimate.high),
    }


def sheet(reckoning: Reckoning) -> Table:
    """The whole cost sheet. Lengths in metres, pitch in millimetres, weights in grams, times in hours."""
    plan, cost, price = reckoning.plan, reckoning.cost, reckoning.price
    rows = reckoning.rows
    found: Table = {
        "currency": plan.currency,
        "rug": {
            "width_m": reckoning.made.size.width.metres,
            "length_m": reckoning.made.size.length.metres,
            "panels": reckoning.made.panels,
            "weight_g": estimate_table(reckoning.weight),
        },
        "warp": {
            "passes": reckoning.warp.passes,
            "ends": reckoning.warp.ends,
            "length_m": reckoning.warp.length_m,
            "each_m": reckoning.warp.one.metres,
            "weight_g": _rounded(reckoning.warp_g.middle),
        },
        "weft": {
            "rows": {"low": ceil_count(rows.low), "middle": int(rows.middle), "high": ceil_count(rows.high)},
            "pitch_mm": estimate_table(reckoning.pitch),
            "length_m": estimate_table(reckoning.weft),
            "area_m2": estimate_table(reckoning.weft_area),
            "joins": reckoning.joins,
        },
        "strips": _strips(reckoning),
        "cloth": [
            {
                "name": use.cloth.name,
                "rows": use.rows,
                "strip_to_cut_m": estimate_table(use.to_cut),
                "pieces": estimate_table(use.pieces),
                "reaches": use.reaches,
                "short_m": _rounded(use.short_m),
            }
            for use in reckoning.cloths
        ],
        "hours": {
            **{step: estimate_table(reckoning.minutes[step].scaled(1 / 60)) for step in STEPS},
            "total": estimate_table(reckoning.minutes_total.scaled(1 / 60)),
        },
        "cost": {
            "cloth": cost.cloth.plain(),
            "warp": cost.warp.plain(),
            "labour": cost.labour.plain(),
            "overhead": cost.overhead.plain(),
            "bought_in": cost.bought_in.plain(),
            "total": cost.total.plain(),
            "total_low": Money.rounded(reckoning.cost_total.low, plan.currency).plain(),
            "total_high": Money.rounded(reckoning.cost_total.high, plan.currency).plain(),
        },
        "price": {
            "floor": price.floor.plain(),
            "cost": price.cost.plain(),
            "asking": price.asking.plain(),
            "discount": price.discount.plain(),
            "tax": price.tax.plain(),
            "total": price.total.plain(),
            "deposit": price.deposit.plain(),
            "fees": price.fees.plain(),
            "hourly": reckoning.hourly.plain(),
            "hourly_low": reckoning.hourly_low.plain(),
            "hourly_high": reckoning.hourly_high.plain(),
            "trade": price.trade.plain() if price.trade else None,
            "per_square_metre": Money.rounded(price.per_area, plan.currency).plain(),
        },
        "warnings": [problem.code for problem in reckoning.warnings],
        "assumed": list(plan.assumed),
        "measured": list(plan.measured),
    }
    if isinstance(plan.loom, FrameLoom):
        found["pegs"] = reckoning.made.pegs
    return found


def _strips(reckoning: Reckoning) -> list[Table]:
    """Strips of one piece of the first cloth, the way that is cut first and then the others that can be."""
    cloth, plan = reckoning.cloths[0].cloth, reckoning.plan
    ways = [plan.way, *(way for way in (Way.ALONG, Way.ACROSS) if way is not plan.way)]
    tables: list[Table] = []
    for way in ways:
        found = strips_of(cloth.width, cloth.length, plan.strip, way, plan.tool)
        tables.append(
            {
                "way": way.value,
                "count": found.count,
                "length_m": found.each.metres,
                "total_m": found.total.metres,
                "joins": found.joins,
            }
        )
    return tables
