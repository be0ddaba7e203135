"""Tables out of files of other programs: read as they were meant, or refused with the reason; never cut off unseen."""

import io
import random
import zipfile
from datetime import date, datetime
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.core.errors import Refusal
from shop.paper.sheets import Workbook, csv_lines
from shop.paper.sheets_in import MOST_COLUMNS, MOST_ROWS, table_in
from tests.builders import codes

SHEETS = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def refused(content):
    with pytest.raises(Refusal) as caught:
        table_in(content)
    return codes(caught)


def a_workbook(*rows, **sheets):
    """A workbook as another program writes it; gives its bytes."""
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for name, further in sheets.items():
        book.create_sheet(name).append(further)
    written = io.BytesIO()
    book.save(written)
    return written.getvalue()


def with_part(name, text):
    """A workbook in which one part has been put in the place of its own."""
    written = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(a_workbook(["name"], ["sheet"]))) as whole,
        zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as changed,
    ):
        for part in whole.namelist():
            changed.writestr(part, text if part == name else whole.read(part))
    return written.getvalue()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_csv_is_read_in_whatever_letters_and_marks(encoding, mark, ending):
    text = ending.join((f"name{mark}price", f"Blå lakan{mark}4.50", "", f'"torn{mark}{ending}mended"{mark}2'))
    assert table_in(text.encode(encoding)) == (
        (1, ("name", "price")),
        (2, ("Blå lakan", "4.50")),
        (4, (f"torn{mark}{ending}mended", "2")),
    )


def test_rows_are_counted_as_a_spreadsheet_does():
    assert [number for number, _ in table_in(b'a,b\n"one\ntwo",1\n\n,,\n3,4\n')] == [1, 2, 5]


def test_numbers_and_days_of_a_workbook_stay_what_they_are():
    row = [81, 96.5, 3 * 1.1, True, date(2026, 3, 1), datetime(2026, 3, 1, 9, 30), "4.50", None, "8/4"]  # noqa: DTZ001
    ((_, cells),) = table_in(a_workbook(row))
    assert cells == (
        Decimal(81), Decimal("96.5"), Decimal("3.3"), "yes", "2026-03-01", "2026-03-01", "4.50", "", "8/4",
    )  # fmt: skip


def test_the_first_sheet_is_read_and_no_other():
    assert table_in(a_workbook(["first"], Second=["second"])) == ((1, ("first",)),)


def test_what_is_kept_of_a_formula_is_its_value():
    cell = '<c r="A1"><f>2*21</f><v>42</v></c><c r="B1"><f>2*21</f></c><c r="C1" t="inlineStr"><is><t>x</t></is></c>'
    sheet = f'<worksheet xmlns="{SHEETS}"><sheetData><row r="1">{cell}</row></sheetData></worksheet>'
    assert table_in(with_part("xl/worksheets/sheet1.xml", sheet)) == ((1, (Decimal(42), "", "x")),)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "sheet.missing"),
        (b"\n ,\n", "sheet.missing"),
        (b"a\0b,c\n", "sheet.unreadable"),
        (b"\xff\xfea", "sheet.unreadable"),
        (b"PK\x03\x04 no workbook", "sheet.unreadable"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512), "sheet.unreadable"),  # how a locked workbook begins
        (b"x" * 700_000, "sheet.large"),
        (b"a,b\n" * (MOST_ROWS + 2), "sheet.large"),
        (b"," * MOST_COLUMNS + b"x\n", "sheet.large"),
        (b'name,price\n"sheet,4\nblanket,5\n', "sheet.quotes"),
        (b'name,price\n"sheet" blue,4\n', "sheet.quotes"),
    ],
)
def test_what_is_no_table_is_told(content, code):
    assert refused(content) == {("file", code)}


def test_the_row_of_a_quotation_mark_that_does_not_fit_is_told():
    with pytest.raises(Refusal) as caught:
        table_in(b'name,price\nblanket,5\n"sheet,4\ncurtain,2\n')
    assert caught.value.problems[0].values == {"row": 3}


