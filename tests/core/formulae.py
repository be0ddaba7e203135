"""Every formula a second time, written from the trade in metres, grams, minutes and exact amounts.

It knows nothing of how the reckoning goes about its work; ``off`` names the figures that do not follow from the terms
that they show.
"""

import math
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from shop.core.explain import explain
from shop.core.explanation import Quantity
from shop.core.hours import STEPS
from shop.core.measure import Length
from shop.core.money import Money, step_of

IN_METRES = {"mm": 1e-3, "mm2": 1e-6, "g_per_cm3": 1e6}
POUND = 453.59237


def plain(value):
    """A term in SI units: metres, square metres, grams, minutes; money as its exact amount."""
    if isinstance(value, Length):
        return value.metres
    if isinstance(value, Money):
        return value.amount
    assert isinstance(value, Quantity)
    return value.value * IN_METRES.get(value.unit, 1)


def up(value):
    """Counted up; a millionth over a whole number is the rounding of the lengths that are shown."""
    return math.ceil(value - 1e-6)


def down(value):
    return math.floor(value + 1e-6)


def exact(number):
    return number if isinstance(number, Decimal) else Decimal(repr(number))


def kept(t):
    """What fees, and the tax that a price contains, leave of it."""
    rate = exact(t.get("tax_rate", 0)) if t["contained"] else Decimal(0)
    return 1 - exact(t["fee_share"]) - rate / (1 + rate)


def asking(wanted):
    """From what is wanted to a price on its step and its discount; either way of rounding to a step."""

    def possible(t):
        price = (exact(wanted(t)) + t["fee_fixed"]) / kept(t)
        price = price.quantize(t["coin"], ROUND_HALF_UP)
        found = []
        for how in (ROUND_CEILING, ROUND_HALF_UP):
            stepped = (price / t["step"]).quantize(Decimal(1), how) * t["step"] if t["step"] else price
            found.append(stepped - (stepped * exact(t["discount"])).quantize(t["coin"], ROUND_HALF_UP))
        return found

    return possible


def bought(t):
    """Cloth by the strip that is cut, its waste with it."""
    amount = exact(t.get("weft_length", t.get("rag_warp")))
    return amount / (1 - exact(t["waste"])) / exact(t["strip_of_piece"]) * t["paid"]


def wide(t):
    return t.get("panel_width", t.get("width"))


