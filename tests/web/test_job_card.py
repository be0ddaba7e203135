"""The pages of a job's plan and card, and the stripes on the quote's page: what is typed badly stays and changes nothing."""

import io
import re

import pypdf
import pytest

from shop.core.ledger import WHOLE
from shop.usecases import cutting_plan, drafting, job_card, piece
from tests.builders import a_haul_at_home, a_job, a_kept_loom, a_planned_job, a_sheet, held
from tests.web.a_haul import said

CARD = "/jobs/1/card"


@pytest.fixture
def bench(owner, sqlite_store, now):
    """A frame, two sheets, a job on the first that holds nothing yet."""
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(
        sqlite_store, now, a_sheet(ready=True, kept="shelf B"), a_sheet(ready=True, name="Indigo sheet", colour="#223366")
    )
    a_planned_job(sqlite_store, now, 1)
    return sqlite_store


def page_text(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def held_by(store):
    return [(one.job, one.strips) for one in piece.piece(store, number=1).held]


def test_a_plan_is_looked_at_and_held_once(owner, bench):
    answer = owner.get("/jobs/plan?job=1")
    html = answer.get_data(as_text=True)
    assert "Hold this cloth for the job" in html
    assert held_by(bench) == []
    planned = re.findall(r'name="strips" value="([^"]+)"', html)
    hidden = owner.hidden("/jobs/plan?job=1")
    for _ in range(2):
        held_it = owner.client.post("/jobs/plan", data={**hidden, "job": "1", "strips": planned})
        assert (held_it.status_code, held_it.location) == (303, CARD)
    strips = int(planned[0].rsplit(":", 1)[1])
    assert held_by(bench) == [(1, strips)]
    for address in ("/cloth", "/cloth/pieces/1", "/cloth/pieces/1/draw"):
        assert "held for" in page_text(owner.get(address)), address


@pytest.mark.parametrize("address", ["?job=99", "?job=1&job=99", "?job=abc", "?job=1&wish=gold&serves-1-0=magic", "?job=" + "9" * 30])
def test_an_odd_address_of_a_plan_is_answered_in_plain_words(owner, bench, address):
    answer = owner.get(f"/jobs/plan{address}")
    assert answer.status_code in (200, 404)
    assert held_by(bench) == []


def test_a_plan_that_somebody_forestalled_is_told_and_nothing_is_held(owner, bench, now):
    other = a_planned_job(bench, now, 1, name="Other")
    hidden = owner.hidden("/jobs/plan?job=1")
    planned = re.findall(r'name="strips" value="([^"]+)"', owner.get("/jobs/plan?job=1").get_data(as_text=True))
    held(bench, now, other)
    answer = owner.client.post("/jobs/plan", data={**hidden, "job": "1", "strips": planned})
    assert answer.status_code == 422
    assert "no longer gives so many strips" in said(answer)
    assert [job for job, _ in held_by(bench)] == [other]


@pytest.mark.parametrize("strips", [[], ["nonsense"], ["1:0:1:along:0"], ["1:0:1:sideways:5"], ["9:9:9:along:9"]])
def test_a_forged_plan_holds_nothing(owner, bench, strips):
    hidden = owner.hidden("/jobs/plan?job=1")
    answer = owner.client.post("/jobs/plan", data={**hidden, "job": "1", "strips": strips})
    assert answer.status_code == 422
    assert held_by(bench) == []


@pytest.fixture
def cutting(bench, now):
    held(bench, now, 1)
    return bench


def line_of(store):
    return job_card.card(store, number=1).cuts[0]


def press(owner, act, **typed):
    return owner.press(f"{CARD}/{act}", CARD, **typed)


def test_the_card_tells_what_to_cut_how_to_warp_and_the_rows(owner, cutting):
    text = page_text(owner.get(CARD))
    card = job_card.card(cutting, number=1)
    for wanted in (f"Row 0 of {card.whole}", f"{card.rows[0].band.rows} rows of", "kept: shelf B", "Passes", "Please mind"):
        assert wanted in text, wanted


def test_strips_are_ticked_drawn_and_undone_on_the_card(owner, cutting):
    line = line_of(cutting)
    assert press(owner, "ticks", cut=line.id, upto=5).status_code == 303
    assert line_of(cutting).cut == 5
    assert "5 of" in page_text(owner.get(CARD))
    assert press(owner, "drawn", cut=line.id, **{f"cut{line.id}-strips": "7"}).status_code == 303
    assert (line_of(cutting).drawn, line_of(cutting).strips) == (True, 7)
    step = line_of(cutting).step
    answer = owner.press("/jobs/1/undo", CARD, step=step, piece=1, back="card")
    assert (answer.status_code, answer.location) == (303, f"{CARD}#cut-list")
    assert not line_of(cutting).drawn
    for one in job_card.card(cutting, number=1).cuts:
        assert press(owner, "given-up", cut=one.id).status_code == 303
    assert piece.piece(cutting, number=1).free_parts == WHOLE


@pytest.mark.parametrize("typed", ["", "none", "0", "-3", "2.5", "100000"])
def test_strips_badly_typed_stay_beside_their_line_and_draw_nothing(owner, cutting, typed):
    line = line_of(cutting).id
    answer = press(owner, "drawn", cut=line, **{f"cut{line}-strips": typed})
    html = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert 'class="wrong"' in html
    assert f'value="{typed}"' in html
    assert not line_of(cutting).drawn


def test_rows_are_marked_by_taps_and_by_typing(owner, cutting):
    assert press(owner, "rows", rows="12").status_code == 303
    assert "Row 12 of" in page_text(owner.get(CARD))
    for typed in ("", "twelve", "-1", "99999"):
        answer = press(owner, "rows", rows=typed)
        assert answer.status_code == 422
        assert 'class="wrong"' in answer.get_data(as_text=True)
    assert job_card.card(cutting, number=1).woven == 12


@pytest.mark.parametrize("address", ["ticks", "given-up", "drawn"])
def test_a_line_that_is_not_there_is_not_found(owner, cutting, address):
    token = owner.hidden(CARD)["saving"]
    assert press(owner, address, cut="99", upto="1", **{"cut99-strips": "1", "cut99-saving": token}).status_code == 404


def test_a_job_without_a_quote_has_a_page_that_says_so(owner, bench, now):
    number = a_job(bench, now, name="Plain")
    assert "begun without a quote" in page_text(owner.get(f"/jobs/{number}/card"))
    assert owner.get(f"/jobs/{number}/reach").status_code == 422
    assert owner.get(f"/jobs/{number}/label.pdf").status_code == 422
    assert owner.get("/jobs/99/card").status_code == 404


def test_the_papers_of_a_job_say_what_the_card_says(owner, cutting):
    card = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(owner.get("/jobs/1/card.pdf").data)).pages)
    line = line_of(cutting)
    for wanted in ("Job card 1", "Hall runner", "Warp", f"{line.strips} strips", "Blue striped sheet, No. 1", "shelf B"):
        assert wanted in card, wanted
    label = pypdf.PdfReader(io.BytesIO(owner.get("/jobs/1/label.pdf").data))
    assert len(label.pages) == 1
    assert "Hall runner" in label.pages[0].extract_text()
    assert owner.get(f"/jobs/{cutting and 1}/card.pdf").mimetype == "application/pdf"


