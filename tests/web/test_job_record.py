"""The pages of what is remembered of a job: notes, photographs, measures; what is typed badly stays and changes nothing."""

import gc
import io
import re

import pypdf
import pytest

from shop.usecases import job, job_note, job_photograph, measuring
from shop.usecases.developing import LARGEST_FILE
from shop.usecases.given import fresh_token
from shop.usecases.job_photograph import MOST
from shop.web.security import FILES
from tests.builders import a_haul_at_home, a_job, a_kept_loom, a_planned_job, a_sheet, drawn
from tests.usecases.a_photograph import a_photograph

# A large sending is kept in a file meanwhile, which the test's browser leaves to the collector to close.
pytestmark = pytest.mark.filterwarnings(
    "ignore::pytest.PytestUnraisableExceptionWarning", "ignore::ResourceWarning"
)
TYPED = {"width": "11 3/4 in", "length": "2 ft 5 in", "weight": "14 oz"}


@pytest.fixture(autouse=True)
def _swept():
    yield
    gc.collect()


@pytest.fixture
def bench(owner, sqlite_store, now):
    """A job that was planned, No. 1, and one begun by itself, No. 2."""
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    a_planned_job(sqlite_store, now, 1)
    a_job(sqlite_store, now, name="Plain")
    return sqlite_store


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def put_up(owner, content=None, name="IMG_0001.JPG", **typed):
    address = "/jobs/1/photographs"
    sent = {**owner.hidden(address), "photograph": (io.BytesIO(content or a_photograph()), name), **typed}
    return owner.client.post(address, data=sent, content_type="multipart/form-data")


def up(store):
    return job_photograph.photographs(store, job=1).photographs


def label_of(owner):
    return pypdf.PdfReader(io.BytesIO(owner.get("/jobs/1/label.pdf").data)).pages[0].extract_text()


def test_a_note_is_made_on_the_page_of_the_job_and_stands_there(owner, bench):
    answer = owner.press("/jobs/1/notes", "/jobs/1", words="Beat it harder.\nAnd <b>count</b>.")
    assert (answer.status_code, answer.location) == (303, "/jobs/1#notes")
    assert "Beat it harder.\nAnd &lt;b&gt;count&lt;/b&gt;." in owner.get("/jobs/1").get_data(as_text=True)
    (note,) = job_note.notes(bench, job=1).page.notes
    assert owner.press("/jobs/1/notes/struck", "/jobs/1", note=note.id).location == "/jobs/1#notes"
    assert "<s>Beat it harder." in owner.get("/jobs/1").get_data(as_text=True)


def test_notes_have_a_page_of_their_own_that_goes_on(owner, bench, now):
    for number in range(job_note.PAGE + 1):
        job_note.add(bench, job=1, words=f"Note {number:02}", saving=fresh_token(), now=now)
    on_the_job = text_of(owner.get("/jobs/1"))
    assert "Note 30" in on_the_job
    assert "Note 25" not in on_the_job
    assert "All its notes" in on_the_job
    first = owner.get("/jobs/1/notes").get_data(as_text=True)
    assert "Note 30" in first
    assert "Note 00" not in first
    further = re.search(r'href="(/jobs/1/notes\?below=\d+)"', first)[1]
    assert "Note 00" in text_of(owner.get(further))
    assert owner.get("/jobs/1/notes?below=nonsense").status_code == 200


@pytest.mark.parametrize("words", ["", "   ", "w" * 2001])
def test_what_is_no_note_is_told_beside_the_entry_and_stays(owner, bench, words):
    answer = owner.press("/jobs/1/notes", words=words)
    html = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert 'id="words-wrong"' in html
    assert words in html
    assert job_note.notes(bench, job=1).page.notes == ()


