"""Tables out of files that other programs wrote: CSV in whatever letters and marks, and workbooks."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime
from typing import Any, Final

import openpyxl

from shop.core.errors import Problem, Refusal

LARGEST_FILE: Final = 600_000
MOST_ROWS: Final = 2_000
MOST_COLUMNS: Final = 60
LONGEST_CELL: Final = 2_000
LARGEST_UNPACKED: Final = 40_000_000
Row = tuple[int, tuple[str, ...]]
"""A row of text cells, with its number in the file, counted from one."""


def table_in(content: bytes) -> tuple[Row, ...]:
    """The rows of a CSV file or of the first sheet of a workbook, empty ones left out.

    Args:
        content: the file as it came.

    Raises:
        Refusal: at ``file``: ``sheet.missing`` for no file or nothing in it, ``sheet.large``, ``sheet.unreadable``.
    """
    if not content:
        raise _refused("sheet.missing")
    if len(content) > LARGEST_FILE:
        raise _refused("sheet.large", rows=MOST_ROWS)
    rows: list[Row] = []
    found = _workbook(content) if content.startswith(b"PK") else _csv(content)
    for number, cells in found:
        trimmed = tuple(cell.strip() for cell in cells)
        if any(trimmed):
            rows.append((number, trimmed))
        if len(rows) > MOST_ROWS + 1:
            raise _refused("sheet.large", rows=MOST_ROWS)
    if not rows:
        raise _refused("sheet.missing")
    return tuple(rows)


def _refused(code: str, **values: object) -> Refusal:
    return Refusal(Problem(code, "file", values))


def _csv(content: bytes) -> Iterator[tuple[int, list[str]]]:
    text = _text(content)
    if "\0" in text:
        raise _refused("sheet.unreadable")
    head = text.split("\n", 1)[0]
    mark = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
    try:
        for cells in reader:
            yield reader.line_num, [_bare(cell) for cell in cells[:MOST_COLUMNS]]
    except csv.Error:
        raise _refused("sheet.unreadable") from None


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
    """A cell without the apostrophe that made it harmless."""
    cut = cell[:LONGEST_CELL]
    return cut[1:] if cut[:1] == "'" and cut[1:2] in ("=", "+", "-", "@", "\t", "\r", "\n") else cut


def _workbook(content: bytes) -> Iterator[tuple[int, list[str]]]:
    try:
        _not_too_large(content)
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
    except Refusal:
        raise
    except Exception:  # noqa: BLE001 - a damaged or locked workbook can make its reader stumble anywhere
        raise _refused("sheet.unreadable") from None
    try:
        yield from _sheet_rows(book)
    finally:
        book.close()


def _not_too_large(content: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        if sum(one.file_size for one in packed.infolist()) > LARGEST_UNPACKED:
            raise _refused("sheet.large", rows=MOST_ROWS)


def _sheet_rows(book: Any) -> Iterator[tuple[int, list[str]]]:
    try:
        sheet = book.worksheets[0]
        for number, row in enumerate(sheet.iter_rows(max_row=MOST_ROWS * 5, max_col=MOST_COLUMNS, values_only=True), 1):
            yield number, [_bare(_shown(cell)) for cell in row]
    except Exception:  # noqa: BLE001 - the same of its sheets
        raise _refused("sheet.unreadable") from None


def _shown(cell: object) -> str:
    """A cell as it would be typed."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, float):
        return f"{int(cell)}" if cell.is_integer() and abs(cell) < 10**15 else repr(cell)
    return str(cell)
