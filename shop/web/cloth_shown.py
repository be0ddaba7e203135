"""Pieces of cloth in words: what they are, what is left of them, what they cost, and what happened to them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from flask import url_for

from shop.core.cloth import ClothKind, Fibre
from shop.core.colour import Family
from shop.core.ledger import WHOLE, Kind, Place
from shop.core.measure import Length
from shop.core.money import exact
from shop.core.spread import Basis
from shop.usecases.fabric import GIVEN_AWAY, READY, SET_ASIDE, SPOILED, USED_UP, PieceCard, Step
from shop.web.shell import words_now
from shop.words import Words, mark

CLOTHS: Final[dict[str, str]] = {
    ClothKind.SHEETING.value: mark("Sheeting"),
    ClothKind.QUILTING.value: mark("Quilting cotton"),
    ClothKind.FLANNEL.value: mark("Flannel"),
    ClothKind.JERSEY.value: mark("T-shirt jersey"),
    ClothKind.MUSLIN.value: mark("Muslin"),
    ClothKind.VOILE.value: mark("Voile curtain"),
    ClothKind.TERRY.value: mark("Terry towelling"),
    ClothKind.CORDUROY.value: mark("Corduroy"),
    ClothKind.DENIM.value: mark("Denim"),
    ClothKind.BLANKET.value: mark("Wool blanket"),
}
FIBRES: Final[dict[str, str]] = {
    Fibre.COTTON.value: mark("Cotton"),
    Fibre.LINEN.value: mark("Linen"),
    Fibre.VISCOSE.value: mark("Viscose"),
    Fibre.WOOL.value: mark("Wool"),
    Fibre.POLYESTER.value: mark("Polyester"),
    Fibre.NYLON.value: mark("Nylon"),
    Fibre.ACRYLIC.value: mark("Acrylic"),
    Fibre.POLYETHYLENE.value: mark("Polyethylene"),
}
STATES: Final[dict[str, str]] = {
    SET_ASIDE: mark("set aside to wash"),
    READY: mark("ready"),
    USED_UP: mark("used up"),
    GIVEN_AWAY: mark("given away"),
    SPOILED: mark("spoiled"),
}
STEPS: Final[dict[Kind, str]] = {
    Kind.BROUGHT_HOME: mark("Brought home"),
    Kind.LATER_COST: mark("Paid for later"),
    Kind.SET_ASIDE: mark("Set aside to wash"),
    Kind.READY: mark("Washed, dried and ready"),
    Kind.DRAWN: mark("Drawn"),
    Kind.GIVEN_BACK: mark("Given back"),
    Kind.USUAL_WASTE: mark("Usual waste"),
    Kind.SPOILED: mark("Written off"),
    Kind.GIVEN_AWAY: mark("Given away"),
    Kind.CUT_OFF: mark("Cut off for a new piece"),
    Kind.CUT_FROM: mark("Cut from another piece"),
    Kind.WOVEN: mark("Woven into the rug"),
    Kind.REVERSED: mark("Undone"),
}
COLOUR_WORDS: Final[dict[str, str]] = {
    Family.WHITE.value: mark("White"),
    Family.GREY.value: mark("Grey"),
    Family.BLACK.value: mark("Black"),
    Family.BROWN.value: mark("Brown"),
    Family.RED.value: mark("Red"),
    Family.ORANGE.value: mark("Orange"),
    Family.YELLOW.value: mark("Yellow"),
    Family.GREEN.value: mark("Green"),
    Family.TEAL.value: mark("Teal"),
    Family.BLUE.value: mark("Blue"),
    Family.PURPLE.value: mark("Purple"),
    Family.PINK.value: mark("Pink"),
}
CONDITIONS: Final[dict[str, str]] = {
    "as new": mark("as new"),
    "good": mark("good"),
    "worn": mark("worn thin"),
    "patchy": mark("good in parts"),
    "stained": mark("stained"),
}
TEAR_TESTS: Final = {True: mark("tears straight"), False: mark("does not tear"), None: mark("not tried")}
SPREADS: Final[dict[str, str]] = {
    "price": mark("by price"),
    "weight": mark("by weight"),
    "area": mark("by area"),
    "evenly": mark("evenly, so much for each piece"),
}
METRIC: Final = (
    ("per_metre", mark("A metre of cloth")),
    ("strip_per_metre", mark("A metre of strip")),
    ("per_square_metre", mark("A square metre")),
    ("per_kg", mark("A kilogram")),
)
IMPERIAL: Final = (
    ("per_yard", mark("A yard of cloth")),
    ("strip_per_yard", mark("A yard of strip")),
    ("per_square_foot", mark("A square foot")),
    ("per_pound", mark("A pound")),
)
NOTHING: Final = "–"


@dataclass(frozen=True, slots=True)
class StepShown:
    """Something that happened to a piece; ``undo`` is its number while it is the one that can be undone."""

    what: str
    when: str
    left: str
    cost: str
    note: str
    undone: bool
    undo: int | None
    job: int | None
    job_name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceShown:
    """A piece of cloth in words.

    Attributes:
        left: what is left, in words; ``bar`` the same from 0 to 100.
        held: how much of it jobs hold: (share, name of the job, its address).
        weight: of what is left; ``weighed`` whether a scale said so.
        costs: (of what, how much) by every measure.
        to_wash, gone: whether it is set aside to wash, whether nothing is left.
    """

    number: int
    address: str
    name: str
    colour: str
    kind: str
    fibres: str
    size: str
    left: str
    bar: str
    held: tuple[tuple[str, str, str], ...]
    weight: str
    weighed: bool
    cloth_weight: str
    tears: str
    paid: str
    cost: str
    cost_left: str
    state: str
    to_wash: bool
    gone: bool
    costs: tuple[tuple[str, str], ...]
    place: str
    on: str
    haul: str
    yarn: str
    condition: str
    kept: str
    photograph: str
    parent: int | None


def piece_shown(card: PieceCard, *, strip: str = "") -> PieceShown:
    """A piece in the shop's words; ``strip`` as typed goes with its address."""
    words = words_now()
    left = float(card.left)
    return PieceShown(
        number=card.number,
        address=url_for("piece.show_piece", number=card.number, strip=strip or None),
        name=card.name,
        colour=card.colour,
        kind=words.say("Warp yarn %(count)s", count=card.yarn) if card.yarn else words.say(CLOTHS[card.cloth]) if card.cloth else "",
        fibres=_fibres(card, words),
        size=words.strip_length(card.length.metres) if card.yarn else size_shown(card.width, card.length),
        left=_left(card.left, words),
        bar=f"{left * 100:.1f}",
        held=tuple(
            (words.percent(min(one.parts, card.left_parts) / WHOLE), one.name, url_for("card.show_card", number=one.job))
            for one in card.held
            if card.left_parts
        ),
        weight=words.weight(card.grams * left),
        weighed=card.weight_basis is Basis.MEASURED,
        cloth_weight="" if card.yarn else words.cloth_weight(card.grams_per_m2),
        tears=words.say(TEAR_TESTS[card.tears]),
        paid=words.money(card.paid),
        cost=words.money(card.cost_in_all),
        cost_left=words.money(card.cost_left),
        state=words.say(STATES[card.state]),
        to_wash=card.state == SET_ASIDE,
        gone=not card.left,
        costs=_costs(card, words),
        place=card.place,
        on=words.date(card.on),
        haul=url_for("haul.show_haul", haul_id=card.haul_id),
        yarn=card.yarn,
        condition=words.say(CONDITIONS[card.condition]) if card.condition else "",
        kept=card.kept,
        photograph=card.photograph,
        parent=card.parent,
    )


