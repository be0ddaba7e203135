"""The pages that bring cloth home from a file."""

import base64
import gc
import io
import re

import pytest

from shop.usecases import piece
from tests.usecases.test_from_file import CONE, MARKET, SHEET, a_file
from tests.web.conftest import Visitor

PAGE = "/cloth/hauls/from-file"
# A large sending is kept in a file meanwhile, which the test's browser leaves to the collector to close.
pytestmark = pytest.mark.filterwarnings(
    "ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning"
)


@pytest.fixture(autouse=True)
def _swept():
    yield
    gc.collect()


def look(owner, content):
    typed = {**owner.hidden(PAGE), "file": (io.BytesIO(content), "cloth.csv")}
    return owner.client.post(PAGE, data=typed, content_type="multipart/form-data")


def pieces(store):
    return piece.pieces(store, shown="all").pieces


def home(owner, answer, **said):
    html = answer.get_data(as_text=True)
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', html))
    return owner.client.post(f"{PAGE}/home", data={**hidden, **said})


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


def test_pressed_twice_it_comes_home_once_and_what_it_brought_is_shown(owner, sqlite_store):
    shown = look(owner, a_file(SHEET, MARKET))
    assert [home(owner, shown).location for _ in range(2)] == ["/cloth/hauls"] * 2
    assert len(pieces(sqlite_store)) == 3
    again = look(owner, a_file(SHEET, MARKET)).get_data(as_text=True)
    assert "does not come home twice" in again
    assert 'href="/cloth/hauls/1"' in again
    assert 'href="/cloth/hauls/2"' in again
    assert 'name="content"' not in again


def test_a_table_that_has_grown_comes_home_when_it_is_said_to_be_other_cloth(owner, sqlite_store):
    home(owner, look(owner, a_file(MARKET)))
    shown = look(owner, a_file(MARKET, SHEET))
    assert 'href="/cloth/hauls/1"' in shown.get_data(as_text=True)
    refused = home(owner, shown)
    assert refused.status_code == 422
    assert "say that this is other cloth" in refused.get_data(as_text=True)
    assert len(pieces(sqlite_store)) == 1
    assert home(owner, refused, other="y").status_code == 303
    assert len(pieces(sqlite_store)) == 4


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


@pytest.mark.parametrize("given", [{}, {"locale": "sv_SE", "currency": "SEK", "units": "metric"}])
@pytest.mark.parametrize("name", ["empty.csv", "empty.xlsx"])
def test_an_empty_one_can_be_filled_in_and_brought_home(app, open_shop, sqlite_store, name, given):
    open_shop(**given)
    owner = Visitor(app)
    owner.sign_in()
    empty = owner.get(f"{PAGE}/{name}").data
    shown = look(owner, empty)
    assert shown.status_code == 200, shown.get_data(as_text=True)
    assert home(owner, shown).status_code == 303
    sheet, cone = sorted(pieces(sqlite_store), key=lambda one: one.number)
    assert (sheet.cloth, sheet.colour, sheet.tears, sheet.state) == ("sheeting", "#3a5fa8", True, "set aside to wash")
    assert (cone.yarn, cone.state) == ("8/4", "ready")


def test_the_same_example_as_csv_and_as_a_workbook_is_the_same_table(owner, sqlite_store):
    home(owner, look(owner, owner.get(f"{PAGE}/empty.csv").data))
    assert "does not come home twice" in look(owner, owner.get(f"{PAGE}/empty.xlsx").data).get_data(as_text=True)


def test_content_that_was_damaged_on_the_way_is_told(owner, sqlite_store):
    for content in ("no file", "", "AAAA"):
        assert owner.press(f"{PAGE}/home", page=PAGE, content=content).status_code == 422
    assert pieces(sqlite_store) == ()


def test_what_was_not_looked_over_does_not_come_home(owner, sqlite_store):
    content = base64.b64encode(a_file(SHEET)).decode()
    answer = owner.press(f"{PAGE}/home", page=PAGE, content=content, seen="")
    assert answer.status_code == 422
    assert pieces(sqlite_store) == ()


def test_a_forged_form_brings_nothing(owner, sqlite_store):
    content = base64.b64encode(a_file(SHEET)).decode()
    answer = owner.client.post(f"{PAGE}/home", data={"content": content})
    assert answer.status_code == 400
    assert pieces(sqlite_store) == ()


@pytest.mark.parametrize("size", [700_000, 3_000_000])
def test_a_file_that_is_too_large_is_told_how_large_it_may_be(owner, size):
    answer = look(owner, b"x" * size)
    assert answer.status_code in (413, 422)
    assert "1,000 rows of 60 columns" in answer.get_data(as_text=True)


def test_what_a_file_says_is_shown_as_text(owner):
    text = look(owner, a_file(SHEET.replace("Blue sheet", "<script>alert(1)</script>"))).get_data(as_text=True)
    assert "<script>alert" not in text
    assert "&lt;script&gt;alert" in text
