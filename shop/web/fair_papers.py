"""Papers for a fair: tags, a price list and a packing list of the rugs that are packed for it, at their prices there."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, Response, request

from shop.core.errors import NotFound, Problem
from shop.paper.tag import SIZES, code_fits
from shop.usecases import fair as fairs
from shop.usecases import fair_table as tables
from shop.usecases.fair_card import FairCard
from shop.usecases.rug_card import RugCard
from shop.web.rug_papers import USUAL, address_of, packing_list_for, price_list_for, tags_for
from shop.web.shell import store_now, words_now
from shop.words import Words, mark

room = Blueprint("fair_papers", __name__, url_prefix="/fairs/<int:number>/papers")

ALSO = (
    mark("Tags, pins and scissors"),
    mark("The box with change, and the card reader, charged"),
    mark("The phones with the till, charged, and a cable"),
    mark("Paper and pencil, should the phones fail"),
    mark("Table, cloth, racks, and something to weigh them down in wind"),
    mark("Non-slip mats, and the permit of the fair"),
)
"""What else to take along."""


def _packed(number: int) -> tuple[FairCard, tuple[RugCard, ...]]:
    """The fair, and the rugs that are packed for it at their prices there.

    Raises:
        NotFound: ``fair.none_packed``.
    """
    fair = fairs.fair(store_now(), number=number)
    cards = tuple(replace(card, price=price) for card, price in tables.packed(store_now(), number=number))
    if not cards:
        raise NotFound(Problem("fair.none_packed", values={"number": number}))
    return fair, cards


def _pdf(content: bytes, name: str) -> Response:
    answer = Response(content, mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer


@room.get("/tags.pdf")
def print_tags(number: int) -> Response:
    """Their tags, in a size that the code on them fits."""
    fair, cards = _packed(number)
    size = SIZES.get(request.args.get("size", ""), SIZES[USUAL])
    longest = max((address_of(card.number) for card in cards), key=len)
    if not code_fits(size, longest):
        size = next((one for one in SIZES.values() if code_fits(one, longest)), size)
    words = words_now()
    return _pdf(tags_for(cards, size, words, tax=_tax(fair, words)), f"tags-{number}")


@room.get("/prices.pdf")
def print_prices(number: int) -> Response:
    """A list of their prices."""
    fair, cards = _packed(number)
    words = words_now()
    return _pdf(price_list_for(cards, fair.name, words, tax=_tax(fair, words)), f"prices-{number}")


def _tax(fair: FairCard, words: Words) -> str:
    """What comes on top of the prices there; empty where they contain it, or there is none."""
    if not fair.tax_rate or fair.tax_contained:
        return ""
    name = fair.tax_name or words.say("tax")
    return words.say("%(share)s %(tax)s comes on top.", share=words.percent(fair.tax_rate, 3), tax=name)


@room.get("/packing.pdf")
def print_packing(number: int) -> Response:
    """A list to pack by."""
    fair, cards = _packed(number)
    words = words_now()
    return _pdf(packing_list_for(cards, fair.name, words, also=tuple(words.say(one) for one in ALSO)), f"packing-{number}")
