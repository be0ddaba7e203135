"""What the cells of a table say: each read as the shop would read it in a form, and its words in any language it knows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from babel.dates import get_date_format
from babel.numbers import get_decimal_symbol

from shop.core.colour import COLOUR_FAMILIES, Family
from shop.core.errors import Problem, Unreadable
from shop.core.measure import Length, Weight, parse_length, parse_number, parse_weight
from shop.core.money import Money, parse_money
from shop.store.folding import folded
from shop.usecases.fabric import CLOTH_KINDS, CONDITIONS, FIBRES
from shop.usecases.haul import SPREADS
from shop.usecases.shop import Shop

Cell = str | Decimal
"""Text, or a number of a workbook."""

YES: Final = "yes"
NO: Final = "no"
WORDS: Final[dict[str, tuple[str, ...]]] = {
    "kind": tuple(filter(None, CLOTH_KINDS)),
    "fibre": FIBRES,
    "condition": tuple(filter(None, CONDITIONS)),
    "colour": tuple(family.value for family in Family),
    "spread by": SPREADS,
    "yes or no": (YES, NO),
}
"""The words that cells may hold, by what they are about."""
_ALSO: Final[dict[tuple[str, str], str]] = {
    ("yes or no", "y"): YES,
    ("yes or no", "true"): YES,
    ("yes or no", "1"): YES,
    ("yes or no", "x"): YES,
    ("yes or no", "n"): NO,
    ("yes or no", "false"): NO,
    ("yes or no", "0"): NO,
    ("colour", "gray"): Family.GREY.value,
}
_COLOUR: Final = re.compile(r"#[0-9a-f]{6}")
_POINTED: Final = re.compile(r"[0-9]+\.[0-9]+")
_THOUSANDS: Final = re.compile(r"[0-9]{1,3}\.[0-9]{3}")
_ISO_DAY: Final = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})(?:[T ].*)?")
_DAY: Final = re.compile(r"([0-9]{1,4})([./-])([0-9]{1,2})\2([0-9]{1,4})\.?")
_FIBRE: Final = re.compile(r"(?:([0-9]{1,3}(?:\.[0-9]{1,6})?)\s*%?\s*)?([^\W\d]+)(?:\s*([0-9]{1,3}(?:\.[0-9]{1,6})?)\s*%?)?")


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Which words a table may be written in. The plain English ones are always understood.

    Attributes:
        columns: the column that a heading means, by the heading made for comparing.
        words: the value that a word means, by what it is about (``WORDS``) and the word made for comparing.
    """

    columns: Mapping[str, str]
    words: Mapping[tuple[str, str], str]

    @classmethod
    def of(
        cls, columns: Iterable[tuple[str, str]] = (), words: Iterable[tuple[str, str, str]] = ()
    ) -> Vocabulary:
        """A vocabulary with further words.

        Args:
            columns: (heading, column) pairs.
            words: (about what, word, value) triples.
        """
        plain = {(about, folded(value)): value for about, values in WORDS.items() for value in values}
        further = {(about, folded(word)): value for about, word, value in words}
        return cls({folded(heading): column for heading, column in columns}, {**further, **_ALSO, **plain})


PLAIN: Final = Vocabulary.of()


def text_of(cell: Cell) -> str:
    """A cell as text; a number with a point, and without a sign of how it was kept."""
    if isinstance(cell, str):
        return cell
    text = f"{cell:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


