"""The rows of a table as hauls: rows of one place and day are one haul, and whatever is wrong is noted at its row and column."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final, TypeVar

from shop.core.errors import Problem, Refusal
from shop.core.measure import Length
from shop.core.money import Money
from shop.store.folding import folded
from shop.usecases.file_cells import Cell, CellReader, Vocabulary, text_of
from shop.usecases.given import Given
from shop.usecases.haul import HaulGiven, PieceGiven, looked_over
from shop.usecases.shop import Shop

T = TypeVar("T")
Row = tuple[int, tuple[Cell, ...]]
"""A row's number in its file, and its cells."""

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
MOST_HAULS: Final = 200
MOST_PIECES_AT_ONCE: Final = 1_000
"""Some seconds of writing, in which nobody else can write."""
SHOWN: Final = 40
"""Letters of a heading that are shown."""
_ALSO: Final = {"color": "colour", "fiber": "fibre"}
_COLUMN_OF: Final = {"paid": "price", "cloth": "kind", "fibres": "fibre", "spread_by": "spread by", "pieces": ""}
"""Columns by the names of what they fill, where those differ."""
_OF_A_PIECE: Final = re.compile(r"haul\.pieces\.(\d+)\.(\w+)")


@dataclass(frozen=True, slots=True)
class BadCell:
    """What is wrong in a row: its number in the file, the column (empty for the whole row), and the problem."""

    row: int
    column: str
    problem: Problem


@dataclass(slots=True)
class Gathered:
    """A haul as its rows say it.

    Attributes:
        row: the first of them; ``rows`` that of each piece.
        sums: what was said of the haul as a whole, by column.
    """

    place: str
    on: date
    row: int
    pieces: list[PieceGiven] = field(default_factory=list)
    rows: list[int] = field(default_factory=list)
    sums: dict[str, Any] = field(default_factory=dict)

    def given(self) -> HaulGiven:
        """The haul as it would be brought home."""
        return HaulGiven(
            place=self.place,
            on=self.on,
            pieces=tuple(self.pieces),
            tax=self.sums.get("tax"),
            discount=self.sums.get("discount"),
            washing=self.sums.get("washing"),
            trip=self.sums.get("trip"),
            spread_by=self.sums.get("spread by") or "price",
            note=self.sums.get("note") or "",
        )


