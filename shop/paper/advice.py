"""What a customer should know about a rag rug: how to care for it, and what to be careful of."""

from __future__ import annotations

from collections.abc import Collection
from decimal import Decimal
from typing import Final

from shop.words import Words, mark

FIBRES: Final[dict[str, str]] = {
    "cotton": mark("cotton"),
    "linen": mark("linen"),
    "viscose": mark("viscose"),
    "wool": mark("wool"),
    "polyester": mark("polyester"),
    "nylon": mark("nylon"),
    "acrylic": mark("acrylic"),
    "polyethylene": mark("polyethylene"),
    "unknown": mark("fibre not known"),
}
"""The name of each fibre, by its key."""
WIDTH_MAY_DIFFER: Final = Decimal("0.02")
LENGTH_MAY_DIFFER: Final = Decimal("0.04")
"""By how much a finished rug may differ from what was asked for (common practice)."""


def fibre_text(fibre: str | None, words: Words) -> str:
    """A fibre's name in the shop's language; what is no fibre of ours counts as not known."""
    return words.say(FIBRES.get(fibre or "unknown", FIBRES["unknown"]))


def care_lines(words: Words, fibres: Collection[str | None] = ()) -> tuple[str, ...]:
    """How to care for the rug; wool, where there is some, has a line of its own."""
    say = words.say
    lines = [
        say("Shake it out of doors, or vacuum it flat without a turning brush."),
        say("Wash it cold and mild, by itself the first time: colours can run."),
        say("Do not wring it or tumble it dry; dry it flat and right through, out of strong sun."),
    ]
    if "wool" in fibres:
        lines.append(say("There is wool in it: warm water and rubbing would felt and shrink it."))
    lines.append(say("A pulled strip can be worked back with a blunt needle; do not cut it off."))
    return tuple(lines)


def short_care(words: Words, fibres: Collection[str | None] = ()) -> str:
    """How to care for the rug in so few words that they go on a small tag."""
    wool = words.say("There is wool in it: do not rub.") if "wool" in fibres else ""
    return " ".join(part for part in (words.say("Wash cold and mild, by itself. Do not wring; dry flat."), wool) if part)


def caution_lines(words: Words, fibres: Collection[str | None] = ()) -> tuple[str, ...]:
    """What to be careful of: slipping first; fibres; fire and labels by the local rules."""
    say = words.say
    lines = [
        say(
            "On a hard floor lay it on a non-slip mat, and keep its edges flat. "
            "Many people fall over loose rugs, older people above all."
        ),
    ]
    if not fibres or any(FIBRES.get(fibre or "unknown") in (None, FIBRES["unknown"]) for fibre in fibres):
        lines.append(say("The fibres of thrifted cloth are often not known. Where they are not, we say so."))
    else:
        lines.append(say("It is made of thrifted cloth; its fibres are given as well as we know them."))
    lines.append(
        say("Keep it away from open fire, stoves and heaters; it has not been treated against fire.")
    )
    lines.append(
        say("Rules on fire and on labels for rugs differ by country. Ask us if yours asks for more.")
    )
    return tuple(lines)


def usual_terms(words: Words) -> tuple[str, ...]:
    """What goes for every rug that is woven by hand."""
    return (
        words.say(
            "Woven by hand: the finished rug may differ from the size above by about %(width)s in width "
            "and %(length)s in length.",
            width=words.percent(WIDTH_MAY_DIFFER),
            length=words.percent(LENGTH_MAY_DIFFER),
        ),
        words.say("The cloth is used and each piece is one of a kind, so shades may vary within a stripe."),
    )
