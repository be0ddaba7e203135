"""The reckoning of a rug: from a plan to warp, weft, cloth, hours, cost, price and what an hour earns.

The whole of the shop's arithmetic in one pass, deterministic: the same plan always gives the same figures.
"""

from __future__ import annotations

from decimal import Decimal
from math import fsum
from typing import Final

from shop.core.cloth import Cloth
from shop.core.cost import job_cost, labour_by_step
from shop.core.doubt import cost_parts, hourly_doubt
from shop.core.errors import NotPossible, Problem
from shop.core.hours import Work, minutes_by_step
from shop.core.loom import Fit, FrameLoom, PlankLoom, ShaftLoom, fit
from shop.core.money import LARGEST_MINOR, Money, exact
from shop.core.plan import RugPlan
from shop.core.price import Price, hourly, price_of
from shop.core.reckoning import ClothUse, Reckoning
from shop.core.spread import EIGHT_OF_TEN, Estimate, add, doubtful, sure
from shop.core.stripe_plan import lay_out, rows_of_cloths
from shop.core.stripes import Band, bands, rows_by_cloth
from shop.core.strips import joins_in
from shop.core.warp import Warp, frame_warp, plank_warp, shaft_warp
from shop.core.weft import pitch_mm, rows_in, solid_section_mm2, weft_m

DOES_NOT_PACK: Final = (300.0, 10.0)
"""Cloth of so many g/m2 does not pack on so many ends to the inch: denim at 12 (common practice)."""
OWN_PACES: Final = {"cut": "hours.pace.cut_per_m", "warp": "hours.pace.warp", "finish": "hours.pace.finish"}
"""Steps that are told as wholes by the shop's own rugs; a starting guess of them is taken as it stands."""


def reckon(plan: RugPlan) -> Reckoning:
    """Reckon a rug.

    Raises:
        CannotMake: when the loom cannot make the size, with the nearest that it can.
        NotPossible: when figures contradict one another, a piece gives no strip, or it comes to more money
            than can be kept.
    """
    made = fit(plan.loom, plan.size)
    warp = _warp(plan, made)
    pitches = [_pitch(plan, cloth) for cloth, _ in plan.cloths]
    woven_mm = warp.woven.millimetres
    stripes = _stripes(plan, [pitch.middle for pitch in pitches], woven_mm, made.size.length.millimetres)
    counts = rows_of_cloths(stripes, len(pitches))
    reaches = [count * pitch.middle for count, pitch in zip(counts, pitches, strict=True)]
    shares = _shares(plan, reaches)
    whole = sum(counts)
    mean_pitch = pitches[0].at_middle(woven_mm / fsum(woven_mm * s / p.middle for s, p in zip(shares, pitches, strict=True)))
    rows = rows_in(woven_mm, mean_pitch).at_middle(whole)
    rag_m = warp.length_m if isinstance(plan.loom, FrameLoom) else 0.0
    uses = tuple(
        _use(plan, made, share, pitch, count, rag_m)
        for share, pitch, count in zip(enumerate(shares), pitches, counts, strict=True)
    )
    weft = _sum([use.weft for use in uses])
    strip_m = plan.strip.metres
    weft_area = weft.scaled(strip_m)
    weft_g = _sum([use.weft.scaled(strip_m * use.cloth.grams_per_m2) for use in uses])
    warp_g, yarn_cost = _warp_stuff(plan, warp, uses)
    warp_cost = yarn_cost if plan.yarn else _money_sum([use.warp_cost for use in uses])
    minutes = minutes_by_step(plan.pace, _work(plan, made, warp, uses, rows, len(stripes)), plan.given_minutes)
    total_minutes = _sum(list(minutes.values()))
    cost = job_cost(
        cloth=_money_sum([use.cost for use in uses]),
        warp=warp_cost,
        minutes=total_minutes.middle,
        wage=plan.wage,
        labour=labour_by_step({step: each.middle for step, each in minutes.items()}, plan.wage, plan.pay),
        overhead=plan.overhead,
        bought_in=[amount for _, amount in plan.bought_in],
    )
    parts_in_doubt = cost_parts(plan, cost, uses, minutes, total_minutes)
    area = made.size.width.metres * made.size.length.metres
    price = price_of(plan.price, cost, area)
    if max(cost.total.minor, price.total.minor) > LARGEST_MINOR:
        raise NotPossible(Problem("money.large"))
    earned = hourly(price.net, cost, total_minutes.middle)
    doubt = hourly_doubt(price, cost, uses, total_minutes)
    either_side = Money.rounded(doubt * EIGHT_OF_TEN, plan.currency)
    return Reckoning(
        plan=plan,
        made=made,
        warp=warp,
        warp_g=warp_g,
        warp_cost=warp_cost,
        rows=rows,
        pitch=mean_pitch,
        weft=weft,
        weft_area=weft_area,
        weight=_sum([weft_g, warp_g]),
        cloths=uses,
        bands=stripes,
        minutes=minutes,
        minutes_total=total_minutes,
        cost=cost,
        cost_total=add(parts_in_doubt).at_middle(float(cost.total.amount)),
        price=price,
        hourly=earned,
        hourly_low=earned - either_side,
        hourly_high=earned + either_side,
        warnings=_warnings(plan, made, uses, price),
    )


