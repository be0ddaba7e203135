"""What a phone at a stall may say, read strictly: a sale, its undoing, cash, a price refused, a wish.

It says each as an *entry*: a key of chance, what it is, when it happened, and its content. An entry is looked over before
anything comes of it, and all amounts are whole smallest coins. A sale has already happened when it arrives: its sums are
held against each other, and never against what a rug or a tax should have been.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final

from shop.core.errors import Problem, Unreadable
from shop.core.money import LARGEST_MINOR

MEANS: Final = ("cash", "card", "transfer", "cheque", "other")
CASH: Final = ("float", "put in", "taken out", "counted")
MOST_RUGS: Final = 50
MOST_ENTRIES: Final = 50
"""Entries in one sending."""
LONGEST: Final = {"mail": 254, "note": 500, "why": 500, "name": 120, "contact": 400, "words": 2000, "width": 40, "length": 40}
LARGEST_ID: Final = 2**53
"""A number beyond this is not exact in every browser."""
_KEY: Final = re.compile(r"[A-Za-z0-9_-]{20,70}")
_UNDO: Final = "-undo"
LONGEST_KEY_OF_A_SALE: Final = 70 - len(_UNDO)


@dataclass(frozen=True, slots=True)
class RugSaid:
    """A rug in a sale: which, what its tag asked, and what it brought without a tax that goes on top."""

    rug: int
    asked: int
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleSaid:
    """A sale, as ``shop.store.till.Sale`` keeps it; ``contained`` whether the tax is in the prices."""

    rugs: tuple[RugSaid, ...]
    tax: int
    contained: bool
    rounding: int
    total: int
    currency: str
    means: str
    given: int
    change: int
    mail: str
    note: str


@dataclass(frozen=True, slots=True)
class UndoSaid:
    """A sale is undone: the key of its entry, and why."""

    sale: str
    why: str


@dataclass(frozen=True, slots=True)
class CashSaid:
    """Cash that went into or out of the box without a sale, or how much was counted."""

    what: str
    amount: int
    note: str


@dataclass(frozen=True, slots=True)
class RefusedSaid:
    """A price was asked and refused; ``offered`` what the visitor would have paid."""

    rug: int
    asked: int | None
    offered: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WishSaid:
    """A rug that somebody wished for; its size as it was typed."""

    name: str
    contact: str
    words: str
    width: str
    length: str


Said = SaleSaid | UndoSaid | CashSaid | RefusedSaid | WishSaid


def undo_key(sale: str) -> str:
    """The key of the entry that undoes a sale, made from the sale's own."""
    return sale + _UNDO


def key_of(raw: object) -> str | None:
    """The key of what was sent; ``None`` where it has none that can be used."""
    key = raw.get("key") if isinstance(raw, Mapping) else None
    return key if isinstance(key, str) and _KEY.fullmatch(key) else None


def time_of(raw: Mapping[str, Any]) -> datetime | None:
    """When it happened by the phone's clock; ``None`` for no time, one without its zone, or one that no clock shows."""
    try:
        said = datetime.fromisoformat(str(raw.get("at")))
        at = said.astimezone(UTC)
    except (ValueError, OverflowError):
        return None
    if said.tzinfo is None:
        return None
    return at if 2000 <= at.year < 2200 else None


def counted_time(at: datetime, received: datetime) -> datetime:
    """When something counts as having happened: nothing happens after it was received, whatever a phone's clock says."""
    return min(at, received)


def said_of(raw: Mapping[str, Any], key: str, currency: str) -> Said:
    """What an entry says.

    Args:
        raw: as it was sent.
        key: of it.
        currency: of the fair.

    Raises:
        Unreadable: ``entry.fields``, ``entry.time``, ``entry.what``; ``entry.value`` with every value that will not do;
            ``entry.currency``, ``entry.twice``, ``entry.sum``, ``entry.undo``; ``entry.sale_key`` for a sale whose undoing
            could have no key of its own.
    """
    if set(raw) != {"key", "what", "at", "content"} or not isinstance(raw["content"], Mapping):
        raise Unreadable(Problem("entry.fields"))
    if time_of(raw) is None:
        raise Unreadable(Problem("entry.time"))
    reading = _READERS.get(str(raw["what"]))
    if reading is None:
        raise Unreadable(Problem("entry.what"))
    given = _Given(raw["content"])
    said: Said = reading(given)
    given.done()
    if isinstance(said, SaleSaid):
        if len(key) > LONGEST_KEY_OF_A_SALE or key.endswith(_UNDO):
            raise Unreadable(Problem("entry.sale_key"))
        _adds_up(said, currency)
    elif isinstance(said, UndoSaid) and key != undo_key(said.sale):
        raise Unreadable(Problem("entry.undo"))
    return said