FORMULAE = {
    "rug.panels": lambda t: up(t["width"] / t["widest"]),
    "rug.weight": lambda t: t["weft_weight"] + t["warp_weight"],
    "warp.pegs": lambda t: up(wide(t) / t["spacing"]),
    "warp.passes": lambda t: t["pegs"] * t["passes_per_peg"],
    "warp.length.frame": lambda t: (t["passes"] * (t["length"] + t["turn"]) + 2 * t["tail"]) * t["panels"],
    "warp.length.ends": lambda t: t["ends"] * t["one"],
    "warp.length.plank": lambda t: t["pegs"] * 2 * (t["length"] + 2 * t["knot"]) * t["panels"],
    "warp.reed_width": lambda t: wide(t) / (1 - t["draw_in"]),
    "warp.ends": lambda t: up(t["sett"] * t["reed_width"]) + t["selvedge_ends"],
    "warp.woven": lambda t: t["length"] / (1 - t["relaxation"]),
    "warp.one": lambda t: (
        t["pieces"] * (t["woven"] + 2 * t["hem"] + t["cut_space"]) / (1 - t["warp_take_up"]) + t["loom_waste"]
    ),
    "warp.weight.rag": lambda t: t["warp_length"] * t["strip"] * t["cloth_weight"],
    "warp.weight.yarn": lambda t: t["warp_length"] / t["yarn_run"] * 1000 / t["rugs_on_warp"],
    "cost.warp.yarn.lb": lambda t: exact(t["warp_weight"]) / exact(POUND) * t["yarn_price"],
    "cost.warp.yarn.kg": lambda t: exact(t["warp_weight"]) / 1000 * t["yarn_price"],
    "cost.warp.rag": bought,
    "weft.section": lambda t: t["strip"] * t["cloth_weight"] / t["density"],
    "weft.pitch.mixed": lambda t: 1 / math.fsum(
        t[f"share_{place}"] / t[f"pitch_{place}"] for place in range(sum(name.startswith("share_") for name in t))
    ),
    "weft.pitch": lambda t: t["packing"] * math.sqrt(t["section"]),
    "weft.rows": lambda t: up(t["woven"] / t["pitch"]),
    "weft.rows.stripes": lambda t: sum(rows for name, rows in t.items() if name.startswith("rows_")),
    "weft.rows.counted": lambda t: up(t["woven"] * t["rows_counted"]),
    "weft.length": lambda t: t["rows"] * t["rug_width"] * t["take_up"] + t["joins"] * t["join_loss"],
    "weft.area": lambda t: t["weft_length"] * t["strip"],
    "cloth.to_cut": lambda t: (t["weft_length"] + t["rag_warp"]) / (1 - t["waste"]),
    "cloth.strip_of_piece.along": lambda t: down(t["cloth_width"] / t["strip"]) * t["cloth_length"],
    "cloth.strip_of_piece.across": lambda t: down(t["cloth_length"] / t["strip"]) * t["cloth_width"],
    "cloth.strip_of_piece.along.torn": lambda t: down(t["cloth_width"] / (t["strip"] + 2 * t["fray"])) * t["cloth_length"],
    "cloth.strip_of_piece.across.torn": lambda t: down(t["cloth_length"] / (t["strip"] + 2 * t["fray"])) * t["cloth_width"],
    "cloth.strip_of_piece.zigzag": lambda t: (
        down(t["cloth_width"] / t["strip"]) * t["cloth_length"] - (down(t["cloth_width"] / t["strip"]) - 1) * t["strip"]
    ),
    "cloth.strip_of_piece.tube": lambda t: t["cloth_width"] * t["cloth_length"] / t["strip"],
    "cloth.pieces": lambda t: t["to_cut"] / t["strip_of_piece"],
    "cost.cloth": bought,
    "hours.given": lambda t: t["given"],
    "hours.wash": lambda t: t["cloth_kg"] * t["wash_per_kg"],
    "hours.cut": lambda t: t["to_cut"] * t["cut_per_m"],
    "hours.warp.passes": lambda t: (
        (t["warps"] * t["warp_set_up"] + t["passes"] * t["warp_per_pass"]) / t["rugs_on_warp"]
    ),
    "hours.warp.ends": lambda t: (t["warps"] * t["warp_set_up"] + t["ends"] * t["warp_per_end"]) / t["rugs_on_warp"],
    "hours.weave": lambda t: (
        t["panels"] * t["rows"] * (t["weave_per_row"] + t["weave_per_row_m"] * t["panel_width"])
        + t["changes"] * t["band_change"]
    ),
    "hours.finish": lambda t: (
        t["finish_set_up"] + t["edges"] * t["finish_per_edge"] + t["seams"] * t["length"] * t["seam_per_m"]
    ),
    "hours.office": lambda t: t["office"],
    "hours.total": lambda t: t["wash"] + t["cut"] + t["warp"] + t["weave"] + t["finish"] + t["office"],
    "cost.labour": lambda t: exact(t["minutes"]) / 60 * t["wage"],
    "cost.labour.steps": lambda t: sum(
        (exact(t[step]) / 60 * t[f"pay_{step}"] for step in STEPS), start=Decimal(0)
    ),
    "cost.overhead.hour": lambda t: exact(t["minutes"]) / 60 * t["overhead_per_hour"],
    "cost.overhead.share": lambda t: t["labour"] * exact(t["overhead_share"]),
    "cost.bought_in": lambda t: sum((t[name] for name in ("postage", "label", "mat") if name in t), Decimal(0)),
    "cost.bought_in.none": lambda _: Decimal(0),
    "cost.total": lambda t: t["cloth_cost"] + t["warp_cost"] + t["labour"] + t["overhead"] + t["bought_in"],
    "price.floor": lambda t: (t["materials"] + t["bought_in"] + t["fee_fixed"]) / kept(t),
    "price.cost": lambda t: (t["cost_total"] + t["fee_fixed"]) / kept(t),
    "price.asking.markup": asking(lambda t: t["cost_total"] * (1 + exact(t["markup"]))),
    "price.asking.margin": asking(lambda t: t["cost_total"] / (1 - exact(t["margin"]))),
    "price.asking.trade": asking(lambda t: t["cost_total"] * (1 + exact(t["trade_markup"])) * exact(t["retail_times"])),
    "price.asking.area": asking(lambda t: exact(t["rug_area"]) * t["area_rate"]),
    "price.asking.hand": lambda t: (
        t["set_price"] - (t["set_price"] * exact(t["discount"])).quantize(t["coin"], ROUND_HALF_UP)
    ),
    "price.asking.raised": lambda t: (
        (t["floor"] / t["step"]).quantize(Decimal(1), ROUND_CEILING) * t["step"] if t["step"] else t["floor"]
    ),
    "price.tax": lambda t: t["asking"] * exact(t["tax_rate"]),
    "price.tax.contained": lambda t: t["asking"] * exact(t["tax_rate"]) / (1 + exact(t["tax_rate"])),
    "price.total": lambda t: t["asking"] + t["tax"],
    "price.total.contained": lambda t: t["asking"],
    "price.deposit": lambda t: t["total"] * exact(t["deposit"]),
    "price.fees": lambda t: t["asking"] * exact(t["fee_share"]) + (t["fee_fixed"] if t["asking"] else 0),
    "price.hourly": lambda t: (
        (t["net"] - t["materials"] - t["overhead"] - t["bought_in"]) * 60 / exact(t["minutes"])
    ),
}
"""Every formula but one: the rows of a cloth follow from how all of them pack, and have a check of their own."""
for name in ("price.floor", "price.cost", *(f"price.asking.{rule}" for rule in ("markup", "margin", "trade", "area"))):
    FORMULAE[f"{name}.contained"] = FORMULAE[name]
