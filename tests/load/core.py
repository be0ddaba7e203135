"""A reckoning in the core against the same formulas in plain floats."""

from __future__ import annotations

import gc
from math import isclose

from shop.core.described import plan_of
from shop.core.loom import ShaftLoom
from shop.core.plan import RugPlan
from shop.core.reckon import reckon
from shop.core.sheet import sheet
from shop.core.spread import SPREAD
from tests.load.plain_floats import plain_rug
from tests.load.side_by_side import say_ratio, side_by_side

AIM = 40
LEAST_A_SECOND = 2000
OFTEN = {"in plain floats": 12}

DOCUMENT = {
    "rug": {"width": "36 in", "length": "72 in"},
    "loom": {"kind": "shaft", "sett": "12.5/in", "width": "40 in", "yarn": "8/4", "yarn_price": "14.50/lb"},
    "weft": {"strip": "1 in", "cloth_weight": "90 g/m2"},
    "cloth": {"paid": "6.00", "width": "81 in", "length": "96 in", "pieces": 4},
    "bought_in": {"postage": "14.50"},
    "price": {"markup": 0.35, "fee_percent": 0.03, "fee_fixed": "0.30", "tax_rate": 0.07, "round_to": "5.00"},
}


def run(*, turns: int, rows: int) -> None:
    """Time the core; ``rows`` is of no meaning here."""
    del rows
    plan = plan_of(DOCUMENT)
    given = in_floats(plan)
    _agree(plan, plain_rug(**given))
    collections = sum(one["collections"] for one in gc.get_stats())
    each = side_by_side(
        {
            "in the core": lambda: reckon(plan),
            "in plain floats": lambda: plain_rug(**given),
            "described, reckoned, on a sheet": lambda: sheet(reckon(plan_of(DOCUMENT))),
        },
        turns=turns * 5,
        warm=50,
        often=OFTEN,
    )
    collections = sum(one["collections"] for one in gc.get_stats()) - collections
    print(f"  one rug, of {turns * 5:,} turns; the garbage collector ran {collections} times:")
    for name, one in each.items():
        print(f"    {name:32} {one}: {1 / one.median:,.0f} a second")
    ours, plain = each["in the core"], each["in plain floats"]
    say_ratio("the same formulas in plain floats", ours, plain, aim=AIM)
    missed = "" if 1 / ours.median > LEAST_A_SECOND else " - MISSED"
    print(f"    {1 / ours.median:,.0f} reckonings a second; aim over {LEAST_A_SECOND:,}{missed}")


def in_floats(plan: RugPlan) -> dict[str, object]:
    """The numbers of a plan for one cloth on a shaft loom, as plain floats."""
    loom, pace, rule = plan.loom, plan.pace, plan.price
    ((cloth, _),) = plan.cloths
    if not isinstance(loom, ShaftLoom) or plan.yarn is None or plan.yarn_price is None:
        raise TypeError("Only a rug on a shaft loom is reckoned in plain floats.")
    varying = ("weft.packing", "weft.take_up", "hours.pace.weave_per_row")
    return {
        "width": plan.size.width.metres,
        "length": plan.size.length.metres,
        "rugs": plan.rugs_on_warp,
        "ends_per_m": loom.sett.per_metre,
        "loom_width": loom.width.metres,
        "draw_in": loom.draw_in,
        "warp_take_up": loom.take_up,
        "relaxation": loom.relaxation,
        "loom_waste": loom.waste.metres,
        "selvedge_ends": loom.selvedge_ends,
        "hem": loom.hem.metres,
        "m_per_kg": plan.yarn.metres_per_kg,
        "yarn_per_g": float(plan.yarn_price.per_gram()),
        "strip": plan.strip.metres,
        "join_loss": plan.join_loss.metres,
        "cloth_width": cloth.width.metres,
        "cloth_length": cloth.length.metres,
        "paid": float(cloth.paid.amount),
        "in_hand": cloth.pieces,
        "g_per_m2": cloth.grams_per_m2,
        "density": cloth.density,
        "packing": plan.packing,
        "take_up": plan.take_up,
        "waste": plan.waste,
        "spread": tuple(SPREAD[plan.basis(name)] for name in varying),
        "pace": (
            pace.wash_per_kg,
            pace.cut_per_m(plan.tool),
            pace.warp_set_up,
            pace.warp_per_end,
            pace.weave_per_row,
            pace.weave_per_row_m,
            pace.band_change,
            pace.finish_set_up,
            pace.finish_per_edge,
            pace.seam_per_m,
            pace.office,
        ),
        "wage": float(plan.wage.amount),
        "overhead": float(plan.overhead.rate),
        "bought_in": sum(float(amount.amount) for _, amount in plan.bought_in),
        "markup": float(rule.share),
        "fee_share": float(rule.fee_share),
        "fee_fixed": float(rule.fee_fixed.amount),
        "tax_rate": float(rule.tax_rate),
        "step": float(rule.step.amount),
        "deposit": float(rule.deposit),
    }


def _agree(plan: RugPlan, plain: dict[str, float]) -> None:
    """Both must come to the same figures, to the coin that floats may miss, or comparing their times says nothing."""
    found = reckon(plan)
    use = found.cloths[0]
    ours = {
        "ends": found.warp.ends,
        "warp_m": found.warp.length_m,
        "warp_g": found.warp_g.middle,
        "rows": found.rows.middle,
        "rows_low": found.rows.low,
        "rows_high": found.rows.high,
        "weft": found.weft.middle,
        "weft_low": found.weft.low,
        "weft_high": found.weft.high,
        "area": found.weft_area.middle,
        "weight": found.weight.middle,
        "weight_high": found.weight.high,
        "to_cut_high": use.to_cut.high,
        "pieces": use.pieces.middle,
        "short": use.short_m,
        "minutes": found.minutes_total.middle,
        "minutes_low": found.minutes_total.low,
        "minutes_high": found.minutes_total.high,
        "cost": float(found.cost.total.amount),
        "cost_low": found.cost_total.low,
        "cost_high": found.cost_total.high,
        "floor": float(found.price.floor.amount),
        "cost_price": float(found.price.cost.amount),
        "asking": float(found.price.asking.amount),
        "tax": float(found.price.tax.amount),
        "total": float(found.price.total.amount),
        "deposit": float(found.price.deposit.amount),
        "hourly": float(found.hourly.amount),
        "hourly_low": float(found.hourly_low.amount),
        "hourly_high": float(found.hourly_high.amount),
    }
    apart = [name for name, value in ours.items() if not isclose(value, plain[name], rel_tol=1e-6, abs_tol=0.0101)]
    if apart or set(ours) != set(plain):
        told = ", ".join(f"{name} {ours[name]} and {plain.get(name)}" for name in apart)
        raise SystemExit(f"The core and the plain floats do not reckon the same: {told}")