class _Given:
    """The content of an entry, taken value by value; whatever is wrong with it is gathered."""

    def __init__(self, content: Mapping[str, Any]) -> None:
        self._left = dict(content)
        self._problems: list[Problem] = []

    def _wrong(self, name: str) -> None:
        self._problems.append(Problem("entry.value", name, {"name": name}))

    def take(self, name: str) -> Any:
        return self._left.pop(name, None)

    def whole(self, name: str, least: int = 0, most: int = LARGEST_MINOR) -> int:
        value = self.take(name)
        if type(value) is int and least <= value <= most:
            return value
        self._wrong(name)
        return 0

    def whole_or_none(self, name: str) -> int | None:
        return self.take(name) if self._left.get(name) is None and name in self._left else self.whole(name)

    def yes(self, name: str) -> bool:
        value = self.take(name)
        if not isinstance(value, bool):
            self._wrong(name)
        return value is True

    def text(self, name: str) -> str:
        value = self.take(name)
        if isinstance(value, str) and len(value) <= LONGEST[name] and all(_is_written(sign) for sign in value):
            return unicodedata.normalize("NFC", value).strip()
        self._wrong(name)
        return ""

    def word(self, name: str, words: tuple[str, ...]) -> str:
        value = self.take(name)
        if value not in words:
            self._wrong(name)
            return words[0]
        return str(value)

    def key(self, name: str) -> str:
        value = self.take(name)
        if isinstance(value, str) and _KEY.fullmatch(value):
            return value
        self._wrong(name)
        return ""

    def rugs(self, name: str) -> tuple[RugSaid, ...]:
        value = self.take(name)
        if not isinstance(value, list) or not 1 <= len(value) <= MOST_RUGS:
            self._wrong(name)
            return ()
        said = []
        for one in value:
            inner = _Given(one if isinstance(one, Mapping) else {})
            said.append(RugSaid(inner.whole("rug", 1, LARGEST_ID), inner.whole("asked"), inner.whole("price")))
            if inner._problems or inner._left:
                self._wrong(name)
        return tuple(said)

    def done(self) -> None:
        for name in self._left:
            self._wrong("".join(sign if _is_written(sign) else "\N{REPLACEMENT CHARACTER}" for sign in str(name)[:24]))
        if self._problems:
            raise Unreadable(*self._problems)


def _is_written(sign: str) -> bool:
    return sign == "\n" or unicodedata.category(sign) not in ("Cc", "Cs")


def _sale(given: _Given) -> SaleSaid:
    currency = given.take("currency")
    return SaleSaid(
        rugs=given.rugs("rugs"),
        tax=given.whole("tax"),
        contained=given.yes("contained"),
        rounding=given.whole("rounding", -LARGEST_MINOR),
        total=given.whole("total"),
        currency=currency if isinstance(currency, str) else "",
        means=given.word("means", MEANS),
        given=given.whole("given"),
        change=given.whole("change"),
        mail=given.text("mail"),
        note=given.text("note"),
    )


def _undo(given: _Given) -> UndoSaid:
    return UndoSaid(given.key("sale"), given.text("why"))


def _cash(given: _Given) -> CashSaid:
    return CashSaid(given.word("what", CASH), given.whole("amount"), given.text("note"))


def _refused(given: _Given) -> RefusedSaid:
    return RefusedSaid(given.whole("rug", 1, LARGEST_ID), given.whole_or_none("asked"), given.whole_or_none("offered"))


def _wish(given: _Given) -> WishSaid:
    return WishSaid(
        name=given.text("name"),
        contact=given.text("contact"),
        words=given.text("words"),
        width=given.text("width"),
        length=given.text("length"),
    )


_READERS: Final[Mapping[str, Any]] = {"sale": _sale, "undo": _undo, "cash": _cash, "refused": _refused, "wish": _wish}
WHATS: Final = tuple(_READERS)
"""What an entry can be."""


def _adds_up(said: SaleSaid, currency: str) -> None:
    """Hold the sums of a sale against each other; only cash is rounded, and only cash has change."""
    if said.currency != currency:
        raise Unreadable(Problem("entry.currency", values={"currency": currency}))
    if len({one.rug for one in said.rugs}) != len(said.rugs):
        raise Unreadable(Problem("entry.twice"))
    prices = sum(one.price for one in said.rugs)
    due = prices if said.contained else prices + said.tax
    cash = said.means == "cash"
    in_cash = said.given - said.change == said.total if cash else said.given == said.change == said.rounding == 0
    if due + said.rounding != said.total or not in_cash or (said.contained and said.tax > prices):
        raise Unreadable(Problem("entry.sum"))
