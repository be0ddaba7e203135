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
        ends: the path of the warp ends that hang out at both ends of the rug.
        looped: whether the ends are loops of rag off the pegs.
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
    for band in reckoning.bands[:MOST_BANDS]:
        tall = band.share * height
        stripes.append(Stripe(round(at, 2), round(tall + 0.2, 2), colours[band.cloth]))
        at += tall
    hanging = [(end, y, y + height) for end in _spread(x, width, _ends_drawn(reckoning, width))]
    across, along = words.length(size.width, as_size=True), words.length(size.length, as_size=True)
    return Drawing(
        box=(round(width + 2 * _MARGIN + _DIMENSION * 3, 1), round(height + 2 * (_MARGIN + fringe) + _DIMENSION, 1)),
        x=x,
        y=y,
        width=width,
        height=height,
        stripes=tuple(stripes),
        ends="".join(_loops(*end, fringe) if looped else _threads(*end, fringe) for end in hanging),
        looped=looped,
        rows="".join(f"M{x:g} {y + height * n / 60:.1f}h{width:g}" for n in range(1, 60)),
        seams="".join(
            f"M{x + width * n / reckoning.made.panels:.1f} {y:g}v{height:g}" for n in range(1, reckoning.made.panels)
        ),
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


def _loops(x: float, top: float, foot: float, fringe: float) -> str:
    """The loop of rag that comes off a peg, at both ends."""
    deep = fringe - 2
    return (
        f"M{x - 1.6:.1f} {top:g}v{-deep:g}q1.6 -2.4 3.2 0v{deep:g}"
        f"M{x - 1.6:.1f} {foot:g}v{deep:g}q1.6 2.4 3.2 0v{-deep:g}"
    )


def _threads(x: float, top: float, foot: float, fringe: float) -> str:
    """A thread of fringe, at both ends."""
    return f"M{x:g} {top - fringe:g}v{fringe:g}M{x:g} {foot:g}v{fringe:g}"


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