def test_will_it_reach_is_answered_and_changes_nothing(owner, cutting):
    page = "/jobs/1/reach"
    assert owner.get(page).status_code == 200
    answer = owner.get(f"{page}?rows=50&left-0-length=2+yd&left-0-cut=90+yd")
    text = page_text(answer)
    assert "It will not reach." in text
    assert "leave out" in text
    assert "It will reach." in page_text(owner.get(f"{page}?rows=50&left-0-length=400+yd&left-0-cut=900+yd"))
    assert job_card.card(cutting, number=1).woven == 0


def test_the_words_fit_the_chance_however_early_it_is(owner, cutting):
    text = page_text(owner.get("/jobs/1/reach?rows=1&left-0-length=2+yd"))
    assert "It reaches in 1 %" in text or "It reaches in 1%" in text
    assert "It will not reach." in text
    assert "It is close" not in text


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ("rows=many&left-0-length=2+yd", "many"),
        ("rows=9999&left-0-length=2+yd", "9999"),
        ("rows=5&left-0-length=lots", "lots"),
        ("rows=5&left-0-weight=heavy", "heavy"),
        ("woven=900+yd&left-0-length=2+yd", "900 yd"),
        ("rows=5", "5"),
        ("rows=5&left-0-length=90+yd&left-0-cut=2+yd", "90 yd"),
    ],
)
def test_what_is_badly_asked_stays_and_is_told(owner, cutting, typed, field):
    answer = owner.get(f"/jobs/1/reach?{typed}")
    html = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert 'class="wrong"' in html
    assert f'value="{field}"' in html


