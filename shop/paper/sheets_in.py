"""Tables out of files that other programs wrote: CSV in whatever letters and marks, and workbooks.

A number in a workbook stays a number, whatever the country writes before its decimals; all else is text as it stands. What
could be cut off unseen (rows beyond the last, columns beyond the widest, an open quotation mark) is refused.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

import openpyxl

from shop.core.errors import Problem, Refusal
from shop.paper.sheets import DANGEROUS

LARGEST_FILE: Final = 600_000
MOST_ROWS: Final = 1_000
MOST_COLUMNS: Final = 60
LONGEST_CELL: Final = 4_000
"""More than any entry may hold, so that what is too long is told and not cut."""
LARGEST_SHEET: Final = 8_000_000
"""Bytes of a sheet, or of the texts of a workbook, unpacked; a table of ours at its largest takes half of that."""
LARGEST_PART: Final = 1_000_000
"""Bytes of any other part, such as its styles: the reader takes seconds for each million of them."""
MOST_UNPACKED: Final = 3 * LARGEST_SHEET
LAST_ROW: Final = 1_048_576
"""The last row that a sheet of a workbook can have."""
LOOKED_BEYOND: Final = 40
"""Columns beyond the last that are looked at, so that a wider sheet is told."""

Cell = str | Decimal
Row = tuple[int, tuple[Cell, ...]]
"""A row of cells, with its number in the file as a spreadsheet counts it, from one."""


def table_in(content: bytes) -> tuple[Row, ...]:
    """The rows of a CSV file or of the first sheet of a workbook, empty ones left out.

    Args:
        content: the file as it came.

    Raises:
        Refusal: at ``file``: ``sheet.missing`` for no file or nothing in it, ``sheet.large``, ``sheet.quotes`` with the row
            whose quotation mark is not closed, ``sheet.unreadable``.
    """
    if not content:
        raise _refused("sheet.missing")
    if len(content) > LARGEST_FILE:
        raise _too_large()
    rows: list[Row] = []
    for number, cells in _workbook(content) if content.startswith(b"PK") else _csv(content):
        trimmed = _trimmed(cells)
        if trimmed:
            rows.append((number, trimmed))
        if len(rows) > MOST_ROWS + 1 or len(trimmed) > MOST_COLUMNS:
            raise _too_large()
    if not rows:
        raise _refused("sheet.missing")
    return tuple(rows)


def _refused(code: str, **values: object) -> Refusal:
    return Refusal(Problem(code, "file", values))


def _too_large() -> Refusal:
    return _refused("sheet.large", rows=MOST_ROWS, columns=MOST_COLUMNS)


def _trimmed(cells: list[Cell]) -> tuple[Cell, ...]:
    """Without spaces around a cell, and without the empty cells at the end."""
    found = [cell.strip() if isinstance(cell, str) else cell for cell in cells]
    while found and found[-1] == "":
        found.pop()
    return tuple(found)


def _csv(content: bytes) -> Iterator[tuple[int, list[Cell]]]:
    text = _text(content)
    if "\0" in text:
        raise _refused("sheet.unreadable")
    head = next(iter(text.splitlines()), "")
    mark = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, 1):
            yield number, [_bare(cell) for cell in cells]
    except csv.Error:
        raise _refused("sheet.quotes", row=number + 1) from None


def _text(content: bytes) -> str:
    """By the mark at its head, else UTF-8, else as older programs for Windows write."""
    for head, encoding in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if content.startswith(head):
            try:
                return content.decode(encoding)
            except UnicodeDecodeError:
                raise _refused("sheet.unreadable") from None
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace")


def _bare(cell: str) -> str:
    """A cell without the apostrophe that made it harmless (``shop.paper.sheets.harmless``)."""
    cut = cell[:LONGEST_CELL]
    return cut[1:] if cut.startswith("'") and cut[1:].lstrip(" ").startswith(DANGEROUS) else cut


def _workbook(content: bytes) -> Iterator[tuple[int, list[Cell]]]:
    try:
        _not_too_large(content)
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
    except Refusal:
        raise
    except Exception:  # noqa: BLE001 - a damaged or locked workbook can make its reader stumble anywhere
        raise _refused("sheet.unreadable") from None
    try:
        yield from _sheet_rows(book)
    finally:
        book.close()


def _not_too_large(content: bytes) -> None:
    """Refuse a workbook that unpacks to far more than a table; its reader holds it all and is slow with it."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        parts = [(one.filename.lower(), one.file_size) for one in packed.infolist()]
    read = [(name, size) for name, size in parts if name.endswith((".xml", ".rels"))]
    if sum(size for _, size in read) > MOST_UNPACKED:
        raise _too_large()
    for name, size in read:
        of_cells = name.startswith("xl/worksheets/") or name == "xl/sharedstrings.xml"
        if size > (LARGEST_SHEET if of_cells else LARGEST_PART):
            raise _too_large()


def _sheet_rows(book: Any) -> Iterator[tuple[int, list[Cell]]]:
    try:
        rows = book.worksheets[0].iter_rows(max_row=LAST_ROW, max_col=MOST_COLUMNS + LOOKED_BEYOND, values_only=True)
        for number, row in enumerate(rows, 1):
            if row.count(None) < len(row):
                yield number, [_cell(value) for value in row]
    except Exception:  # noqa: BLE001 - the same of its sheets
        raise _refused("sheet.unreadable") from None


def _cell(value: object) -> Cell:
    """A cell as it would be typed; a number to the fifteen figures that a spreadsheet keeps."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return Decimal(f"{value:.15g}")
    if isinstance(value, datetime):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, date) else _bare(str(value))
