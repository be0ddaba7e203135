"""The rows of a file: what each cell may say, and that whatever is wrong is named at its row and column, all of it at once."""

import string
from datetime import UTC, date, datetime
from decimal import Decimal
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.core.measure import Length, Weight
from shop.usecases.file_cells import PLAIN, Vocabulary
from shop.usecases.file_rows import COLUMNS, MOST_HAULS, RowReader
from tests.builders import inches, money

TODAY = datetime(2026, 11, 26, tzinfo=UTC).date()
SHEET = {
    "place": "Thrift shop",
    "day": "2026-03-14",
    "name": "Blue sheet",
    "width": "81 in",
    "length": "96",
    "price": "4.00",
    "colour": "blue",
    "fibre": "cotton 60, polyester 40",
}
CONE = {"place": "Thrift shop", "day": "2026-03-14", "name": "Warp", "price": "12", "yarn": "8/4", "weight": "500 g"}


def a_shop(locale="en_US", currency="USD", units="imperial"):
    return SimpleNamespace(locale=locale, currency=currency, units=units)


def read(*rows, shop=None, vocabulary=PLAIN, heads=None):
    """A table of rows, each a cell by its column; gives its hauls and what is wrong with it."""
    reader = RowReader(shop or a_shop(), TODAY, vocabulary)
    heads = heads or tuple(dict.fromkeys(name for row in rows for name in row))
    table = [(1, tuple(heads)), *((at, tuple(row.get(name, "") for name in heads)) for at, row in enumerate(rows, 2))]
    return reader.read(table), [(bad.row, bad.column, bad.problem.code) for bad in reader.bad]


def a_piece(shop=None, vocabulary=PLAIN, **changed):
    (haul,), bad = read({**SHEET, **changed}, shop=shop, vocabulary=vocabulary)
    assert bad == []
    return haul.pieces[0]


@pytest.mark.parametrize(
    ("row", "column", "code"),
    [
        (SHEET | {"place": ""}, "place", "text.missing"),
        (SHEET | {"place": "x" * 200}, "place", "text.long"),
        (SHEET | {"name": ""}, "name", "text.missing"),
        (SHEET | {"name": "x" * 200}, "name", "text.long"),
        (SHEET | {"name": "bell\a"}, "name", "text.control"),
        (SHEET | {"day": "last week"}, "day", "sheet.day"),
        (SHEET | {"day": ""}, "day", "text.missing"),
        (SHEET | {"day": "2026-02-30"}, "day", "sheet.day"),
        (SHEET | {"day": "2026-03-1499"}, "day", "sheet.day"),
        (SHEET | {"day": "3/14/26"}, "day", "sheet.day"),
        (SHEET | {"day": "14/3/2026"}, "day", "sheet.day"),
        (SHEET | {"day": Decimal(46095)}, "day", "sheet.day"),
        (SHEET | {"day": "2027-03-14"}, "day", "date.future"),
        (SHEET | {"width": "wide"}, "width", "length.unreadable"),
        (SHEET | {"width": ""}, "width", "text.missing"),
        (SHEET | {"width": "400 m"}, "width", "length.most"),
        (SHEET | {"length": Decimal(-3)}, "length", "length.negative"),
        (SHEET | {"price": "four"}, "price", "money.unreadable"),
        (SHEET | {"price": "-4"}, "price", "money.negative"),
        (SHEET | {"price": Decimal("4.005")}, "price", "money.finer"),
        (SHEET | {"price": ""}, "price", "text.missing"),
        (SHEET | {"colour": "plaid"}, "colour", "sheet.colour"),
        (SHEET | {"colour": "#12345"}, "colour", "sheet.colour"),
        (SHEET | {"kind": "tweed"}, "kind", "choice.unknown"),
        (SHEET | {"condition": "fair"}, "condition", "choice.unknown"),
        (SHEET | {"fibre": "gold 60, polyester 40"}, "fibre", "sheet.fibre"),
        (SHEET | {"fibre": "cotton 1.2.3"}, "fibre", "sheet.fibre"),
        (SHEET | {"fibre": "cotton, polyester"}, "fibre", "sheet.fibre"),
        (SHEET | {"fibre": ","}, "fibre", "sheet.fibre"),
        (SHEET | {"fibre": "cotton 60, polyester 30"}, "fibre", "fibre.sum"),
        (SHEET | {"fibre": "cotton 60, cotton 40"}, "fibre", "fibre.twice"),
        (SHEET | {"washed": "perhaps"}, "washed", "sheet.yes"),
        (SHEET | {"tears": "2"}, "tears", "sheet.yes"),
        (SHEET | {"count": "2.5"}, "count", "number.whole"),
        (SHEET | {"count": "0"}, "count", "number.small"),
        (SHEET | {"count": "51"}, "count", "number.large"),
        (SHEET | {"weight": "500 kg"}, "weight", "weight.most"),
        (SHEET | {"spread by": "luck"}, "spread by", "choice.unknown"),
        (SHEET | {"spread by": "weight"}, "weight", "weight.missing"),
        (SHEET | {"discount": "4.01"}, "discount", "haul.discount"),
        (SHEET | {"note": "x" * 2001}, "note", "text.long"),
        (CONE | {"weight": ""}, "weight", "cone.weight"),
        (CONE | {"yarn": "thick"}, "yarn", "yarn.unreadable"),
        (CONE | {"width": "30"}, "width", "cone.size"),
        (CONE | {"spread by": "area"}, "spread by", "cone.area"),
    ],
)
def test_a_bad_cell_is_named_by_its_row_and_column(row, column, code):
    assert read(row)[1] == [(2, column, code)]