def _stripes(plan: RugPlan, pitches: list[float], woven_mm: float, finished_mm: float) -> tuple[Band, ...]:
    """The bands of one panel: as they are planned one by one, or the cloths in turn by their shares.

    Planned lengths are of the finished rug, off tension, so each row counts for as much as it is then.
    """
    if plan.stripes is not None:
        found = lay_out(plan.stripes, [pitch * finished_mm / woven_mm for pitch in pitches], finished_mm)
        for (cloth, _), rows in zip(plan.cloths, rows_of_cloths(found, len(pitches)), strict=True):
            if not rows:
                raise NotPossible(Problem("stripes.unused", "cloth", {"name": cloth.name}))
        return found
    whole = fsum(share for _, share in plan.cloths)
    if whole <= 0:
        raise NotPossible(Problem("cloth.none", "cloth"))
    lengths = [woven_mm * share / whole for _, share in plan.cloths]
    parts = [length / pitch for length, pitch in zip(lengths, pitches, strict=True)]
    rows = int(rows_in(woven_mm, sure(woven_mm / fsum(parts))).middle)
    counts = rows_by_cloth(rows, parts) if len(parts) > 1 else [rows]
    return bands(counts, lengths, plan.repeats)


def _shares(plan: RugPlan, reaches: list[float]) -> list[float]:
    """The share of the woven length that each cloth fills: of planned bands what they come to, else what was asked for."""
    parts = reaches if plan.stripes is not None else [share for _, share in plan.cloths]
    whole = fsum(parts)
    return [part / whole for part in parts]


def _sum(parts: list[Estimate]) -> Estimate:
    """The sum with the doubt of a Fenton-Wilkinson sum, its middle the sum of the middles, so that a sheet adds up."""
    return parts[0] if len(parts) == 1 else add(parts).at_middle(fsum(part.middle for part in parts))


def _money_sum(amounts: list[Money]) -> Money:
    whole = amounts[0]
    for amount in amounts[1:]:
        whole = whole + amount
    return whole


def _warp(plan: RugPlan, made: Fit) -> Warp:
    if isinstance(plan.loom, FrameLoom):
        return frame_warp(plan.loom, made)
    if isinstance(plan.loom, ShaftLoom):
        return shaft_warp(plan.loom, made, plan.rugs_on_warp)
    return plank_warp(plan.loom, made)


def _pitch(plan: RugPlan, cloth: Cloth) -> Estimate:
    if plan.rows_per_metre is not None:
        return sure(1000 / plan.rows_per_metre)
    section = solid_section_mm2(plan.strip.millimetres, cloth.grams_per_m2, cloth.density)
    return pitch_mm(plan.uncertain("weft.packing", plan.packing), section)


