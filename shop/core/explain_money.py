"""How the figures of time and money came about: hours, cost, and price."""

from __future__ import annotations

from shop.core.cost import OverheadPerHour
from shop.core.explanation import Explanation, Quantity, Term, Terms, count, estimated
from shop.core.hours import STEPS
from shop.core.loom import FrameLoom, ShaftLoom
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.reckoning import Reckoning
from shop.core.spread import Basis


def hours_explained(reckoning: Reckoning) -> list[Explanation]:
    """The minutes of each step, and all of them."""
    plan, of = reckoning.plan, Terms(reckoning)
    pace = plan.pace
    panels, width = reckoning.made.panels, reckoning.made.panel_width
    cut_path = f"hours.pace.cut_{plan.tool.value}_per_m"
    strip_m = sum(use.to_cut.middle for use in reckoning.cloths)
    kg = sum(use.to_cut.middle * plan.strip.metres * use.cloth.grams_per_m2 for use in reckoning.cloths) / 1000
    on_pegs = isinstance(plan.loom, FrameLoom)
    each = pace.warp_per_pass if on_pegs else pace.warp_per_end
    one_by_one = panels if not isinstance(plan.loom, ShaftLoom) else 1

    def paced(name: str, value: float) -> Term:
        unit = "min_per_kg" if name.endswith("_kg") else "min_per_m" if name.endswith("_m") else "min_each"
        return of.set(name, f"hours.pace.{name}", value, unit)

    reckoned = {
        "wash": (Term("cloth_kg", Quantity(kg, "kg")), paced("wash_per_kg", pace.wash_per_kg)),
        "cut": (
            Term("to_cut", Quantity(strip_m, "m")),
            of.set("cut_per_m", cut_path, pace.cut_per_m(plan.tool), "min_per_m"),
        ),
        "warp": (
            count("warps", one_by_one),
            paced("warp_set_up", pace.warp_set_up),
            count("ends" if not on_pegs else "passes", (reckoning.warp.ends or reckoning.warp.passes) * one_by_one),
            paced("warp_per_pass" if on_pegs else "warp_per_end", each),
            count("rugs_on_warp", plan.rugs_on_warp if isinstance(plan.loom, ShaftLoom) else 1),
        ),
        "weave": (
            count("panels", panels),
            count("rows", reckoning.rows.middle),
            paced("weave_per_row", pace.weave_per_row),
            paced("weave_per_row_m", pace.weave_per_row_m),
            Term("panel_width", width),
            count("changes", panels * (len(reckoning.bands) - 1)),
            paced("band_change", pace.band_change),
        ),
        "finish": (
            paced("finish_set_up", pace.finish_set_up),
            count("edges", 2 * panels),
            paced("finish_per_edge", pace.finish_per_edge),
            count("seams", panels - 1),
            Term("length", reckoning.made.size.length),
            paced("seam_per_m", pace.seam_per_m),
        ),
        "office": (paced("office", pace.office),),
    }
    found = []
    for step in STEPS:
        if step in plan.given_minutes:
            given = Term("given", Quantity(plan.given_minutes[step], "min"), plan.basis(f"hours.{step}"))
            found.append(estimated(f"hours.{step}", "hours.given", "min", reckoning.minutes[step], given))
            continue
        formula = f"hours.{step}"
        if step == "warp":
            formula = "hours.warp.passes" if on_pegs else "hours.warp.ends"
        found.append(estimated(f"hours.{step}", formula, "min", reckoning.minutes[step], *reckoned[step]))
    steps = tuple(Term(step, Quantity(reckoning.minutes[step].middle, "min")) for step in STEPS)
    return [*found, estimated("hours.total", "hours.total", "min", reckoning.minutes_total, *steps)]


def cost_explained(reckoning: Reckoning) -> list[Explanation]:
    """Labour, overhead, things bought in, and the total."""
    plan, cost, of = reckoning.plan, reckoning.cost, Terms(reckoning)
    minutes = Term("minutes", Quantity(reckoning.minutes_total.middle, "min"))
    labour = Explanation(
        "cost.labour", "cost.labour", (minutes, of.set("wage", "rates.wage", plan.wage)), cost.labour
    )
    if plan.pay:
        labour = _labour_by_step(reckoning)
    if isinstance(plan.overhead, OverheadPerHour):
        rate = Money.rounded(plan.overhead.rate, plan.currency)
        terms: tuple[Term, ...] = (minutes, of.set("overhead_per_hour", "rates.overhead_per_hour", rate))
        overhead = Explanation("cost.overhead", "cost.overhead.hour", terms, cost.overhead)
    else:
        share = of.set("overhead_share", "rates.overhead_percent", plan.overhead.share, "share")
        terms = (Term("labour", cost.labour), share)
        overhead = Explanation("cost.overhead", "cost.overhead.share", terms, cost.overhead)
    bought = tuple(Term(name, amount, Basis.SETTING) for name, amount in plan.bought_in)
    parts = (
        Term("cloth_cost", cost.cloth),
        Term("warp_cost", cost.warp),
        Term("labour", cost.labour),
        Term("overhead", cost.overhead),
        Term("bought_in", cost.bought_in),
    )
    return [
        labour,
        overhead,
        Explanation("cost.bought_in", "cost.bought_in" if bought else "cost.bought_in.none", bought, cost.bought_in),
        Explanation(
            "cost.total",
            "cost.total",
            parts,
            cost.total,
            Money.rounded(reckoning.cost_total.low, plan.currency),
            Money.rounded(reckoning.cost_total.high, plan.currency),
        ),
    ]


