"""What was given for an act, looked over value by value, with every problem gathered on the way."""

from __future__ import annotations

import math
import re
import secrets
import unicodedata
from collections.abc import Collection, Mapping
from decimal import Decimal
from typing import Final

from shop.core.errors import Problem, Refusal
from shop.core.measure import Length, Weight
from shop.core.money import LARGEST_MINOR, Money
from shop.store.saving import TOKEN

LONGEST_LINE: Final = 120
LONGEST_BLOCK: Final = 2000
LARGEST_DOCUMENT: Final = 100_000
DEEPEST_DOCUMENT: Final = 8
PLACES: Final = 9
LARGEST_NUMBER: Final = 2**63 - 1
_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")


def fresh_token() -> str:
    """A token for a form: the same press of its button twice is then one act."""
    return secrets.token_urlsafe(18)


def is_token(text: str) -> bool:
    """Whether this can be the token of a form of ours."""
    return TOKEN.fullmatch(text) is not None


class Given:
    """Looks over what was given; a value that will not do is noted, and something harmless handed back."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def note(self, code: str, where: str, **values: object) -> None:
        """Note a problem at a field."""
        self.problems.append(Problem(code, where, values))

    def done(self) -> None:
        """Refuse, if anything was noted."""
        if self.problems:
            raise Refusal(*self.problems)

    def line(self, where: str, text: str, *, required: bool = False, most: int = LONGEST_LINE) -> str:
        """One line of text, its spaces set straight."""
        return self._text(where, " ".join(text.split()), required=required, most=most)

    def mail(self, where: str, text: str, *, most: int = LONGEST_LINE) -> str:
        """An address for e-mail, or none."""
        line = self.line(where, text, most=most)
        if line and (line.count("@") != 1 or line.startswith("@") or line.endswith("@") or " " in line):
            self.note("customer.mail", where, text=line[:60])
        return line

    def block(self, where: str, text: str, *, most: int = LONGEST_BLOCK) -> str:
        """Text of several lines."""
        lines = [line.rstrip() for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n")]
        return self._text(where, "\n".join(lines).strip(), required=False, most=most)

    def _text(self, where: str, text: str, *, required: bool, most: int) -> str:
        if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text if sign != "\n"):
            self.problems.append(Problem("text.control", where))
            return ""
        clean = unicodedata.normalize("NFC", text)
        if len(clean) > most:
            self.problems.append(Problem("text.long", where, {"most": most}))
            return ""
        if required and not clean:
            self.problems.append(Problem("text.missing", where))
        return clean

    def choice(self, where: str, value: str, choices: Collection[str]) -> str:
        """One of the words that there are to choose from."""
        if value not in choices:
            self.problems.append(Problem("choice.unknown", where, {"text": value[:24]}))
        return value

    def colour(self, where: str, text: str) -> str:
        """A colour, ``#rrggbb``."""
        if not _COLOUR.fullmatch(text):
            self.problems.append(Problem("colour.unreadable", where, {"text": text[:24]}))
        return text.lower()

    def count(self, where: str, value: int, least: int, most: int) -> int:
        """A whole number within bounds."""
        self._bounds(where, Decimal(value), Decimal(least), Decimal(most))
        return value

    def number(self, where: str, value: Decimal, least: Decimal | int, most: Decimal | int) -> Decimal:
        """A number within bounds, of at most nine decimals."""
        if not value.is_finite():
            self.problems.append(Problem("number.missing", where))
            return Decimal(least)
        if not self._bounds(where, value, Decimal(least), Decimal(most)):
            return Decimal(least)
        if value != round(value, PLACES):
            self.problems.append(Problem("number.finer", where, {"places": PLACES}))
        return value

    def _bounds(self, where: str, value: Decimal, least: Decimal, most: Decimal) -> bool:
        if value < least:
            self.problems.append(Problem("number.small", where, {"least": least}))
        elif value > most:
            self.problems.append(Problem("number.large", where, {"most": most}))
        return least <= value <= most

    def length(self, where: str, value: Length, least: Length, most: Length) -> Length:
        """A length within bounds."""
        if value < least:
            self.problems.append(Problem("length.small", where, {"least": least}))
        elif value > most:
            self.problems.append(Problem("length.most", where, {"most": most}))
        return value

    def weight(self, where: str, value: Weight | None, most: Weight) -> Weight | None:
        """A weight of more than nothing, or none."""
        if value is not None and value.ng <= 0:
            self.problems.append(Problem("weight.zero", where))
        elif value is not None and value > most:
            self.problems.append(Problem("weight.most", where, {"most": most}))
        return value

    def money(self, where: str, value: Money | None, currency: str) -> int | None:
        """An amount not below nothing, in the shop's currency, as whole smallest coins."""
        if value is None:
            return None
        if value.currency != currency:
            self.problems.append(Problem("money.mixed", where, {"one": value.currency, "other": currency}))
        elif value.minor < 0:
            self.problems.append(Problem("money.negative", where, {"text": value.plain()}))
        elif value.minor > LARGEST_MINOR:
            self.problems.append(Problem("money.large", where))
        return value.minor

    def amount(self, where: str, value: Money, currency: str) -> int:
        """As ``money``, of an amount that must be there."""
        return self.money(where, value, currency) or 0

    def document(self, where: str, document: Mapping[str, object]) -> dict[str, object]:
        """A nested document of tables, lists, text, numbers and yes or no, of a size that can be kept."""
        room = [LARGEST_DOCUMENT]
        copied = _plain(document, DEEPEST_DOCUMENT, room)
        if isinstance(copied, dict) and room[0] >= 0:
            return copied
        self.problems.append(Problem("document.unusable", where))
        return {}


def _plain(value: object, deep: int, room: list[int]) -> object:
    """A copy in plain lists and tables; the room left goes below nothing where that cannot be."""
    room[0] -= 8
    if deep < 0 or room[0] < 0:
        room[0] = -1
    elif isinstance(value, str):
        room[0] -= len(value)
        if any(unicodedata.category(sign) == "Cs" or sign == "\0" for sign in value):
            room[0] = -1
        return value
    elif isinstance(value, bool | int | None) or (isinstance(value, float) and math.isfinite(value)):
        return value
    elif isinstance(value, Mapping) and all(isinstance(key, str) for key in value):
        return {_plain(key, deep, room): _plain(one, deep - 1, room) for key, one in value.items()}
    elif isinstance(value, list | tuple):
        return [_plain(one, deep - 1, room) for one in value]
    room[0] = -1
    return None


def is_number_of_a_row(number: int) -> bool:
    """Whether a database could hold this as a number at all."""
    return 0 < number <= LARGEST_NUMBER