def _use(
    plan: RugPlan, made: Fit, placed: tuple[int, float], pitch: Estimate, rows: int, rag_m: float
) -> ClothUse:
    place, share = placed
    cloth = plan.cloths[place][0]
    cut = cloth.strips(plan.strip, plan.way, plan.tool)
    each_m = cut.each.metres
    loss_m = plan.join_loss.metres
    take_up = plan.uncertain("weft.take_up", plan.take_up)
    doubts = tuple((name, -s) for name, s in pitch.doubts)
    row_m = made.size.width.metres
    woven_in = weft_m(Estimate(rows, doubts), row_m, take_up)
    joins = joins_in(woven_in.middle, each_m, loss_m)
    weft = woven_in.at_middle(woven_in.middle + joins * loss_m)
    rag = rag_m * share
    cut_for_one = 1 / (1 - plan.waste)
    waste = plan.told("weft.waste", cut_for_one) or doubtful(cut_for_one, "weft.waste", plan.waste * 2)
    to_cut = _sum([weft, sure(rag)]).times(waste) if rag else weft.times(waste)
    total_m = cut.total.metres
    per_metre = cloth.paid.amount / (Decimal(cut.total.nm) / 10**9)
    kept = 1 - exact(plan.waste)
    return ClothUse(
        cloth=cloth,
        share=share,
        section_mm2=solid_section_mm2(plan.strip.millimetres, cloth.grams_per_m2, cloth.density),
        pitch=pitch,
        rows=rows,
        woven_in=woven_in,
        joins=joins,
        weft=weft,
        to_cut=to_cut,
        cut=cut,
        pieces=to_cut.scaled(1 / total_m),
        cost=Money.rounded(exact(weft.middle) / kept * per_metre, plan.currency),
        warp_cost=Money.rounded(exact(rag) / kept * per_metre, plan.currency),
    )


def _warp_stuff(plan: RugPlan, warp: Warp, uses: tuple[ClothUse, ...]) -> tuple[Estimate, Money]:
    """Weight of the warp that one rug bears, and the cost of its yarn."""
    if plan.yarn is None:
        mean_g = fsum(use.share * use.cloth.grams_per_m2 for use in uses)
        return sure(warp.length_m * plan.strip.metres * mean_g), Money.zero(plan.currency)
    one_rug_m = warp.length_m / (plan.rugs_on_warp if isinstance(plan.loom, ShaftLoom) else 1)
    grams = plan.yarn.grams(one_rug_m)
    per_gram = plan.yarn_price.per_gram() if plan.yarn_price else Decimal(0)
    return sure(grams), Money.rounded(exact(grams) * per_gram, plan.currency)


def _work(
    plan: RugPlan, made: Fit, warp: Warp, uses: tuple[ClothUse, ...], rows: Estimate, stripes: int
) -> Work:
    frame = isinstance(plan.loom, FrameLoom)
    strip_m = _sum([use.to_cut for use in uses])
    grams = _sum([use.to_cut.scaled(plan.strip.metres * use.cloth.grams_per_m2) for use in uses])
    return Work(
        cloth_kg=grams.scaled(0.001),
        strip_m=strip_m,
        tool=plan.tool,
        warps=made.panels if frame or isinstance(plan.loom, PlankLoom) else 1,
        passes=warp.passes * made.panels,
        ends=warp.ends * (made.panels if isinstance(plan.loom, PlankLoom) else 1),
        rugs_on_warp=plan.rugs_on_warp if isinstance(plan.loom, ShaftLoom) else 1,
        rows=rows,
        panels=made.panels,
        row_m=made.panel_width.metres,
        band_changes=stripes - 1,
        length_m=made.size.length.metres,
        minutes_per_row=plan.uncertain("hours.pace.weave_per_row", 1.0),
        minutes_of={step: doubt for step, name in OWN_PACES.items() if (doubt := plan.told(name, 1.0)) is not None},
    )


def _warnings(plan: RugPlan, made: Fit, uses: tuple[ClothUse, ...], price: Price) -> tuple[Problem, ...]:
    found = []
    if made.size.width != plan.size.width or made.size.length != plan.size.length:
        found.append(Problem("warn.size", "rug", {"asked": plan.size, "made": made.size}))
    if made.panels > 1:
        found.append(Problem("warn.panels", "rug", {"panels": made.panels, "width": made.panel_width}))
    heavy, close = DOES_NOT_PACK
    for use in uses:
        if isinstance(plan.loom, ShaftLoom) and plan.loom.sett.per_inch >= close and use.cloth.grams_per_m2 >= heavy:
            found.append(Problem("warn.pack", "cloth", {"name": use.cloth.name, "sett": plan.loom.sett.text()}))
        if not use.reaches:
            found.append(Problem("warn.short", "cloth", {"name": use.cloth.name, "metres": use.short_m}))
    if price.raised:
        found.append(Problem("warn.raised", "price", {"floor": price.floor}))
    elif price.asking < price.floor:
        found.append(Problem("warn.below_floor", "price", {"floor": price.floor}))
    return tuple(found)
