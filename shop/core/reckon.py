"""The reckoning of a rug: from a plan to warp, weft, cloth, hours, cost, price and what an hour earns.

The whole of the shop's arithmetic in one pass, deterministic: the same plan always gives the same figures.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import exp, fsum, hypot
from typing import Final

from shop.core.cloth import Cloth
from shop.core.cost import JobCost, Overhead, OverheadPerHour, job_cost
from shop.core.errors import NotPossible, Problem
from shop.core.hours import Work, minutes_by_step
from shop.core.loom import Fit, FrameLoom, PlankLoom, ShaftLoom, fit
from shop.core.money import LARGEST_MINOR, Money, exact
from shop.core.plan import RugPlan
from shop.core.price import Price, hourly, price_of
from shop.core.spread import EIGHT_OF_TEN, Estimate, add, doubtful, sure
from shop.core.stripes import Band, bands, rows_by_cloth
from shop.core.strips import StripYield, joins_in
from shop.core.warp import Warp, frame_warp, plank_warp, shaft_warp
from shop.core.weft import pitch_mm, rows_in, solid_section_mm2, weft_m

DOES_NOT_PACK: Final = (300.0, 10.0)
"""Cloth of so many g/m2 does not pack on so many ends to the inch: denim at 12 (common practice)."""


@dataclass(frozen=True, slots=True)
class ClothUse:
    """What one cloth of the plan comes to.

    Attributes:
        cloth: the cloth.
        share: of the woven length, 0 to 1.
        section_mm2: solid cross-section of its strip.
        pitch: how far one row of it takes up, mm.
        rows: whole rows of it in one panel.
        woven_in: strip in the weft, without joins, metres.
        joins: joins in it, at the middle.
        weft: strip in the weft, joins with it, metres.
        to_cut: strip to cut, rag warp and normal waste with it, metres.
        cut: the strips of one piece.
        pieces: pieces needed.
        cost: what was paid for the part that goes into the weft.
        warp_cost: what was paid for the part that goes into a rag warp.
    """

    cloth: Cloth
    share: float
    section_mm2: float
    pitch: Estimate
    rows: int
    woven_in: Estimate
    joins: int
    weft: Estimate
    to_cut: Estimate
    cut: StripYield
    pieces: Estimate
    cost: Money
    warp_cost: Money

    @property
    def in_hand_m(self) -> float:
        """Strip that the pieces in hand give, metres."""
        return self.cut.total.metres * self.cloth.pieces

    @property
    def reaches(self) -> bool:
        """Whether the pieces in hand are enough in 9 rugs of 10."""
        return self.to_cut.high <= self.in_hand_m

    @property
    def short_m(self) -> float:
        """Strip still to find so as to have enough in 9 rugs of 10, metres; 0 where there is enough."""
        return max(0.0, self.to_cut.high - self.in_hand_m)


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Everything that a plan comes to. Estimates hold low, middle and high; money is exact.

    Attributes:
        plan: what it was reckoned from.
        made: how the loom makes it.
        warp: passes or ends, and length.
        warp_g: weight of the warp in one rug with its share of the waste, grams.
        warp_cost: its cost.
        rows: rows of one panel.
        pitch: mean pitch of a row, mm.
        weft: strip in the weft of one rug, joins with it, metres.
        weft_area: cloth in the weft, square metres.
        weight: of the finished rug, grams.
        cloths: each cloth's part.
        bands: the stripes of one panel.
        minutes: by step.
        minutes_total: all steps; its middle is the sum of theirs.
        cost: exact, at the middle of every estimate.
        cost_total: the same with its doubt, in units of the currency.
        price: floor, cost, asking, tax, total and deposit.
        hourly: what an hour earns at the asking price, with the ends of 8 of 10.
        warnings: what the weaver should know; none of them stops her.
    """

    plan: RugPlan
    made: Fit
    warp: Warp
    warp_g: Estimate
    warp_cost: Money
    rows: Estimate
    pitch: Estimate
    weft: Estimate
    weft_area: Estimate
    weight: Estimate
    cloths: tuple[ClothUse, ...]
    bands: tuple[Band, ...]
    minutes: Mapping[str, Estimate]
    minutes_total: Estimate
    cost: JobCost
    cost_total: Estimate
    price: Price
    hourly: Money
    hourly_low: Money
    hourly_high: Money
    warnings: tuple[Problem, ...]

    @property
    def joins(self) -> int:
        """Joins in the weft, all cloths together."""
        return sum(use.joins for use in self.cloths)