def test_everything_that_is_wrong_is_named_at_once():
    """Cells that cannot be read, and those that can and will not do, in one go; each cell once."""
    second = SHEET | {"width": "wide", "price": "", "colour": "plaid", "name": ""}
    third = SHEET | {"day": "soon", "length": "400 m"}
    assert sorted(read(SHEET, second, third)[1]) == [
        (3, "colour", "sheet.colour"),
        (3, "name", "text.missing"),
        (3, "price", "text.missing"),
        (3, "width", "length.unreadable"),
        (4, "day", "sheet.day"),
        (4, "length", "length.most"),
    ]


def test_a_discount_is_not_held_against_prices_that_cannot_be_read():
    assert read(SHEET | {"discount": "3"}, SHEET | {"price": "?"})[1] == [(3, "price", "money.unreadable")]


def test_what_is_said_of_a_haul_is_taken_once_and_may_not_be_contradicted():
    (haul,), bad = read(SHEET | {"tax": "0.66"}, SHEET, SHEET | {"tax": "0.660"})
    assert (bad, haul.given().tax) == ([], money("0.66"))
    assert read(SHEET | {"tax": "0.66"}, SHEET | {"tax": "0.70"})[1] == [(3, "tax", "sheet.differs")]


def test_a_cell_that_no_heading_stands_above_is_a_row_come_apart():
    heads = tuple(SHEET)
    reader = RowReader(a_shop(), TODAY, PLAIN)
    reader.read([(1, heads), (2, (*SHEET.values(), "polyester 40"))])
    assert [(bad.row, bad.problem.code) for bad in reader.bad] == [(2, "sheet.shifted")]


def test_columns_that_lack_come_twice_or_mean_nothing_are_named():
    assert read({"place": "Market", "shelf life": "x"})[1] == [
        (1, "day", "sheet.no_column"),
        (1, "name", "sheet.no_column"),
        (1, "price", "sheet.no_column"),
    ]
    reader = RowReader(a_shop(), TODAY, PLAIN)
    reader.read([(1, (*SHEET, "Price", "shelf life"))])
    assert [(bad.column, bad.problem.code) for bad in reader.bad] == [("price", "sheet.twice")]
    assert reader.unknown == ["shelf life"]


def test_a_table_of_headings_alone_brings_nothing():
    assert read(heads=tuple(SHEET)) == ([], [(1, "", "sheet.no_rows")])


def test_more_than_a_file_may_bring_is_told():
    days = [SHEET | {"place": f"Market {number}"} for number in range(MOST_HAULS + 1)]
    assert read(*days)[1] == [(1, "", "sheet.many_hauls")]
    assert read(*[day | {"count": "50"} for day in days[:21]])[1] == [(1, "", "sheet.many_pieces")]
    assert read(*[SHEET | {"count": "50"}] * 5)[1] == [(2, "", "haul.large")]


