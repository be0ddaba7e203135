"""The drawing of a rug for a page: its stripes to scale, its ends by the kind of loom, its two sizes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from shop.core.loom import FrameLoom, ShaftLoom
from shop.core.reckoning import Reckoning
from shop.core.stripes import slices
from shop.words import Words

WIDEST: Final = 300.0
TALLEST: Final = 340.0
MOST_BANDS: Final = 400
LINES: Final = 60
UNDYED: Final = "#8a7f6c"
"""Undyed yarn against linen paper: a shade darker than it is, so that it can be seen."""
"""Spaces between the fine lines that stand for rows."""
_MARGIN: Final = 8.0
_DIMENSION: Final = 30.0


@dataclass(frozen=True, slots=True)
class Stripe:
    """A band of the drawing, in its units."""

    y: float
    height: float
    colour: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A rug drawn to scale; all numbers are in the units of its own picture.

    Attributes:
        box: width and height of the whole picture.
        x, y: where the rug begins; ``width`` and ``height`` its own.
        stripes: its bands, from the top.
        ends: the path of the warp ends that hang out at both ends of the rug.
        looped: whether the ends are loops of rag off the pegs.
        warp: the colour of the warp: of the rag that it is cut from, or of undyed yarn.
        rows: the path of the fine lines that stand for rows.
        seams: the path of the seams between panels; empty where there are none.
        across, along: its two sizes, in words.
        told: the drawing in a sentence, for those who hear it.
    """

    box: tuple[float, float]
    x: float
    y: float
    width: float
    height: float
    stripes: tuple[Stripe, ...]
    ends: str
    looped: bool
    warp: str
    rows: str
    seams: str
    across: str
    along: str
    told: str


def drawing_of(reckoning: Reckoning, words: Words) -> Drawing:
    """The drawing of a reckoned rug."""
    size = reckoning.made.size
    scale = min(WIDEST / size.width.metres, TALLEST / size.length.metres)
    width, height = round(size.width.metres * scale, 2), round(size.length.metres * scale, 2)
    looped = isinstance(reckoning.plan.loom, FrameLoom)
    fringe = 7.0 if looped else 10.0
    x, y = _MARGIN, _MARGIN + fringe
    colours = [use.cloth.colour for use in reckoning.cloths]
    stripes, at = [], y
    for cloth, share in slices(reckoning.bands, MOST_BANDS):
        tall = share * height
        stripes.append(Stripe(round(at, 2), round(tall + 0.2, 2), colours[cloth]))
        at += tall
    panels = reckoning.made.panels
    across, along = words.length(size.width, as_size=True), words.length(size.length, as_size=True)
    return Drawing(
        box=(round(width + 2 * _MARGIN + _DIMENSION * 3, 1), round(height + 2 * (_MARGIN + fringe) + _DIMENSION, 1)),
        x=x,
        y=y,
        width=width,
        height=height,
        stripes=tuple(stripes),
        ends=_ends(x, y, width, height, fringe, _ends_drawn(reckoning, width), looped=looped),
        looped=looped,
        warp=colours[0] if reckoning.plan.yarn is None else UNDYED,
        rows=_rows(x, y, width, height),
        seams="".join(f"M{x + width * n / panels:.1f} {y:g}v{height:g}" for n in range(1, panels)),
        across=across,
        along=along,
        told=_told(reckoning, across, along, words),
    )


def _ends_drawn(reckoning: Reckoning, width: float) -> int:
    """As many as there are on a frame; elsewhere as many as can be told apart."""
    loom = reckoning.plan.loom
    if isinstance(loom, FrameLoom):
        return max(2, reckoning.warp.passes // 2)
    if isinstance(loom, ShaftLoom):
        return min(80, max(12, int(width / 3.6)))
    return min(60, max(8, int(width / 5)))


def _ends(
    x: float, y: float, width: float, height: float, fringe: float, count: int, *, looped: bool
) -> str:
    """The path of the ends: threads of fringe, or the loops of rag that come off the pegs."""
    step, foot = width / count, y + height
    if looped:
        deep, half = fringe - 2, 1.6
        on = f"m{step - 2 * half:.3f} 0"
        above = f"v{-deep:g}q{half} -2.4 {2 * half} 0v{deep:g}{on}"
        below = f"v{deep:g}q{half} 2.4 {2 * half} 0v{-deep:g}{on}"
        first = x + step / 2 - half
        return f"M{first:.2f} {y:g}{above * count}M{first:.2f} {foot:g}{below * count}"
    thread = f"v{fringe:g}m{step:.3f} {-fringe:g}"
    first = x + step / 2
    return f"M{first:.2f} {y - fringe:g}{thread * count}M{first:.2f} {foot:g}{thread * count}"


def _rows(x: float, y: float, width: float, height: float) -> str:
    """The path of fine lines across the rug."""
    apart = height / LINES
    return f"M{x:g} {y + apart:.2f}" + f"h{width:g}m{-width:g} {apart:.3f}" * (LINES - 1)


def _told(reckoning: Reckoning, across: str, along: str, words: Words) -> str:
    names = [use.cloth.name or words.say("cloth still to be bought") for use in reckoning.cloths]
    count = len(reckoning.bands)
    return words.say_n(
        "A rug %(across)s wide and %(along)s long, in one band: %(cloths)s.",
        "A rug %(across)s wide and %(along)s long, in %(n)s bands: %(cloths)s.",
        count,
        across=across,
        along=along,
        cloths=words.all_of(names),
    )


def small_bands(colours: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """Equal bands of a few colours, for a rug mentioned in a line."""
    return tuple((colour, 1 / len(colours)) for colour in colours)
