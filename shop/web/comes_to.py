"""What a planned rug comes to, ready to be shown: the right-hand side of the quote page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.loom import FrameLoom, PlankLoom
from shop.core.money import Money
from shop.core.reckoning import ClothUse, Reckoning
from shop.usecases.planning import LoomAnswer, Planned
from shop.web.rug_drawing import Drawing, drawing_of
from shop.words import Words, mark
from shop.words.explained import Section, sheet_in_words, warnings_in_words
from shop.words.problems import problem_sentences

LADDER: Final = 300.0


@dataclass(frozen=True, slots=True)
class ClothBar:
    """A cloth needed against cloth in hand; the bar's numbers are shares of its whole width.

    Attributes:
        name, colour: of the cloth.
        rows: of it in the rug, in words.
        need: strip needed and pieces, in words; ``safe`` so as to have enough in 9 rugs of 10.
        in_hand: strip in hand, in words; empty for a cloth to be bought.
        verdict: whether it reaches, in words; ``reaches`` whether it does.
        middle, high, have: where need and stock stand on the bar.
    """

    name: str
    colour: str
    rows: str
    need: str
    safe: str
    in_hand: str
    verdict: str
    reaches: bool
    middle: float
    high: float
    have: float


@dataclass(frozen=True, slots=True)
class Rung:
    """A price on the line of prices: its name, the amount, and where it stands."""

    name: str
    amount: str
    x: float


@dataclass(frozen=True, slots=True)
class ComesTo:
    """The right-hand side of the quote page.

    Attributes:
        drawing: the rug.
        size: in words.
        asking, tax, total, deposit: in words; ``tax`` is empty where none is charged.
        hourly: what an hour earns, with ``hourly_between`` and the ``wage`` wanted.
        earns_enough: whether an hour earns the wage wanted.
        hours, hours_between: working time.
        warp: the warp in a line; ``weft`` likewise; ``weight`` of the rug.
        ladder: floor, cost and asking on one line.
        cloths: needed against in hand.
        sections: the cost sheet, every figure with its formula.
        warnings: sentences.
        guesses: how many of the numbers are starting guesses.
    """

    drawing: Drawing
    size: str
    asking: str
    tax: str
    total: str
    deposit: str
    hourly: str
    hourly_between: str
    wage: str
    earns_enough: bool
    hours: str
    hours_between: str
    warp: str
    weft: str
    weight: str
    ladder: tuple[Rung, ...]
    cloths: tuple[ClothBar, ...]
    sections: tuple[Section, ...]
    warnings: tuple[str, ...]
    guesses: int


def comes_to(reckoning: Reckoning, words: Words, tax_name: str = "") -> ComesTo:
    """What a reckoning comes to, in the shop's words."""
    price = reckoning.price
    between = mark("%(low)s to %(high)s")
    return ComesTo(
        drawing=drawing_of(reckoning, words),
        size=words.size(reckoning.made.size),
        asking=words.money(price.asking),
        tax=_tax(reckoning, words, tax_name),
        total=words.money(price.total),
        deposit=words.money(price.deposit),
        hourly=words.money(reckoning.hourly),
        hourly_between=words.say(
            between, low=words.money(reckoning.hourly_low), high=words.money(reckoning.hourly_high)
        ),
        wage=words.money(reckoning.plan.wage),
        earns_enough=not reckoning.hourly < reckoning.plan.wage,
        hours=words.duration(reckoning.minutes_total.middle),
        hours_between=words.say(
            between,
            low=words.duration(reckoning.minutes_total.low),
            high=words.duration(reckoning.minutes_total.high),
        ),
        warp=_warp(reckoning, words),
        weft=words.say(
            "%(rows)s rows, %(strip)s of strip",
            rows=int(reckoning.rows.middle) * reckoning.made.panels,
            strip=words.strip_length(reckoning.weft.middle),
        ),
        weight=words.weight(reckoning.weight.middle),
        ladder=_ladder(reckoning, words),
        cloths=tuple(_bar(use, reckoning, words) for use in reckoning.cloths),
        sections=sheet_in_words(reckoning, words),
        warnings=warnings_in_words(reckoning, words),
        guesses=len(reckoning.plan.assumed),
    )


