"""What every paper has: whose it is, its size of sheet, and the language that it declares."""

from __future__ import annotations

from dataclasses import dataclass

from shop.paper.drawing import colour
from shop.paper.press import Texts
from shop.words import Words
from shop.words.locales import locale_of, prefers_letter

MOST_LINES = 8
MOST_MARK_COLOURS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopHead:
    """The shop as its papers show it.

    Attributes:
        name: of the shop.
        address: its lines.
        contact: further lines: telephone, mail, pages.
        colours: of the shop's mark, ``"#rrggbb"``, in order; none takes indigo, linen and madder.
    """

    name: str
    address: tuple[str, ...] = ()
    contact: tuple[str, ...] = ()
    colours: tuple[str, ...] = ()


def sheet_texts(shop: ShopHead, words: Words, *, title: str, foot: str) -> Texts:
    """The texts that every sheet takes: title, language, size of paper, head and foot."""
    locale = locale_of(words.locale)
    lines = [line.strip() for line in (*shop.address, *shop.contact) if line.strip()]
    return {
        "title": title,
        "lang": words.language,
        "region": locale.territory if locale.language == words.language else None,
        "page": "us-letter" if prefers_letter(words.locale) else "a4",
        "shop": {
            "name": shop.name,
            "lines": lines[:MOST_LINES],
            "colours": [colour(each) for each in shop.colours[:MOST_MARK_COLOURS]],
        },
        "foot": foot,
    }


def missing_note(words: Words) -> str:
    """What a paper says at its foot where a sign had to be set as a box."""
    return words.say("□ stands for a sign that the letters of this paper lack; please write it in by hand.")
