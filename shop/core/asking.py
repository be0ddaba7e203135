"""Reading values out of a described rug, one by one, gathering every problem on the way.

A reader never raises for a bad value: it notes the problem at its path, hands back the default, and goes
on, so that all problems of a description are told at once.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from enum import Enum
from typing import TypeVar

from shop.core.errors import Problem, Refusal, Unreadable
from shop.core.measure import LARGEST, Length, parse_length, parse_number
from shop.core.money import LARGEST_MINOR, Money, decimals_of, exact, parse_money

T = TypeVar("T")
E = TypeVar("E", bound=Enum)

Described = Mapping[str, object]

_TURNS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Reader:
    """Reads values by dotted path out of nested tables.

    Attributes:
        currency: of every amount in it.
        decimal_mark: of numbers within text.
        problems: found so far.
        assumed: paths that were missing and took a starting guess.
    """

    def __init__(self, document: Described, *, bare_unit: str, currency: str, decimal_mark: str = ".") -> None:
        self._document = document
        self._bare_unit = bare_unit
        self.decimal_mark = decimal_mark
        self.currency = currency
        self.problems: list[Problem] = []
        self.assumed: list[str] = []

    def has(self, path: str) -> bool:
        """Whether something is said at this path."""
        return self._at(path) is not None

    def _at(self, path: str) -> object:
        found: object = self._document
        for name in path.split("."):
            if isinstance(found, Mapping):
                found = found.get(name)
            elif isinstance(found, Sequence) and not isinstance(found, str) and name.isdigit():
                found = found[int(name)] if int(name) < len(found) else None
            else:
                return None
        return found

    def note(self, code: str, path: str, **values: object) -> None:
        """Note a problem."""
        self.problems.append(Problem(code, path, values))

    def read(self, path: str, convert: Callable[[object], T], default: T, *, guess: bool = True) -> T:
        """A value by its own conversion; ``guess`` marks a missing one as a starting guess."""
        value = self._at(path)
        if value is None:
            if guess:
                self.assumed.append(path)
            return default
        try:
            return convert(value)
        except Refusal as refusal:
            self.problems.extend(_plainly(problem, path) for problem in refusal.problems)
            return default

    def text(self, path: str, default: str = "", *, most: int = 200) -> str:
        """Free text, not longer than ``most``."""

        def convert(value: object) -> str:
            if not isinstance(value, str):
                raise Unreadable(Problem("text.wanted"))
            clean = plain(value)
            if len(clean) > most:
                raise Unreadable(Problem("text.long", values={"most": most}))
            return clean

        return self.read(path, convert, default, guess=False)

    def length(
        self, path: str, default: Length, *, least: Length = Length(0), guess: bool = True
    ) -> Length:
        """A length; a bare number is in the shop's small unit (inches or centimetres)."""
        return self.read(path, lambda value: self.to_length(value, least), default, guess=guess)

    def to_length(self, value: object, least: Length = Length(0)) -> Length:
        """A length from text or a number.

        Raises:
            Unreadable: as ``parse_length``, or ``length.small`` below ``least``.
        """
        if isinstance(value, str):
            found = parse_length(value, decimal_mark=self.decimal_mark, bare_unit=self._bare_unit)
        else:
            number = _finite(value)
            if number < 0:
                raise Unreadable(Problem("length.negative", values={"text": shown(value)}))
            if number > LARGEST["length"]:
                raise Unreadable(Problem("length.large", values={"text": shown(value)}))
            found = Length.of(number, self._bare_unit)
            if found.nm > LARGEST["length"]:
                raise Unreadable(Problem("length.large", values={"text": shown(value)}))
        if not found and least:
            raise Unreadable(Problem("length.zero"))
        if found < least:
            raise Unreadable(Problem("length.small", values={"least": least}))
        return found

    def number(self, path: str, default: float, least: float, most: float, *, guess: bool = True) -> float:
        """A number between two ends, both allowed."""
        return self.read(path, lambda value: float(self._between(value, least, most)), default, guess=guess)

    def count(self, path: str, default: int, least: int, most: int, *, guess: bool = True) -> int:
        """A whole number between two ends, both allowed."""

        def convert(value: object) -> int:
            number = self._between(value, least, most)
            if number != int(number):
                raise Unreadable(Problem("number.whole", values={"text": shown(value)}))
            return int(number)

        return self.read(path, convert, default, guess=guess)

    def share(self, path: str, default: Decimal, *, most: Decimal = Decimal(1), guess: bool = True) -> Decimal:
        """A share: ``0.35`` or ``"35 %"``, up to ``most``."""

        def convert(value: object) -> Decimal:
            if isinstance(value, str) and value.rstrip().endswith("%"):
                found = self._number(value.rstrip()[:-1]) / 100
            else:
                found = self._number(value)
            if not 0 <= found <= most:
                raise Unreadable(Problem("share.described", values={"text": shown(value), "share": most}))
            return found

        return self.read(path, convert, default, guess=guess)

    def money(self, path: str, default: Money, *, guess: bool = True) -> Money:
        """An amount in the document's currency, as text or a number."""

        def convert(value: object) -> Money:
            if isinstance(value, str):
                return parse_money(value, self.currency, decimal_mark=self.decimal_mark)
            number = _finite(value)
            if number < 0:
                raise Unreadable(Problem("money.negative", values={"text": shown(value)}))
            scaled = number.scaleb(decimals_of(self.currency))
            if scaled > LARGEST_MINOR:
                raise Unreadable(Problem("money.large"))
            if scaled != int(scaled):
                named = {"text": shown(value), "decimals": decimals_of(self.currency), "currency": self.currency}
                raise Unreadable(Problem("money.finer", values=named))
            return Money(int(scaled), self.currency)

        return self.read(path, convert, default, guess=guess)

    def choice(self, path: str, kinds: type[E], default: E, *, guess: bool = True) -> E:
        """One of a few words."""

        def convert(value: object) -> E:
            for kind in kinds:
                if value == kind.value:
                    return kind
            names = tuple(str(kind.value) for kind in kinds)
            raise Unreadable(Problem("choice.unknown", values={"text": shown(value), "choices": names}))

        return self.read(path, convert, default, guess=guess)

    def yes(self, path: str, *, default: bool = False) -> bool:
        """True or false."""

        def convert(value: object) -> bool:
            if not isinstance(value, bool):
                raise Unreadable(Problem("choice.unknown", values={"text": shown(value), "choices": ("true", "false")}))
            return value

        return self.read(path, convert, default, guess=False)

    def _number(self, value: object) -> Decimal:
        return parse_number(value, decimal_mark=self.decimal_mark) if isinstance(value, str) else _finite(value)

    def _between(self, value: object, least: float, most: float) -> Decimal:
        number = self._number(value)
        if not exact(least) <= number <= exact(most):
            raise Unreadable(Problem("number.range", values={"text": shown(value), "least": least, "most": most}))
        return number