def _tax(reckoning: Reckoning, words: Words, name: str) -> str:
    rule, price = reckoning.plan.price, reckoning.price
    if not rule.tax_rate:
        return ""
    said = {"name": name or words.say("tax"), "rate": words.percent(rule.tax_rate, 3), "amount": words.money(price.tax)}
    if rule.tax_included:
        return words.say("%(name)s contained, %(rate)s: %(amount)s", **said)
    return words.say("%(name)s on top, %(rate)s: %(amount)s", **said)


def _warp(reckoning: Reckoning, words: Words) -> str:
    warp, loom = reckoning.warp, reckoning.plan.loom
    length = words.strip_length(warp.length_m)
    if isinstance(loom, FrameLoom):
        return words.say(
            "%(pegs)s pegs, %(passes)s passes, %(length)s of strip",
            pegs=reckoning.made.pegs,
            passes=warp.passes,
            length=length,
        )
    if isinstance(loom, PlankLoom):
        return words.say("%(pegs)s pegs, %(length)s of yarn", pegs=reckoning.made.pegs, length=length)
    return words.say(
        "%(ends)s ends, each %(one)s, %(length)s of yarn",
        ends=warp.ends,
        one=words.length(warp.one),
        length=length,
    )


def _ladder(reckoning: Reckoning, words: Words) -> tuple[Rung, ...]:
    price = reckoning.price
    named: tuple[tuple[str, Money], ...] = (
        (mark("Floor"), price.floor),
        (mark("Covers cost"), price.cost),
        (mark("Asking"), price.asking),
    )
    most = max(float(amount.amount) for _, amount in named) or 1.0
    return tuple(
        Rung(words.say(name), words.money(amount), round(float(amount.amount) / most * LADDER, 1))
        for name, amount in named
    )


def _bar(use: ClothUse, reckoning: Reckoning, words: Words) -> ClothBar:
    in_hand = use.cloth.pieces != float("inf")
    have = use.in_hand_m if in_hand else 0.0
    most = max(use.to_cut.high, have) or 1.0
    pieces = words.number(use.pieces.middle, 1, trimmed=True)
    if not in_hand:
        verdict = words.say("to buy: %(pieces)s pieces like it, to be safe", pieces=words.number(use.pieces.high, 1))
    elif use.reaches:
        verdict = words.say("enough in hand")
    elif use.to_cut.middle <= have:
        verdict = words.say("may run out")
    else:
        verdict = words.say("not enough in hand")
    return ClothBar(
        name=use.cloth.name or words.say("Cloth still to be bought"),
        colour=use.cloth.colour,
        rows=words.number(use.rows * reckoning.made.panels),
        need=words.say(
            "%(strip)s of strip, %(pieces)s of such a piece", strip=words.strip_length(use.to_cut.middle), pieces=pieces
        ),
        safe=words.strip_length(use.to_cut.high),
        in_hand=words.strip_length(have) if in_hand else "",
        verdict=verdict,
        reaches=use.reaches,
        middle=round(use.to_cut.middle / most, 4),
        high=round(use.to_cut.high / most, 4),
        have=round(have / most, 4),
    )


@dataclass(frozen=True, slots=True)
class LoomChoice:
    """A loom to choose: its answer to the size, in words.

    Attributes:
        id: of the loom.
        name: of it.
        says: how it makes the rug, or why it cannot.
        able: whether it can.
        chosen: whether it is the one.
    """

    id: int
    name: str
    says: str
    able: bool
    chosen: bool


def loom_choices(planned: Planned, words: Words) -> tuple[LoomChoice, ...]:
    """Each loom, those that can make the rug first."""
    choices = [
        LoomChoice(
            id=answer.card.id,
            name=answer.card.loom.name or words.say("A frame of 25 pegs, to begin with"),
            says=_answer(answer, words),
            able=answer.made is not None,
            chosen=answer.card.id == planned.loom_id,
        )
        for answer in planned.answers
    ]
    return tuple(sorted(choices, key=lambda choice: not choice.able))


def _answer(answer: LoomAnswer, words: Words) -> str:
    if answer.made is None:
        return " ".join(problem_sentences(answer.refusal.problems, words)) if answer.refusal else ""
    made = answer.made
    if made.panels > 1:
        return words.say(
            "Makes it in %(panels)s panels of %(width)s, seamed.", panels=made.panels, width=words.length(made.panel_width)
        )
    if made.pegs:
        return words.say("Makes it %(size)s, on %(pegs)s pegs.", size=words.size(made.size), pegs=made.pegs)
    return words.say("Makes it in one piece.")
