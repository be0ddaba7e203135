"""The drawing of a rug for a page: its stripes to scale, its ends by the kind of loom, its two sizes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from shop.core.loom import FrameLoom, ShaftLoom, Size
from shop.core.measure import Length
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


@dataclass(frozen=True, slots=True)
class RugBeside:
    """A rug drawn beside others, all of them to one scale, in pictures of one height.

    Attributes:
        box: width and height of its picture, in pixels of a screen.
        x, y: where the rug begins; ``width`` and ``height`` its own.
        stripes: its bands, from the top.
        rule: how long a rule of ``rule_length`` is at this scale.
        told: the drawing in words, for those who hear it.
    """

    box: tuple[float, float]
    x: float
    y: float
    width: float
    height: float
    stripes: tuple[Stripe, ...]
    rule: float
    rule_length: str
    told: str


ROOM_BESIDE: Final = 640.0
"""What all the rugs that stand beside each other may take in width together; on paper there is no more."""
WIDEST_BESIDE: Final = 170.0
TALLEST_BESIDE: Final = 260.0
_FOOT_BESIDE: Final = 26.0


def rugs_beside(rugs: Sequence[tuple[Size, Sequence[tuple[str, float]], str]], words: Words) -> tuple[RugBeside, ...]:
    """Rugs to one scale.

    Args:
        rugs: each with its size, its bands as colour and share of the length, and what is told of it.
        words: of the shop.
    """
    if not rugs:
        return ()
    rule_length = Length.of(50, "cm") if words.units == "metric" else Length.of(1, "ft")
    broadest, longest = (max(side) for side in zip(*((size.width.metres, size.length.metres) for size, _, _ in rugs), strict=True))
    scale = min(min(WIDEST_BESIDE, ROOM_BESIDE / len(rugs)) / broadest, TALLEST_BESIDE / longest)
    rule = round(rule_length.metres * scale, 2)
    tall = round(longest * scale + 2 * _MARGIN + _FOOT_BESIDE, 1)
    return tuple(
        _beside(size, bands, told, scale, (tall, rule, words.length(rule_length, as_size=True))) for size, bands, told in rugs
    )


def _beside(
    size: Size, bands: Sequence[tuple[str, float]], told: str, scale: float, around: tuple[float, float, str]
) -> RugBeside:
    tall, rule, rule_length = around
    width, height = round(size.width.metres * scale, 2), round(size.length.metres * scale, 2)
    stripes, at = [], _MARGIN
    for colour, share in bands:
        stripes.append(Stripe(round(at, 2), round(share * height, 2), colour))
        at += share * height
    return RugBeside(
        box=(round(max(width, rule) + 2 * _MARGIN, 1), tall),
        x=_MARGIN,
        y=_MARGIN,
        width=width,
        height=height,
        stripes=tuple(stripes),
        rule=rule,
        rule_length=rule_length,
        told=told,
    )


def small_bands(colours: Sequence[str]) -> tuple[tuple[str, float], ...]:
    """Equal bands of a few colours, for a rug mentioned in a line."""
    return tuple((colour, 1 / len(colours)) for colour in colours)
