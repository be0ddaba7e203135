"""A rug planned: everything that the arithmetic needs to know about it, and where each number came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from shop.core.cloth import Cloth
from shop.core.cost import Overhead
from shop.core.hours import Pace
from shop.core.loom import Loom, Size
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.own_doubt import OwnDoubt
from shop.core.price import PriceRule
from shop.core.spread import SPREAD, Basis, Estimate, doubtful
from shop.core.stripe_plan import StripePlan
from shop.core.strips import Tool, Way
from shop.core.warp import PricePerWeight, Yarn


@dataclass(frozen=True, slots=True, kw_only=True)
class RugPlan:
    """One rug, on one loom, of some cloths, by the shop's rates.

    Attributes:
        size: asked for.
        rugs_on_warp: rugs that share one warp, for which its waste is spent once.
        loom: to weave it on.
        yarn: of the warp; ``None`` for a rag warp.
        yarn_price: what it costs by weight.
        strip: width of the weft strip (and of a rag warp's).
        tool: strips are made with.
        way: each piece is cut.
        join_loss: strip lost at a join.
        cloths: with their shares of the rug's woven length; the shares are positive.
        repeats: how often the run of cloths is repeated down the rug.
        stripes: the bands, where they are planned one by one; the shares of the cloths and ``repeats`` say nothing then.
        packing: k, of the loom.
        rows_per_metre: counted by the weaver; used in place of ``packing`` always.
        take_up: m.
        waste: share of the strip cut that is lost (normal waste).
        pace: minutes of each unit of work.
        given_minutes: whole steps whose minutes are known.
        wage: wanted for an hour.
        pay: for an hour of a step, where it is not the wage.
        overhead: how a job bears the year's overhead.
        bought_in: things bought for this rug, by name.
        price: the rule.
        assumed: names of the numbers that are starting guesses.
        measured: names of the numbers measured in this shop.
        own: what the shop's own rugs leave in doubt, of the numbers that they tell.
    """

    size: Size
    rugs_on_warp: int = 1
    loom: Loom
    yarn: Yarn | None
    yarn_price: PricePerWeight | None
    strip: Length
    tool: Tool = Tool.ROTARY
    way: Way = Way.ALONG
    join_loss: Length
    cloths: tuple[tuple[Cloth, float], ...]
    repeats: int = 1
    stripes: StripePlan | None = None
    packing: float
    rows_per_metre: float | None = None
    take_up: float
    waste: float
    pace: Pace
    given_minutes: Mapping[str, float] = field(default_factory=dict)
    wage: Money
    pay: Mapping[str, Money] = field(default_factory=dict)
    overhead: Overhead
    bought_in: tuple[tuple[str, Money], ...] = ()
    price: PriceRule
    assumed: tuple[str, ...] = ()
    measured: tuple[str, ...] = ()
    own: tuple[OwnDoubt, ...] = ()

    @property
    def currency(self) -> str:
        """The currency of every amount in it."""
        return self.wage.currency

    def basis(self, name: str) -> Basis:
        """Where the number of this name comes from: ``"weft.take_up"``, ``"rates.wage"``."""
        if name in self.measured:
            return Basis.MEASURED
        return Basis.GUESS if name in self.assumed else Basis.SETTING

    def uncertain(self, name: str, value: float) -> Estimate:
        """A number that varies from rug to rug, with the doubt that its basis leaves, or the shop's own rugs."""
        return self.told(name, value) or doubtful(value, name, SPREAD[self.basis(name)])

    def told(self, name: str, value: float) -> Estimate | None:
        """A number with the doubt that the shop's own rugs leave about it; ``None`` where they say nothing."""
        return next((Estimate(value, one.doubts) for one in self.own if one.of == name), None)