def test_a_photograph_goes_up_and_is_seen_by_its_words(owner, bench):
    assert put_up(owner, words="On the loom").location == "/jobs/1/photographs"
    (one,) = up(bench)
    for page in ("/jobs/1", "/jobs/1/photographs", f"/jobs/1/photographs/{one.id}"):
        assert 'alt="On the loom"' in owner.get(page).get_data(as_text=True)
    for address in (f"/jobs/1/photographs/{one.id}.jpg", f"/jobs/1/photographs/{one.id}-small.jpg"):
        answer = owner.get(address)
        assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
        assert answer.headers["Cache-Control"] == "private, no-cache"
        assert owner.get(address, headers={"If-None-Match": answer.headers["ETag"]}).status_code == 304
    assert owner.press(f"/jobs/1/photographs/{one.id}", words="Off the loom").status_code == 303
    assert 'alt="Off the loom"' in owner.get("/jobs/1").get_data(as_text=True)
    assert owner.press(f"/jobs/1/photographs/{one.id}", words="").status_code == 303
    assert 'alt="Photograph 1 of Hall runner"' in owner.get("/jobs/1").get_data(as_text=True)


def test_one_is_chosen_and_one_taken_away(owner, bench):
    for number in range(3):
        put_up(owner, a_photograph((40 + number, 30)))
    ids = [one.id for one in up(bench)]
    second = f"/jobs/1/photographs/{ids[1]}"
    html = owner.get(second).get_data(as_text=True)
    assert f'href="/jobs/1/photographs/{ids[0]}"' in html
    assert f'href="/jobs/1/photographs/{ids[2]}"' in html
    assert owner.press(f"{second}/stands", second).location == second
    assert [one.stands for one in up(bench)] == [False, True, False]
    assert "Let it stand" not in owner.get(second).get_data(as_text=True)
    assert owner.press(f"{second}/away", second).location == "/jobs/1/photographs"
    assert [one.id for one in up(bench)] == [ids[0], ids[2]]
    for gone in (second, f"{second}.jpg", f"/jobs/2/photographs/{ids[0]}", f"/jobs/2/photographs/{ids[0]}.jpg"):
        assert owner.get(gone).status_code == 404, gone


def test_what_is_no_photograph_is_told_beside_the_entry_and_the_words_stay(owner, bench):
    for content, words, wrong in (
        (b"a shopping list", "kept as typed", "photograph-wrong"),
        (a_photograph() + bytes(LARGEST_FILE), "kept as typed", "photograph-wrong"),
        (a_photograph(), "w" * 121, "words-wrong"),
    ):
        answer = put_up(owner, content, words=words)
        html = answer.get_data(as_text=True)
        assert answer.status_code == 422
        assert f'id="{wrong}"' in html
        assert words in html
    answer = owner.press("/jobs/1/photographs")
    assert answer.status_code == 422
    assert "Choose a photograph first." in answer.get_data(as_text=True)
    assert put_up(owner, b"\xff" * (LARGEST_FILE + 2_000_000)).status_code == 413
    assert up(bench) == ()


def test_a_long_name_of_a_file_is_no_hindrance(owner, bench):
    assert put_up(owner, name="a rug seen from above " * 9 + ".jpg").status_code == 303


def test_when_there_is_no_room_left_there_is_no_entry(owner, bench):
    for number in range(MOST):
        assert put_up(owner, a_photograph((40 + number, 30))).status_code == 303
    page = owner.get("/jobs/1/photographs").get_data(as_text=True)
    assert 'type="file"' not in page
    assert f"{MOST} photographs" in page
    hidden = owner.hidden(f"/jobs/1/photographs/{up(bench)[0].id}")
    sent = {**hidden, "photograph": (io.BytesIO(a_photograph((90, 30))), "one.jpg")}
    answer = owner.client.post("/jobs/1/photographs", data=sent, content_type="multipart/form-data")
    assert answer.status_code == 422
    assert "Take one away first." in answer.get_data(as_text=True)


