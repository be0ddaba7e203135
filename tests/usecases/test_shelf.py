"""The shelf looked through: in the order of colours, by what the cloth is, and whether it is enough."""

from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.colour import shelf_place
from shop.core.errors import Refusal
from shop.core.loom import Size
from shop.usecases import piece, shelf
from shop.usecases.given import fresh_token
from shop.usecases.shelf import Asked
from tests.builders import (
    a_cone,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_shaft_loom,
    a_sheet,
    codes,
    drawn,
    inches,
)

COLOURS = ("#ffffff", "#808080", "#b3262a", "#d9822b", "#d8c12f", "#4d8a3e", "#2f5fa8", "#77478f", "#9fb8dd")


def names(store, **asked):
    return [card.name for card in shelf.look(store, asked=Asked(**asked)).pieces]


def on_the_shelf(store, now, *pieces):
    return a_haul_at_home(store, now, *pieces).pieces


def test_swatches_stand_in_the_order_of_their_colours(store, now):
    on_the_shelf(store, now, *(a_sheet(name=colour, colour=colour) for colour in sorted(COLOURS)))
    assert names(store) == sorted(COLOURS, key=shelf_place)


def test_every_piece_is_on_one_page_however_the_pages_are_cut(store, now):
    on_the_shelf(store, now, *(a_sheet(name=f"{colour} {n}", colour=colour) for colour in COLOURS for n in (1, 2)))
    for order in shelf.ORDERS:
        seen, after = [], ""
        while True:
            page = shelf.look(store, asked=Asked(order=order), after=after, limit=4)
            seen += [card.number for card in page.pieces]
            after = page.further
            if not after:
                break
        assert sorted(seen) == list(range(1, 19))
        assert order != "newest" or seen == sorted(seen, reverse=True)


def test_near_a_colour(store, now):
    on_the_shelf(store, now, *(a_sheet(name=colour, colour=colour) for colour in COLOURS))
    assert names(store, colour="blue") == ["#2f5fa8"]
    assert set(names(store, colour="#2a58a0")) == {"#2f5fa8"}
    assert names(store, colour="#00ff00") == []


def test_by_fibre_tear_test_and_stuff(store, now):
    on_the_shelf(
        store,
        now,
        a_sheet(name="Mixed", fibres=(("polyester", Decimal("0.6")), ("cotton", Decimal("0.4"))), tears=False),
        a_sheet(name="Cotton", tears=True),
        a_sheet(name="Somehow", fibres=()),
        a_cone(),
    )
    assert names(store, fibre="polyester") == ["Mixed"]
    assert set(names(store, fibre="cotton")) == {"Cotton", "Natural carpet warp"}
    assert names(store, fibre="unknown") == ["Somehow"]
    assert names(store, tears="yes") == ["Cotton"]
    assert names(store, tears="no") == ["Mixed"]
    assert set(names(store, tears="untried", stuff="cloth")) == {"Somehow"}
    assert names(store, stuff="yarn") == ["Natural carpet warp"]


def test_by_state(store, now):
    on_the_shelf(store, now, a_sheet(name="Ready", ready=True), a_sheet(name="Dirty"), a_sheet(name="Gone"))
    piece.give_away(store, number=3, saving=fresh_token(), now=now)
    assert set(names(store)) == {"Ready", "Dirty"}
    assert names(store, state="ready") == ["Ready"]
    assert names(store, state="to wash") == ["Dirty"]
    assert names(store, state="gone") == ["Gone"]


def test_enough_for_a_rug_of_a_size(store, now):
    a_kept_loom(store, now, a_loom(loom=a_shaft_loom()))
    size = Size(inches(24), inches(36))
    needed = shelf.cloth_for(store, size=size)
    side = inches((needed**0.5) / 0.0254 + 1)
    on_the_shelf(
        store,
        now,
        a_sheet(name="Enough", width=side, length=side, ready=True),
        a_sheet(name="Too small", width=inches(20), length=inches(20)),
        a_cone(),
    )
    assert names(store, size=size) == ["Enough"]
    drawn(store, now, 1, a_job(store, now), Share(Decimal("0.5")))
    assert names(store, size=size) == []


@pytest.mark.parametrize(
    ("asked", "where"),
    [
        ({"state": "lost"}, "state"),
        ({"order": "weight"}, "order"),
        ({"colour": "plaid"}, "colour"),
        ({"fibre": "gold"}, "fibre"),
        ({"tears": "maybe"}, "tears"),
        ({"stuff": "paper"}, "stuff"),
    ],
)
def test_what_cannot_be_asked_is_told(store, asked, where):
    with pytest.raises(Refusal) as refused:
        shelf.look(store, asked=Asked(**asked))
    assert {place for place, _ in codes(refused)} == {where}


def test_a_rug_that_nothing_makes_is_told(store, now):
    a_kept_loom(store, now, a_loom(loom=a_shaft_loom()))
    with pytest.raises(Refusal) as refused:
        shelf.look(store, asked=Asked(size=Size(inches(24), inches(0.01))))
    assert {where for where, _ in codes(refused)} == {"size"}


def test_the_same_number_of_queries_however_full_the_shelf(store, now, count_queries):
    on_the_shelf(store, now, a_sheet())
    with count_queries(store) as few:
        names(store, colour="blue")
    on_the_shelf(store, now, *(a_sheet(colour=colour, count=4) for colour in COLOURS))
    with count_queries(store) as many:
        names(store, colour="blue")
    assert len(many) == len(few)