def reckon(plan: RugPlan) -> Reckoning:
    """Reckon a rug.

    Raises:
        CannotMake: when the loom cannot make the size, with the nearest that it can.
        NotPossible: when figures contradict one another, a piece gives no strip, or it comes to more money
            than can be kept.
    """
    made = fit(plan.loom, plan.size)
    warp = _warp(plan, made)
    whole = fsum(share for _, share in plan.cloths)
    if whole <= 0:
        raise NotPossible(Problem("cloth.none", "cloth"))
    shares = [share / whole for _, share in plan.cloths]
    pitches = [_pitch(plan, cloth) for cloth, _ in plan.cloths]
    woven_mm = warp.woven.millimetres
    parts = [woven_mm * share / pitch.middle for share, pitch in zip(shares, pitches, strict=True)]
    mean_pitch = pitches[0].at_middle(woven_mm / fsum(parts))
    rows = rows_in(woven_mm, mean_pitch)
    counts = rows_by_cloth(int(rows.middle), parts) if len(parts) > 1 else [int(rows.middle)]
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
    stripes = bands(counts, [share * woven_mm for share in shares], plan.repeats)
    minutes = minutes_by_step(plan.pace, _work(plan, made, warp, uses, rows, len(stripes)), plan.given_minutes)
    total_minutes = _sum(list(minutes.values()))
    cost = job_cost(
        cloth=_money_sum([use.cost for use in uses]),
        warp=warp_cost,
        minutes=total_minutes.middle,
        wage=plan.wage,
        overhead=plan.overhead,
        bought_in=[amount for _, amount in plan.bought_in],
    )
    cost_parts = _cost_parts(plan, cost, uses, total_minutes)
    area = made.size.width.metres * made.size.length.metres
    price = price_of(plan.price, cost, area)
    if max(cost.total.minor, price.total.minor) > LARGEST_MINOR:
        raise NotPossible(Problem("money.large"))
    earned = hourly(price.net, cost, total_minutes.middle)
    doubt = _hourly_doubt(price, cost, cost_parts, total_minutes)
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
        cost_total=add(cost_parts).at_middle(float(cost.total.amount)),
        price=price,
        hourly=earned,
        hourly_low=earned - either_side,
        hourly_high=earned + either_side,
        warnings=_warnings(plan, made, uses, price),
    )


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
    row_m = made.panel_width.metres * made.panels
    woven_in = weft_m(Estimate(rows, doubts), row_m, take_up)
    joins = joins_in(woven_in.middle, each_m, loss_m)
    weft = woven_in.at_middle(woven_in.middle + joins * loss_m)
    rag = rag_m * share
    waste = doubtful(1 / (1 - plan.waste), "weft.waste", plan.waste * 2)
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
    )


def labour_rate_per_minute(wage: Money, overhead: Overhead) -> float:
    """Labour and the overhead it bears, for a minute, in units of the currency."""
    per_hour = float(wage.amount)
    borne = float(overhead.rate) if isinstance(overhead, OverheadPerHour) else per_hour * float(overhead.share)
    return (per_hour + borne) / 60


def _cost_parts(
    plan: RugPlan, cost: JobCost, uses: tuple[ClothUse, ...], minutes: Estimate
) -> list[Estimate]:
    parts = [use.weft.at_middle(float(use.cost.amount)) for use in uses]
    parts.append(minutes.scaled(labour_rate_per_minute(plan.wage, plan.overhead)))
    parts.append(sure(float((cost.warp + cost.bought_in).amount)))
    return parts


def _hourly_doubt(price: Price, cost: JobCost, parts: list[Estimate], minutes: Estimate) -> float:
    """Standard deviation of what an hour earns, by moving each source of doubt a step up and down.

    The price stands; cloth, overhead and hours move with their sources.
    """
    cloth = parts[:-2]
    fixed = float((price.net - cost.warp - cost.bought_in).amount)
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