RUG = {"width": "12 in", "length": "30 in", "tool": "rotary", "way": "along", "joins": "overlap", "new_kind": "sheeting"}
STRIPES = {
    "stripe-lines": "3",
    "stripe-0-cloth": "2", "stripe-0-amount": "4", "stripe-0-by": "rows", "stripe-0-border": "y",
    "stripe-1-cloth": "1", "stripe-1-second": "2", "stripe-1-amount": "25", "stripe-1-by": "share",
    "stripe-2-cloth": "1", "stripe-2-by": "rest",
    "stripes-mirrored": "y",
}  # fmt: skip


def test_stripes_are_saved_with_the_quote_and_come_back_as_they_were(owner, bench):
    answer = owner.press("/quotes/new", act="save", **RUG, **STRIPES)
    assert answer.status_code == 303
    opened = drafting.open_quote(bench, number=2)
    bands = opened.reckoning.bands
    assert [band.rows for band in bands] == [band.rows for band in bands][::-1]
    assert bands[0].rows == 4
    assert bands[1].second is not None
    again = owner.get("/quotes/2").get_data(as_text=True)
    assert 'name="stripe-1-amount" type="text" value="25"' in again
    assert re.search(r'name="stripes-mirrored" value="y" checked', again)
    unchanged = owner.press("/quotes/2", act="save", **RUG, **STRIPES)
    assert unchanged.status_code == 303


def test_more_lines_and_another_order_can_be_asked_for(owner, bench):
    asked = {**RUG, "stripe-lines": "3", "stripe-0-cloth": "chance", "stripe-0-by": "rest", "piece": ["1", "2"]}
    more = owner.press("/quotes/new", act="stripes", **asked).get_data(as_text=True)
    assert 'name="stripe-lines" value="6"' in more
    shuffled = owner.press("/quotes/new", act="shuffle", **{**asked, "stripes-seed": "4"}).get_data(as_text=True)
    assert 'name="stripes-seed" type="text" value="5"' in shuffled


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"stripe-0-amount": "four"}, "four"),
        ({"stripe-0-amount": "2.5"}, "2.5"),
        ({"stripe-0-amount": "900"}, "longer than the rug"),
        ({"stripe-0-cloth": "", "stripe-0-amount": "4"}, "Stripe 1"),
        ({"stripe-0-by": "share", "stripe-0-amount": "300"}, "300"),
        ({"stripe-0-by": "length", "stripe-0-amount": "long"}, "long"),
        ({"stripe-0-by": "rest"}, "Say what the number counts"),
        ({"stripe-2-by": "rows", "stripe-2-amount": "3", "stripes-mirrored": ""}, "do not fill the rug"),
        ({"stripe-0-cloth": "777"}, "777"),
        ({"stripe-1-second": "chance"}, "chance"),
        ({"stripes-to_the_end": "y"}, "length of their own"),
        ({"piece": "1", "stripe-1-cloth": "2", "stripe-2-cloth": "2"}, "in no stripe"),
    ],
)
def test_stripes_that_cannot_be_are_told_and_nothing_is_saved(owner, bench, changed, told):
    typed = {**RUG, **STRIPES, **changed}
    if "piece" not in changed:
        typed.pop("piece", None)
    answer = owner.press("/quotes/new", act="save", **{key: value for key, value in typed.items() if value != ""})
    assert answer.status_code == 422
    assert told in page_text(answer)  or f'value="{told}"' in answer.get_data(as_text=True)
    assert cutting_plan.jobs_to_plan(bench)
    assert owner.get("/quotes/2").status_code == 404


def test_a_press_without_its_token_changes_nothing(owner, cutting):
    hidden = owner.hidden(CARD)
    bare = {"csrf_token": hidden["csrf_token"], "cut": str(line_of(cutting).id), "upto": "3", "strips": "3", "rows": "3"}
    for act in ("ticks", "drawn", "given-up", "rows"):
        assert owner.client.post(f"{CARD}/{act}", data=bare).status_code in (400, 409, 422)
    assert owner.client.post("/jobs/plan", data=bare).status_code in (400, 409, 422)
    assert (line_of(cutting).cut, job_card.card(cutting, number=1).woven) == (0, 0)