def _finite(value: object) -> Decimal:
    """A TOML or JSON number as the decimal that was written; never infinite, never a truth value."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise Unreadable(Problem("number.unreadable", values={"text": shown(value)}))
    number = value if isinstance(value, Decimal) else Decimal(value) if isinstance(value, int) else exact(value)
    if not number.is_finite():
        raise Unreadable(Problem("number.unreadable", values={"text": shown(value)}))
    return number


def written(value: object) -> str:
    """A value of a document as text, whatever it is: a whole number of ten thousand digits is only a mark."""
    try:
        return str(value)
    except (ValueError, RecursionError):
        return "…"


def shown(value: object) -> str:
    """A value of a document, short enough to be named in a sentence."""
    return plain(written(value))[:24]


def plain(text: str) -> str:
    """Text on one line, without the signs that a terminal obeys and nobody sees: control signs, turns of direction."""
    spaced = "".join(" " if sign.isspace() else sign for sign in text)
    return "".join(sign for sign in spaced if unicodedata.category(sign) not in ("Cc", "Cs") and sign not in _TURNS).strip()


def _plainly(problem: Problem, path: str) -> Problem:
    """The problem at its path, its text fit to be shown."""
    values = {name: plain(value) if isinstance(value, str) else value for name, value in problem.values.items()}
    return Problem(problem.code, path, values)


def unknown_keys(
    document: Described, known: Mapping[str, frozenset[str]], *, lists: frozenset[str] = frozenset({"cloth", "stripe", "doubt"})
) -> list[Problem]:
    """Keys that mean nothing, each with the nearest one that does.

    Args:
        document: the tables.
        known: for each table (``""`` is the top), the names it may hold.
        lists: the tables that there may be several of.
    """
    everywhere = {name for names in known.values() for name in names if name}
    found = []

    def look(table: Described, path: str) -> None:
        names = known[path]
        for key, value in table.items():
            where = plain(f"{path}.{key}" if path else str(key))
            if key not in names:
                near = difflib.get_close_matches(str(key), sorted(names), 1, 0.5)
                near = near or difflib.get_close_matches(str(key), sorted(everywhere), 1, 0.6)
                values = {"key": where[:60], "nearest": near[0] if near else "", "known": tuple(sorted(names))}
                found.append(Problem("key.unknown" if near else "key.unknown_none", where[:60], values))
            elif where in known:
                tables = value if isinstance(value, list) and where in lists else [value]
                for one in tables:
                    if isinstance(one, Mapping):
                        look(one, where)
                    else:
                        found.append(Problem("key.table", where))

    look(document, "")
    return found
