"""Bringing cloth home from a file: a table of pieces is looked over first, and comes home whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final, TypeVar
from zoneinfo import ZoneInfo

from babel.numbers import get_decimal_symbol

from shop.core.colour import COLOUR_FAMILIES, Family
from shop.core.errors import Problem, Refusal, Unreadable
from shop.core.measure import Length, Weight, parse_length, parse_number, parse_weight
from shop.core.money import Money, parse_money, total
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import folded
from shop.usecases.fabric import CLOTH_KINDS, CONDITIONS, FIBRES
from shop.usecases.given import Given
from shop.usecases.haul import MOST_PIECES, SPREADS, HaulGiven, PieceGiven, bring_in, looked_over
from shop.usecases.shop import Shop, shop_in

T = TypeVar("T")
Row = tuple[int, tuple[str, ...]]

ACT: Final = "cloth.from_file"
MOST_HAULS: Final = 200
COLUMNS: Final = (
    "place",
    "day",
    "name",
    "width",
    "length",
    "price",
    "count",
    "kind",
    "colour",
    "fibre",
    "weight",
    "tears",
    "washed",
    "condition",
    "kept",
    "yarn",
    "tax",
    "discount",
    "washing",
    "trip",
    "spread by",
    "note",
)
NEEDED: Final = ("place", "day", "name", "price")
OF_HAUL: Final = ("tax", "discount", "washing", "trip", "spread by", "note")
_YES: Final = ("yes", "y", "true", "1", "x", "ja", "j")
_NO: Final = ("no", "n", "false", "0", "nej")
_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")


@dataclass(frozen=True, slots=True)
class BadCell:
    """What is wrong in a row: its number in the file, the column (empty for the whole row), and the problem."""

    row: int
    column: str
    problem: Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulSeen:
    """A haul that would come home: where, when, how many pieces, and what they cost together."""

    place: str
    on: date
    pieces: int
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What a file would bring home; nothing is changed.

    Attributes:
        hauls: that would come, in the order of the file.
        bad: what is wrong, row by row; nothing comes home while there is any.
        unknown: columns that mean nothing here, and are passed over.
        before: the first haul that the same file brought home before; ``None`` when it is new.
    """

    hauls: tuple[HaulSeen, ...]
    bad: tuple[BadCell, ...]
    unknown: tuple[str, ...]
    before: int | None

    @property
    def pieces(self) -> int:
        """Pieces that would come home."""
        return sum(haul.pieces for haul in self.hauls)


@dataclass(slots=True)
class _Gathered:
    """A haul as its rows say it, with the row of each of its pieces."""

    place: str
    on: date
    row: int
    pieces: list[PieceGiven] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)
    sums: dict[str, Any] = field(default_factory=dict)


def preview(store: Store, *, rows: Sequence[Row], digest: str, now: datetime) -> Preview:
    """Look a table over.

    Args:
        store: the shop's database.
        rows: the cells as text, the heads first.
        digest: of the file, by which the same file is known again.
        now: the time, zoned.
    """
    with store.reading() as session:
        reader = _Reader(shop_in(session), now)
        hauls = reader.read(rows)
        currency = reader.shop.currency
        return Preview(
            hauls=tuple(
                HaulSeen(
                    place=one.place,
                    on=one.on,
                    pieces=sum(piece.count for piece in one.pieces),
                    cost=_cost(reader.given(one), currency),
                )
                for one in hauls
            )
            if not reader.bad
            else (),
            bad=tuple(sorted(reader.bad, key=lambda bad: bad.row)),
            unknown=tuple(reader.unknown),
            before=presses.about(session, act=ACT, token=digest),
        )


def _cost(haul: HaulGiven, currency: str) -> Money:
    nothing = Money.zero(currency)
    goods = total((piece.paid * piece.count for piece in haul.pieces), currency)
    extras = (haul.tax or nothing) + (haul.washing or nothing) + (haul.trip or nothing)
    return goods + extras - (haul.discount or nothing)


