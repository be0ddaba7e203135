"""Labels for pieces of cloth: a number to read from across the room, what it is, and a code that opens the piece.

Which label begins the first sheet can be chosen, so that a sheet used in part is used up. Nothing ever reaches
beyond its label: what is too long is cut, and says so by its dots.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shop.paper.codes import Code, code_of, code_texts
from shop.paper.drawing import colour
from shop.paper.label_sheets import LabelSheet
from shop.paper.letterhead import ShopHead, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words

LONGEST_ADDRESS: Final = 500
USUAL_PART: Final = 0.45
LARGEST_PART: Final = 0.6
"""How much of a label's width its code takes as a rule, and at most where the code would else be too fine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLabel:
    """A label, in finished text.

    Attributes:
        number: of the piece.
        name: what it is called.
        facts: its size, its fibre, where it is kept; the first are kept longest where there is little room.
        colour: ``"#rrggbb"``.
        to_wash: whether it waits to be washed.
        address: what its code opens.
    """

    number: int
    name: str
    facts: tuple[str, ...]
    colour: str
    to_wash: bool
    address: str


def code_fits(sheet: LabelSheet, address: str) -> bool:
    """Whether the code of an address can be printed on these labels and still be read."""
    return len(address) <= LONGEST_ADDRESS and code_of(address).smallest <= _room(sheet, LARGEST_PART)


def sheets_needed(sheet: LabelSheet, labels: int, *, begin: int = 1) -> int:
    """How many sheets so many labels take, the first begun at label ``begin``."""
    return -(-(begin - 1 + labels) // sheet.count)


def next_label(sheet: LabelSheet, labels: int, *, begin: int = 1) -> int:
    """The first free label of the last sheet; 1 where that sheet is full."""
    return (begin - 1 + labels) % sheet.count + 1


def labels_pdf(
    labels: Sequence[PieceLabel],
    sheet: LabelSheet,
    *,
    begin: int = 1,
    shop: ShopHead,
    day: date,
    words: Words,
) -> bytes:
    """The labels as a PDF, to be printed at its true size.

    Args:
        labels: in the order in which they are printed.
        sheet: on which.
        begin: the first label to print on; those before it are used already.
        shop: whose they are.
        day: the day on which they are made.
        words: the shop's.
    """
    texts = label_texts(labels, sheet, begin=begin, shop=shop, words=words)
    return printed("labels", texts, day=day, note="")


def label_texts(
    labels: Sequence[PieceLabel], sheet: LabelSheet, *, begin: int = 1, shop: ShopHead, words: Words
) -> Texts:
    """Everything that stands on the labels, and where, in millimetres."""
    title = words.say("Labels of %(shop)s", shop=shop.name)
    width, height = sheet.size
    return {
        **sheet_texts(shop, words, title=title, foot=""),
        "paper": {"width": width, "height": height},
        "label": {"width": sheet.millimetres(sheet.width), "height": sheet.millimetres(sheet.height)},
        "corners": [sheet.corner(place) for place in range(sheet.count)],
        "to_cut": sheet.to_cut,
        "first": begin - 1,
        "number": words.say("No."),
        "wash": words.say("To wash"),
        "labels": [_label(label, sheet, words) for label in labels],
    }


def _label(label: PieceLabel, sheet: LabelSheet, words: Words) -> Texts:
    code = code_of(label.address)
    told = words.say("Code that opens %(address)s", address=label.address)
    return {
        "number": str(label.number),
        "name": label.name,
        "facts": [fact for fact in label.facts if fact],
        "colour": colour(label.colour),
        "to_wash": label.to_wash,
        "code": {**code_texts(code, told), "side": _side(code, sheet)},
    }


def _side(code: Code, sheet: LabelSheet) -> float:
    """How wide to print a code, border included, in millimetres."""
    wanted = max(code.smallest, min(code.largest, _room(sheet, USUAL_PART)))
    return min(wanted, _room(sheet, LARGEST_PART))


def _room(sheet: LabelSheet, part: float) -> float:
    """The widest square that a part of the label's width holds, in millimetres."""
    return min(sheet.millimetres(sheet.height), sheet.millimetres(sheet.width) * part)
