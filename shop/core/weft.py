"""The weft: how far a row packs, how many rows there are, and how much strip they take."""

from __future__ import annotations

import math
from typing import Final

from shop.core.loom import FrameLoom, Loom, ShaftLoom
from shop.core.measure import ceil_count
from shop.core.spread import Estimate

PACKING_RAG_WARP: Final = 6.5
PACKING_AT_12: Final = 2.6
PACKING_AT_6: Final = 1.6
TAKE_UP_RAG_WARP: Final = 2.0
TAKE_UP_YARN_WARP: Final = 1.12
CUTTING_WASTE: Final = 0.05
"""Starting guesses: two-inch strips of sheeting on a rag warp beat down to half an inch, and inch strips of
muslin on a yard-wide carpet warp take 8 to 10 yards to a yard of rug (common practice; C. Wheeler, 1902)."""


def packing_guess(loom: Loom) -> float:
    """k, the packing constant of a loom: the pitch of a row over the root of the strip's solid section.

    About 6.5 on a rag warp. On a yarn warp about 2.6 at 12 ends to the inch and 1.6 at 6, since an open
    warp lets the weft pack; linear between the two, and held at them outside.
    """
    if isinstance(loom, FrameLoom):
        return PACKING_RAG_WARP
    sett = loom.sett.per_inch if isinstance(loom, ShaftLoom) else 1 / loom.spacing.inches
    part = min(1.0, max(0.0, (sett - 6) / 6))
    return PACKING_AT_6 + part * (PACKING_AT_12 - PACKING_AT_6)


def take_up_guess(loom: Loom) -> float:
    """m, the length of strip in a row over the width of the rug.

    About 2 on a rag warp, where the weft snakes round thick warps (common practice; a sine of half the
    strand's thickness over the warp's spacing gives 1.5 to 2.3), and about 1.12 on a yarn warp.
    """
    return TAKE_UP_RAG_WARP if isinstance(loom, FrameLoom) else TAKE_UP_YARN_WARP


def solid_section_mm2(strip_mm: float, grams_per_m2: float, density: float) -> float:
    """The solid cross-section of a strip: ``a = w x g / (1000 d)``, in mm2.

    Args:
        strip_mm: w, the strip's width in millimetres.
        grams_per_m2: g, the cloth's weight.
        density: d, of its fibre, in g/cm3.
    """
    return strip_mm * grams_per_m2 / (1000 * density)


def pitch_mm(packing: Estimate, section_mm2: float) -> Estimate:
    """How far one row takes up of the rug's length: ``k x sqrt(a)``, in millimetres."""
    return packing.scaled(math.sqrt(section_mm2))


def rows_in(woven_mm: float, pitch: Estimate) -> Estimate:
    """Rows in a woven length, ``ceil(woven / pitch)``, with the pitch's own doubt."""
    return Estimate(ceil_count(woven_mm / pitch.middle), tuple((name, -s) for name, s in pitch.doubts))


def weft_m(rows: Estimate, width_m: float, take_up: Estimate) -> Estimate:
    """Strip woven in, without joins: ``rows x width x m``, in metres."""
    return rows.scaled(width_m).times(take_up)
