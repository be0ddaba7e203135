"""How each figure came about: the formula that was used, with the values that went in.

An explanation names a formula and the terms in it; it holds no words. ``shop.words.formulas`` writes the
formula out, once with the names of the terms and once with their values. Each input says whether it was
measured in this shop, is the shop's setting, or is a starting guess.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shop.core.cost import OverheadPerHour
from shop.core.hours import STEPS
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.reckoning import ClothUse, Reckoning
from shop.core.spread import Basis, Estimate, sure
from shop.core.strips import FRAY, Tool


@dataclass(frozen=True, slots=True)
class Quantity:
    """A plain number with its unit.

    Attributes:
        value: the number.
        unit: ``mm m m2 mm2 g kg min share count whole per_m g_per_m2 g_per_cm3 m_per_kg``, a pace in minutes as
            ``min_each min_per_m min_per_kg``, or ``ratio`` for a number without a unit. A ``whole`` number is
            counted up where it stands for an end of an estimate.
    """

    value: float
    unit: str


Shown = Quantity | Length | Money


@dataclass(frozen=True, slots=True)
class Term:
    """One input of a formula.

    Attributes:
        name: which input, e.g. ``"take_up"``.
        value: what it was.
        basis: where it comes from; ``None`` for a figure that was itself worked out.
    """

    name: str
    value: Shown
    basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class Explanation:
    """One figure explained.

    Attributes:
        key: which figure, e.g. ``"weft.rows"``.
        formula: which formula it came by, e.g. ``"weft.rows.counted"``.
        terms: its inputs, in the order of the formula.
        result: what it came to, at the middle.
        low: the low end of 8 of 10; ``None`` where the figure is not in doubt.
        high: the high end.
        cloth: the place of the cloth that it is about; ``None`` for the whole rug.
    """

    key: str
    formula: str
    terms: tuple[Term, ...]
    result: Shown
    low: Shown | None = None
    high: Shown | None = None
    cloth: int | None = None

    @property
    def basis(self) -> Basis | None:
        """The least sure of its inputs: a guess anywhere makes the figure rest on a guess."""
        for basis in (Basis.GUESS, Basis.SETTING, Basis.MEASURED):
            if any(term.basis is basis for term in self.terms):
                return basis
        return None


def explain(reckoning: Reckoning) -> tuple[Explanation, ...]:
    """Every figure of a reckoning, in the order of the cost sheet."""
    return (
        *_warp(reckoning),
        *_weft(reckoning),
        *(found for place in range(len(reckoning.cloths)) for found in _cloth(reckoning, place)),
        *_hours(reckoning),
        *_cost(reckoning),
        *_price(reckoning),
    )


def _estimated(
    key: str, formula: str, unit: str, estimate: Estimate, *terms: Term, cloth: int | None = None
) -> Explanation:
    in_doubt = not estimate.is_sure
    return Explanation(
        key,
        formula,
        terms,
        Quantity(estimate.middle, unit),
        Quantity(estimate.low, unit) if in_doubt else None,
        Quantity(estimate.high, unit) if in_doubt else None,
        cloth,
    )


class _Terms:
    """Makes terms of a plan's numbers, with their basis."""

    def __init__(self, reckoning: Reckoning) -> None:
        self._plan = reckoning.plan

    def set(self, name: str, path: str, value: float | Decimal | Length | Money, unit: str = "ratio") -> Term:
        shown = value if isinstance(value, Length | Money) else Quantity(float(value), unit)
        return Term(name, shown, self._plan.basis(path))

    def cloth(self, name: str, place: int, key: str, value: float | Length | Money, unit: str = "ratio") -> Term:
        """A number of one cloth, which may be said in its own table or once for all."""
        paths = (f"cloth.{place}.{key}", f"cloth.{key}", f"weft.{key}")
        bases = {self._plan.basis(path) for path in paths}
        basis = next((b for b in (Basis.MEASURED, Basis.GUESS) if b in bases), Basis.SETTING)
        shown = value if isinstance(value, Length | Money) else Quantity(float(value), unit)
        return Term(name, shown, basis)


def _count(name: str, value: float) -> Term:
    return Term(name, Quantity(value, "count"))