def test_a_rug_is_measured_in_the_shops_units_and_its_label_says_so(owner, bench):
    assert "1 ft × 2 ft 6 in" in label_of(owner)
    assert owner.press("/jobs/1/measures", **TYPED).status_code == 303
    text = text_of(owner.get("/jobs/1/measures"))
    for wanted in ("11 3/4 in", "2 ft 5 in", "14 oz", "2.1% less", "3.3% less"):
        assert wanted in text, wanted
    assert "11 3/4 in × 2 ft 5 in, 14 oz" in label_of(owner)
    assert "11 3/4 in × 2 ft 5 in" in text_of(owner.get("/jobs/1/compare"))
    again = owner.hidden("/jobs/1/measures")
    shown = owner.get("/jobs/1/measures").get_data(as_text=True)
    assert 'value="11 3/4 in"' in shown
    assert owner.client.post("/jobs/1/measures", data={**again, **TYPED, "weight": ""}).status_code == 303
    assert label_of(owner).count("14 oz") == 0
    entry = measuring.measures(bench, job=1).measures.lines[0].id
    assert owner.press("/jobs/1/measures/struck", "/jobs/1/measures", entry=entry).status_code == 303
    assert "14 oz" in label_of(owner)


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"width": ""}, "width"),
        ({"length": "long"}, "length"),
        ({"length": "1 mm"}, "length"),
        ({"width": "90 yd"}, "width"),
        ({"weight": "0"}, "weight"),
        ({"weight": "heavy"}, "weight"),
        ({"weight": "9000 kg"}, "weight"),
    ],
)
def test_what_no_rug_measures_is_told_beside_the_entry_and_stays(owner, bench, typed, wrong):
    answer = owner.press("/jobs/1/measures", **{**TYPED, **typed})
    html = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert f'id="{wrong}-wrong"' in html
    assert f'value="{typed[wrong]}"' in html
    assert measuring.measures(bench, job=1).measures.lines == ()


def test_a_slip_is_pointed_out(owner, bench):
    owner.press("/jobs/1/measures", **{**TYPED, "width": "12 cm"})
    assert "Look whether the unit is right." in text_of(owner.get("/jobs/1"))


def test_before_it_is_handed_over_a_rug_that_was_not_measured_is_pointed_out(owner, bench, now):
    drawn(bench, now, 1, 1)
    job.weave(bench, number=1, saving=fresh_token(), now=now)
    assert "It was not measured yet." in text_of(owner.get("/jobs/1/money"))
    assert "It was not measured yet." in text_of(owner.get("/jobs/1"))
    owner.press("/jobs/1/measures", **TYPED)
    assert "It was not measured yet." not in text_of(owner.get("/jobs/1/money"))
    assert owner.press("/jobs/1/money/over", "/jobs/1/money", **{"over-amount": "120"}).status_code == 303


def test_a_job_that_was_called_off_is_not_measured(owner, bench):
    owner.press("/jobs/2/called-off", "/jobs/2")
    assert "/jobs/2/measures" not in owner.get("/jobs/2").get_data(as_text=True)
    assert 'name="width"' not in owner.get("/jobs/2/measures").get_data(as_text=True)
    assert owner.press("/jobs/2/measures", "/jobs/2", **TYPED).status_code == 422
    assert measuring.measures(bench, job=2).measures.lines == ()


@pytest.mark.parametrize("page", ["notes", "photographs", "measures", "photographs/1", "photographs/1.jpg"])
def test_what_is_not_there_is_not_found_and_a_stranger_sees_none_of_it(owner, app, bench, page):
    assert owner.get(f"/jobs/99/{page}").status_code == 404
    put_up(owner)
    stranger = app.test_client()
    assert stranger.get(f"/jobs/1/{page}").status_code in (302, 303, 401)


@pytest.mark.parametrize("path", ["notes", "photographs", "measures"])
def test_a_press_for_a_job_that_is_not_there_is_not_found(owner, bench, path):
    hidden = owner.hidden(f"/jobs/1/{path}")
    sent = {**hidden, "words": "Beat it harder.", **TYPED}
    if path == "photographs":
        sent["photograph"] = (io.BytesIO(a_photograph()), "one.jpg")
    answer = owner.client.post(f"/jobs/99/{path}", data=sent, content_type="multipart/form-data")
    assert answer.status_code == 404


def test_before_a_person_is_erased_their_photographs_are_named(owner, bench):
    owner.press("/offers/new?quote=1", act="", name="Asa Lindqvist", holds_until="2099-01-01")
    put_up(owner)
    html = owner.get("/customers/1").get_data(as_text=True)
    assert 'href="/jobs/1/photographs"' in html
    assert "take away any that shows a person or a home" in html


def test_the_form_has_room_for_what_the_use_case_takes():
    assert FILES["job_photograph.put_up"] == FILES["picture.put_up"] == LARGEST_FILE
