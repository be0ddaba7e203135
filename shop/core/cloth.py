"""A piece of cloth: what it is made of, what it weighs, what it cost, and how much of it is used."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import Final

from shop.core.errors import NotPossible, Problem, Unreadable
from shop.core.measure import (
    GRAMS_PER_SQUARE_METRE_PER_OUNCE_YARD,
    LENGTH_UNITS,
    SQUARE_METRES_PER_SQUARE_FOOT,
    WEIGHT_UNITS,
    Length,
)
from shop.core.money import Money
from shop.core.strips import StripYield, Tool, Way, strips_of

LIGHTEST: Final = 10.0
HEAVIEST: Final = 2000.0
"""Grams to the square metre between which a cloth is believed."""


class Fibre(Enum):
    """What a cloth is spun of."""

    COTTON = "cotton"
    LINEN = "linen"
    VISCOSE = "viscose"
    WOOL = "wool"
    POLYESTER = "polyester"
    NYLON = "nylon"
    ACRYLIC = "acrylic"
    POLYETHYLENE = "polyethylene"
    UNKNOWN = "unknown"


DENSITY: Final[dict[Fibre, float]] = {
    Fibre.COTTON: 1.54,
    Fibre.LINEN: 1.50,
    Fibre.VISCOSE: 1.52,
    Fibre.WOOL: 1.31,
    Fibre.POLYESTER: 1.38,
    Fibre.NYLON: 1.14,
    Fibre.ACRYLIC: 1.17,
    Fibre.POLYETHYLENE: 0.95,
    Fibre.UNKNOWN: 1.46,
}
"""Grams to the cubic centimetre of the fibre itself (handbook figures); an unknown cloth is taken for
one half cotton and half polyester."""


class ClothKind(Enum):
    """Kinds of cloth that come home from a thrift shop, with a usual weight in grams a square metre."""

    VOILE = "voile"
    MUSLIN = "muslin"
    SHEETING = "sheeting"
    QUILTING = "quilting"
    FLANNEL = "flannel"
    JERSEY = "jersey"
    TERRY = "terry"
    CORDUROY = "corduroy"
    DENIM = "denim"
    BLANKET = "blanket"


USUAL_WEIGHT: Final[dict[ClothKind, float]] = {
    ClothKind.VOILE: 60,
    ClothKind.MUSLIN: 90,
    ClothKind.SHEETING: 115,
    ClothKind.QUILTING: 140,
    ClothKind.FLANNEL: 170,
    ClothKind.JERSEY: 180,
    ClothKind.TERRY: 350,
    ClothKind.CORDUROY: 340,
    ClothKind.DENIM: 400,
    ClothKind.BLANKET: 400,
}
"""Starting guesses, g/m2; a piece that has been weighed has its own."""

FLAT_SHEETS: Final[dict[str, tuple[Length, Length]]] = {
    "twin": (Length.of(66, "in"), Length.of(96, "in")),
    "full": (Length.of(81, "in"), Length.of(96, "in")),
    "queen": (Length.of(90, "in"), Length.of(102, "in")),
    "king": (Length.of(108, "in"), Length.of(102, "in")),
}
"""Customary US sizes of a flat sheet, width by length."""

_AREAL = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(g\s*/\s*m(?:2|²)|oz\s*/\s*(?:sq\s*yd|yd(?:2|²)))", re.IGNORECASE)


def parse_cloth_weight(text: str, *, decimal_mark: str = ".") -> float:
    """A cloth's weight per area, such as ``115 g/m2`` or ``4 oz/yd2``, in grams a square metre.

    Raises:
        Unreadable: ``cloth_weight.unreadable``, ``number.mark`` or ``cloth_weight.range``.
    """
    match = _AREAL.fullmatch(text.strip()) if len(text) <= 40 else None
    if match is None:
        raise Unreadable(Problem("cloth_weight.unreadable", values={"text": text.strip()[:24]}))
    if ("," if decimal_mark == "." else ".") in match[1]:
        values = {"text": text.strip()[:24], "mark": decimal_mark}
        raise Unreadable(Problem("number.mark", values=values))
    grams = float(match[1].replace(",", "."))
    if match[2].lower().startswith("oz"):
        grams *= GRAMS_PER_SQUARE_METRE_PER_OUNCE_YARD
    if not LIGHTEST <= grams <= HEAVIEST:
        raise Unreadable(Problem("cloth_weight.range", values={"least": LIGHTEST, "most": HEAVIEST}))
    return grams


@dataclass(frozen=True, slots=True, kw_only=True)
class Cloth:
    """A cloth to weave with.

    Attributes:
        name: what the weaver calls it.
        colour: ``#rrggbb``, for drawings.
        width: usable width of one piece, hems and selvedges cut off.
        length: usable length of one piece.
        paid: what one piece cost, with its part of the haul's tax, discount and trip.
        pieces: how many such pieces are in hand.
        grams_per_m2: weight per area.
        fibre: what it is spun of.
        tears: whether it tears straight; ``None`` when not tried.
    """

    name: str = ""
    colour: str = "#7d8a99"
    width: Length
    length: Length
    paid: Money
    pieces: float = 1
    grams_per_m2: float = 115.0
    fibre: Fibre = Fibre.COTTON
    tears: bool | None = None

    @property
    def area_m2(self) -> float:
        """The usable area of one piece, in square metres."""
        return self.width.metres * self.length.metres

    @property
    def grams(self) -> float:
        """The weight of one piece, in grams."""
        return self.area_m2 * self.grams_per_m2

    @property
    def density(self) -> float:
        """Grams to the cubic centimetre of its fibre."""
        return DENSITY[self.fibre]

    def strips(self, strip: Length, way: Way, tool: Tool) -> StripYield:
        """The strips of one piece.

        Raises:
            NotPossible: ``cloth.small`` when not one strip comes out of it; ``cloth.no_tear`` when it failed
                its tear test and is to be torn.
        """
        if tool is Tool.TEAR and self.tears is False:
            raise NotPossible(Problem("cloth.no_tear", "weft.tool", {"name": self.name}))
        found = strips_of(self.width, self.length, strip, way, tool)
        if not found.count:
            values = {"name": self.name, "strip": strip, "width": self.width, "length": self.length}
            raise NotPossible(Problem("cloth.small", "cloth", values))
        return found

    def cost_per_area(self) -> Decimal:
        """What a square metre cost."""
        return self.paid.amount / (Decimal(self.width.nm) * self.length.nm / 10**18)


@dataclass(frozen=True, slots=True)
class UnitCosts:
    """What a piece cost by every measure it can be bought, cut or weighed by.

    All amounts are in the piece's currency, unrounded, for one unit; ``None`` where nothing comes out.
    """

    per_yard: Decimal
    per_metre: Decimal
    per_square_foot: Decimal
    per_square_metre: Decimal
    per_pound: Decimal
    per_kg: Decimal
    strip_per_yard: Decimal | None
    strip_per_metre: Decimal | None


def unit_costs(cloth: Cloth, strip: Length, way: Way = Way.ALONG, tool: Tool = Tool.ROTARY) -> UnitCosts:
    """Cost of a yard of cloth, of a yard of strip, of an area and of a weight."""
    paid = cloth.paid.amount
    metres = Decimal(cloth.length.nm) / LENGTH_UNITS["m"]
    area = cloth.cost_per_area()
    grams = metres * Decimal(cloth.width.nm) / LENGTH_UNITS["m"] * Decimal(repr(cloth.grams_per_m2))
    found = strips_of(cloth.width, cloth.length, strip, way, tool)
    strip_m = Decimal(found.total.nm) / LENGTH_UNITS["m"]
    yard = Decimal("0.9144")
    pound = Decimal(WEIGHT_UNITS["lb"]) / WEIGHT_UNITS["g"]
    return UnitCosts(
        per_yard=paid / metres * yard,
        per_metre=paid / metres,
        per_square_foot=area * Decimal(repr(SQUARE_METRES_PER_SQUARE_FOOT)),
        per_square_metre=area,
        per_pound=paid / grams * pound,
        per_kg=paid / grams * 1000,
        strip_per_yard=paid / strip_m * yard if strip_m else None,
        strip_per_metre=paid / strip_m if strip_m else None,
    )


@dataclass(frozen=True, slots=True)
class Portion:
    """So much of a piece, said in every way at once.

    Attributes:
        share: of the whole piece; 1 is all of it.
        area_m2: square metres.
        grams: by the piece's own weight.
        strip_m: metres of strip, by the piece's own area: ``area / strip width``.
    """

    share: float
    area_m2: float
    grams: float
    strip_m: float


def portion(cloth: Cloth, strip: Length, share: float) -> Portion:
    """A share of a piece (0 to 1) as an area, a weight and a length of strip.

    Raises:
        NotPossible: ``portion.range`` for less than nothing or more than the whole.
    """
    if not 0 <= share <= 1 + 1e-9:
        raise NotPossible(Problem("portion.range", "portion", {"share": share}))
    area = cloth.area_m2 * share
    return Portion(share, area, cloth.grams * share, area / strip.metres)


def portion_of_strips(cloth: Cloth, strip: Length, count: int, each: Length) -> Portion:
    """So many strips of such a length, as a portion of the piece by area."""
    return portion(cloth, strip, count * each.metres * strip.metres / cloth.area_m2)


def portion_of_area(cloth: Cloth, strip: Length, area_m2: float) -> Portion:
    """So many square metres, as a portion of the piece."""
    return portion(cloth, strip, area_m2 / cloth.area_m2)


def portion_of_weight(cloth: Cloth, strip: Length, grams: float) -> Portion:
    """So many grams on a scale, as a portion of the piece."""
    return portion(cloth, strip, grams / cloth.grams)
