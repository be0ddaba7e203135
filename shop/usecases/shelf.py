"""Looking through the shelf: swatches by colour, and the filters that a weaver looks with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.colour import COLOUR_FAMILIES, Family, difference
from shop.core.errors import Problem, Refusal
from shop.core.loom import Size
from shop.core.measure import Length
from shop.store import shelf as table
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.usecases.chosen import Chosen
from shop.usecases.fabric import FIBRES, STRIP, PieceCard, cards_in
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.planning import planned

STATES: Final = ("in hand", "to wash", "ready", "gone")
ORDERS: Final = table.ORDERS
TEARS: Final = tuple(table.TEARS)
STUFFS: Final = ("cloth", "yarn")
COLOURS: Final = tuple(family.value for family in Family)
NEAR: Final = 18.0
"""The CIEDE2000 difference within which a swatch counts as near a colour: the same word, lighter or darker."""
PAGE: Final = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked of the shelf; what is empty does not matter.

    Attributes:
        state: one of ``STATES``; ``order`` one of ``ORDERS``.
        words: that the name must hold.
        colour: a colour word, or ``#rrggbb``: swatches near it.
        fibre: that there is most of, or ``unknown``; ``tears`` one of ``TEARS``; ``stuff`` one of ``STUFFS``.
        size: of a rug for which one piece must be enough.
    """

    state: str = "in hand"
    order: str = "colour"
    words: str = ""
    colour: str = ""
    fibre: str = ""
    tears: str = ""
    stuff: str = ""
    size: Size | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfPage:
    """A page of the shelf.

    Attributes:
        pieces: in order.
        further: says where the next page begins; empty at the end.
        needed_m2: the cloth that a rug of the asked size takes; ``None`` when none was asked about.
    """

    pieces: tuple[PieceCard, ...]
    further: str
    needed_m2: float | None


def look(
    store: Store, *, asked: Asked, strip: Length = STRIP, after: str = "", limit: int = PAGE
) -> ShelfPage:
    """Look through the shelf.

    Args:
        store: the shop's database.
        asked: what is looked for.
        strip: the width of strip to show costs for.
        after: ``further`` of the page before.
        limit: pieces on a page.

    Raises:
        Refusal: ``choice.unknown`` or ``colour.unreadable`` at the field's name; whatever stands in the way of a rug of the
            asked size, at ``size``.
    """
    given = Given()
    given.choice("state", asked.state, STATES)
    given.choice("order", asked.order, ORDERS)
    if asked.colour and asked.colour not in COLOURS:
        given.colour("colour", asked.colour)
    for where, value, choices in (
        ("fibre", asked.fibre, (*FIBRES, "unknown")),
        ("tears", asked.tears, TEARS),
        ("stuff", asked.stuff, STUFFS),
    ):
        if value:
            given.choice(where, value, choices)
    given.done()
    needed = cloth_for(store, size=asked.size) if asked.size else None
    with store.reading() as session:
        wanted = table.Wanted(
            state=asked.state,
            words=words_of(asked.words),
            colours=_near(session, asked.colour) if asked.colour else None,
            fibre=asked.fibre,
            tears=asked.tears,
            stuff=asked.stuff,
            square_metres=needed,
        )
        place = _place(after)
        if asked.order == "newest" or asked.state == "gone":
            rows = table.newest(session, wanted=wanted, below=place[1] if place else None, limit=limit + 1)
        else:
            rows = table.by_colour(session, wanted=wanted, after=place, limit=limit + 1)
        page = rows[:limit]
        further = f"{page[-1].shade}.{page[-1].number}" if len(rows) > limit else ""
        return ShelfPage(pieces=cards_in(session, page, strip=strip), further=further, needed_m2=needed)


def _near(session: Session, colour: str) -> list[str]:
    """The colours in hand that look like the asked one."""
    swatch = COLOUR_FAMILIES[Family(colour)] if colour in COLOURS else colour.lower()
    return [one for one in table.colours_in_hand(session) if difference(one, swatch) <= NEAR]


def _place(after: str) -> tuple[int, int] | None:
    shade, _, number = after.partition(".")
    if not all(one.isascii() and one.isdigit() and len(one) < 19 for one in (shade, number)):
        return None
    return (int(shade), int(number)) if is_number_of_a_row(int(number)) else None


def cloth_for(store: Store, *, size: Size) -> float:
    """The cloth that a rug of this size takes, in square metres, at the high end of what it may be.

    It is reckoned as a quote is, on the shop's first loom that can make it, with sheeting; waste is in it.

    Raises:
        Refusal: whatever stands in the way of such a rug, at ``size``.
    """
    plan = planned(store, chosen=Chosen(width=size.width, length=size.length))
    if plan.reckoning is None:
        problems = plan.refusal.problems if plan.refusal else (Problem("shelf.size"),)
        raise Refusal(*(problem.at("size") for problem in problems))
    strip_m = sum(use.to_cut.high for use in plan.reckoning.cloths)
    return strip_m * plan.reckoning.plan.strip.metres
