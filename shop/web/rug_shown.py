"""A finished rug in the shop's words, as its pages and its papers show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import url_for

from shop.usecases.rug_card import RugCard
from shop.web.shell import words_now
from shop.words import Words, mark

PLACES: Final[dict[str, str]] = {
    "home": mark("at home"),
    "fair": mark("packed for a fair"),
    "outlet": mark("at an outlet"),
    "sold": mark("sold"),
    "gone": mark("given away or lost"),
}
MOVES: Final[dict[str, str]] = {
    "came": mark("Came home"),
    "packed": mark("Packed for a fair"),
    "sent": mark("Sent to an outlet"),
    "back": mark("Came back home"),
    "sold": mark("Sold"),
    "taken back": mark("Taken back"),
    "gone": mark("Given away, kept or lost"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RugShown:
    """A rug in words.

    Attributes:
        stripes: (colour, share) for its drawing; ``width`` and ``length`` in metres.
        price: empty where it is open; ``brought`` what it was sold for, empty until it is.
        cost: with ``guessed`` where it is an estimate; empty where it is not known.
        where: where it is.
        photograph: the digest of its photograph, empty where it has none.
        for_sale: it is still to be sold.
    """

    number: int
    address: str
    name: str
    size: str
    weight: str
    stripes: tuple[tuple[str, float], ...]
    width: float
    length: float
    price: str
    brought: str
    cost: str
    guessed: bool
    where: str
    place: str
    photograph: str
    for_sale: bool


def rug_shown(card: RugCard) -> RugShown:
    """A rug in the shop's words."""
    words = words_now()
    return RugShown(
        number=card.number,
        address=url_for("rug.show_rug", number=card.number),
        name=card.name,
        size=words.size(card.size),
        weight=words.weight(card.weight) if card.weight else "",
        stripes=card.stripes,
        width=card.size.width.metres,
        length=card.size.length.metres,
        price=words.money(card.price) if card.price is not None else "",
        brought=words.money(card.brought) if card.brought is not None else "",
        cost=words.money(card.cost.total) if card.cost_known else "",
        guessed=card.guessed,
        where=where_told(card, words),
        place=card.place,
        photograph=card.photograph,
        for_sale=card.for_sale,
    )


def where_told(card: RugCard, words: Words) -> str:
    """Where a rug is: by the name of the fair or the outlet, where it is at one."""
    if card.place == "fair" and card.where:
        return words.say("packed for %(fair)s", fair=card.where)
    if card.place == "outlet" and card.where:
        return words.say("at %(outlet)s", outlet=card.where)
    return words.say(PLACES[card.place])
