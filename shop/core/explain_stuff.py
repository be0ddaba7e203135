"""How the figures of the stuff came about: warp, weft, and the cloth of each."""

from __future__ import annotations

from shop.core.cloth import Fibre
from shop.core.explanation import Explanation, Quantity, Term, Terms, count, estimated
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom
from shop.core.money import Money
from shop.core.reckoning import ClothUse, Reckoning
from shop.core.spread import Basis, sure
from shop.core.strips import FRAY, Tool


def warp_explained(reckoning: Reckoning) -> list[Explanation]:
    """Pegs, passes or ends, the length and the weight of the warp, and the cost of its yarn."""
    plan, made, warp = reckoning.plan, reckoning.made, reckoning.warp
    loom, of = plan.loom, Terms(reckoning)
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
                "warp.passes", "warp.passes", (count("pegs", made.pegs), passes), Quantity(warp.passes, "count")
            ),
            Explanation(
                "warp.length",
                "warp.length.frame",
                (
                    count("passes", warp.passes),
                    of.set("length", "loom.length", made.size.length),
                    of.set("turn", "loom.turn", loom.turn),
                    of.set("tail", "loom.tail", loom.tail),
                    count("panels", made.panels),
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
                    count("pegs", made.pegs),
                    Term("length", made.size.length),
                    of.set("knot", "loom.knot", loom.knot),
                    count("panels", made.panels),
                ),
                warp.length,
            ),
        ]
    return [*found, *_warp_stuff(reckoning, of)]


def _shaft_warp(reckoning: Reckoning, loom: ShaftLoom, of: Terms) -> list[Explanation]:
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
            count("pieces", warp.pieces),
            Term("woven", warp.woven),
            of.set("hem", "loom.hem", loom.hem),
            of.set("cut_space", "loom.cut_space", loom.cut_space),
            of.set("warp_take_up", "loom.take_up", loom.take_up, "share"),
            of.set("loom_waste", "loom.waste", loom.waste),
        ),
        warp.one,
    )
    whole = Explanation(
        "warp.length", "warp.length.ends", (count("ends", warp.ends), Term("one", warp.one)), warp.length
    )
    return [reed, ends, woven, one, whole]


def _warp_stuff(reckoning: Reckoning, of: Terms) -> list[Explanation]:
    plan, warp = reckoning.plan, reckoning.warp
    length = Term("warp_length", warp.length)
    if plan.yarn is None:
        weight = sum(use.share * use.cloth.grams_per_m2 for use in reckoning.cloths)
        terms = (
            length,
            of.set("strip", "weft.strip", plan.strip),
            of.cloth("cloth_weight", 0, "cloth_weight", weight, "g_per_m2"),
        )
        return [estimated("warp.weight", "warp.weight.rag", "g", reckoning.warp_g, *terms)]
    yarn = of.set("yarn_run", "loom.yarn", plan.yarn.metres_per_kg, "m_per_kg")
    shared = count("rugs_on_warp", plan.rugs_on_warp if isinstance(plan.loom, ShaftLoom) else 1)
    grams = estimated("warp.weight", "warp.weight.yarn", "g", reckoning.warp_g, length, yarn, shared)
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


def weft_explained(reckoning: Reckoning) -> list[Explanation]:
    """The pitch of a row, rows, strip, and the weight of the rug."""
    plan, made = reckoning.plan, reckoning.made
    of = Terms(reckoning)
    woven = Term("woven", reckoning.warp.woven)
    found: list[Explanation] = []
    if plan.stripes is not None:
        if len(reckoning.cloths) == 1 and plan.rows_per_metre is None:
            found += _pitch(reckoning, reckoning.cloths[0], of)
        by_cloth = (count(f"rows_{place}", use.rows) for place, use in enumerate(reckoning.cloths))
        found.append(estimated("weft.rows", "weft.rows.stripes", "whole", reckoning.rows, *by_cloth))
    elif plan.rows_per_metre is not None:
        path = "weft.rows_per_inch"
        counted = Term("rows_counted", Quantity(plan.rows_per_metre, "per_m"), plan.basis(path))
        found.append(estimated("weft.rows", "weft.rows.counted", "whole", reckoning.rows, woven, counted))
    else:
        use = reckoning.cloths[0]
        if len(reckoning.cloths) == 1:
            found += _pitch(reckoning, use, of)
        else:
            found.append(_mixed_pitch(reckoning))
        pitch = Term("pitch", Quantity(reckoning.pitch.middle, "mm"))
        found.append(estimated("weft.rows", "weft.rows", "whole", reckoning.rows, woven, pitch))
    weft = reckoning.weft
    found.append(
        estimated(
            "weft.length",
            "weft.length",
            "m",
            weft,
            count("rows", reckoning.rows.middle),
            Term("rug_width", made.size.width),
            of.set("take_up", "weft.take_up", plan.take_up),
            count("joins", reckoning.joins),
            of.set("join_loss", "weft.joins", plan.join_loss),
        )
    )
    strip = of.set("strip", "weft.strip", plan.strip)
    length = Term("weft_length", Quantity(weft.middle, "m"))
    found.append(estimated("weft.area", "weft.area", "m2", reckoning.weft_area, length, strip))
    grams = sure(reckoning.weight.middle - reckoning.warp_g.middle)
    found.append(
        estimated(
            "rug.weight",
            "rug.weight",
            "g",
            reckoning.weight,
            Term("weft_weight", Quantity(grams.middle, "g")),
            Term("warp_weight", Quantity(reckoning.warp_g.middle, "g")),
        )
    )
    return found


