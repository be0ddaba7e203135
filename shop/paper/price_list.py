"""A price list of rugs: each drawn small, with its number, what it is, its size and what it is to bring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.paper.tag import stripe_texts
from shop.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedRug:
    """A rug on a list, in finished text.

    Attributes:
        number: of it; ``name`` what it is called.
        size: of the rug; ``content`` what it is woven of, empty where nobody knows.
        price: what it is to bring; empty where that is open.
        weight: empty where it was not weighed.
        stripes: (``"#rrggbb"``, share of the length) from one end to the other.
    """

    number: int
    name: str
    size: str
    content: str
    price: str
    weight: str = ""
    stripes: tuple[tuple[str, float], ...]


def price_list_pdf(
    rugs: Sequence[ListedRug], *, title: str = "", tax: str = "", shop: ShopHead, day: date, words: Words
) -> bytes:
    """The list as a PDF, over as many pages as it takes.

    Args:
        rugs: in the order in which they are listed.
        title: such as the name of a fair.
        tax: what is said of tax at the foot of it.
        shop: whose they are.
        day: the day on it.
        words: the shop's.
    """
    texts = price_list_texts(rugs, title=title, tax=tax, shop=shop, day=day, words=words)
    return printed("price_list", texts, day=day, note=missing_note(words))


def price_list_texts(
    rugs: Sequence[ListedRug], *, title: str = "", tax: str = "", shop: ShopHead, day: date, words: Words
) -> Texts:
    """Everything that stands on the list."""
    say = words.say
    heading = say("Prices")
    return {
        **sheet_texts(shop, words, title=say("Price list of %(shop)s", shop=shop.name), foot=f"{shop.name} · {heading}"),
        "heading": heading,
        "about": title,
        "date": words.date(day),
        "columns": [say("No."), say("Rug"), say("Size"), say("Price")],
        "rugs": [listed_texts(one, words) for one in rugs],
        "tax": tax,
        "mat": say("On a hard floor lay it on a non-slip mat."),
    }


def listed_texts(one: ListedRug, words: Words) -> Texts:
    """A rug as a sheet lists it."""
    return {
        "number": str(one.number),
        "name": one.name,
        "size": one.size,
        "content": one.content,
        "price": one.price or words.say("to be agreed"),
        "open": not one.price,
        "weight": one.weight,
        "stripes": stripe_texts(one.stripes),
    }
