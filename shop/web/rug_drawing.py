"""The drawing of a rug for a page: its stripes to scale, its ends by the kind of loom, its two sizes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from shop.core.loom import FrameLoom, ShaftLoom
from shop.core.reckoning import Reckoning
from shop.words import Words

WIDEST: Final = 300.0
TALLEST: Final = 340.0
MOST_BANDS: Final = 400
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
        ends: x of each warp end drawn at both ends of the rug; ``fringe`` how long they hang.
        looped: whether the ends are loops of rag off the pegs.
        rows: y of the fine lines that stand for rows.
        seams: x of each seam between panels.
        across, along: its two sizes, in words.
        told: the drawing in a sentence, for those who hear it.
    """

    box: tuple[float, float]
    x: float
    y: float
    width: float
    height: float
    stripes: tuple[Stripe, ...]
    ends: tuple[float, ...]
    fringe: float
    looped: bool
    rows: tuple[float, ...]
    seams: tuple[float, ...]
    across: str
    along: str
    told: str


def drawing_of(reckoning: Reckoning, words: Words) -> Drawing:
    """The drawing of a reckoned rug."""
    size = reckoning.made.size
    scale = min(WIDEST / size.width.metres, TALLEST / size.length.metres)
    width, height = size.width.metres * scale, size.length.metres * scale
    loom = reckoning.plan.loom
    fringe = 7.0 if isinstance(loom, FrameLoom) else 10.0
    x, y = _MARGIN, _MARGIN + fringe
    colours = [use.cloth.colour for use in reckoning.cloths]
    stripes, at = [], y
    for band in reckoning.bands[:MOST_BANDS]:
        tall = band.share * height
        stripes.append(Stripe(round(at, 2), round(tall + 0.2, 2), colours[band.cloth]))
        at += tall
    passes = reckoning.warp.passes
    ends = passes // 2 if isinstance(loom, FrameLoom) else min(60, max(8, int(width / 5)))
    if isinstance(loom, ShaftLoom):
        ends = min(80, max(12, int(width / 3.6)))
    across, along = words.length(size.width, as_size=True), words.length(size.length, as_size=True)
    return Drawing(
        box=(round(width + 2 * _MARGIN + _DIMENSION * 3, 1), round(height + 2 * (_MARGIN + fringe) + _DIMENSION, 1)),
        x=x,
        y=y,
        width=round(width, 2),
        height=round(height, 2),
        stripes=tuple(stripes),
        ends=_spread(x, width, max(2, ends)),
        fringe=fringe,
        looped=isinstance(loom, FrameLoom),
        rows=tuple(round(y + height * n / 60, 1) for n in range(1, 60)),
        seams=tuple(round(x + width * n / reckoning.made.panels, 1) for n in range(1, reckoning.made.panels)),
        across=across,
        along=along,
        told=_told(reckoning, across, along, words),
    )


def _spread(start: float, width: float, count: int) -> tuple[float, ...]:
    step = width / count
    return tuple(round(start + step * (n + 0.5), 1) for n in range(count))


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
