"""Tables as files for other programs: CSV as RFC 4180 has it, and a workbook.

A cell of text that a spreadsheet would take for a formula is made harmless by an apostrophe before it; numbers stay
numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Final

import xlsxwriter

Cell = str | int | Decimal | None
BOM: Final = "\ufeff"
"""By which spreadsheets know UTF-8."""
MOST_ROWS: Final = 1_048_575
"""Rows that a sheet of a workbook can have below its head."""
LONGEST_CELL: Final = 32_767
DANGEROUS: Final = ("=", "+", "-", "@", "\t", "\r", "\n")


def harmless(cell: Cell) -> Cell:
    """The cell, with an apostrophe before text that a spreadsheet would reckon."""
    if isinstance(cell, str) and cell.lstrip(" ").startswith(DANGEROUS):
        return f"'{cell}"
    return cell


def csv_lines(columns: Iterable[str], rows: Iterable[Iterable[Cell]]) -> Iterator[str]:
    """A table as CSV, line after line, the head first."""
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    yield BOM
    for row in _with_head(columns, rows):
        writer.writerow(["" if cell is None else _written(cell) for cell in row])
        yield buffer.getvalue()
        buffer.seek(0)
        buffer.truncate()


def _with_head(columns: Iterable[str], rows: Iterable[Iterable[Cell]]) -> Iterator[Iterable[Cell]]:
    yield columns
    yield from rows


def _written(cell: Cell) -> str:
    found = harmless(cell)
    return f"{found:f}" if isinstance(found, Decimal) else str(found)


class Workbook:
    """A workbook that is written row after row, and never held in memory whole."""

    def __init__(self, file: io.IOBase | str) -> None:
        """A workbook in a file."""
        self._book = xlsxwriter.Workbook(
            file,
            {
                "constant_memory": True,
                "strings_to_formulas": False,
                "strings_to_numbers": False,
                "strings_to_urls": False,
            },
        )
        self._bold = self._book.add_format({"bold": True})

    def add(self, name: str, columns: Iterable[str], rows: Iterable[Iterable[Cell]]) -> int:
        """Add a sheet; gives how many rows had no room, which stand in the CSV only."""
        sheet = self._book.add_worksheet(name)
        sheet.freeze_panes(1, 0)
        heads = list(columns)
        for place, head in enumerate(heads):
            sheet.write_string(0, place, head, self._bold)
        sheet.set_column(0, max(0, len(heads) - 1), 14)
        without = 0
        for number, row in enumerate(rows, start=1):
            if number > MOST_ROWS:
                without += 1
                continue
            for place, cell in enumerate(row):
                if isinstance(cell, str):
                    sheet.write_string(number, place, str(harmless(cell))[:LONGEST_CELL])
                elif cell is not None:
                    sheet.write_number(number, place, float(cell))
        return without

    def close(self) -> None:
        """Finish the file."""
        self._book.close()