class RowReader:
    """Reads a table row by row.

    Attributes:
        bad: what is wrong, in the order of the file.
        unknown: headings that mean nothing here, and whose columns are passed over.
    """

    def __init__(self, shop: Shop, today: date, vocabulary: Vocabulary) -> None:
        """A reader for a shop on a day."""
        self.bad: list[BadCell] = []
        self.unknown: list[str] = []
        self._shop, self._today = shop, today
        self._cells = CellReader(shop, today, vocabulary)
        self._columns = {**{name: name for name in COLUMNS}, **_ALSO, **vocabulary.columns}

    def read(self, rows: Sequence[Row]) -> list[Gathered]:
        """The hauls of a table, in the order in which they are first named."""
        head = rows[0] if rows else (1, ())
        heads = self._heads(*head)
        hauls: dict[tuple[str, date | None], Gathered] = {}
        if not self.bad:
            for number, cells in rows[1:]:
                self._row(number, cells, heads, hauls)
            if not rows[1:]:
                self._note(head[0], "", "sheet.no_rows")
            self._look_over(list(hauls.values()))
            self._count(head[0], list(hauls.values()))
        self.bad.sort(key=lambda bad: bad.row)
        return list(hauls.values())

    def _note(self, row: int, column: str, code: str, **values: object) -> None:
        self.bad.append(BadCell(row, column, Problem(code, values=values)))

    def _heads(self, number: int, cells: tuple[Cell, ...]) -> tuple[str | None, ...]:
        """The column of each heading; ``None`` for one that is passed over, nothing for one that is not there."""
        found: list[str | None] = []
        for cell in cells:
            heading = text_of(cell)
            column = self._columns.get(" ".join(folded(heading).replace("_", " ").split())) if heading else ""
            if column is None:
                self.unknown.append(heading[:SHOWN])
            elif column and column in found:
                self._note(number, column, "sheet.twice", text=heading[:SHOWN])
            found.append(column)
        for name in NEEDED:
            if name not in found:
                self._note(number, name, "sheet.no_column", name=name)
        return tuple(found)

    def _row(
        self,
        number: int,
        cells: tuple[Cell, ...],
        heads: tuple[str | None, ...],
        hauls: dict[tuple[str, date | None], Gathered],
    ) -> None:
        """Take up a row; a cell that cannot be read stands empty, so that the others are looked over all the same."""
        unheaded = [at for at, cell in enumerate(cells) if cell != "" and (at >= len(heads) or heads[at] == "")]
        if unheaded:
            self._note(number, "", "sheet.shifted")
            return
        row = {name: cell for name, cell in zip(heads, cells, strict=False) if name and cell != ""}
        place = " ".join(text_of(row.get("place", "")).split())
        if not place:
            self._note(number, "place", "text.missing")
        on = self._cell(number, row, "day", self._cells.day, None, needed=True)
        one = hauls.setdefault((folded(place), on), Gathered(place, on or self._today, number))
        one.pieces.append(self._piece(number, row))
        one.rows.append(number)
        for name in OF_HAUL:
            value = self._of_haul(number, row, name)
            if value is not None and one.sums.setdefault(name, value) != value:
                self._note(number, name, "sheet.differs")

    def _cell(
        self,
        number: int,
        row: Mapping[str, Cell],
        column: str,
        read: Callable[[Cell], T],
        default: T,
        *,
        needed: bool = False,
    ) -> T:
        """What a cell says; where it says nothing, or nothing that can be read, what stands for it."""
        cell = row.get(column)
        if cell is None:
            if needed:
                self._note(number, column, "text.missing")
            return default
        try:
            return read(cell)
        except Refusal as refusal:
            self.bad.extend(BadCell(number, column, problem) for problem in refusal.problems)
            return default

    def _of_haul(self, number: int, row: Mapping[str, Cell], name: str) -> object:
        if name == "note":
            return text_of(row[name]) if name in row else None
        read: Callable[[Cell], object] = self._word(name) if name == "spread by" else self._cells.money
        return self._cell(number, row, name, read, None)

    def _word(self, about: str) -> Callable[[Cell], str]:
        return lambda cell: self._cells.word(about, cell)

    def _piece(self, number: int, row: Mapping[str, Cell]) -> PieceGiven:
        read = self._cells
        yarn = text_of(row.get("yarn", ""))
        nothing = Money.zero(self._shop.currency)
        return PieceGiven(
            name=" ".join(text_of(row.get("name", "")).split()),
            width=self._cell(number, row, "width", read.length, Length(0), needed=not yarn),
            length=self._cell(number, row, "length", read.length, Length(0), needed=not yarn),
            paid=self._cell(number, row, "price", read.money, nothing, needed=True),
            cloth=self._cell(number, row, "kind", self._word("kind"), ""),
            colour=self._cell(number, row, "colour", read.colour, "#7d8a99"),
            fibres=self._cell(number, row, "fibre", read.fibres, ()),
            weight=self._cell(number, row, "weight", read.weight, None),
            tears=self._cell(number, row, "tears", read.yes, None),
            condition=self._cell(number, row, "condition", self._word("condition"), ""),
            kept=text_of(row.get("kept", "")),
            yarn=yarn,
            ready=bool(self._cell(number, row, "washed", read.yes, None)) or bool(yarn),
            count=self._cell(number, row, "count", read.count, 1),
        )

    def _look_over(self, hauls: Sequence[Gathered]) -> None:
        """The same checks as for a haul from a form, each problem at its row; each cell is told of once."""
        told = {(bad.row, bad.column) for bad in self.bad}
        whole = not told
        for one in hauls:
            given = Given()
            looked_over(given, one.given(), self._shop.currency)
            for problem in given.problems:
                match = _OF_A_PIECE.fullmatch(problem.where)
                if problem.code == "haul.discount" and not whole:
                    continue  # of prices that could not all be read
                row = one.rows[int(match[1])] if match else one.row
                name = match[2] if match else problem.where.removeprefix("haul.")
                column = _COLUMN_OF.get(name, name)
                if (row, column) not in told:
                    self.bad.append(BadCell(row, column, Problem(problem.code, values=problem.values)))

    def _count(self, head: int, hauls: Sequence[Gathered]) -> None:
        if len(hauls) > MOST_HAULS:
            self._note(head, "", "sheet.many_hauls", most=MOST_HAULS)
        if sum(piece.count for one in hauls for piece in one.pieces) > MOST_PIECES_AT_ONCE:
            self._note(head, "", "sheet.many_pieces", most=MOST_PIECES_AT_ONCE)