@pytest.mark.parametrize(
    ("heading", "column"),
    [("  COLOUR ", "colour"), ("Color", "colour"), ("Fiber", "fibre"), ("Spread_By", "spread by"), ("PRICE", "price")],
)
def test_headings_are_known_whatever_their_case_and_spaces(heading, column):
    reader = RowReader(a_shop(), TODAY, PLAIN)
    others = [name for name in ("place", "day", "name", "price") if name != column]
    reader.read([(1, (heading, *others))])
    assert reader.unknown == []
    assert column not in {bad.column for bad in reader.bad}


@pytest.mark.parametrize(
    ("locale", "text"),
    [
        ("en_US", "2026-03-04"),
        ("en_US", "2026-3-4"),
        ("en_US", "2026-03-04T09:30"),
        ("en_US", "2026-03-04 00:00:00"),
        ("en_US", "3/4/2026"),
        ("en_GB", "04/03/2026"),
        ("en_GB", "4.3.2026"),
        ("sv_SE", "2026-03-04"),
        ("sv_SE", "2026/3/4"),
    ],
)
def test_a_day_is_read_as_the_country_writes_it(locale, text):
    (haul,), bad = read(SHEET | {"day": text}, shop=a_shop(locale))
    assert (bad, haul.on) == ([], date(2026, 3, 4))


def test_a_shop_reads_its_own_numbers_and_a_workbook_its_point():
    swedish = a_shop("sv_SE", "SEK", "metric")
    typed = a_piece(swedish, length="240,5", price="1 239,50", weight="1,125")
    kept = a_piece(swedish, length=Decimal("240.5"), price=Decimal("1239.5"), weight=Decimal("1.125"))
    assert (typed.length, typed.paid, typed.weight) == (
        Length.of("240.5", "cm"), money("1239.50", "SEK"), Weight.of("1.125", "kg"),
    )  # fmt: skip
    assert kept == typed
    assert a_piece(swedish, price="39.50").paid == money("39.50", "SEK")
    _, bad = read(SHEET | {"price": Decimal("12.125")}, shop=swedish)
    assert bad == [(2, "price", "money.finer")]  # and not twelve thousand


def test_units_are_as_said_or_the_shops():
    assert (a_piece(width="205 cm").width, a_piece(width=Decimal("80.5")).width) == (Length.of(205, "cm"), inches("80.5"))


def test_what_is_not_said_takes_what_is_usual():
    bare = a_piece(colour="", fibre="")
    assert (bare.colour, bare.fibres, bare.weight, bare.tears, bare.ready, bare.count) == ("#7d8a99", (), None, None, False, 1)
    assert read(CONE)[0][0].pieces[0].ready
    assert a_piece(colour="Gray", fibre="100% Linen").fibres == (("linen", Decimal(1)),)


def test_a_table_may_be_written_in_the_words_of_the_pages():
    swedish = Vocabulary.of(
        [("Plats", "place"), ("Dag", "day"), ("Namn", "name"), ("Pris", "price"), ("Färg", "colour"), ("Tvättat", "washed")],
        [("colour", "Blå", "blue"), ("yes or no", "Ja", "yes")],
    )
    row = {"PLATS": "Loppis", "dag": "2026-03-04", "namn": "Lakan", "width": "80", "length": "90", "pris": "4", "färg": "blå", "tvättat": "ja"}
    (haul,), bad = read(row, vocabulary=swedish)
    assert (bad, haul.pieces[0].colour, haul.pieces[0].ready) == ([], "#3a5fa8", True)
    assert a_piece(vocabulary=swedish, colour="blue").colour == "#3a5fa8"


numbers = st.decimals(allow_nan=False, allow_infinity=False)
snippets = st.sampled_from(["", "4", "1/2", "cotton 60", "blue", "2026-03-14", "0/0", "½", "٣", "-", "=1", "1e999", "9" * 60])
anything = st.one_of(numbers, snippets, st.text(max_size=20), st.text(string.printable, max_size=20)).map(
    lambda cell: cell.strip() if isinstance(cell, str) else cell
)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.dictionaries(st.sampled_from(COLUMNS), anything), max_size=4), st.sampled_from(["en_US", "sv_SE"]))
def test_whatever_stands_in_the_cells_is_read_or_told(rows, locale):
    hauls, bad = read(*[SHEET | row for row in rows], heads=COLUMNS, shop=a_shop(locale))
    assert bad or sum(len(haul.pieces) for haul in hauls) == len(rows)