def _warp(reckoning: Reckoning) -> list[Explanation]:
    plan, made, warp = reckoning.plan, reckoning.made, reckoning.warp
    loom, of = plan.loom, _Terms(reckoning)
    found = []
    if made.panels > 1:
        widest = Term("widest", loom.widest)
        asked = Term("width", plan.size.width, Basis.SETTING)
        found.append(Explanation("rug.panels", "rug.panels", (asked, widest), Quantity(made.panels, "count")))
    if isinstance(loom, FrameLoom):
        spacing = of.set("spacing", "loom.spacing", loom.spacing)
        width = Term("panel_width" if made.panels > 1 else "width", made.panel_width)
        passes = of.set("passes_per_peg", "loom.passes_per_peg", loom.passes_per_peg, "count")
        found += [
            Explanation("warp.pegs", "warp.pegs", (width, spacing), Quantity(made.pegs, "count")),
            Explanation(
                "warp.passes", "warp.passes", (_count("pegs", made.pegs), passes), Quantity(warp.passes, "count")
            ),
            Explanation(
                "warp.length",
                "warp.length.frame",
                (
                    _count("passes", warp.passes),
                    of.set("length", "loom.length", made.size.length),
                    of.set("turn", "loom.turn", loom.turn),
                    of.set("tail", "loom.tail", loom.tail),
                    _count("panels", made.panels),
                ),
                warp.length,
            ),
        ]
    elif isinstance(loom, ShaftLoom):
        found += _shaft_warp(reckoning, loom, of)
    elif isinstance(loom, PlankLoom):
        found += [
            Explanation(
                "warp.pegs",
                "warp.pegs",
                (Term("width", made.panel_width), of.set("spacing", "loom.spacing", loom.spacing)),
                Quantity(made.pegs, "count"),
            ),
            Explanation(
                "warp.length",
                "warp.length.plank",
                (
                    _count("pegs", made.pegs),
                    Term("length", made.size.length),
                    of.set("knot", "loom.knot", loom.knot),
                    _count("panels", made.panels),
                ),
                warp.length,
            ),
        ]
    return [*found, *_warp_stuff(reckoning, of)]


def _shaft_warp(reckoning: Reckoning, loom: ShaftLoom, of: _Terms) -> list[Explanation]:
    made, warp = reckoning.made, reckoning.warp
    reed = Explanation(
        "warp.reed_width",
        "warp.reed_width",
        (
            Term("panel_width" if made.panels > 1 else "width", made.panel_width),
            of.set("draw_in", "loom.draw_in", loom.draw_in, "share"),
        ),
        warp.reed_width,
    )
    ends = Explanation(
        "warp.ends",
        "warp.ends",
        (
            of.set("sett", "loom.sett", loom.sett.per_metre, "per_m"),
            Term("reed_width", warp.reed_width),
            of.set("selvedge_ends", "loom.selvedge_ends", loom.selvedge_ends, "count"),
        ),
        Quantity(warp.ends, "count"),
    )
    woven = Explanation(
        "warp.woven",
        "warp.woven",
        (Term("length", made.size.length), of.set("relaxation", "loom.relaxation", loom.relaxation, "share")),
        warp.woven,
    )
    one = Explanation(
        "warp.one",
        "warp.one",
        (
            _count("pieces", warp.pieces),
            Term("woven", warp.woven),
            of.set("hem", "loom.hem", loom.hem),
            of.set("cut_space", "loom.cut_space", loom.cut_space),
            of.set("warp_take_up", "loom.take_up", loom.take_up, "share"),
            of.set("loom_waste", "loom.waste", loom.waste),
        ),
        warp.one,
    )
    whole = Explanation(
        "warp.length", "warp.length.ends", (_count("ends", warp.ends), Term("one", warp.one)), warp.length
    )
    return [reed, ends, woven, one, whole]


def _warp_stuff(reckoning: Reckoning, of: _Terms) -> list[Explanation]:
    plan, warp = reckoning.plan, reckoning.warp
    length = Term("warp_length", warp.length)
    if plan.yarn is None:
        weight = sum(use.share * use.cloth.grams_per_m2 for use in reckoning.cloths)
        terms = (
            length,
            of.set("strip", "weft.strip", plan.strip),
            of.cloth("cloth_weight", 0, "cloth_weight", weight, "g_per_m2"),
        )
        return [_estimated("warp.weight", "warp.weight.rag", "g", reckoning.warp_g, *terms)]
    yarn = of.set("yarn_run", "loom.yarn", plan.yarn.metres_per_kg, "m_per_kg")
    shared = _count("rugs_on_warp", plan.rugs_on_warp if isinstance(plan.loom, ShaftLoom) else 1)
    grams = _estimated("warp.weight", "warp.weight.yarn", "g", reckoning.warp_g, length, yarn, shared)
    if plan.yarn_price is None:
        return [grams]
    by = plan.yarn_price
    price = of.set("yarn_price", "loom.yarn_price", Money.rounded(by.amount, plan.currency))
    cost = Explanation(
        "cost.warp",
        f"cost.warp.yarn.{by.unit}",
        (Term("warp_weight", Quantity(reckoning.warp_g.middle, "g")), price),
        reckoning.warp_cost,
    )
    return [grams, cost]


