"""Cloth from a file: looked over first, all of it or nothing, and the same file once."""

import hashlib
import io
import random
from datetime import date
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.core.errors import Refusal
from shop.core.measure import Length, Weight
from shop.paper.sheets import Workbook, csv_lines
from shop.paper.sheets_in import table_in
from shop.usecases import from_file, haul, piece
from shop.usecases.from_file import COLUMNS
from tests.builders import an_open_shop, codes, inches, money

HEAD = "place,day,name,width,length,price,colour,fibre,washed,count,tax,yarn,weight"
SHEET = "Thrift shop,2026-03-14,Blue sheet,81 in,96,4.00,blue,cotton 60; polyester 40,yes,2,0.66,,"
CONE = "Thrift shop,2026-03-14,Warp,,,12,#efe6d2,cotton,,,,8/4,500 g"


def a_file(*rows, head=HEAD):
    return "\n".join((head, *rows)).encode()


def looked_over(store, now, content):
    return from_file.preview(
        store, rows=table_in(content), digest=hashlib.sha256(content).hexdigest(), now=now
    )


def brought_home(store, now, content):
    digest = hashlib.sha256(content).hexdigest()
    return from_file.bring_home_from(store, rows=table_in(content), digest=digest, now=now)


def everything(store):
    return piece.pieces(store, shown="all", limit=100).pieces


def test_a_file_is_looked_over_and_nothing_comes_home(store, now):
    found = looked_over(store, now, a_file(SHEET, CONE))
    assert found.bad == ()
    (one,) = found.hauls
    assert (one.place, one.on, one.pieces, one.cost) == ("Thrift shop", date(2026, 3, 14), 3, money("20.66"))
    assert found.before is None
    assert everything(store) == ()


def test_what_was_looked_over_comes_home(store, now):
    first = brought_home(store, now, a_file(SHEET, CONE))
    home = haul.haul(store, haul_id=first)
    sheet, too, cone = home.pieces
    assert (sheet.name, sheet.width, sheet.length, sheet.paid) == ("Blue sheet", inches(81), inches(96), money("4"))
    assert [(fibre.value, share) for fibre, share in sheet.fibres] == [
        ("cotton", Decimal("0.6")),
        ("polyester", Decimal("0.4")),
    ]
    assert (sheet.state, too.number, home.tax) == ("ready", 2, money("0.66"))
    assert (cone.yarn, cone.weight, cone.width) == ("8/4", Weight.of(500, "g"), Length(0))
    assert home.cost == money("20.66")


def test_rows_of_one_place_and_day_are_one_haul(store, now):
    other = SHEET.replace("2026-03-14", "2026-03-15").replace("0.66", "")
    found = looked_over(store, now, a_file(SHEET, other, SHEET.replace("Thrift shop", "THRIFT  shop")))
    assert [(one.on.day, one.pieces) for one in found.hauls] == [(14, 4), (15, 2)]


def test_the_same_file_comes_home_once(store, now):
    content = a_file(SHEET)
    first = brought_home(store, now, content)
    assert brought_home(store, now, content) == first
    assert looked_over(store, now, content).before == first
    assert len(everything(store)) == 2
    brought_home(store, now, a_file(SHEET, CONE))
    assert len(everything(store)) == 5


@pytest.mark.parametrize(
    ("row", "column", "code"),
    [
        (SHEET.replace("Blue sheet", ""), "name", "text.missing"),
        (SHEET.replace("2026-03-14", "last week"), "day", "sheet.day"),
        (SHEET.replace("2026-03-14", "2027-03-14"), "day", "date.future"),
        (SHEET.replace("81 in", "wide"), "width", "length.unreadable"),
        (SHEET.replace("81 in", ""), "width", "text.missing"),
        (SHEET.replace("81 in", "400 m"), "width", "length.most"),
        (SHEET.replace("4.00", "four"), "price", "money.unreadable"),
        (SHEET.replace("4.00", "-4"), "price", "money.negative"),
        (SHEET.replace("blue", "plaid"), "colour", "sheet.colour"),
        (SHEET.replace("cotton 60", "gold 60"), "fibre", "sheet.fibre"),
        (SHEET.replace("polyester 40", "polyester 30"), "fibre", "fibre.sum"),
        (SHEET.replace(",yes,", ",perhaps,"), "washed", "sheet.yes"),
        (SHEET.replace(",2,", ",2.5,"), "count", "number.whole"),
        (CONE.replace("500 g", ""), "weight", "cone.weight"),
        (CONE.replace("8/4", "thick"), "yarn", "yarn.unreadable"),
    ],
)
def test_a_bad_row_is_named_and_nothing_comes_home(sqlite_store, now, row, column, code):
    content = a_file(CONE.replace("Warp", "Good"), row)
    bad = looked_over(sqlite_store, now, content).bad
    assert [(one.row, one.column, one.problem.code) for one in bad] == [(3, column, code)]
    with pytest.raises(Refusal) as refused:
        brought_home(sqlite_store, now, content)
    assert codes(refused) == {("file", "sheet.bad")}
    assert everything(sqlite_store) == ()