class CellReader:
    """Reads cells in the shop's currency and units, and by its way of writing numbers and days."""

    def __init__(self, shop: Shop, today: date, vocabulary: Vocabulary) -> None:
        """A reader for a shop on a day."""
        self._currency, self._locale, self._today, self._vocabulary = shop.currency, shop.locale, today, vocabulary
        self._mark = get_decimal_symbol(shop.locale, numbering_system="latn")
        self._bare_length = "in" if shop.units == "imperial" else "cm"
        self._bare_weight = "lb" if shop.units == "imperial" else "kg"

    def _mark_in(self, cell: Cell) -> str:
        """The shop's decimal mark, or the point of a workbook's number and of text that cannot mean thousands."""
        text = text_of(cell)
        if isinstance(cell, Decimal) or (_POINTED.fullmatch(text) and not _THOUSANDS.fullmatch(text)):
            return "."
        return self._mark

    def money(self, cell: Cell) -> Money:
        """An amount, as ``shop.core.money.parse_money``."""
        return parse_money(text_of(cell), self._currency, decimal_mark=self._mark_in(cell))

    def length(self, cell: Cell) -> Length:
        """A length, in the shop's unit where none is named."""
        return parse_length(text_of(cell), decimal_mark=self._mark_in(cell), bare_unit=self._bare_length)

    def weight(self, cell: Cell) -> Weight:
        """A weight, in the shop's unit where none is named."""
        return parse_weight(text_of(cell), decimal_mark=self._mark_in(cell), bare_unit=self._bare_weight)

    def count(self, cell: Cell) -> int:
        """A whole number; how large it may be is looked at with the haul."""
        number = parse_number(text_of(cell), decimal_mark=self._mark_in(cell))
        if number != number.to_integral_value():
            raise Unreadable(Problem("number.whole"))
        return int(number)

    def day(self, cell: Cell) -> date:
        """A day, as 2026-03-14 or as the shop's country writes it in figures, with a whole year.

        Raises:
            Unreadable: ``sheet.day``, ``date.future``.
        """
        text = text_of(cell)
        try:
            found = self._day(text)
        except ValueError:
            raise Unreadable(Problem("sheet.day", values={"text": text[:24]})) from None
        if found > self._today:
            raise Unreadable(Problem("date.future"))
        return found

    def _day(self, text: str) -> date:
        iso = _ISO_DAY.fullmatch(text)
        if iso:
            return date(int(iso[1]), int(iso[2]), int(iso[3]))
        written = _DAY.fullmatch(text)
        if written is None:
            raise ValueError(text)
        parts = dict(zip(self._day_order(), (written[1], written[3], written[4]), strict=True))
        if len(parts["y"]) != 4:
            raise ValueError(text)
        return date(int(parts["y"]), int(parts["M"]), int(parts["d"]))

    def _day_order(self) -> list[str]:
        """Year, month and day in the order in which the country writes them."""
        pattern = re.sub(r"'[^']*'", "", str(get_date_format("short", locale=self._locale).pattern))
        return list(dict.fromkeys(sign for sign in pattern if sign in "yMd"))

    def word(self, about: str, cell: Cell) -> str:
        """The value that a word means.

        Raises:
            Unreadable: ``choice.unknown``; of colours ``sheet.colour``, of yes or no ``sheet.yes``.
        """
        text = text_of(cell)
        found = self._vocabulary.words.get((about, folded(text)))
        if found is None:
            code = {"colour": "sheet.colour", "yes or no": "sheet.yes"}.get(about, "choice.unknown")
            raise Unreadable(Problem(code, values={"text": text[:24]}))
        return found

    def yes(self, cell: Cell) -> bool | None:
        """Yes or no."""
        return self.word("yes or no", cell) == YES

    def colour(self, cell: Cell) -> str:
        """A colour, ``#rrggbb``, or the one that stands for a word."""
        text = text_of(cell).lower()
        return text if _COLOUR.fullmatch(text) else COLOUR_FAMILIES[Family(self.word("colour", cell))]

    def fibres(self, cell: Cell) -> tuple[tuple[str, Decimal], ...]:
        """``cotton``, or ``cotton 60, polyester 40`` in per cent.

        Raises:
            Unreadable: ``sheet.fibre``.
        """
        text = text_of(cell)
        parts = [part.strip() for part in re.split(r"[,;+/]", text) if part.strip()]
        found = []
        for part in parts:
            match = _FIBRE.fullmatch(part)
            share = (match[1] or match[3]) if match else None
            fibre = self._vocabulary.words.get(("fibre", folded(match[2]))) if match else None
            if fibre is None or (share is None and len(parts) > 1):
                raise Unreadable(Problem("sheet.fibre", values={"text": text[:40]}))
            found.append((fibre, Decimal(share) / 100 if share else Decimal(1)))
        if not found:
            raise Unreadable(Problem("sheet.fibre", values={"text": text[:40]}))
        return tuple(found)
