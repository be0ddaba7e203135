"""The sentences for problems of tables that come in from files."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

SHEET: Final[dict[str, str]] = {
    "sheet.missing": mark("Choose a file with something in it first."),
    "sheet.large": mark(
        "This file is too large: there is room for %(rows)s rows of %(columns)s columns. A workbook that holds much else is "
        "small once it is saved as CSV."
    ),
    "sheet.unreadable": mark("This file cannot be read. A CSV file or an unlocked XLSX workbook can."),
    "sheet.quotes": mark(
        "In row %(row)s a quotation mark does not fit. Text in quotation marks ends with one, and those within it are doubled."
    ),
    "sheet.bad": mark("Some rows need another look, so nothing has come home."),
    "sheet.no_rows": mark("There is no row of a piece in it."),
    "sheet.no_column": mark("The file has no column called “%(name)s”."),
    "sheet.many_hauls": mark("A file can hold at most %(most)s hauls."),
    "sheet.many_pieces": mark("A file can bring at most %(most)s pieces home at once."),
    "sheet.twice": mark("The column “%(text)s” is there twice."),
    "sheet.shifted": mark(
        "This row has a cell that no heading stands above. Has one of its cells come apart at a comma? Put it in quotation "
        "marks."
    ),
    "sheet.already": mark(
        "Cloth from the same place and day is home already. Take those rows out of the file, or say that this is other cloth."
    ),
    "sheet.changed": mark("The shop has changed since this was looked over. Look once more, and then bring it home."),
    "sheet.differs": mark("An earlier row of the same haul says something else."),
    "sheet.day": mark("“%(text)s” is no day. Write it as 2026-03-14."),
    "sheet.fibre": mark("“%(text)s” does not say which fibres. Write “cotton”, or “cotton 60, polyester 40”."),
    "sheet.colour": mark("“%(text)s” is no colour here. Write #5577aa, or a word such as blue."),
    "sheet.yes": mark("“%(text)s” says neither yes nor no."),
}