def test_the_largest_table_there_is_room_for_is_read():
    row = b",".join([b"x"] * MOST_COLUMNS) + b"\n"
    assert len(table_in(row * (MOST_ROWS + 1))) == MOST_ROWS + 1


def test_nothing_far_down_or_far_out_is_passed_over_unseen():
    far = f'<worksheet xmlns="{SHEETS}"><sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="60000"><c r="A60000"><v>2</v></c></row></sheetData></worksheet>'
    assert table_in(with_part("xl/worksheets/sheet1.xml", far)) == ((1, (Decimal(1),)), (60_000, (Decimal(2),)))
    assert refused(a_workbook([*[None] * (MOST_COLUMNS + 5), "far out"])) == {("file", "sheet.large")}
    assert refused(a_workbook(*[["x"]] * (MOST_ROWS + 2))) == {("file", "sheet.large")}


@pytest.mark.parametrize(
    ("part", "before", "again", "times", "after"),
    [
        ("xl/worksheets/sheet1.xml", "<worksheet><sheetData>", "<row/>", 1_500_000, "</sheetData></worksheet>"),
        ("xl/styles.xml", "<styleSheet><cellXfs>", "<xf/>", 300_000, "</cellXfs></styleSheet>"),
        ("xl/workbook.xml", "<workbook>", " " * 100, 100_000, "</workbook>"),
    ],
)
def test_what_unpacks_to_far_more_than_a_table_is_not_unpacked(part, before, again, times, after):
    content = with_part(part, before + again * times + after)
    assert len(content) < 100_000
    assert refused(content) == {("file", "sheet.large")}


def test_a_word_that_stands_for_ever_more_words_is_not_spelt_out():
    entities = "".join(f'<!ENTITY w{n} "{f"&w{n - 1};" * 30}">' for n in range(1, 9))
    sheet = f'<!DOCTYPE w [<!ENTITY w0 "{"word" * 500}">{entities}]><worksheet xmlns="{SHEETS}"><sheetData><row><c t="str"><v>&w8;</v></c></row></sheetData></worksheet>'
    assert refused(with_part("xl/worksheets/sheet1.xml", sheet)) == {("file", "sheet.unreadable")}


cells = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30).map(str.strip)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(cells, min_size=3, max_size=3).filter(any), min_size=1, max_size=6))
def test_what_is_written_is_read_again(rows):
    """Names that look like formulas too: the apostrophe that makes them harmless is taken off again."""
    rows = [[cell if not cell.startswith("'") else "x" for cell in row] for row in rows]
    text = "".join(csv_lines(("a", "b", "c"), rows)).encode()
    written = io.BytesIO()
    book = Workbook(written)
    book.add("cloth", ("a", "b", "c"), rows)
    book.close()
    for content in (text, written.getvalue()):
        assert [[*found, "", "", ""][:3] for _, found in table_in(content)[1:]] == rows


def a_table_or_told(content):
    try:
        return table_in(content)
    except Refusal as caught:
        return tuple((0, (problem.code,)) for problem in caught.problems)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=300), st.sampled_from([b"", b"PK\x03\x04", b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf"]))
def test_any_bytes_are_a_table_or_told(content, head):
    rows = a_table_or_told(head + content)
    assert rows
    assert all(isinstance(cell, str | Decimal) for _, found in rows for cell in found)


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 2**32))
def test_a_damaged_file_is_a_table_or_told(seed):
    chance = random.Random(seed)  # noqa: S311 - the same damage for the same seed
    whole = chance.choice([a_workbook(["name", "price"], ["sheet", 4.5]), b'name,price\n"sheet, blue",4.5\n' * 4])
    content = bytearray(whole)
    for _ in range(chance.randrange(1, 40)):
        content[chance.randrange(len(content))] = chance.randrange(256)
    assert a_table_or_told(bytes(content))