def _mixed_pitch(reckoning: Reckoning) -> Explanation:
    """The mean pitch of a rug of several cloths: one over the sum of each share over its own pitch."""
    basis = reckoning.plan.basis("weft.packing")
    terms: list[Term] = []
    for place, use in enumerate(reckoning.cloths):
        terms.append(Term(f"share_{place}", Quantity(use.share, "share"), Basis.SETTING))
        terms.append(Term(f"pitch_{place}", Quantity(use.pitch.middle, "mm"), basis))
    return estimated("weft.pitch", "weft.pitch.mixed", "mm", reckoning.pitch, *terms)


def _pitch(reckoning: Reckoning, use: ClothUse, of: Terms, cloth: int | None = None) -> list[Explanation]:
    plan = reckoning.plan
    section = Explanation(
        "weft.section",
        "weft.section",
        (
            of.set("strip", "weft.strip", plan.strip),
            of.cloth("cloth_weight", cloth or 0, "cloth_weight", use.cloth.grams_per_m2, "g_per_m2"),
            _density(of, use, cloth or 0),
        ),
        Quantity(use.section_mm2, "mm2"),
        cloth=cloth,
    )
    packing = of.set("packing", "weft.packing", plan.packing)
    area = Term("section", Quantity(use.section_mm2, "mm2"))
    return [section, estimated("weft.pitch", "weft.pitch", "mm", use.pitch, packing, area, cloth=cloth)]


def _density(of: Terms, use: ClothUse, cloth: int) -> Term:
    """The density of a cloth's fibre; of one that nobody knows, a guess."""
    term = of.cloth("density", cloth, "fibre", use.cloth.density, "g_per_cm3")
    return Term(term.name, term.value, Basis.GUESS) if use.cloth.fibre is Fibre.UNKNOWN else term


def cloth_explained(reckoning: Reckoning, place: int) -> list[Explanation]:
    """What one cloth of the plan comes to: its rows, strip, pieces and cost."""
    plan, use, of = reckoning.plan, reckoning.cloths[place], Terms(reckoning)
    many = len(reckoning.cloths) > 1
    found = _pitch(reckoning, use, of, place) if many and plan.rows_per_metre is None else []
    if many:
        share = Term("share", Quantity(use.share, "share"), Basis.SETTING if plan.stripes is None else None)
        woven = Term("woven", reckoning.warp.woven)
        pitch = Term("pitch", Quantity(use.pitch.middle, "mm"))
        rows = Quantity(use.rows, "count")
        how = "cloth.rows" if plan.stripes is None else "cloth.rows.stripes"
        found.append(Explanation("cloth.rows", how, (share, woven, pitch), rows, cloth=place))
    rag_m = reckoning.warp.length_m * use.share if isinstance(plan.loom, FrameLoom) else 0.0
    waste = of.set("waste", "weft.waste", plan.waste, "share")
    weft = Term("weft_length", Quantity(use.weft.middle, "m"))
    rag = Term("rag_warp", Quantity(rag_m, "m"))
    found.append(estimated("cloth.to_cut", "cloth.to_cut", "m", use.to_cut, weft, rag, waste, cloth=place))
    width = of.cloth("cloth_width", place, "width", use.cloth.width)
    length = of.cloth("cloth_length", place, "length", use.cloth.length)
    strip = of.set("strip", "weft.strip", plan.strip)
    per_piece = Term("strip_of_piece", use.cut.total)
    cutting = f"cloth.strip_of_piece.{plan.way.value}"
    sides: tuple[Term, ...] = (width, length, strip)
    if plan.tool is Tool.TEAR:
        cutting, sides = f"{cutting}.torn", (*sides, Term("fray", FRAY, Basis.GUESS))
    sides = (*sides, count("strips", use.cut.count))
    found.append(Explanation("cloth.strip_of_piece", cutting, sides, use.cut.total, cloth=place))
    to_cut = Term("to_cut", Quantity(use.to_cut.middle, "m"))
    found.append(estimated("cloth.pieces", "cloth.pieces", "count", use.pieces, to_cut, per_piece, cloth=place))
    paid = of.cloth("paid", place, "paid", use.cloth.paid)
    found.append(
        Explanation("cost.cloth", "cost.cloth", (weft, waste, paid, per_piece), use.cost, cloth=place)
    )
    if rag_m:
        found.append(
            Explanation("cost.warp", "cost.warp.rag", (rag, waste, paid, per_piece), use.warp_cost, cloth=place)
        )
    return found
