"""The photograph of a piece: put up, looked at, taken for its colour, taken away."""

import pytest

from shop.core.colour import shelf_place
from shop.core.errors import Clash, NotFound, Refusal
from shop.store import photograph as table
from shop.store.backup import back_up
from shop.store.engine import Store
from shop.usecases import keeping, picture, piece
from shop.usecases.given import fresh_token
from tests.builders import a_piece_in_hand, codes
from tests.usecases.a_photograph import a_photograph, cloth_on_a_table, opened


def put_up(store, now, number, content=None, token=None):
    picture.put_up(
        store, number=number, content=content or a_photograph(), saving=token or fresh_token(), now=now
    )


def digest_of(store, number):
    return picture.offered(store, number=number).digest


def test_a_piece_has_one_photograph_at_most(store, now):
    number = a_piece_in_hand(store, now).number
    assert picture.offered(store, number=number) == picture.Offered()
    put_up(store, now, number)
    first = digest_of(store, number)
    put_up(store, now, number, a_photograph((200, 200)))
    assert digest_of(store, number) not in ("", first)
    assert opened(picture.shown(store, number=number, small=False).content).size == (200, 200)
    picture.take_away(store, number=number, saving=fresh_token(), now=now)
    with pytest.raises(NotFound):
        picture.shown(store, number=number, small=True)


def test_the_same_press_twice_puts_up_one(store, now):
    number = a_piece_in_hand(store, now).number
    token = fresh_token()
    put_up(store, now, number, token=token)
    put_up(store, now, number, token=token)
    with pytest.raises(Clash):
        put_up(store, now, number, a_photograph((90, 90)), token=token)
    assert opened(picture.shown(store, number=number, small=False).content).size == (400, 300)


def test_a_refused_photograph_leaves_the_old_one(store, now):
    number = a_piece_in_hand(store, now).number
    put_up(store, now, number)
    before = picture.shown(store, number=number, small=False)
    with pytest.raises(Refusal):
        put_up(store, now, number, b"no picture")
    assert picture.shown(store, number=number, small=False) == before


def test_which_pieces_have_one_is_asked_once_and_loads_no_picture(store, now, count_queries):
    cards = [a_piece_in_hand(store, now) for _ in range(4)]
    put_up(store, now, cards[1].number)
    with count_queries(store) as said, store.reading() as session:
        found = table.digests_of(session, [card.id for card in cards])
    assert found == {cards[1].id: digest_of(store, cards[1].number)}
    with count_queries(store) as looked:
        shown = piece.pieces(store)
    assert {card.number for card in shown.pieces if card.photograph} == {cards[1].number}
    for told in (said, looked):
        asked = [statement for statement, _ in told if "photograph" in statement]
        assert len(asked) == 1
        assert "image" not in asked[0]
        assert "thumbnail" not in asked[0]


def test_a_copy_of_the_shop_holds_its_photographs(sqlite_store, now, tmp_path):
    number = a_piece_in_hand(sqlite_store, now).number
    put_up(sqlite_store, now, number)
    copy = Store(f"sqlite:///{back_up(sqlite_store.url, tmp_path / 'copy.sqlite3')}")
    assert picture.shown(copy, number=number, small=False) == picture.shown(
        sqlite_store, number=number, small=False
    )
    copy.close()


def test_a_piece_takes_the_colour_of_its_photograph(store, now):
    number = a_piece_in_hand(store, now).number
    put_up(store, now, number, cloth_on_a_table("#2f8a8a"))
    offered = picture.offered(store, number=number)
    assert offered.family == "teal"
    before = piece.piece(store, number=number)
    picture.take_colour(store, number=number, colour=offered.colour, saving=fresh_token(), now=now)
    after = piece.piece(store, number=number)
    assert (after.colour, after.revision) == (offered.colour, before.revision + 1)
    with store.reading() as session:
        assert picture.piece_in(session, number).shade == shelf_place(offered.colour)
    assert picture.offered(store, number=number) == picture.Offered(offered.digest, 400, 300)  # nothing left to take


def test_a_colour_that_looks_the_same_is_not_offered(store, now):
    number = a_piece_in_hand(store, now).number
    picture.take_colour(store, number=number, colour="#2f8a8a", saving=fresh_token(), now=now)
    put_up(store, now, number, cloth_on_a_table("#2f8b8a"))
    assert picture.offered(store, number=number).colour == ""


def test_a_form_of_its_facts_that_lay_open_does_not_put_the_old_colour_back(store, now):
    card = a_piece_in_hand(store, now)
    put_up(store, now, card.number)
    colour = picture.offered(store, number=card.number).colour
    picture.take_colour(store, number=card.number, colour=colour, saving=fresh_token(), now=now)
    facts = keeping.FactsGiven(name="sheet", colour="#123456", width=card.width, length=card.length)
    with pytest.raises(Clash):
        keeping.correct(
            store, number=card.number, facts=facts, revision=card.revision, saving=fresh_token(), now=now
        )
    assert piece.piece(store, number=card.number).colour == colour


@pytest.mark.parametrize("colour", ["", "red", "#12345", "#1234567", "url(#a)"])
def test_what_is_no_colour_changes_nothing(store, now, colour):
    card = a_piece_in_hand(store, now)
    with pytest.raises(Refusal) as refused:
        picture.take_colour(store, number=card.number, colour=colour, saving=fresh_token(), now=now)
    assert codes(refused) == {("colour", "colour.unreadable")}
    assert piece.piece(store, number=card.number).colour == card.colour