def _weft(reckoning: Reckoning) -> list[Explanation]:
    plan, made = reckoning.plan, reckoning.made
    of = _Terms(reckoning)
    woven = Term("woven", reckoning.warp.woven)
    found = []
    if plan.rows_per_metre is not None:
        path = "weft.rows_per_inch"
        counted = Term("rows_counted", Quantity(plan.rows_per_metre, "per_m"), plan.basis(path))
        found.append(_estimated("weft.rows", "weft.rows.counted", "whole", reckoning.rows, woven, counted))
    else:
        use = reckoning.cloths[0]
        if len(reckoning.cloths) == 1:
            found += _pitch(reckoning, use, of)
        pitch = Term("pitch", Quantity(reckoning.pitch.middle, "mm"))
        found.append(_estimated("weft.rows", "weft.rows", "whole", reckoning.rows, woven, pitch))
    weft = reckoning.weft
    found.append(
        _estimated(
            "weft.length",
            "weft.length",
            "m",
            weft,
            _count("rows", reckoning.rows.middle),
            Term("rug_width", made.size.width),
            of.set("take_up", "weft.take_up", plan.take_up),
            _count("joins", reckoning.joins),
            of.set("join_loss", "weft.joins", plan.join_loss),
        )
    )
    strip = of.set("strip", "weft.strip", plan.strip)
    length = Term("weft_length", Quantity(weft.middle, "m"))
    found.append(_estimated("weft.area", "weft.area", "m2", reckoning.weft_area, length, strip))
    grams = sure(reckoning.weight.middle - reckoning.warp_g.middle)
    found.append(
        _estimated(
            "rug.weight",
            "rug.weight",
            "g",
            reckoning.weight,
            Term("weft_weight", Quantity(grams.middle, "g")),
            Term("warp_weight", Quantity(reckoning.warp_g.middle, "g")),
        )
    )
    return found


def _pitch(reckoning: Reckoning, use: ClothUse, of: _Terms, cloth: int | None = None) -> list[Explanation]:
    plan = reckoning.plan
    section = Explanation(
        "weft.section",
        "weft.section",
        (
            of.set("strip", "weft.strip", plan.strip),
            of.cloth("cloth_weight", cloth or 0, "cloth_weight", use.cloth.grams_per_m2, "g_per_m2"),
            of.cloth("density", cloth or 0, "fibre", use.cloth.density, "g_per_cm3"),
        ),
        Quantity(use.section_mm2, "mm2"),
        cloth=cloth,
    )
    packing = of.set("packing", "weft.packing", plan.packing)
    area = Term("section", Quantity(use.section_mm2, "mm2"))
    return [section, _estimated("weft.pitch", "weft.pitch", "mm", use.pitch, packing, area, cloth=cloth)]


