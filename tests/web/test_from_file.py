"""The pages that bring cloth home from a file."""

import io
import re

from shop.usecases import piece
from tests.usecases.test_from_file import CONE, SHEET, a_file

PAGE = "/cloth/hauls/from-file"


def look(owner, content):
    typed = {**owner.hidden(PAGE), "file": (io.BytesIO(content), "cloth.csv")}
    return owner.client.post(PAGE, data=typed, content_type="multipart/form-data")


def pieces(store):
    return piece.pieces(store, shown="all").pieces


def home(owner, answer):
    html = answer.get_data(as_text=True)
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', html))
    return owner.client.post(f"{PAGE}/home", data=hidden)


def test_a_file_is_shown_and_then_comes_home(owner, sqlite_store):
    shown = look(owner, a_file(SHEET, CONE))
    assert shown.status_code == 200
    text = shown.get_data(as_text=True)
    assert "Bring 3 pieces home" in text
    assert "$20.66" in text
    assert pieces(sqlite_store) == ()
    answer = home(owner, shown)
    assert (answer.status_code, answer.location) == (303, "/cloth/hauls/1")
    assert len(pieces(sqlite_store)) == 3


def test_pressed_twice_it_comes_home_once(owner, sqlite_store):
    shown = look(owner, a_file(SHEET))
    assert [home(owner, shown).location for _ in range(2)] == ["/cloth/hauls/1"] * 2
    assert len(pieces(sqlite_store)) == 2
    again = look(owner, a_file(SHEET)).get_data(as_text=True)
    assert "does not come home twice" in again
    assert "pieces home</button>" not in again


def test_each_bad_row_is_named(owner, sqlite_store):
    answer = look(owner, a_file(SHEET, SHEET.replace("81 in", "wide")))
    text = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert "Row 3" in text
    assert "width" in text
    assert 'name="content"' not in text
    assert pieces(sqlite_store) == ()


def test_no_file_is_told_beside_the_field(owner):
    answer = owner.press(PAGE)
    assert answer.status_code == 422
    assert "Choose a file with something in it first." in answer.get_data(as_text=True)


def test_an_empty_one_can_be_filled_in_and_brought_home(owner, sqlite_store):
    for name in ("empty.csv", "empty.xlsx"):
        shown = look(owner, owner.get(f"{PAGE}/{name}").data)
        assert shown.status_code == 200, shown.get_data(as_text=True)
        assert home(owner, shown).status_code == 303
    assert len(pieces(sqlite_store)) == 4


def test_damaged_content_is_told(owner):
    answer = owner.press(f"{PAGE}/home", page=PAGE, content="no file")
    assert answer.status_code in (400, 409, 422)
