"""The pages where a piece is cut in two, and where some of it is written off."""

import re
from decimal import Decimal

import pytest

from shop.core.measure import Length
from shop.usecases import piece
from shop.usecases.given import fresh_token
from tests.builders import a_cone, a_ready_piece, inches, money
from tests.web.a_haul import said

SPLIT = "/cloth/pieces/1/split"
SPOIL = "/cloth/pieces/1/spoiled"
NAPKIN = {"width": "27 in", "length": "48 in"}


@pytest.fixture
def sheet(owner, sqlite_store, now):
    """A sheet of $10.01, 81 by 96 in, ready."""
    a_ready_piece(sqlite_store, now, paid=money("10.01"))
    return sqlite_store


def all_costs(store):
    return [str(card.cost_left.amount) for card in piece.pieces(store, shown="all").pieces]


def test_a_piece_is_cut_in_two_once(owner, sheet):
    assert "$10.01" in said(owner.get(SPLIT))
    hidden = owner.hidden(SPLIT)
    for _ in range(2):
        answer = owner.client.post(SPLIT, data={**hidden, **NAPKIN, "name": "Napkin"})
        assert (answer.status_code, answer.location) == (303, "/cloth/pieces/2")
    assert all_costs(sheet) == ["1.67", "8.34"]
    new = piece.piece(sheet, number=2)
    assert (new.name, new.width, new.length) == ("Napkin", inches(27), inches(48))
    assert "The new piece is No. 2." in said(owner.get("/cloth/pieces/2"))
    answer = owner.client.post(SPLIT, data={**hidden, **NAPKIN, "length": "20 in"})
    assert answer.status_code in (409, 422)
    assert len(all_costs(sheet)) == 2


@pytest.mark.parametrize(
    ("typed", "kept", "sentence"),
    [
        ({"width": "82 in", "length": "82 in"}, "82 in", "It cannot be wider or longer"),
        ({"width": "81 in", "length": "96 in"}, "96 in", "Nothing would stay"),
        ({"width": "0", "length": "10 in"}, "10 in", "mistakes"),
        ({"width": "", "length": "10 in"}, "10 in", "mistakes"),
        ({"width": "5 parsecs", "length": "10 in"}, "5 parsecs", "is no unit we know."),
        ({**NAPKIN, "name": "x" * 500}, "x" * 500, "use at most 120 characters."),
    ],
)
def test_what_cannot_be_cut_is_said_beside_it(owner, sheet, typed, kept, sentence):
    answer = owner.press(SPLIT, **typed)
    text = said(answer)
    assert answer.status_code == 422
    assert f'value="{kept}"' in text
    assert sentence in text
    assert 'class="wrong"' in text
    assert all_costs(sheet) == ["10.01"]


def test_more_than_is_left_is_not_cut_and_says_so(owner, sheet, now):
    owner.press(SPOIL, how="share", part="75", note="moths")
    answer = owner.press(SPLIT, width="80 in", length="80 in")
    assert answer.status_code == 422
    assert "only 25% is left" in said(answer)
    piece.give_away(sheet, number=1, saving=fresh_token(), now=now)
    answer = owner.press(SPLIT, **NAPKIN)
    assert answer.status_code == 422
    assert "Piece 1 is used up or given away." in said(answer)


def test_yarn_is_wound_off_a_cone(owner, sqlite_store, now):
    cone = a_ready_piece(sqlite_store, now, a_cone())
    assert 'name="width"' not in said(owner.get(SPLIT))
    quarter = Length(cone.length.nm // 4)
    answer = owner.press(SPLIT, length=f"{quarter.metres:.6f} m")
    assert answer.location == "/cloth/pieces/2"
    assert all_costs(sqlite_store) == ["3.00", "9.00"]


def test_a_cut_is_undone(owner, sheet):
    owner.press(SPLIT, **NAPKIN)
    step = next(one.id for one in piece.piece(sheet, number=1).steps if one.kind == "cut off")
    owner.press("/cloth/pieces/1/undo", page="/cloth/pieces/1", step=str(step))
    assert piece.piece(sheet, number=1).left == 1
    assert sorted(all_costs(sheet)) == ["0.00", "10.01"]


def test_what_is_spoiled_is_written_off_once(owner, sheet):
    hidden = owner.hidden(SPOIL)
    for _ in range(2):
        answer = owner.client.post(SPOIL, data={**hidden, "how": "share", "part": "50", "note": "moths"})
        assert answer.location == "/cloth/pieces/1"
    card = piece.piece(sheet, number=1)
    assert (card.left, card.cost_left) == (Decimal("0.5"), money("5.00"))
    text = said(owner.get("/cloth/pieces/1"))
    assert "moths" in text
    assert "Written off." in text


def test_looking_at_what_would_be_written_off_changes_nothing(owner, sheet):
    answer = owner.press(SPOIL, look="share", part="50")
    assert answer.status_code == 200
    assert "That would be:" in said(answer)
    assert re.search(r"<strong>\$5\.01</strong>", said(answer))
    assert all_costs(sheet) == ["10.01"]


@pytest.mark.parametrize(
    ("typed", "kept", "sentence"),
    [
        ({"how": "all", "note": ""}, "", "Please fill this in."),
        ({"how": "all", "note": "x" * 500}, "x" * 500, "use at most 120 characters."),
        ({"how": "share", "part": "300", "note": "moths"}, "300", "mistakes"),
        ({"how": "scale", "before": "1 lb", "after": "2 lb", "note": "moths"}, "moths", "cannot weigh more after"),
        ({"how": "everything", "note": "moths"}, "moths", "Say how much in one of the ways"),
    ],
)
def test_what_cannot_be_written_off_is_said(owner, sheet, typed, kept, sentence):
    answer = owner.press(SPOIL, **typed)
    text = said(answer)
    assert answer.status_code == 422
    assert f'value="{kept}"' in text
    assert sentence in text
    assert all_costs(sheet) == ["10.01"]


@pytest.mark.parametrize("page", ["split", "spoiled"])
@pytest.mark.parametrize("number", ["7", "0", "9" * 30])
def test_a_piece_that_is_not_there_is_said_plainly(owner, sheet, page, number):
    address = f"/cloth/pieces/{number}/{page}"
    assert owner.get(address).status_code == 404
    assert owner.press(address, page=SPLIT, how="all", note="x", **NAPKIN).status_code == 404


def test_a_form_that_is_not_ours_does_nothing(owner, sheet):
    for address in (SPLIT, SPOIL):
        sent = {**NAPKIN, "how": "all", "note": "x"}
        assert owner.client.post(address, data=sent).status_code == 400
    assert all_costs(sheet) == ["10.01"]
