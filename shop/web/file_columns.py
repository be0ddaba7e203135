"""The columns of a file of cloth in the shop's words: what they are called, what they hold, and an example to write over."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from shop.usecases.file_cells import NO, YES, Vocabulary
from shop.usecases.file_rows import COLUMNS
from shop.web.cloth_shown import CLOTHS, COLOUR_WORDS, CONDITIONS, FIBRES, SPREADS
from shop.words import Words, mark

HEADINGS: Final[dict[str, str]] = {
    "place": mark("Place"),
    "day": mark("Day"),
    "name": mark("Name"),
    "width": mark("Width"),
    "length": mark("Length"),
    "price": mark("Price"),
    "count": mark("Count"),
    "kind": mark("Kind"),
    "colour": mark("Colour"),
    "fibre": mark("Fibre"),
    "weight": mark("Weight"),
    "tears": mark("Tears"),
    "washed": mark("Washed"),
    "condition": mark("Condition"),
    "kept": mark("Kept"),
    "yarn": mark("Yarn"),
    "tax": mark("Tax"),
    "discount": mark("Discount"),
    "washing": mark("Washing"),
    "trip": mark("Trip"),
    "spread by": mark("Spread by"),
    "note": mark("Note"),
}
MEANINGS: Final[dict[str, str]] = {
    "place": mark("where it was bought; with the day, it says which rows are one haul"),
    "day": mark("as 2026-03-14"),
    "name": mark("what it is"),
    "width": mark("usable; not for yarn"),
    "length": mark("usable; not for yarn"),
    "price": mark("of one; 0 if it was given to you"),
    "count": mark("how many alike"),
    "kind": mark("sheeting, quilting, flannel, jersey, muslin, voile, terry, corduroy, denim, blanket"),
    "colour": mark("#5577aa, or a word such as blue"),
    "fibre": mark("cotton, or cotton 60, polyester 40"),
    "weight": mark("on a scale, of one"),
    "tears": mark("yes or no"),
    "washed": mark("yes or no"),
    "condition": mark("as new, good, worn, patchy, stained"),
    "kept": mark("where it lies"),
    "yarn": mark("the count of a cone of warp yarn, such as 8/4; it needs a weight"),
    "tax": mark("of the whole haul; said once, or the same in each of its rows"),
    "discount": mark("the same"),
    "washing": mark("the same"),
    "trip": mark("the same"),
    "spread by": mark("price, weight, area or evenly"),
    "note": mark("of the whole haul"),
}
YES_OR_NO: Final[dict[str, str]] = {YES: mark("Yes"), NO: mark("No")}
_ABOUT: Final[dict[str, dict[str, str]]] = {
    "kind": CLOTHS,
    "fibre": FIBRES,
    "condition": CONDITIONS,
    "colour": COLOUR_WORDS,
    "spread by": SPREADS,
    "yes or no": YES_OR_NO,
}


def vocabulary(words: Words) -> Vocabulary:
    """The headings and words of our pages, in English and in the shop's language."""
    headings = [(said, column) for column, label in HEADINGS.items() for said in (label, words.say(label))]
    return Vocabulary.of(headings, _choices(words))


def _choices(words: Words) -> Iterator[tuple[str, str, str]]:
    """What a choice means, by what it is about and each way in which our pages write it, whole or up to its comma."""
    for about, choices in _ABOUT.items():
        for value, label in choices.items():
            for said in (label, words.say(label)):
                yield about, said, value
                yield about, said.split(",", maxsplit=1)[0], value


def examples(words: Words) -> list[list[str]]:
    """Two rows in the shop's units and language, to be written over."""
    imperial = words.units == "imperial"
    yes, no, blue, sheeting, cotton, polyester = (
        words.say(label).lower()
        for label in (
            YES_OR_NO[YES],
            YES_OR_NO[NO],
            COLOUR_WORDS["blue"],
            CLOTHS["sheeting"],
            FIBRES["cotton"],
            FIBRES["polyester"],
        )
    )
    sheet = {
        "place": words.say("Thrift shop"),
        "day": "2026-03-14",
        "name": words.say("Blue striped sheet"),
        "width": "81 in" if imperial else "205 cm",
        "length": "96 in" if imperial else "245 cm",
        "price": "4",
        "count": "1",
        "kind": sheeting,
        "colour": blue,
        "fibre": f"{cotton} 50, {polyester} 50",
        "tears": yes,
        "washed": no,
    }
    cone = {
        "place": words.say("Thrift shop"),
        "day": "2026-03-14",
        "name": words.say("Carpet warp"),
        "price": "12",
        "weight": "1 lb" if imperial else "500 g",
        "yarn": "8/4",
    }
    return [[row.get(column, "") for column in COLUMNS] for row in (sheet, cone)]
