"""Every entry field there is. Those for words, days and colours stand here; the others are only named.

Each field ends in a value of the core (a ``Length``, a ``Money``, a share of one) or in problems.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from datetime import date
from typing import Any

from shop.core.errors import Problem, Unreadable
from shop.web.choice_fields import CheckField, ChoiceField, RevisionField, SavingField
from shop.web.measure_fields import (
    LengthField,
    MinutesField,
    MoneyField,
    NumberField,
    ShareField,
    WeightField,
)
from shop.web.typed_field import TypedField

__all__ = [
    "CheckField",
    "ChoiceField",
    "ColourField",
    "DateField",
    "LengthField",
    "MinutesField",
    "MoneyField",
    "NumberField",
    "PasswordField",
    "ReadField",
    "RevisionField",
    "SavingField",
    "ShareField",
    "TextField",
    "TypedField",
    "WeightField",
]

LONGEST_LINE = 120
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


class TextField(TypedField):
    """A line of text, or several."""

    def __init__(
        self, label: str = "", *, longest: int = LONGEST_LINE, lines: int = 1, **kwargs: Any
    ) -> None:
        """A line, or a text area of so many lines; at most so many characters."""
        super().__init__(label, **kwargs)
        self.longest = longest
        self.lines = lines

    def read(self, text: str) -> str:
        """Trimmed, composed, without control characters."""
        composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n"))
        kept = "".join(c for c in composed if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))
        cleaned = kept.strip() if self.lines > 1 else " ".join(kept.split())
        if len(cleaned) > self.longest:
            raise Unreadable(Problem("text.long", values={"most": self.longest}))
        if not cleaned and self.needed:
            raise Unreadable(Problem("text.missing"))
        return cleaned


class PasswordField(TypedField):
    """A password: never shown again, never changed."""

    entry = "password"

    def _value(self) -> str:
        return ""


class DateField(TypedField):
    """A day."""

    kind = "date"
    entry = "date"

    def read(self, text: str) -> date:
        """The day, from year-month-day."""
        try:
            return date.fromisoformat(text.strip())
        except ValueError:
            raise Unreadable(Problem("date.unreadable", values={"text": text.strip()[:24]})) from None

    def written(self, value: date) -> str:
        """As browsers want it."""
        return value.isoformat()


class ColourField(TypedField):
    """A colour, as ``#rrggbb``."""

    entry = "color"

    def read(self, text: str) -> str:
        """The colour, in small letters."""
        if not _COLOUR.fullmatch(text.strip()):
            raise Unreadable(Problem("colour.unreadable", values={"text": text.strip()[:24]}))
        return text.strip().lower()


class ReadField(TypedField):
    """A field for anything else the core can read from text: a sett, a yarn, a cloth's weight."""

    def __init__(
        self,
        label: str = "",
        *,
        read: Callable[[str], Any],
        written: Callable[[Any], str] | None = None,
        **kwargs: Any,
    ) -> None:
        """A field with its parser, and the way its value is written back."""
        super().__init__(label, **kwargs)
        self._read, self._written = read, written

    def read(self, text: str) -> Any:
        """What the parser makes of it."""
        return self._read(text)

    def written(self, value: Any) -> str:
        """As it is typed."""
        return self._written(value) if self._written else str(value)
