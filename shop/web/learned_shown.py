"""What the shop's rugs say, in words: the names of the numbers, their values and sizes, and from which rugs they come."""

from __future__ import annotations

from typing import Final

from shop.core.evidence import What
from shop.core.measure import Length
from shop.core.own_doubt import OwnDoubt
from shop.core.own_rugs import Sources
from shop.usecases.lessons import SIZED
from shop.words import Words, mark

NAMES: Final[dict[What, str]] = {
    What.PACKING: mark("How tightly rows pack (k)"),
    What.TAKE_UP: mark("Strip in a row over its width (m)"),
    What.WASTE: mark("Strip lost in cutting"),
    What.DRAW_IN: mark("Draw-in"),
    What.RELAXATION: mark("Shorter off tension"),
    What.ROW: mark("Weaving a row"),
    What.CUT: mark("Cutting strips"),
    What.WARP: mark("Warping"),
    What.FINISH: mark("Finishing"),
}
TOOLS: Final[dict[str, str]] = {
    "tear": mark("Torn strips"),
    "rotary": mark("Rotary cutter"),
    "scissors": mark("Scissors"),
}
SHORT: Final[dict[What, str]] = {what: what.value.rsplit(".", 1)[-1] for what in What}
"""What a number is called in an address."""
METRES_IN_YARD: Final = 0.9144


def value_shown(what: What, value: float, words: Words) -> str:
    """A value of a number, with its unit."""
    if what.is_share:
        return words.percent(value)
    if what in (What.WARP, What.FINISH):
        return words.duration(value)
    if what is What.ROW:
        return words.say("%(minutes)s min", minutes=words.number(value, 2))
    if what is What.CUT:
        if words.units == "imperial":
            return words.say("%(minutes)s min a yard", minutes=words.number(value * METRES_IN_YARD, 2))
        return words.say("%(minutes)s min a metre", minutes=words.number(value, 2))
    return words.number(value, 2)


def size_shown(what: What, size: float, words: Words) -> str:
    """The size that a value goes with; empty where the number has none."""
    if what not in SIZED:
        return ""
    if what is What.ROW:
        return words.say("%(width)s wide", width=words.length(Length.of(round(size, 2), "m"), as_size=True))
    count = words.number(size, 0)
    if what is What.WARP:
        return words.say("for %(count)s ends or passes", count=count)
    return words.say("for %(count)s ends of a rug", count=words.number(size, 1, trimmed=True))


def sources_shown(sources: Sources | OwnDoubt, words: Words, *, tool: bool = False) -> str:
    """From which rugs a figure comes: “9 of your rugs on this loom, 3 of this kind of cloth”."""
    kind, cloth = (
        (sources.of_kind, sources.of_cloth) if isinstance(sources, Sources) else (sources.kind, sources.cloth)
    )
    parts = []
    if sources.rugs and tool:
        parts.append(words.say_n("%(n)s of your rugs cut so", "%(n)s of your rugs cut so", sources.rugs))
    elif sources.rugs:
        parts.append(words.say_n("%(n)s of your rugs on this loom", "%(n)s of your rugs on this loom", sources.rugs))
    if kind:
        parts.append(words.say_n("%(n)s of this kind of cloth", "%(n)s of this kind of cloth", kind))
    if cloth:
        parts.append(words.say_n("%(n)s of this very cloth", "%(n)s of this very cloth", cloth))
    if sources.quick:
        parts.append(words.say_n("%(n)s quick measurement", "%(n)s quick measurements", sources.quick))
    return ", ".join(parts)