def bring_home_from(store: Store, *, rows: Sequence[Row], digest: str, now: datetime) -> int:
    """Bring home all that a table names, or nothing; the same file twice is one act.

    Args:
        store: the shop's database.
        rows: the cells as text, the heads first.
        digest: of the file.
        now: the time, zoned.

    Returns:
        the number of the first haul that came home.

    Raises:
        Refusal: ``sheet.bad`` when anything is wrong with any row; ``preview`` names each.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act=ACT, token=digest, given=digest, now=now)
        if earlier is not None:
            return earlier
        reader = _Reader(shop_in(session), now)
        hauls = reader.read(rows)
        if reader.bad or not hauls:
            raise Refusal(Problem("sheet.bad", "file", {"count": len(reader.bad)}))
        numbers = [_brought(session, reader, one, now) for one in hauls]
        presses.settle(session, act=ACT, token=digest, about=numbers[0])
        return numbers[0]


def _brought(session: Session, reader: _Reader, one: _Gathered, now: datetime) -> int:
    return bring_in(session, haul=reader.given(one), shop=reader.shop, now=now).id


class _Reader:
    """Reads a table row by row, and notes what is wrong on the way."""

    def __init__(self, shop: Shop, now: datetime) -> None:
        self.shop = shop
        self.today = now.astimezone(ZoneInfo(shop.time_zone)).date()
        self.mark = get_decimal_symbol(shop.locale)
        self.bare_length = "in" if shop.units == "imperial" else "cm"
        self.bare_weight = "lb" if shop.units == "imperial" else "kg"
        self.bad: list[BadCell] = []
        self.unknown: list[str] = []

    def read(self, rows: Sequence[Row]) -> list[_Gathered]:
        """The hauls of a table, in the order in which they are first named."""
        heads = self._heads(rows[0] if rows else (1, ()))
        if heads is None:
            return []
        hauls: dict[tuple[str, date], _Gathered] = {}
        for number, cells in rows[1:]:
            self._row(number, {name: cells[at] for name, at in heads.items() if at < len(cells)}, hauls)
        found = list(hauls.values())
        if not found and not self.bad:
            self.note(rows[0][0], "", "sheet.no_rows")
        if len(found) > MOST_HAULS:
            self.note(rows[0][0], "", "sheet.many_hauls", most=MOST_HAULS)
        if not self.bad:
            for one in found:
                self._look_over(one)
        return found

    def _heads(self, head: Row) -> dict[str, int] | None:
        number, cells = head
        found: dict[str, int] = {}
        for at, cell in enumerate(cells):
            name = " ".join(folded(cell).replace("_", " ").split())
            if name in COLUMNS and name not in found:
                found[name] = at
            elif cell:
                self.unknown.append(cell[:40])
        missing = [name for name in NEEDED if name not in found]
        for name in missing:
            self.note(number, name, "sheet.no_column", name=name)
        return None if missing else found

    def note(self, row: int, column: str, code: str, **values: object) -> None:
        """Note what is wrong."""
        self.bad.append(BadCell(row, column, Problem(code, values=values)))

    def _row(self, number: int, cells: Mapping[str, str], hauls: dict[tuple[str, date], _Gathered]) -> None:
        before = len(self.bad)
        place = " ".join(cells.get("place", "").split())
        if not place:
            self.note(number, "place", "text.missing")
        on = self._cell(number, cells, "day", self._day, None, needed=True)
        piece = self._piece(number, cells)
        sums = {name: self._sum(number, name, cells[name]) for name in OF_HAUL if cells.get(name)}
        if len(self.bad) > before or on is None or piece is None:
            return
        one = hauls.setdefault((folded(place), on), _Gathered(place, on, number))
        one.pieces.append(piece)
        one.rows.append(number)
        for name, value in sums.items():
            if one.sums.setdefault(name, value) != value:
                self.note(number, name, "sheet.differs")

    def _cell(
        self,
        number: int,
        cells: Mapping[str, str],
        column: str,
        read: Callable[[str], T],
        default: T,
        *,
        needed: bool = False,
    ) -> T:
        text = cells.get(column, "")
        if not text:
            if needed:
                self.note(number, column, "text.missing")
            return default
        try:
            return read(text)
        except Refusal as refusal:
            self.bad.extend(BadCell(number, column, problem) for problem in refusal.problems)
            return default

    def _piece(self, number: int, cells: Mapping[str, str]) -> PieceGiven | None:
        yarn = cells.get("yarn", "")
        nothing = Money.zero(self.shop.currency)
        paid = self._cell(number, cells, "price", self._money, nothing, needed=True)
        sized = not yarn
        return PieceGiven(
            name=" ".join(cells.get("name", "").split()),
            width=self._cell(number, cells, "width", self._length, Length(0), needed=sized),
            length=self._cell(number, cells, "length", self._length, Length(0), needed=sized),
            paid=paid,
            cloth=self._cell(number, cells, "kind", _word(CLOTH_KINDS), ""),
            colour=self._cell(number, cells, "colour", _colour, "#7d8a99"),
            fibres=self._cell(number, cells, "fibre", self._fibres, ()),
            weight=self._cell(number, cells, "weight", self._weight, None),
            tears=self._cell(number, cells, "tears", _yes, None),
            condition=self._cell(number, cells, "condition", _word(CONDITIONS), ""),
            kept=cells.get("kept", ""),
            yarn=yarn,
            ready=bool(self._cell(number, cells, "washed", _yes, None)) or bool(yarn),
            count=self._cell(number, cells, "count", self._count, 1),
        )

    def _sum(self, number: int, name: str, text: str) -> object:
        if name == "note":
            return text
        read: Callable[[str], object] = _word(SPREADS) if name == "spread by" else self._money
        return self._cell(number, {name: text}, name, read, None)

    def _money(self, text: str) -> Money:
        return parse_money(text, self.shop.currency, decimal_mark=self._mark_of(text))

    def _mark_of(self, text: str) -> str:
        """The shop's decimal mark; a plain number as a workbook writes it has a point whatever the country."""
        return "." if re.fullmatch(r"[0-9]+\.[0-9]+", text) and not re.fullmatch(r"[0-9]{1,3}\.[0-9]{3}", text) else self.mark

    def _length(self, text: str) -> Length:
        return parse_length(text, decimal_mark=self._mark_of(text), bare_unit=self.bare_length)

    def _weight(self, text: str) -> Weight:
        return parse_weight(text, decimal_mark=self._mark_of(text), bare_unit=self.bare_weight)

    def _count(self, text: str) -> int:
        number = parse_number(text, decimal_mark=self.mark)
        if number != int(number) or not 1 <= number <= MOST_PIECES:
            raise Unreadable(Problem("number.whole"))
        return int(number)

    def _day(self, text: str) -> date:
        try:
            found = date.fromisoformat(text[:10])
        except ValueError:
            raise Unreadable(Problem("sheet.day", values={"text": text[:24]})) from None
        if found > self.today:
            raise Unreadable(Problem("date.future"))
        return found

    def _fibres(self, text: str) -> tuple[tuple[str, Decimal], ...]:
        """``cotton``, or ``cotton 60, polyester 40`` in per cent."""
        parts = [part.strip() for part in re.split(r"[,;+/]", text) if part.strip()]
        found = []
        for part in parts:
            match = re.fullmatch(r"(?:([0-9.]+)\s*%?\s*)?([^\W\d]+)(?:\s*([0-9.]+)\s*%?)?", part)
            share = (match[1] or match[3]) if match else None
            if match is None or match[2].lower() not in FIBRES or (share is None and len(parts) > 1):
                raise Unreadable(Problem("sheet.fibre", values={"text": text[:40]}))
            found.append((match[2].lower(), Decimal(share) / 100 if share else Decimal(1)))
        return tuple(found)

    def given(self, one: _Gathered) -> HaulGiven:
        """A haul as it would be brought home."""
        sums = one.sums
        return HaulGiven(
            place=one.place,
            on=one.on,
            pieces=tuple(one.pieces),
            tax=sums.get("tax"),
            discount=sums.get("discount"),
            washing=sums.get("washing"),
            trip=sums.get("trip"),
            spread_by=sums.get("spread by") or "price",
            note=sums.get("note") or "",
        )

    def _look_over(self, one: _Gathered) -> None:
        """The same checks as for a haul from a form, each problem at its row."""
        given = Given()
        looked_over(given, self.given(one), self.shop.currency)
        for problem in given.problems:
            match = re.fullmatch(r"haul\.pieces\.(\d+)\.(\w+)", problem.where)
            row = one.rows[int(match[1])] if match else one.row
            column = (match[2] if match else problem.where.removeprefix("haul.")).replace("_", " ")
            named = {"paid": "price", "cloth": "kind", "fibres": "fibre"}.get(column, column)
            self.bad.append(BadCell(row, named, Problem(problem.code, values=problem.values)))


def _word(words: Sequence[str]) -> Callable[[str], str]:
    """Reads one of some words, in any case."""

    def read(text: str) -> str:
        found = text.strip().lower()
        if found not in words:
            raise Unreadable(Problem("choice.unknown", values={"text": text[:24], "choices": tuple(w for w in words if w)}))
        return found

    return read


def _colour(text: str) -> str:
    found = text.strip().lower()
    if _COLOUR.fullmatch(found):
        return found
    for family in Family:
        if found == family.value:
            return COLOUR_FAMILIES[family]
    raise Unreadable(Problem("sheet.colour", values={"text": text[:24]}))


def _yes(text: str) -> bool | None:
    found = text.strip().lower()
    if found in _YES:
        return True
    if found in _NO:
        return False
    raise Unreadable(Problem("sheet.yes", values={"text": text[:24]}))
