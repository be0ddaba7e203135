"""The drawing of a rug: its stripes to scale, its warp and rows, its ends, its two sizes, and its words."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from typing import Final

from shop.core.loom import FrameLoom, Loom, PlankLoom, Size
from shop.paper.press import Texts
from shop.words import Words

UNDYED: Final = "#e6dac2"
"""The colour of undyed linen; what has no colour of its own is drawn in it."""
MOST_BANDS: Final = 600
_MOST_TOLD: Final = 8
_HEX: Final = re.compile(r"#[0-9a-fA-F]{6}")


class Ends(Enum):
    """How a rug ends, by how it comes off its loom."""

    LOOPS = "loops"
    """A rag warp lifted off the pegs of a frame."""
    FRINGE = "fringe"
    """A yarn warp left hanging."""
    HEM = "hem"
    """A yarn warp woven on, turned in and sewn."""
    KNOTS = "knots"
    """Doubled yarns off the pegs of a plank, knotted."""


def ends_of(loom: Loom) -> Ends:
    """How rugs end as a rule off a loom of this kind."""
    if isinstance(loom, FrameLoom):
        return Ends.LOOPS
    return Ends.KNOTS if isinstance(loom, PlankLoom) else Ends.FRINGE


@dataclass(frozen=True, slots=True)
class Band:
    """A stripe across the rug.

    Attributes:
        colour: ``"#rrggbb"``.
        share: its part of the rug's length; the bands are drawn in proportion, whatever they add up to.
        name: of its cloth, for those who hear the drawing told; may be empty.
    """

    colour: str
    share: float
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RugDrawing:
    """A rug to be drawn.

    Attributes:
        size: width and length, finished.
        bands: from one end to the other.
        ends: what its two ends look like.
        across: passes of rag or ends of yarn side by side in the width.
        rows: rows of weft in the length.
        warp_colour: of the rags or the yarn of the warp.
        panels: how many are seamed side by side.
    """

    size: Size
    bands: tuple[Band, ...]
    ends: Ends = Ends.FRINGE
    across: int = 50
    rows: int = 75
    warp_colour: str = UNDYED
    panels: int = 1


def colour(text: str) -> str:
    """A colour that can be printed: the one given, or undyed where it is none."""
    return text.lower() if _HEX.fullmatch(text) else UNDYED


def drawing_texts(rug: RugDrawing, words: Words) -> Texts:
    """What the sheet needs to draw the rug: lengths in millimetres, shares that add up to one, and words."""
    bands = [band for band in rug.bands[:MOST_BANDS] if band.share > 0] or [Band(UNDYED, 1.0)]
    whole = sum(band.share for band in bands)
    return {
        "width": max(1.0, rug.size.width.millimetres),
        "length": max(1.0, rug.size.length.millimetres),
        "width_text": words.length(rug.size.width, as_size=True),
        "length_text": words.length(rug.size.length, as_size=True),
        "bands": [{"colour": colour(band.colour), "share": band.share / whole} for band in bands],
        "ends": rug.ends.value,
        "across": max(1, rug.across),
        "rows": max(1, rug.rows),
        "warp_colour": colour(rug.warp_colour),
        "panels": max(1, min(rug.panels, 100)),
        "alt": told(rug, bands, words),
        "caption": words.say("Drawn to scale. Colours differ a little in print."),
    }


def told(rug: RugDrawing, bands: list[Band], words: Words) -> str:
    """The drawing in words, for those who do not see it."""
    say = words.say
    width = words.length(rug.size.width, as_size=True)
    length = words.length(rug.size.length, as_size=True)
    first = say("Drawing of the rug, %(width)s wide and %(length)s long.", width=width, length=length)
    whole = sum(band.share for band in bands)
    stripes = [
        f"{band.name or colour(band.colour)} {words.percent(band.share / whole, 0)}"
        for band in bands[:_MOST_TOLD]
    ]
    count = words.say_n(
        "%(n)s stripe: %(stripes)s.", "%(n)s stripes: %(stripes)s.", len(bands), stripes=", ".join(stripes)
    )
    more = len(bands) - len(stripes)
    rest = words.say_n("And %(n)s more.", "And %(n)s more.", more) if more else ""
    ends = {
        Ends.LOOPS: say("Loops of the rag warp at both ends."),
        Ends.FRINGE: say("A fringe at both ends."),
        Ends.HEM: say("A hem at both ends."),
        Ends.KNOTS: say("Knotted yarn at both ends."),
    }
    return " ".join(part for part in (first, count, rest, ends[rug.ends]) if part)
