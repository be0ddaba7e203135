"""Formulas in words: each figure's name, each formula, and the name of each of its terms.

A formula is written twice: with the names of its terms, and with their values. Placeholders are the names
of the terms that ``shop.core.explain`` gives.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from shop.core.spread import Basis
from shop.words.catalogue import mark

FIGURES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "rug.panels": mark("Panels"),
        "rug.weight": mark("Weight of the rug"),
        "warp.pegs": mark("Pegs in use"),
        "warp.passes": mark("Warp passes"),
        "warp.reed_width": mark("Width in the reed"),
        "warp.ends": mark("Warp ends"),
        "warp.woven": mark("Woven length, on the loom"),
        "warp.one": mark("Length of the warp"),
        "warp.length": mark("Warp altogether"),
        "warp.weight": mark("Weight of the warp"),
        "weft.section": mark("Solid section of a strip"),
        "weft.pitch": mark("Room for one row"),
        "weft.rows": mark("Rows"),
        "weft.length": mark("Weft strip"),
        "weft.area": mark("Cloth in the weft"),
        "cloth.rows": mark("Rows of this cloth"),
        "cloth.to_cut": mark("Strip to cut"),
        "cloth.strip_of_piece": mark("Strip out of one piece"),
        "cloth.pieces": mark("Pieces needed"),
        "cost.cloth": mark("Cloth in the weft, what was paid"),
        "cost.warp": mark("Warp, what was paid"),
        "hours.wash": mark("Wash and sort"),
        "hours.cut": mark("Cut or tear"),
        "hours.warp": mark("Warp the loom"),
        "hours.weave": mark("Weave"),
        "hours.finish": mark("Finish"),
        "hours.office": mark("Office: quote, photographs, packing"),
        "hours.total": mark("Hours altogether"),
        "cost.labour": mark("Labour"),
        "cost.overhead": mark("Overhead"),
        "cost.bought_in": mark("Bought in"),
        "cost.total": mark("Cost altogether"),
        "price.floor": mark("Floor price"),
        "price.cost": mark("Price that only covers cost"),
        "price.asking": mark("Asking price"),
        "price.tax": mark("Tax"),
        "price.total": mark("The customer pays"),
        "price.deposit": mark("Deposit"),
        "price.fees": mark("Fees out of the price"),
        "price.hourly": mark("An hour earns"),
    }
)
"""The name of each figure."""

TERMS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "width": mark("width of the rug"),
        "rug_width": mark("width of the rug"),
        "panel_width": mark("width of a panel"),
        "widest": mark("widest on this loom"),
        "length": mark("length of the rug"),
        "spacing": mark("spacing of the pegs"),
        "pegs": mark("pegs"),
        "passes_per_peg": mark("passes to a peg"),
        "passes": mark("passes"),
        "turn": mark("turn at a peg"),
        "tail": mark("tail"),
        "panels": mark("panels"),
        "draw_in": mark("draw-in"),
        "sett": mark("sett"),
        "reed_width": mark("width in the reed"),
        "selvedge_ends": mark("selvedge ends"),
        "relaxation": mark("relaxation off the loom"),
        "pieces": mark("rugs or panels on the warp"),
        "woven": mark("woven length"),
        "hem": mark("hem or fringe"),
        "cut_space": mark("cut space"),
        "warp_take_up": mark("take-up of the warp"),
        "loom_waste": mark("loom waste"),
        "ends": mark("ends"),
        "one": mark("length of the warp"),
        "knot": mark("yarn to knot"),
        "warp_length": mark("warp altogether"),
        "strip": mark("width of a strip"),
        "cloth_weight": mark("weight of the cloth"),
        "yarn_run": mark("run of the yarn"),
        "rugs_on_warp": mark("rugs on the warp"),
        "warp_weight": mark("weight of the warp"),
        "yarn_price": mark("price of the yarn"),
        "rows_counted": mark("rows counted"),
        "density": mark("density of the fibre"),
        "packing": mark("packing"),
        "section": mark("solid section"),
        "pitch": mark("room for one row"),
        "rows": mark("rows"),
        "take_up": mark("take-up of the weft"),
        "joins": mark("joins"),
        "join_loss": mark("lost at a join"),
        "weft_length": mark("weft strip"),
        "weft_weight": mark("weight of the weft"),
        "share": mark("share of the rug"),
        "rag_warp": mark("rag warp"),
        "waste": mark("waste of cutting"),
        "cloth_width": mark("width of the piece"),
        "cloth_length": mark("length of the piece"),
        "strips": mark("strips"),
        "fray": mark("frayed off an edge"),
        "strip_of_piece": mark("strip out of one piece"),
        "to_cut": mark("strip to cut"),
        "paid": mark("paid for the piece"),
        "cloth_kg": mark("cloth to wash"),
        "wash_per_kg": mark("pace of washing"),
        "cut_per_m": mark("pace of cutting"),
        "warps": mark("warps"),
        "warp_set_up": mark("setting up"),
        "warp_per_pass": mark("for a pass"),
        "warp_per_end": mark("for an end"),
        "weave_per_row": mark("for a row"),
        "weave_per_row_m": mark("for the width of a row"),
        "changes": mark("changes of cloth"),
        "band_change": mark("for a change"),
        "finish_set_up": mark("setting up"),
        "edges": mark("edges"),
        "finish_per_edge": mark("for an edge"),
        "seams": mark("seams"),
        "seam_per_m": mark("pace of a seam"),
        "office": mark("office"),
        "given": mark("as given"),
        "wash": mark("wash"),
        "cut": mark("cut"),
        "warp": mark("warp"),
        "weave": mark("weave"),
        "finish": mark("finish"),
        "minutes": mark("time"),
        "wage": mark("wage wanted for an hour"),
        "pay_wash": mark("pay for an hour of washing"),
        "pay_cut": mark("pay for an hour of cutting"),
        "pay_warp": mark("pay for an hour of warping"),
        "pay_weave": mark("pay for an hour of weaving"),
        "pay_finish": mark("pay for an hour of finishing"),
        "pay_office": mark("pay for an hour of office work"),
        "overhead_per_hour": mark("overhead for an hour"),
        "labour": mark("labour"),
        "overhead_share": mark("overhead as a share of labour"),
        "postage": mark("postage"),
        "label": mark("label"),
        "mat": mark("non-slip mat"),
        "cloth_cost": mark("cloth"),
        "warp_cost": mark("warp"),
        "overhead": mark("overhead"),
        "bought_in": mark("bought in"),
        "fee_fixed": mark("fixed fee"),
        "fee_share": mark("fee"),
        "tax_rate": mark("tax rate"),
        "cost_total": mark("cost"),
        "step": mark("price step"),
        "discount": mark("discount"),
        "materials": mark("materials"),
        "markup": mark("markup"),
        "margin": mark("margin"),
        "trade_markup": mark("markup to the trade price"),
        "retail_times": mark("retail over trade"),
        "rug_area": mark("area of the rug"),
        "area_rate": mark("price of a square metre"),
        "set_price": mark("price set by hand"),
        "floor": mark("floor price"),
        "asking": mark("asking price"),
        "tax": mark("tax"),
        "total": mark("what the customer pays"),
        "deposit": mark("deposit"),
        "net": mark("price after fees and tax"),
    }
)
"""The name of each term."""

FORMULAS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "rug.panels": mark("%(width)s ÷ %(widest)s, rounded up"),
        "rug.weight": mark("%(weft_weight)s + %(warp_weight)s"),
        "warp.pegs": mark("%(width)s ÷ %(spacing)s, rounded up"),
        "warp.passes": mark("%(pegs)s × %(passes_per_peg)s"),
        "warp.length.frame": mark(
            "(%(passes)s × (%(length)s + %(turn)s) + 2 × %(tail)s) × %(panels)s"
        ),
        "warp.length.ends": mark("%(ends)s × %(one)s"),
        "warp.length.plank": mark("%(pegs)s × 2 × (%(length)s + 2 × %(knot)s) × %(panels)s"),
        "warp.reed_width": mark("%(width)s ÷ (1 − %(draw_in)s)"),
        "warp.ends": mark("%(sett)s × %(reed_width)s, rounded up, + %(selvedge_ends)s"),
        "warp.woven": mark("%(length)s ÷ (1 − %(relaxation)s)"),
        "warp.one": mark(
            "%(pieces)s × (%(woven)s + 2 × %(hem)s + %(cut_space)s) ÷ (1 − %(warp_take_up)s) + %(loom_waste)s"
        ),
        "warp.weight.rag": mark("%(warp_length)s × %(strip)s × %(cloth_weight)s"),
        "warp.weight.yarn": mark("%(warp_length)s ÷ %(yarn_run)s ÷ %(rugs_on_warp)s"),
        "cost.warp.yarn.lb": mark("%(warp_weight)s × %(yarn_price)s a pound"),
        "cost.warp.yarn.kg": mark("%(warp_weight)s × %(yarn_price)s a kilogram"),
        "weft.section": mark("%(strip)s × %(cloth_weight)s ÷ %(density)s"),
        "weft.pitch": mark("%(packing)s × √ %(section)s"),
        "weft.rows": mark("%(woven)s ÷ %(pitch)s, rounded up"),
        "weft.rows.counted": mark("%(woven)s × %(rows_counted)s, rounded up"),
        "weft.length": mark("%(rows)s × %(rug_width)s × %(take_up)s + %(joins)s × %(join_loss)s"),
        "weft.area": mark("%(weft_length)s × %(strip)s"),
        "cloth.rows": mark("%(share)s × %(woven)s ÷ %(pitch)s, in whole rows that add up to the rug's"),
        "cloth.rows.stripes": mark("all its stripes together: %(share)s × %(woven)s ÷ %(pitch)s, in whole rows of each stripe"),
        "cloth.to_cut": mark("(%(weft_length)s + %(rag_warp)s) ÷ (1 − %(waste)s)"),
        "cloth.strip_of_piece.along": mark(
            "%(cloth_width)s ÷ %(strip)s, in whole strips, × %(cloth_length)s"
        ),
        "cloth.strip_of_piece.across": mark(
            "%(cloth_length)s ÷ %(strip)s, in whole strips, × %(cloth_width)s"
        ),
        "cloth.strip_of_piece.along.torn": mark(
            "%(cloth_width)s ÷ (%(strip)s + 2 × %(fray)s), in whole strips, × %(cloth_length)s"
        ),
        "cloth.strip_of_piece.across.torn": mark(
            "%(cloth_length)s ÷ (%(strip)s + 2 × %(fray)s), in whole strips, × %(cloth_width)s"
        ),
        "cloth.strip_of_piece.zigzag": mark(
            "%(cloth_width)s ÷ %(strip)s, in whole turns, × %(cloth_length)s, less a strip's width at each turn"
        ),
        "cloth.strip_of_piece.tube": mark(
            "%(cloth_width)s × %(cloth_length)s ÷ %(strip)s, in a spiral"
        ),
        "cloth.pieces": mark("%(to_cut)s ÷ %(strip_of_piece)s"),
        "cost.cloth": mark("%(weft_length)s ÷ (1 − %(waste)s) ÷ %(strip_of_piece)s × %(paid)s"),
        "cost.warp.rag": mark("%(rag_warp)s ÷ (1 − %(waste)s) ÷ %(strip_of_piece)s × %(paid)s"),
        "hours.given": mark("%(given)s"),
        "hours.wash": mark("%(cloth_kg)s × %(wash_per_kg)s"),
        "hours.cut": mark("%(to_cut)s × %(cut_per_m)s"),
        "hours.warp.passes": mark(
            "(%(warps)s × %(warp_set_up)s + %(passes)s × %(warp_per_pass)s) ÷ %(rugs_on_warp)s"
        ),
        "hours.warp.ends": mark("(%(warps)s × %(warp_set_up)s + %(ends)s × %(warp_per_end)s) ÷ %(rugs_on_warp)s"),
        "hours.weave": mark(
            "%(panels)s × %(rows)s × (%(weave_per_row)s + %(weave_per_row_m)s × %(panel_width)s)"
            " + %(changes)s × %(band_change)s"
        ),
        "hours.finish": mark(
            "%(finish_set_up)s + %(edges)s × %(finish_per_edge)s + %(seams)s × %(length)s × %(seam_per_m)s"
        ),
        "hours.office": mark("%(office)s"),
        "hours.total": mark("%(wash)s + %(cut)s + %(warp)s + %(weave)s + %(finish)s + %(office)s"),
        "cost.labour": mark("%(minutes)s × %(wage)s"),
        "cost.labour.steps": mark(
            "%(wash)s × %(pay_wash)s + %(cut)s × %(pay_cut)s + %(warp)s × %(pay_warp)s + %(weave)s × %(pay_weave)s"
            " + %(finish)s × %(pay_finish)s + %(office)s × %(pay_office)s"
        ),
        "cost.overhead.hour": mark("%(minutes)s × %(overhead_per_hour)s"),
        "cost.overhead.share": mark("%(labour)s × %(overhead_share)s"),
        "cost.bought_in.none": mark("nothing bought in for it"),
        "cost.total": mark("%(cloth_cost)s + %(warp_cost)s + %(labour)s + %(overhead)s + %(bought_in)s"),
        "price.floor": mark("(%(materials)s + %(bought_in)s + %(fee_fixed)s) ÷ (1 − %(fee_share)s)"),
        "price.floor.contained": mark(
            "(%(materials)s + %(bought_in)s + %(fee_fixed)s) ÷ (1 − %(fee_share)s − %(tax_rate)s ÷ (1 + %(tax_rate)s))"
        ),
        "price.cost": mark("(%(cost_total)s + %(fee_fixed)s) ÷ (1 − %(fee_share)s)"),
        "price.cost.contained": mark(
            "(%(cost_total)s + %(fee_fixed)s) ÷ (1 − %(fee_share)s − %(tax_rate)s ÷ (1 + %(tax_rate)s))"
        ),
        "price.asking.hand": mark("%(set_price)s, less %(discount)s"),
        "price.asking.raised": mark("%(floor)s, to the next step of %(step)s, since the rule came out below it"),
        "price.tax": mark("%(asking)s × %(tax_rate)s"),
        "price.tax.contained": mark("%(asking)s × %(tax_rate)s ÷ (1 + %(tax_rate)s)"),
        "price.total": mark("%(asking)s + %(tax)s"),
        "price.total.contained": mark("%(asking)s"),
        "price.deposit": mark("%(total)s × %(deposit)s"),
        "price.fees": mark("%(asking)s × %(fee_share)s + %(fee_fixed)s"),
        "price.hourly": mark("(%(net)s − %(materials)s − %(overhead)s − %(bought_in)s) ÷ %(minutes)s"),
    }
)
"""Each formula; those of the asking price are put together from ``RULES`` and ``AFTER_RULE``."""

RULES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "markup": mark("%(cost_total)s × (1 + %(markup)s)"),
        "margin": mark("%(cost_total)s ÷ (1 − %(margin)s)"),
        "trade": mark("%(cost_total)s × (1 + %(trade_markup)s) × %(retail_times)s"),
        "area": mark("%(rug_area)s × %(area_rate)s"),
    }
)
"""What is wanted for the rug, by each rule, before fees and tax."""

AFTER_RULE: Final[Mapping[str, str]] = MappingProxyType(
    {
        "": mark("(%(rule)s + %(fee_fixed)s) ÷ (1 − %(fee_share)s), in steps of %(step)s, less %(discount)s"),
        "contained": mark(
            "(%(rule)s + %(fee_fixed)s) ÷ (1 − %(fee_share)s − %(tax_rate)s ÷ (1 + %(tax_rate)s)),"
            " in steps of %(step)s, less %(discount)s"
        ),
    }
)
"""From what is wanted to the asking price."""

BASES: Final[Mapping[Basis, str]] = MappingProxyType(
    {
        Basis.MEASURED: mark("measured here"),
        Basis.SETTING: mark("as set"),
        Basis.GUESS: mark("starting guess"),
    }
)
"""How each basis is called beside a number."""
