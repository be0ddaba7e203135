"""What a rug comes to: the figures of a reckoning, held together with the plan that they came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shop.core.cloth import Cloth
from shop.core.cost import JobCost
from shop.core.errors import Problem
from shop.core.loom import Fit
from shop.core.money import Money
from shop.core.plan import RugPlan
from shop.core.price import Price
from shop.core.spread import Estimate
from shop.core.stripes import Band
from shop.core.strips import StripYield
from shop.core.warp import Warp


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
