"""The page where what is known of a piece is corrected."""

from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.cloth import Fibre
from shop.core.measure import Weight
from shop.usecases import piece
from tests.builders import a_cone, a_job, a_piece_in_hand, a_ready_piece, a_sheet, drawn, inches, money
from tests.web.a_haul import said

PAGE = "/cloth/pieces/1/facts"
TYPED = {
    "name": "Navy sheet",
    "colour": "#112244",
    "cloth": "denim",
    "fibres": "cotton",
    "mixed": "polyester",
    "mixed_share": "40",
    "width": "70 in",
    "length": "90 in",
    "weight": "800 g",
    "tears": "no",
    "condition": "worn",
    "kept": "Shelf C",
}


def test_what_is_known_is_corrected_once_and_the_cost_stays(owner, sqlite_store, now):
    a_piece_in_hand(sqlite_store, now)
    assert 'value="Blue striped sheet"' in said(owner.get(PAGE))
    hidden = owner.hidden(PAGE)
    for _ in range(2):
        answer = owner.client.post(PAGE, data={**hidden, **TYPED})
        assert (answer.status_code, answer.location) == (303, "/cloth/pieces/1")
    card = piece.piece(sqlite_store, number=1)
    assert (card.name, card.colour, card.kept, card.tears) == ("Navy sheet", "#112244", "Shelf C", False)
    assert card.fibres == ((Fibre.COTTON, Decimal("0.6")), (Fibre.POLYESTER, Decimal("0.4")))
    assert (card.width, card.length, card.weight) == (inches(70), inches(90), Weight.of(800, "g"))
    assert (card.cost, card.revision) == (money("4.00"), 2)
    answer = owner.client.post(PAGE, data={**hidden, **TYPED, "name": "Other"})
    assert answer.status_code in (409, 422)
    assert piece.piece(sqlite_store, number=1).name == "Navy sheet"


def test_a_cloth_of_three_fibres_keeps_them(owner, sqlite_store, now):
    fibres = (("wool", Decimal("0.5")), ("nylon", Decimal("0.3")), ("acrylic", Decimal("0.2")))
    a_piece_in_hand(sqlite_store, now, a_sheet(fibres=fibres))
    owner.press(PAGE, **{**TYPED, "fibres": "wool", "mixed": "nylon", "mixed_share": "30"})
    card = piece.piece(sqlite_store, number=1)
    assert [(fibre.value, share) for fibre, share in card.fibres] == list(fibres)


@pytest.mark.parametrize(
    ("typed", "kept", "sentence"),
    [
        ({"name": ""}, "Shelf C", "Please fill this in."),
        ({"name": "x" * 500}, "x" * 500, "use at most 120 characters."),
        ({"colour": "bluish"}, "bluish", "mistakes"),
        ({"width": "0"}, 'value="0"', "mistakes"),
        ({"length": "5 parsecs"}, "5 parsecs", "is no unit we know."),
        ({"weight": "-1 lb"}, "-1 lb", "mistakes"),
        ({"mixed": "cotton"}, "Shelf C", "mistakes"),
        ({"mixed_share": "150"}, 'value="150"', "mistakes"),
        ({"cloth": "plaid"}, "Shelf C", "mistakes"),
    ],
)
def test_what_cannot_be_is_said_beside_it_and_changes_nothing(owner, sqlite_store, now, typed, kept, sentence):
    before = a_piece_in_hand(sqlite_store, now)
    answer = owner.press(PAGE, **{**TYPED, **typed})
    text = said(answer)
    assert answer.status_code == 422
    assert kept in text
    assert sentence in text
    assert 'class="wrong"' in text
    assert 'value="Shelf C"' in text
    assert piece.piece(sqlite_store, number=1) == before


def test_what_was_corrected_in_another_window_is_not_overwritten(owner, sqlite_store, now):
    a_piece_in_hand(sqlite_store, now)
    late = owner.hidden(PAGE)
    owner.press(PAGE, **TYPED)
    answer = owner.client.post(PAGE, data={**late, **TYPED, "name": "Other"})
    assert answer.status_code in (409, 422)
    assert "was corrected in another window" in said(answer)
    assert piece.piece(sqlite_store, number=1).name == "Navy sheet"


def test_the_size_of_cloth_that_was_drawn_from_stays(owner, sqlite_store, now):
    a_ready_piece(sqlite_store, now)
    a_job(sqlite_store, now)
    drawn(sqlite_store, now, 1, 1, Share(Decimal("0.5")))
    answer = owner.press(PAGE, **TYPED)
    assert answer.status_code == 422
    assert "how much was reckoned from this size" in said(answer)
    page = said(owner.get(PAGE))
    assert 'value="Blue striped sheet"' in page
    same = {**TYPED, "width": "81 in", "length": "96 in"}
    assert owner.press(PAGE, **same).status_code == 303
    assert piece.piece(sqlite_store, number=1).name == "Navy sheet"


def test_a_cone_is_corrected_without_a_size(owner, sqlite_store, now):
    cone = a_ready_piece(sqlite_store, now, a_cone())
    text = said(owner.get(PAGE))
    assert 'name="width"' not in text
    typed = {"name": "Ecru warp", "colour": "#efe6d2", "fibres": "cotton", "kept": "Shelf A"}
    assert owner.press(PAGE, **typed).status_code == 303
    card = piece.piece(sqlite_store, number=1)
    assert (card.name, card.kept) == ("Ecru warp", "Shelf A")
    assert (card.length, card.weight) == (cone.length, cone.weight)


def test_a_piece_that_is_not_there_is_said_plainly(owner, sqlite_store, now):
    a_piece_in_hand(sqlite_store, now)
    for number in ("7", "9" * 30):
        assert owner.get(f"/cloth/pieces/{number}/facts").status_code == 404
    assert owner.client.post(PAGE, data=TYPED).status_code == 400
    assert piece.piece(sqlite_store, number=1).name == "Blue striped sheet"