def test_rows_of_a_haul_that_contradict_one_another_are_named(store, now):
    found = looked_over(store, now, a_file(SHEET, SHEET.replace("0.66", "0.70")))
    assert [(one.row, one.column, one.problem.code) for one in found.bad] == [(3, "tax", "sheet.differs")]


def test_missing_and_unknown_columns_are_named(store, now):
    found = looked_over(store, now, a_file("Thrift shop,x", head="place,shelf life"))
    assert {one.column for one in found.bad} == {"day", "name", "price"}
    assert found.unknown == ("shelf life",)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_whatever_a_program_writes_is_read(store, now, encoding, mark):
    text = "\r\n".join((HEAD, SHEET.replace("Blue sheet", "Blå lakan").replace(";", " /"))).replace(",", mark)
    brought_home(store, now, text.encode(encoding))
    assert everything(store)[0].name == "Blå lakan"


def test_a_workbook_with_numbers_and_days_is_read(store, now):
    book = openpyxl.Workbook()
    book.active.append(["Name", "PLACE", "Day", "width", "length", "price", "washed"])
    book.active.append(["Sheet", "Market", date(2026, 3, 1), 81, 96.5, 4, True])
    written = io.BytesIO()
    book.save(written)
    brought_home(store, now, written.getvalue())
    (card,) = everything(store)
    assert (card.width, card.length, card.paid, card.state) == (inches(81), inches("96.5"), money("4"), "ready")


def test_a_swedish_shop_reads_its_own_numbers(store, now):
    an_open_shop(store, now, locale="sv_SE", currency="SEK", units="metric", time_zone="Europe/Stockholm")
    row = "Loppis;2026-03-14;Lakan;150;240,5;39,50"
    brought_home(store, now, a_file(row, head="place;day;name;width;length;price"))
    (card,) = everything(store)
    assert (card.length, card.paid) == (Length.of("240.5", "cm"), money("39.50", "SEK"))


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "sheet.missing"),
        (b"\n\n", "sheet.missing"),
        (b"PK\x03\x04 no workbook", "sheet.unreadable"),
        (b"a\0b,c\n", "sheet.unreadable"),
        (b"x" * 700_000, "sheet.large"),
        (b"a,b\n" * 2_500, "sheet.large"),
    ],
)
def test_what_is_no_table_is_told(content, code):
    with pytest.raises(Refusal) as refused:
        table_in(content)
    assert codes(refused) == {("file", code)}


cells = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30).map(str.strip)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(cells, min_size=3, max_size=3).filter(any), min_size=1, max_size=6))
def test_what_is_written_is_read_again(rows):
    """Names that look like formulas too: the apostrophe that makes them harmless is taken off again."""
    rows = [[cell if not cell.startswith("'") else "x" for cell in row] for row in rows]
    rows = [row if any(row) else ["x", "", ""] for row in rows]
    text = "".join(csv_lines(("a", "b", "c"), rows)).encode()
    assert [list(cells) for _, cells in table_in(text)[1:]] == rows
    written = io.BytesIO()
    book = Workbook(written)
    book.add("cloth", ("a", "b", "c"), rows)
    book.close()
    again = [[*cells, "", "", ""][:3] for _, cells in table_in(written.getvalue())[1:]]
    assert again == rows


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 2**32))
def test_any_bytes_are_a_table_or_told(seed):
    chance = random.Random(seed)  # noqa: S311 - the same damage for the same seed
    book = io.BytesIO()
    made = Workbook(book)
    made.add("cloth", COLUMNS, [["x"] * len(COLUMNS)] * 3)
    made.close()
    content = bytearray(chance.choice([book.getvalue(), a_file(SHEET, CONE)]))
    for _ in range(chance.randrange(1, 40)):
        content[chance.randrange(len(content))] = chance.randrange(256)
    try:
        found = table_in(bytes(content))
    except Refusal as refused:
        found = [problem.where for problem in refused.problems]
    assert found
