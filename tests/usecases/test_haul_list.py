"""The list of hauls, and how what a haul cost fell on its pieces: together the haul's own sums, to the coin."""

from datetime import date

import pytest

from shop.core.errors import Refusal
from shop.core.money import Money, total
from shop.usecases.haul_list import hauls, spread_of
from tests.builders import a_blanket, a_haul_at_home, a_sheet, codes, money


@pytest.mark.parametrize("spread_by", ["price", "weight", "area", "evenly"])
def test_the_parts_are_the_sums_of_the_haul(store, now, spread_by):
    pieces = (a_blanket(paid=money("1.00")), a_blanket(paid=money("2.00")), a_blanket(paid=money("0.00")))
    haul = a_haul_at_home(
        store,
        now,
        *pieces,
        spread_by=spread_by,
        tax=money("0.17"),
        trip=money("1.00"),
        discount=money("0.10"),
    )
    parts = spread_of(haul)
    assert total((part.less for part in parts), "USD") == money("0.10")
    assert total((part.more for part in parts), "USD") == money("1.17")
    assert all(part.piece.paid - part.less + part.more == part.piece.cost for part in parts)
    assert parts[2].less == money("0")
    assert all(part.more.minor >= 0 and part.less.minor >= 0 for part in parts)


def test_what_was_given_and_cost_a_trip_bears_the_trip_alike(store, now):
    """Nothing was paid, so there are no prices to go by."""
    haul = a_haul_at_home(store, now, a_sheet(paid=money("0"), count=3), trip=money("1.00"))
    assert [part.more for part in spread_of(haul)] == [Money(34, "USD"), Money(33, "USD"), Money(33, "USD")]


def test_the_newest_day_comes_first_and_the_list_goes_on(store, now):
    for day in (3, 9, 3, 5):
        a_haul_at_home(store, now, on=date(2026, 3, day), place=f"Day {day}")
    first = hauls(store, limit=3)
    assert [(line.place, line.id) for line in first.hauls] == [("Day 9", 2), ("Day 5", 4), ("Day 3", 3)]
    rest = hauls(store, limit=3, after=first.further)
    assert ([line.id for line in rest.hauls], rest.further) == ([1], "")


def test_a_line_counts_its_pieces_and_their_cost(store, now):
    a_haul_at_home(store, now, a_sheet(count=3), a_blanket(), tax=money("1.23"), discount=money("0.50"))
    line = hauls(store).hauls[0]
    assert (line.pieces, line.cost) == (4, money("21.73"))


def test_no_hauls_are_an_empty_list(store):
    assert hauls(store).hauls == ()


@pytest.mark.parametrize("after", ["x", "2026-03-01", "2026-03-01.0", "2026-02-30.1", "2026-03-01.²"])
def test_a_place_that_is_none_is_refused(store, after):
    with pytest.raises(Refusal) as refused:
        hauls(store, after=after)
    assert codes(refused) == {("", "page.unknown")}


def test_the_list_takes_as_many_queries_however_many_hauls(store, now, count_queries):
    a_haul_at_home(store, now)
    with count_queries(store) as few:
        hauls(store)
    for _ in range(5):
        a_haul_at_home(store, now)
    with count_queries(store) as many:
        hauls(store)
    assert len(many) == len(few)