def size_shown(width: Length, length: Length) -> str:
    """A piece's width by its length, as cloth is measured."""
    return words_now().sides(width, length)


def per_strip_named() -> str:
    """What ``per_strip_shown`` is the cost of."""
    words = words_now()
    return words.say(METRIC[1][1] if words.units == "metric" else IMPERIAL[1][1])


def per_strip_shown(per_metre: Decimal | None, per_yard: Decimal | None, currency: str) -> str:
    """What a metre or a yard of strip costs, by the shop's units."""
    words = words_now()
    cost = per_metre if words.units == "metric" else per_yard
    return NOTHING if cost is None else words.unit_cost(cost, currency)


def steps_shown(card: PieceCard) -> tuple[StepShown, ...]:
    """What happened to a piece, newest first."""
    words = words_now()
    undoable = _last_to_undo(card.steps)
    return tuple(
        StepShown(
            what=step_named(step, words),
            when=words.datetime(step.at),
            left=_signed(words.percent(step.share), step.share, on_shelf=_touches_shelf(step)),
            cost=_signed(words.money(step.cost), step.cost.minor, on_shelf=_touches_shelf(step)),
            note=step.note,
            undone=step.undone,
            undo=step.id if step is undoable else None,
            job=step.job,
            job_name=step.job_name,
        )
        for step in reversed(card.steps)
    )


