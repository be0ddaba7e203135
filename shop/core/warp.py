"""The warp: how many passes or ends, how long, and how heavy."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.errors import NotPossible, Problem, Unreadable
from shop.core.loom import Fit, FrameLoom, PlankLoom, ShaftLoom
from shop.core.measure import Length, ceil_count

YARDS_PER_HANK: Final = 840
METRES_PER_YARD: Final = 0.9144
GRAMS_PER_POUND: Final = 453.59237
TEX_OF_COUNT_ONE: Final = GRAMS_PER_POUND / (YARDS_PER_HANK * METRES_PER_YARD) * 1000
"""Grams a kilometre of cotton count 1: 590.5412."""


@dataclass(frozen=True, slots=True)
class Yarn:
    """A warp yarn: how it is called, and how far a kilogram goes."""

    text: str
    metres_per_kg: float

    @property
    def tex(self) -> float:
        """Grams in a kilometre."""
        return 1_000_000 / self.metres_per_kg

    @property
    def yards_per_pound(self) -> float:
        """How far a pound goes."""
        return self.metres_per_kg * GRAMS_PER_POUND / 1000 / METRES_PER_YARD

    def grams(self, length_m: float) -> float:
        """The weight of so many metres."""
        return length_m / self.metres_per_kg * 1000


_COUNT = re.compile(r"([0-9]{1,3}(?:\.[0-9]+)?)\s*/\s*([0-9]{1,2})")
_LINEAR = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(m\s*/\s*kg|yd\s*/\s*lb|tex)", re.IGNORECASE)


def parse_yarn(text: str) -> Yarn:
    """A yarn by its cotton count (``8/4``), its run (``2020 m/kg``, ``1600 yd/lb``) or its ``385 tex``.

    An n/p cotton yarn has ``840 x n / p`` yards to the pound (840-yard hank: ASTM D2260, ISO 2947).

    Raises:
        Unreadable: ``yarn.unreadable``, or ``yarn.range`` outside 50 to 200,000 metres a kilogram.
    """
    cleaned = text.strip()
    count = _COUNT.fullmatch(cleaned) if len(text) <= 40 else None
    linear = _LINEAR.fullmatch(cleaned) if len(text) <= 40 else None
    if count and int(count[2]):
        yards = YARDS_PER_HANK * float(count[1]) / int(count[2])
        run = yards * METRES_PER_YARD / (GRAMS_PER_POUND / 1000)
    elif linear:
        number = float(linear[1].replace(",", "."))
        unit = re.sub(r"\s", "", linear[2].lower())
        if not number:
            raise Unreadable(Problem("yarn.range", values={"text": cleaned[:24]}))
        run = {
            "m/kg": number,
            "yd/lb": number * METRES_PER_YARD / (GRAMS_PER_POUND / 1000),
            "tex": 1_000_000 / number,
        }[unit]
    else:
        raise Unreadable(Problem("yarn.unreadable", values={"text": cleaned[:24]}))
    if not 50 <= run <= 200_000:
        raise Unreadable(Problem("yarn.range", values={"text": cleaned[:24]}))
    return Yarn(cleaned, run)


@dataclass(frozen=True, slots=True)
class Warp:
    """A warp worked out.

    Attributes:
        passes: strips from end to end of a frame; 0 elsewhere.
        ends: ends of yarn; 0 on a frame.
        reed_width: the width in the reed; of the rug or panel where there is no reed.
        woven: the length woven under tension, for one rug or panel, without hems.
        one: the warp that one end or pass takes for the whole warp, waste and all.
        length: all the strip or yarn of this warp.
        pieces: rugs or panels on this warp.
    """

    passes: int
    ends: int
    reed_width: Length
    woven: Length
    one: Length
    length: Length
    pieces: int

    @property
    def length_m(self) -> float:
        """All of it, in metres."""
        return self.length.metres


def share_left(lost: float, where: str) -> float:
    """What is left of one after losing a share; the share must be at least 0 and below 1.

    To end with ten after losing a fifth, start with ``10 / (1 - 0.2) = 12.5``: divide, never add.

    Raises:
        NotPossible: ``share.range``.
    """
    if not 0 <= lost < 0.9:
        raise NotPossible(Problem("share.range", where, {"share": lost}))
    return 1 - lost


def frame_warp(loom: FrameLoom, made: Fit) -> Warp:
    """One continuous strip: ``passes x (L + turn) + 2 x tail``, ``passes`` being two a peg as a rule.

    For panels, each panel is a warp of its own.
    """
    passes = made.pegs * loom.passes_per_peg
    strip = made.size.length * passes + loom.turn * passes + loom.tail * 2
    length = strip * made.panels
    return Warp(passes, 0, made.panel_width, made.size.length, strip, length, made.panels)


def shaft_warp(loom: ShaftLoom, made: Fit, rugs: int = 1) -> Warp:
    """A warp of yarn for so many rugs (or their panels), one after another.

    ``reed width = width / (1 - draw-in)``; ``ends = sett x reed width`` counted up, plus the selvedge
    ends; ``woven = finished / (1 - relaxation)``; ``warp length = pieces x (woven + 2 hems + cut space) /
    (1 - take-up) + loom waste``.
    """
    reed_m = made.panel_width.metres / share_left(loom.draw_in, "loom.draw_in")
    ends = ceil_count(loom.sett.per_metre * reed_m) + loom.selvedge_ends
    woven_m = made.size.length.metres / share_left(loom.relaxation, "loom.relaxation")
    pieces = rugs * made.panels
    each_m = woven_m + 2 * loom.hem.metres + loom.cut_space.metres
    one_m = pieces * each_m / share_left(loom.take_up, "loom.take_up") + loom.waste.metres
    one = Length.of(one_m, "m")
    return Warp(0, ends, Length.of(reed_m, "m"), Length.of(woven_m, "m"), one, one * ends, pieces)


def plank_warp(loom: PlankLoom, made: Fit) -> Warp:
    """A doubled yarn on each peg: ``pegs x 2 x (length + 2 x knot)``; no waste, no draw-in."""
    ends = made.pegs * 2
    one = made.size.length + loom.knot * 2
    return Warp(
        0, ends, made.panel_width, made.size.length, one, one * (ends * made.panels), made.panels
    )


@dataclass(frozen=True, slots=True)
class PricePerWeight:
    """What yarn or cloth costs by weight: an amount, and the unit (``lb`` or ``kg``) it buys."""

    amount: Decimal
    unit: str

    def per_gram(self) -> Decimal:
        """The amount for one gram."""
        grams = Decimal("453.59237") if self.unit == "lb" else Decimal(1000)
        return self.amount / grams