def _cloth(reckoning: Reckoning, place: int) -> list[Explanation]:
    plan, use, of = reckoning.plan, reckoning.cloths[place], _Terms(reckoning)
    many = len(reckoning.cloths) > 1
    found = _pitch(reckoning, use, of, place) if many and plan.rows_per_metre is None else []
    if many:
        share = Term("share", Quantity(use.share, "share"), Basis.SETTING)
        rows = (share, _count("rows", reckoning.rows.middle))
        found.append(Explanation("cloth.rows", "cloth.rows", rows, Quantity(use.rows, "count"), cloth=place))
    rag_m = reckoning.warp.length_m * use.share if isinstance(plan.loom, FrameLoom) else 0.0
    waste = of.set("waste", "weft.waste", plan.waste, "share")
    weft = Term("weft_length", Quantity(use.weft.middle, "m"))
    rag = Term("rag_warp", Quantity(rag_m, "m"))
    found.append(_estimated("cloth.to_cut", "cloth.to_cut", "m", use.to_cut, weft, rag, waste, cloth=place))
    width = of.cloth("cloth_width", place, "width", use.cloth.width)
    length = of.cloth("cloth_length", place, "length", use.cloth.length)
    strip = of.set("strip", "weft.strip", plan.strip)
    per_piece = Term("strip_of_piece", use.cut.total)
    cutting = f"cloth.strip_of_piece.{plan.way.value}"
    sides: tuple[Term, ...] = (width, length, strip)
    if plan.tool is Tool.TEAR:
        cutting, sides = f"{cutting}.torn", (*sides, Term("fray", FRAY, Basis.SETTING))
    sides = (*sides, _count("strips", use.cut.count))
    found.append(Explanation("cloth.strip_of_piece", cutting, sides, use.cut.total, cloth=place))
    to_cut = Term("to_cut", Quantity(use.to_cut.middle, "m"))
    found.append(_estimated("cloth.pieces", "cloth.pieces", "count", use.pieces, to_cut, per_piece, cloth=place))
    paid = of.cloth("paid", place, "paid", use.cloth.paid)
    found.append(
        Explanation("cost.cloth", "cost.cloth", (weft, waste, paid, per_piece), use.cost, cloth=place)
    )
    if rag_m:
        found.append(
            Explanation("cost.warp", "cost.warp.rag", (rag, waste, paid, per_piece), use.warp_cost, cloth=place)
        )
    return found


def _hours(reckoning: Reckoning) -> list[Explanation]:
    plan, of = reckoning.plan, _Terms(reckoning)
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
            _count("warps", one_by_one),
            paced("warp_set_up", pace.warp_set_up),
            _count("ends" if not on_pegs else "passes", (reckoning.warp.ends or reckoning.warp.passes) * one_by_one),
            paced("warp_per_pass" if on_pegs else "warp_per_end", each),
            _count("rugs_on_warp", plan.rugs_on_warp if isinstance(plan.loom, ShaftLoom) else 1),
        ),
        "weave": (
            _count("panels", panels),
            _count("rows", reckoning.rows.middle),
            paced("weave_per_row", pace.weave_per_row),
            paced("weave_per_row_m", pace.weave_per_row_m),
            Term("panel_width", width),
            _count("changes", panels * (len(reckoning.bands) - 1)),
            paced("band_change", pace.band_change),
        ),
        "finish": (
            paced("finish_set_up", pace.finish_set_up),
            _count("edges", 2 * panels),
            paced("finish_per_edge", pace.finish_per_edge),
            _count("seams", panels - 1),
            Term("length", reckoning.made.size.length),
            paced("seam_per_m", pace.seam_per_m),
        ),
        "office": (paced("office", pace.office),),
    }
    found = []
    for step in STEPS:
        if step in plan.given_minutes:
            given = Term("given", Quantity(plan.given_minutes[step], "min"), plan.basis(f"hours.{step}"))
            found.append(_estimated(f"hours.{step}", "hours.given", "min", reckoning.minutes[step], given))
            continue
        formula = f"hours.{step}"
        if step == "warp":
            formula = "hours.warp.passes" if on_pegs else "hours.warp.ends"
        found.append(_estimated(f"hours.{step}", formula, "min", reckoning.minutes[step], *reckoned[step]))
    steps = tuple(Term(step, Quantity(reckoning.minutes[step].middle, "min")) for step in STEPS)
    return [*found, _estimated("hours.total", "hours.total", "min", reckoning.minutes_total, *steps)]


def _cost(reckoning: Reckoning) -> list[Explanation]:
    plan, cost, of = reckoning.plan, reckoning.cost, _Terms(reckoning)
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
    plan, of = reckoning.plan, _Terms(reckoning)
    terms: list[Term] = []
    for step in STEPS:
        terms.append(Term(step, Quantity(reckoning.minutes[step].middle, "min")))
        path = f"rates.pay.{step}" if step in plan.pay else "rates.wage"
        terms.append(of.set(f"pay_{step}", path, plan.pay.get(step, plan.wage)))
    return Explanation("cost.labour", "cost.labour.steps", tuple(terms), reckoning.cost.labour)


def _price(reckoning: Reckoning) -> list[Explanation]:
    plan, cost, price, of = reckoning.plan, reckoning.cost, reckoning.price, _Terms(reckoning)
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