def step_named(step: Step, words: Words) -> str:
    """What happened; of a reversal, what it undid."""
    if step.kind is Kind.REVERSED and step.undoes is not None:
        return words.say("Undone: %(what)s", what=words.say(STEPS[step.undoes]))
    return words.say(STEPS[step.kind])


def _last_to_undo(steps: tuple[Step, ...]) -> Step | None:
    """The last step that holds; being set aside on coming home is where every piece begins."""
    held = [step for step in steps if step.can_be_undone]
    return held[-1] if len(held) > 1 or (held and held[0].kind is not Kind.SET_ASIDE) else None


def _touches_shelf(step: Step) -> bool:
    return Place.SHELF in (step.source, step.target)


def _signed(text: str, value: Decimal | int, *, on_shelf: bool) -> str:
    """With a sign where it came to the shelf or left it."""
    if not value:
        return NOTHING
    return f"+{text}" if value > 0 and on_shelf else text


def _left(left: Decimal, words: Words) -> str:
    if left == 1:
        return words.say("all of it")
    return words.percent(left) if left else words.say("nothing")


def _fibres(card: PieceCard, words: Words) -> str:
    if not card.fibres:
        return words.say("unknown")
    if len(card.fibres) == 1:
        return words.say(FIBRES[card.fibres[0][0].value])
    parts = [f"{words.say(FIBRES[fibre.value])} {words.percent(share)}" for fibre, share in card.fibres]
    return words.all_of(parts)


def _costs(card: PieceCard, words: Words) -> tuple[tuple[str, str], ...]:
    if card.yarn:
        return _yarn_costs(card, words)
    measures = METRIC if words.units == "metric" else IMPERIAL
    costs = card.costs
    found = [(name, getattr(costs, which)) for which, name in measures]
    return tuple(
        (words.say(name), NOTHING if cost is None else words.unit_cost(cost, card.cost.currency))
        for name, cost in found
    )


def _yarn_costs(card: PieceCard, words: Words) -> tuple[tuple[str, str], ...]:
    """What a metre and a kilogram of yarn cost, or a yard and a pound."""
    whole, metres = card.whole_at_rate.amount, exact(card.length.metres)
    kilograms = exact(card.grams) / 1000
    metric = words.units == "metric"
    length = whole / metres * (1 if metric else Decimal("0.9144"))
    weight = whole / kilograms * (1 if metric else Decimal("0.45359237"))
    currency = card.cost.currency
    return (
        (words.say("A metre of yarn") if metric else words.say("A yard of yarn"), words.unit_cost(length, currency)),
        (words.say("A kilogram") if metric else words.say("A pound"), words.unit_cost(weight, currency)),
    )
