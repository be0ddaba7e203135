"""What a loom comes to, before it is kept: shown beside its form, on a rug a foot wide."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import sqrt
from typing import Final

from shop.core.cloth import DENSITY, USUAL_WEIGHT, ClothKind, Fibre
from shop.core.keys import YARN_KIND_GUESS, Units, strip_guess
from shop.core.loom import Fit, FrameLoom, Loom, ShaftLoom, Size, fit
from shop.core.measure import Length
from shop.core.money import Money, exact
from shop.core.spread import Basis
from shop.core.warp import PricePerWeight, Warp, Yarn, frame_warp, parse_yarn, plank_warp, shaft_warp
from shop.core.weft import packing_guess, solid_section_mm2, take_up_guess
from shop.usecases.loom import LoomGiven

NARROW: Final = {"imperial": Length.of(12, "in"), "metric": Length.of(30, "cm")}
LONG: Final = {"imperial": Length.of(36, "in"), "metric": Length.of(90, "cm")}


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomSample:
    """What a loom comes to, on a rug a foot (30 cm) wide.

    Attributes:
        made: how it makes that rug; ``warp``: the warp for it.
        widest: the widest rug in one piece.
        lengths: the lengths that a frame makes; empty where any length is woven.
        yarn: of the warp; ``None`` on a frame. ``yarn_basis``: whose figure it is.
        yarn_grams: of it in that warp; ``yarn_cost``: its cost, where a price was given.
        strip: width of strip usual on it, ``strip_basis``: whose figure.
        packing: k, how tightly rows pack; ``take_up``: m, strip over width. Each with its basis.
        rows_per_inch: of such strips of cotton sheeting.
    """

    made: Fit
    warp: Warp
    widest: Length
    lengths: tuple[Length, ...]
    yarn: Yarn | None
    yarn_basis: Basis
    yarn_grams: float
    yarn_cost: Money | None
    strip: Length
    strip_basis: Basis
    packing: float
    packing_basis: Basis
    take_up: float
    take_up_basis: Basis
    rows_per_inch: float


def loom_sample(given: LoomGiven, *, units: str, currency: str) -> LoomSample:
    """What this loom comes to.

    Raises:
        CannotMake: the loom is too small for any rug.
        Unreadable: its yarn cannot be read.
    """
    loom = given.loom
    length = loom.length if isinstance(loom, FrameLoom) else LONG[units]
    made = fit(loom, Size(min(NARROW[units], loom.widest), length))
    warp = warp_on(loom, made)
    yarn = None if isinstance(loom, FrameLoom) else parse_yarn(given.yarn.strip() or YARN_KIND_GUESS)
    grams = yarn.grams(warp.length.metres) if yarn else 0.0
    price = given.yarn_price
    strip = given.strip or strip_guess(loom.kind, Units(units))
    packing = float(given.packing) if given.packing is not None else packing_guess(loom)
    return LoomSample(
        made=made,
        warp=warp,
        widest=loom.widest,
        lengths=loom.lengths if isinstance(loom, FrameLoom) else (),
        yarn=yarn,
        yarn_basis=Basis.SETTING if given.yarn.strip() else Basis.GUESS,
        yarn_grams=grams,
        yarn_cost=_yarn_cost(price, grams, currency) if yarn and price else None,
        strip=strip,
        strip_basis=Basis.SETTING if given.strip else Basis.GUESS,
        packing=packing,
        packing_basis=Basis.GUESS if given.packing is None else Basis.MEASURED,
        take_up=float(given.weft_take_up) if given.weft_take_up is not None else take_up_guess(loom),
        take_up_basis=Basis.GUESS if given.weft_take_up is None else Basis.MEASURED,
        rows_per_inch=25.4 / (packing * _root_of_section(strip, ClothKind.SHEETING)),
    )


def _yarn_cost(price: PricePerWeight, grams: float, currency: str) -> Money:
    return Money.rounded(price.per_gram() * exact(grams), currency)


def warp_on(loom: Loom, made: Fit) -> Warp:
    """The warp for one rug on any kind of loom."""
    if isinstance(loom, FrameLoom):
        return frame_warp(loom, made)
    return shaft_warp(loom, made) if isinstance(loom, ShaftLoom) else plank_warp(loom, made)


def packing_counted(rows_per_inch: Decimal, strip: Length, cloth: ClothKind) -> Decimal:
    """How tightly a loom packs (k) on which rows have been counted: ``pitch / sqrt(a)``, to four decimals.

    Args:
        rows_per_inch: counted; more than nothing.
        strip: the width of the strips; more than nothing.
        cloth: what they were cut from; taken at its usual weight, of cotton (of wool, a blanket).
    """
    return round(exact(25.4 / float(rows_per_inch) / _root_of_section(strip, cloth)), 4)


def _root_of_section(strip: Length, cloth: ClothKind) -> float:
    fibre = {ClothKind.BLANKET: Fibre.WOOL, ClothKind.VOILE: Fibre.POLYESTER}.get(cloth, Fibre.COTTON)
    return sqrt(solid_section_mm2(strip.millimetres, USUAL_WEIGHT[cloth], DENSITY[fibre]))
