"""How sure a planned rug is: from which rugs its figures come, the risk in its price, and what to measure next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import url_for

from shop.core.evidence import What
from shop.core.reckoning import Reckoning
from shop.core.risk import chance_of_less, price_at
from shop.usecases.next_measure import Worth, worth_measuring
from shop.usecases.planning import Planned
from shop.web.learned_shown import NAMES, SHORT, sources_shown
from shop.words import Words, mark

ONE_IN_TEN: Final = 0.1
HARDLY: Final = 0.01
NEARLY: Final = 0.99
MEASURE: Final[dict[What, str]] = {
    What.PACKING: mark("Count the rows in a few inches of such cloth on this loom: the spread of the cost shrinks by about %(share)s."),
    What.TAKE_UP: mark("Measure the strip that goes into a few rows: the spread of the cost shrinks by about %(share)s."),
    What.WASTE: mark("Measure what is lost in cutting a piece: the spread of the cost shrinks by about %(share)s."),
    What.ROW: mark("Time a few rows on this loom: the spread of the cost shrinks by about %(share)s."),
    What.CUT: mark("Time some yards of cutting: the spread of the cost shrinks by about %(share)s."),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HowSure:
    """How sure a planned rug is.

    Attributes:
        risk: the chance that it earns less than the wage wanted, in a sentence; ``at`` the price at which that is one in ten.
        rests_on: names of numbers, and the rugs that they come from.
        measure: what to measure next, in a sentence; ``where`` to write it down. Both empty where nothing would help.
    """

    risk: str
    at: str
    rests_on: tuple[tuple[str, str], ...]
    measure: str
    where: str


def how_sure(plan: Planned, words: Words) -> HowSure | None:
    """How sure a planned rug is; ``None`` where it cannot be."""
    reckoning = plan.reckoning
    if reckoning is None:
        return None
    worth = worth_measuring(plan)
    return HowSure(
        risk=_risk(reckoning, words),
        at=words.money(price_at(reckoning, ONE_IN_TEN)),
        rests_on=tuple(
            (words.say(NAMES[What(one.of)]), sources_shown(one, words, tool=one.of == What.CUT.value))
            for one in reckoning.plan.own
        ),
        measure=_measure(worth, words),
        where=url_for("learning.show_lesson", on=worth.on, what=SHORT[worth.what], _anchor="measure") if worth else "",
    )


def _risk(reckoning: Reckoning, words: Words) -> str:
    chance, wage = chance_of_less(reckoning), words.money(reckoning.plan.wage)
    if chance < HARDLY:
        return words.say("It will hardly earn less than %(wage)s an hour.", wage=wage)
    if chance > NEARLY:
        return words.say("It will hardly earn %(wage)s an hour.", wage=wage)
    rugs = words.number(chance * 100, 0)
    return words.say("Of a hundred such rugs, %(rugs)s earn less than %(wage)s an hour.", rugs=rugs, wage=wage)


def _measure(worth: Worth | None, words: Words) -> str:
    return words.say(MEASURE[worth.what], share=words.percent(worth.spared, 0)) if worth else ""
