"""Cloth from a file: looked over first, all of it or nothing, and the same table once."""

import io
import threading
from datetime import date
from decimal import Decimal

import openpyxl
import pytest

from shop.core.errors import Clash, Refusal
from shop.core.measure import Length, Weight
from shop.paper.sheets_in import table_in
from shop.usecases import from_file, haul, ledger, piece, shop
from shop.usecases.file_cells import PLAIN
from shop.usecases.given import fresh_token
from tests.builders import a_haul_at_home, a_sheet, a_shop, an_open_shop, codes, inches, money

HEAD = "place,day,name,width,length,price,colour,fibre,washed,count,tax,yarn,weight"
SHEET = "Thrift shop,2026-03-14,Blue sheet,81 in,96,4.00,blue,cotton 60; polyester 40,yes,2,0.66,,"
CONE = "Thrift shop,2026-03-14,Warp,,,12,#efe6d2,cotton,,,,8/4,500 g"
MARKET = "Market,2026-03-15,Curtain,60,80,5,,,,,,,"


def a_file(*rows, head=HEAD):
    return "\n".join((head, *rows)).encode()


def looked_over(store, now, content, vocabulary=PLAIN):
    return from_file.preview(store, rows=table_in(content), now=now, vocabulary=vocabulary)


def brought_home(store, now, content, vocabulary=PLAIN, **said):
    """Looked over and said yes to; gives the hauls."""
    seen = looked_over(store, now, content, vocabulary).seen
    return from_file.bring_home_from(
        store, rows=table_in(content), now=now, vocabulary=vocabulary, **{"seen": seen, **said}
    )


def everything(store):
    return piece.pieces(store, shown="all", limit=100).pieces


def test_a_file_is_looked_over_and_nothing_comes_home(store, now):
    found = looked_over(store, now, a_file(SHEET, CONE, MARKET))
    assert (found.bad, found.before, found.unknown, found.pieces) == ((), (), (), 4)
    first, other = found.hauls
    assert (first.place, first.on, first.count, first.cost) == ("Thrift shop", date(2026, 3, 14), 3, money("20.66"))
    assert [(one.row, one.count, one.cost) for one in first.pieces] == [(2, 2, money("8.26")), (3, 1, money("12.40"))]
    assert (other.place, other.cost) == ("Market", money("5"))
    assert everything(store) == ()


def test_what_was_looked_over_comes_home_at_the_costs_that_were_seen(store, now):
    seen = looked_over(store, now, a_file(SHEET, CONE)).hauls[0]
    (first,) = brought_home(store, now, a_file(SHEET, CONE))
    home = haul.haul(store, haul_id=first)
    sheet, too, cone = home.pieces
    assert (sheet.name, sheet.width, sheet.length, sheet.paid) == ("Blue sheet", inches(81), inches(96), money("4"))
    assert [(fibre.value, share) for fibre, share in sheet.fibres] == [
        ("cotton", Decimal("0.6")),
        ("polyester", Decimal("0.4")),
    ]
    assert (sheet.state, too.number, home.tax) == ("ready", 2, money("0.66"))
    assert (cone.yarn, cone.weight, cone.width) == ("8/4", Weight.of(500, "g"), Length(0))
    assert (home.cost, sheet.cost + too.cost, cone.cost) == (seen.cost, seen.pieces[0].cost, seen.pieces[1].cost)
    assert ledger.prove(store).holds


def test_rows_of_one_place_and_day_are_one_haul(store, now):
    other = SHEET.replace("2026-03-14", "2026-03-15").replace("0.66", "")
    found = looked_over(store, now, a_file(SHEET, other, SHEET.replace("Thrift shop", "THRIFT  shop")))
    assert [(one.on.day, one.count) for one in found.hauls] == [(14, 4), (15, 2)]


def test_the_same_file_comes_home_once_and_what_it_brought_is_found(store, now):
    content = a_file(SHEET, MARKET)
    brought = brought_home(store, now, content)
    assert brought_home(store, now, content) == brought
    again = looked_over(store, now, content)
    assert (again.hauls, [(one.id, one.place) for one in again.before]) == (
        (),
        list(zip(brought, ("Thrift shop", "Market"), strict=True)),
    )
    assert len(everything(store)) == 3


def test_the_same_table_in_another_kind_of_file_is_the_same(store, now):
    head, row = ["place", "day", "name", "width", "length", "price"], ["Market", "2026-03-15", "Curtain", 60, 80, 4.5]
    book = openpyxl.Workbook()
    book.active.append(head)
    book.active.append([])
    book.active.append(row)
    written = io.BytesIO()
    book.save(written)
    brought_home(store, now, written.getvalue())
    as_csv = a_file(";".join(map(str, row)), head=";".join(head))
    assert looked_over(store, now, as_csv).before
    assert len(everything(store)) == 1


def test_a_table_that_has_grown_asks_whether_it_is_other_cloth(store, now):
    brought_home(store, now, a_file(MARKET))
    grown = a_file(MARKET, SHEET)
    assert [bool(one.already) for one in looked_over(store, now, grown).hauls] == [True, False]
    with pytest.raises(Refusal) as refused:
        brought_home(store, now, grown)
    assert codes(refused) == {("other", "sheet.already")}
    assert len(everything(store)) == 1
    brought_home(store, now, grown, other_cloth=True)
    assert len(everything(store)) == 4


def test_cloth_entered_by_hand_is_found_too(store, now):
    home = a_haul_at_home(store, now, a_sheet(), place="the  MARKET", on=date(2026, 3, 15))
    (seen,) = looked_over(store, now, a_file(MARKET.replace("Market", "The Market"))).hauls
    assert seen.already == home.id


def test_what_would_come_home_otherwise_than_was_seen_does_not(store, now):
    """The shop's units were changed in another window between looking and saying yes."""
    an_open_shop(store, now)
    seen = looked_over(store, now, a_file(MARKET)).seen
    revision = shop.current(store).revision
    shop.change(store, shop=a_shop(units="metric"), revision=revision, saving=fresh_token(), now=now)
    with pytest.raises(Clash) as refused:
        brought_home(store, now, a_file(MARKET), seen=seen)
    assert codes(refused) == {("file", "sheet.changed")}
    assert everything(store) == ()


def test_one_bad_row_keeps_everything_at_the_shop(store, now):
    content = a_file(SHEET, MARKET, CONE.replace("500 g", ""))
    with pytest.raises(Refusal) as refused:
        brought_home(store, now, content)
    assert codes(refused) == {("file", "sheet.bad")}
    assert everything(store) == ()
    brought_home(store, now, a_file(SHEET, MARKET, CONE))
    assert len(everything(store)) == 4


def test_two_who_say_yes_at_once_bring_it_home_once(store, now):
    content, brought = a_file(SHEET, MARKET), []
    seen = looked_over(store, now, content).seen
    both = threading.Barrier(2)

    def say_yes():
        both.wait(timeout=30)
        brought.append(brought_home(store, now, content, seen=seen))

    weavers = [threading.Thread(target=say_yes) for _ in range(2)]
    for weaver in weavers:
        weaver.start()
    for weaver in weavers:
        weaver.join(timeout=60)
    assert len(brought) == 2
    assert brought[0] == brought[1]
    assert len(everything(store)) == 3