def _labour_by_step(reckoning: Reckoning) -> Explanation:
    """Labour where steps are paid at rates of their own: the minutes of each, and its pay."""
    plan, of = reckoning.plan, Terms(reckoning)
    terms: list[Term] = []
    for step in STEPS:
        terms.append(Term(step, Quantity(reckoning.minutes[step].middle, "min")))
        path = f"rates.pay.{step}" if step in plan.pay else "rates.wage"
        terms.append(of.set(f"pay_{step}", path, plan.pay.get(step, plan.wage)))
    return Explanation("cost.labour", "cost.labour.steps", tuple(terms), reckoning.cost.labour)


def price_explained(reckoning: Reckoning) -> list[Explanation]:
    """Floor, cost price, asking price, tax, total, deposit, fees, and what an hour earns."""
    plan, cost, price, of = reckoning.plan, reckoning.cost, reckoning.price, Terms(reckoning)
    rule = plan.price
    fees = (
        of.set("fee_fixed", "price.fee_fixed", rule.fee_fixed),
        of.set("fee_share", "price.fee_percent", rule.fee_share, "share"),
    )
    contained = rule.tax_included and bool(rule.tax_rate)
    rate = of.set("tax_rate", "price.tax_rate", rule.tax_rate, "share")
    out = (*fees, rate) if contained else fees
    end = ".contained" if contained else ""
    total = Term("cost_total", cost.total)
    step = Term("step", rule.step, Basis.SETTING)
    discount = Term("discount", Quantity(float(rule.discount), "share"), Basis.SETTING)
    materials = Term("materials", cost.materials)
    bought = Term("bought_in", cost.bought_in)
    chosen = {
        PriceBy.MARKUP: ("markup", (total, of.set("markup", "price.markup", rule.share, "share"))),
        PriceBy.MARGIN: ("margin", (total, of.set("margin", "price.margin", rule.share, "share"))),
        PriceBy.TRADE: (
            "trade",
            (
                total,
                of.set("trade_markup", "price.trade_markup", rule.share, "share"),
                of.set("retail_times", "price.retail_times", rule.retail_times),
            ),
        ),
        PriceBy.AREA: (
            "area",
            (
                Term("rug_area", Quantity(reckoning.made.size.width.metres * reckoning.made.size.length.metres, "m2")),
                Term("area_rate", Money.rounded(rule.area_rate, plan.currency), Basis.SETTING),
            ),
        ),
        PriceBy.HAND: ("hand", (Term("set_price", rule.set_price or price.asking, Basis.SETTING),)),
    }
    name, terms = chosen[rule.by]
    if rule.by is PriceBy.HAND:
        asking = Explanation("price.asking", "price.asking.hand", (*terms, discount), price.asking)
    elif price.raised:
        asking = Explanation("price.asking", "price.asking.raised", (Term("floor", price.floor), step), price.asking)
    else:
        asking = Explanation(
            "price.asking", f"price.asking.{name}{end}", (*terms, *out, step, discount), price.asking
        )
    asked = Term("asking", price.asking)
    tax = Explanation("price.tax", f"price.tax{end}", (asked, rate), price.tax)
    pay = (asked,) if rule.tax_included else (asked, Term("tax", price.tax))
    return [
        Explanation("price.floor", f"price.floor{end}", (materials, bought, *out), price.floor),
        Explanation("price.cost", f"price.cost{end}", (total, *out), price.cost),
        asking,
        tax,
        Explanation("price.total", "price.total.contained" if rule.tax_included else "price.total", pay, price.total),
        Explanation(
            "price.deposit",
            "price.deposit",
            (Term("total", price.total), of.set("deposit", "price.deposit", rule.deposit, "share")),
            price.deposit,
        ),
        Explanation(
            "price.fees", "price.fees", (asked, of.set("fee_share", "price.fee_percent", rule.fee_share, "share"), fees[0]), price.fees
        ),
        Explanation(
            "price.hourly",
            "price.hourly",
            (
                Term("net", price.net),
                materials,
                Term("overhead", cost.overhead),
                bought,
                Term("minutes", Quantity(reckoning.minutes_total.middle, "min")),
            ),
            reckoning.hourly,
            reckoning.hourly_low,
            reckoning.hourly_high,
        ),
    ]
