"""The bench: what to do next, and what is waiting."""

from datetime import timedelta

from shop.usecases import pace, piece, price, rates
from shop.usecases.bench import COUNTED, bench
from shop.usecases.given import fresh_token
from shop.usecases.pace import PaceGiven
from tests.builders import (
    a_haul_at_home,
    a_kept_loom,
    a_price_rule,
    a_quote,
    a_sheet,
    an_open_shop,
    some_rates,
)


def test_an_empty_shop_is_told_what_to_do_next_step_by_step(store, now):
    def next_step():
        return bench(store).next_step

    assert next_step() == "shop"
    an_open_shop(store, now)
    assert next_step() == "loom"
    a_kept_loom(store, now)
    assert next_step() == "rates"
    rates.change(store, rates=some_rates(), revision=0, saving=fresh_token(), now=now)
    assert next_step() == "price"
    price.change(store, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)
    assert next_step() == "fabric"
    a_haul_at_home(store, now)
    assert next_step() == "quote"
    a_quote(store, now)
    assert next_step() is None
    assert all(done for _, done in bench(store).steps)


def test_a_working_shop_sees_what_is_waiting(store, now):
    a_haul_at_home(store, now, a_sheet(count=7), a_sheet(ready=True))
    piece.give_away(store, number=7, saving=fresh_token(), now=now)
    for place in range(6):
        a_quote(store, now + timedelta(minutes=place))
    pace.change(
        store,
        paces=(PaceGiven(loom_kind="any", key="office", minutes=None),),
        revision=0,
        by="Ida",
        saving=fresh_token(),
        now=now,
    )
    found = bench(store)
    assert (found.in_hand, found.to_wash, found.quotes, found.paces_set) == (7, 6, 6, False)
    assert [card.number for card in found.waiting_to_wash] == [6, 5, 4, 3, 2]
    assert [line.number for line in found.newest_quotes] == [6, 5, 4, 3, 2]


def test_counting_stops_and_queries_stay_as_many(sqlite_store, now, count_queries):
    a_haul_at_home(sqlite_store, now, a_sheet())
    a_quote(sqlite_store, now)
    with count_queries(sqlite_store) as few:
        bench(sqlite_store)
    for _ in range(3):
        a_haul_at_home(sqlite_store, now, a_sheet(count=50))
    with count_queries(sqlite_store) as many:
        found = bench(sqlite_store)
    assert (found.in_hand, found.to_wash) == (COUNTED, COUNTED)
    assert len(many) == len(few)
