"""The page of a photograph, and the picture behind the door."""

import gc
import io

import pytest

from shop.usecases.developing import LARGEST_FILE
from shop.web.security import FILES
from tests.builders import a_piece_in_hand
from tests.usecases.a_photograph import a_photograph

# A large sending is kept in a file meanwhile, which the test's browser leaves to the collector to close.
pytestmark = pytest.mark.filterwarnings(
    "ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning"
)


@pytest.fixture(autouse=True)
def _swept():
    yield
    gc.collect()


@pytest.fixture
def piece(sqlite_store, owner, now):
    return a_piece_in_hand(sqlite_store, now).number


def address(piece, what="photograph"):
    return f"/cloth/pieces/{piece}/{what}"


def send(owner, piece, content):
    typed = {**owner.hidden(address(piece)), "photograph": (io.BytesIO(content), "IMG_0001.JPG")}
    return owner.client.post(address(piece), data=typed, content_type="multipart/form-data")


def test_a_photograph_goes_up_and_is_seen(owner, piece):
    assert send(owner, piece, a_photograph()).status_code == 303
    for what in ("photograph.jpg", "thumbnail.jpg"):
        answer = owner.get(address(piece, what))
        assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "private" in answer.headers["Cache-Control"]
        again = owner.get(address(piece, what), headers={"If-None-Match": answer.headers["ETag"]})
        assert again.status_code == 304
    assert "photograph.jpg" in owner.get(address(piece)).get_data(as_text=True)
    assert "thumbnail.jpg" in owner.get(f"/cloth/pieces/{piece}").get_data(as_text=True)
    assert "thumbnail.jpg" in owner.get("/cloth").get_data(as_text=True)


def test_what_is_no_photograph_is_told_beside_the_field(owner, piece):
    answer = send(owner, piece, b"a shopping list")
    assert answer.status_code == 422
    assert "This is no photograph that can be read." in answer.get_data(as_text=True)
    assert owner.get(address(piece, "photograph.jpg")).status_code == 404


def test_nothing_chosen_is_told(owner, piece):
    answer = owner.press(address(piece))
    assert answer.status_code == 422
    assert "Choose a photograph first." in answer.get_data(as_text=True)


def test_one_that_is_far_too_large_is_refused(owner, piece):
    answer = send(owner, piece, b"\xff" * (LARGEST_FILE + 2_000_000))
    assert answer.status_code == 413
    assert "This photograph is too large. It may have up to 25 MB." in answer.get_data(as_text=True)


def test_one_that_is_a_little_too_large_is_told_beside_the_field(owner, piece):
    answer = send(owner, piece, a_photograph() + bytes(LARGEST_FILE))
    assert answer.status_code == 422
    assert "This photograph is too large. It may have up to 25 MB." in answer.get_data(as_text=True)


def test_a_large_one_from_a_phone_gets_through(owner, piece):
    assert send(owner, piece, a_photograph() + b"\0" * 9_000_000).status_code == 303


def test_its_colour_is_offered_and_taken(owner, piece):
    send(owner, piece, a_photograph(colour=(47, 138, 138)))
    shown = owner.get(address(piece)).get_data(as_text=True)
    assert "In the photograph the cloth looks like this: Teal." in shown
    answer = owner.press(address(piece, "photograph/colour"), page=address(piece))
    assert answer.status_code == 303
    assert "Take this colour" not in owner.get(address(piece)).get_data(as_text=True)


@pytest.mark.parametrize("damage", [{"colour": "teal"}, {"saving": ""}])
def test_a_damaged_press_takes_no_colour(owner, piece, damage):
    send(owner, piece, a_photograph(colour=(47, 138, 138)))
    answer = owner.press(address(piece, "photograph/colour"), page=address(piece), **damage)
    assert answer.status_code == 422
    assert "Take this colour" in owner.get(address(piece)).get_data(as_text=True)


def test_it_is_taken_away(owner, piece):
    send(owner, piece, a_photograph())
    answer = owner.press(address(piece, "photograph/away"), page=address(piece))
    assert answer.status_code == 303
    assert owner.get(address(piece, "thumbnail.jpg")).status_code == 404


def test_nobody_outside_sees_it(visitor, owner, piece):
    send(owner, piece, a_photograph())
    assert visitor.get(address(piece, "photograph.jpg")).status_code in (302, 303, 401)


def test_the_form_has_room_for_what_the_use_case_takes():
    assert FILES["picture.put_up"] == LARGEST_FILE