ROUNDED_TERMS = {"price.asking.area": "rug_area", "price.asking.area.contained": "rug_area"}
"""A price for an area is shown to the coin, so that the figure worked out of it may be off by half a coin for each."""


def terms_of(explanation, currency):
    found = {term.name: plain(term.value) for term in explanation.terms}
    contained = explanation.formula.endswith(".contained")
    return {**found, "coin": step_of(currency), "contained": contained}


def holds(explanation, currency):
    """Whether the figure is what its formula makes of its terms."""
    again = FORMULAE[explanation.formula](terms_of(explanation, currency))
    result = plain(explanation.result)
    if not isinstance(explanation.result, Money):
        slack = 1e-9 * max(1, *(t.value.value for t in explanation.terms if isinstance(t.value, Quantity)), 1)
        return math.isclose(result, again, rel_tol=1e-6, abs_tol=slack)  # a width in many panels is cut to the nanometre
    coin = step_of(currency)
    loose = Decimal(0)
    if explanation.formula in ROUNDED_TERMS:
        area = terms_of(explanation, currency)[ROUNDED_TERMS[explanation.formula]]
        step = next(plain(term.value) for term in explanation.terms if term.name == "step")
        loose = exact(area) * coin * 10 + step + coin
    return any(
        abs((exact(one)).quantize(coin, ROUND_HALF_UP) - result) <= loose for one in (again if isinstance(again, list) else [again])
    )


def off(found):
    """The explanations that do not hold, for a failing test to show."""
    currency = found.plan.currency
    checked = (one for one in explain(found) if not one.formula.startswith("cloth.rows"))
    return [(one.formula, one.terms, one.result) for one in checked if not holds(one, currency)]
