"""The pages of jobs: begun, woven, called off; and what becomes of the cloth in one."""

import re
from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.usecases import draw, job, piece
from shop.usecases.given import fresh_token
from tests.builders import a_job, a_quote, a_ready_piece, drawn, money
from tests.web.a_haul import said

HALF = Share(Decimal("0.5"))
JOB = "/jobs/1"
CLOTH = "/jobs/1/cloth/1"
STRIPS = {"how": "strips", "count": "20", "each": "96 in", "strip": "2 in", "tool": "rotary"}


@pytest.fixture
def bench(owner, sqlite_store, now):
    """A sheet of $10.01, ready; half of it, $5.01, is in a job; both are No. 1."""
    a_ready_piece(sqlite_store, now, paid=money("10.01"))
    a_job(sqlite_store, now)
    drawn(sqlite_store, now, 1, 1, HALF)
    return sqlite_store


def stands(store):
    """What lies on the shelf, what is in the job, and what of it was written off."""
    card, found = piece.piece(store, number=1), job.job(store, number=1)
    return tuple(str(part.amount) for part in (card.cost_left, found.cost, found.written_off))


AS_BEFORE = ("5.00", "5.01", "0.00")


def test_an_empty_bench_says_what_to_do(owner):
    assert "No rug is under way." in said(owner.get("/jobs"))


def test_a_job_is_begun_once(owner, sqlite_store):
    hidden = owner.hidden("/jobs")
    for _ in range(2):
        answer = owner.client.post("/jobs", data={**hidden, "name": "Mat", "note": "for the porch"})
        assert (answer.status_code, answer.location) == (303, JOB)
    text = said(owner.get(JOB))
    assert "Mat" in text
    assert "for the porch" in text
    assert "No cloth is in it yet." in text
    answer = owner.client.post("/jobs", data={**hidden, "name": "Other"})
    assert answer.status_code in (409, 422)
    assert [line.name for line in job.jobs(sqlite_store).jobs] == ["Mat"]


@pytest.mark.parametrize(
    ("typed", "kept"),
    [({"name": "", "note": "porch"}, "porch"), ({"name": "x" * 500}, "x" * 500), ({"name": "M", "note": "y" * 3000}, "y" * 3000)],
)
def test_a_job_badly_named_is_not_begun_and_what_was_typed_stays(owner, sqlite_store, typed, kept):
    answer = owner.press("/jobs", **typed)
    text = said(answer)
    assert answer.status_code == 422
    assert 'class="wrong"' in text
    assert kept in text
    assert job.jobs(sqlite_store).jobs == ()


def test_a_job_begins_from_a_quote(owner, sqlite_store, now):
    number = a_quote(sqlite_store, now).number
    assert owner.press("/jobs", quote=str(number)).location == JOB
    text = said(owner.get(JOB))
    assert "Hall runner in blues" in text
    assert f"/quotes/{number}" in text
    assert owner.press("/jobs", quote="99").status_code == 404
    assert owner.press("/jobs", quote="²").status_code == 422


def test_jobs_lie_in_their_drawers(owner, bench, now):
    a_job(bench, now, name="Mat")
    job.call_off(bench, number=2, saving=fresh_token(), now=now)
    a_job(bench, now, name="Cushion")
    job.weave(bench, number=1, saving=fresh_token(), now=now)

    def names(query):
        return re.findall(r'<th scope="row"><a href="/jobs/\d+">([^<]+)', said(owner.get(f"/jobs?{query}")))

    assert names("") == names("show=secret") == names("below=x") == ["Cushion"]
    assert names("show=rugs") == ["Hall runner"]
    assert names("show=called-off") == ["Mat"]
    assert names("below=3") == []


def test_jobs_go_on_over_the_page(owner, sqlite_store, now):
    for number in range(31):
        a_job(sqlite_store, now, name=f"Mat {number}")
    first = said(owner.get("/jobs"))
    further = re.search(r'href="([^"]+below=[^"]+)"', first)[1]
    assert "Mat 0<" not in first
    assert "Mat 0<" in said(owner.get(further))


def test_the_job_shows_its_cloth_and_its_record(owner, bench):
    text = said(owner.get(JOB))
    assert "Blue striped sheet" in text
    assert re.search(r'class="num">50%</td>', text)
    assert "<strong>$5.01</strong>" in text
    assert f'href="{CLOTH}"' in text
    assert "Its record" in text


def test_the_rug_is_done_once_and_taken_up_again(owner, bench):
    hidden = owner.hidden(JOB)
    for _ in range(2):
        assert owner.client.post(f"{JOB}/woven", data=hidden).location == JOB
    text = said(owner.get(JOB))
    assert "The cloth in the rug" in text
    assert "Give back, waste" not in text
    assert job.job(bench, number=1).line.state == "ready"
    assert owner.press(f"{JOB}/woven", page=JOB).status_code == 409
    owner.press(f"{JOB}/again", page=JOB)
    assert job.job(bench, number=1).line.is_open
    assert owner.press(f"{JOB}/again", page=JOB).status_code == 409
    assert stands(bench) == AS_BEFORE


def test_a_job_with_cloth_is_not_called_off_and_one_without_is_no_rug(owner, bench, now):
    answer = owner.press(f"{JOB}/called-off", page=JOB)
    assert answer.status_code == 422
    assert "Cloth is still in job 1." in said(answer)
    a_job(bench, now, name="Mat")
    answer = owner.press("/jobs/2/woven", page=JOB)
    assert answer.status_code == 422
    assert "No cloth is in job 2 yet" in said(answer)
    assert owner.press("/jobs/2/called-off", page=JOB).location == "/jobs/2"
    assert "called off" in said(owner.get("/jobs/2"))


def test_something_that_happened_to_its_cloth_is_undone(owner, bench):
    step = job.job(bench, number=1).steps[0].step.id
    answer = owner.press(f"{JOB}/undo", page=JOB, step=str(step), piece="1")
    assert answer.location == JOB
    assert stands(bench) == ("10.01", "0.00", "0.00")
    assert '<span class="tag">undone</span>' in said(owner.get(JOB))


def test_undoing_is_refused_when_something_leans_on_it(owner, bench, now):
    step = job.job(bench, number=1).steps[0].step.id
    draw.spoil_in_job(bench, number=1, job=1, amount=HALF, saving=fresh_token(), now=now)
    before = stands(bench)
    answer = owner.press(f"{JOB}/undo", page=JOB, step=str(step), piece="1")
    assert answer.status_code == 422
    assert "Something later leans on that entry." in said(answer)
    assert stands(bench) == before


@pytest.mark.parametrize(("step", "number"), [("", ""), ("x", "1"), ("²", "1"), ("99", "1"), ("3", "9" * 40)])
def test_a_step_that_is_not_there_is_not_undone(owner, bench, step, number):
    assert owner.press(f"{JOB}/undo", page=JOB, step=step, piece=number).status_code == 404
    assert stands(bench) == AS_BEFORE


@pytest.mark.parametrize(
    ("act", "after"),
    [
        # half of $5.01, and of usual waste 5 per cent of what was drawn
        ("back", ("7.51", "2.50", "0.00")),
        ("waste", ("5.00", "2.76", "2.25")),
        ("spoiled", ("5.00", "2.50", "2.51")),
    ],
)
def test_what_becomes_of_cloth_is_done_once(owner, bench, act, after):
    hidden = owner.hidden(CLOTH)
    for _ in range(2):
        answer = owner.client.post(CLOTH, data={**hidden, "how": "half", "act": act, "note": "by the window"})
        assert answer.location == JOB
    assert stands(bench) == after
    text = said(owner.get(JOB))
    assert "by the window" in text
    if after[2] != "0.00":
        assert f"Written off out of this job: ${after[2]}." in text
    answer = owner.client.post(CLOTH, data={**hidden, "how": "quarter", "act": act})
    assert answer.status_code in (409, 422)
    assert stands(bench) == after


def test_usual_waste_is_shown_and_cannot_go_back(owner, bench):
    owner.press(CLOTH, how="share", part="4", act="waste")
    assert stands(bench) == AS_BEFORE
    assert "of it usual waste" in said(owner.get(JOB))
    text = said(owner.get(CLOTH))
    assert "2% of the whole piece was called usual waste." in text
    owner.press(CLOTH, how="all", act="back")
    answer = owner.press(CLOTH, how="all", act="back")
    assert answer.status_code == 422
    assert "What is left of it in the job was called usual waste before." in said(answer)


def test_looking_changes_nothing(owner, bench):
    answer = owner.press(CLOTH, **{**STRIPS, "count": "5", "how": "", "look": "strips", "act": "spoiled"})
    text = said(answer)
    assert answer.status_code == 200
    assert "That would be:" in text
    assert re.search(r'value="spoiled" checked', text)
    assert stands(bench) == AS_BEFORE


@pytest.mark.parametrize(
    ("typed", "kept", "sentence"),
    [
        ({**STRIPS, "count": "30"}, 'value="30"', "only 50% is left"),
        ({**STRIPS, "count": "few"}, 'value="few"', "mistakes"),
        ({"how": "share", "part": "200"}, 'value="200"', "mistakes"),
        ({"how": "half", "note": "x" * 5000}, "x" * 5000, "use at most 120 characters."),
        ({"how": "share", "part": "50", "note": "x" * 5000}, "x" * 5000, "use at most 120 characters."),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(owner, bench, typed, kept, sentence):
    answer = owner.press(CLOTH, act="spoiled", **typed)
    text = said(answer)
    assert answer.status_code == 422
    assert kept in text
    assert sentence in text
    assert 'class="wrong"' in text
    assert 'value="spoiled" checked' in text
    assert stands(bench) == AS_BEFORE


def test_a_way_that_there_is_not_is_refused(owner, bench):
    answer = owner.press(CLOTH, how="everything", act="back")
    assert answer.status_code == 422
    assert "Say how much in one of the ways on the page." in said(answer)
    assert stands(bench) == AS_BEFORE


def test_cloth_of_a_finished_rug_stays_there(owner, bench, now):
    hidden = owner.hidden(CLOTH)
    job.weave(bench, number=1, saving=fresh_token(), now=now)
    assert owner.get(CLOTH).status_code == 404
    answer = owner.client.post(CLOTH, data={**hidden, "how": "all", "act": "back"})
    assert answer.status_code in (404, 409, 422)
    assert "takes no more cloth" in said(answer)
    assert stands(bench) == AS_BEFORE


def test_cloth_that_went_meanwhile_is_said_plainly(owner, bench, now):
    hidden = owner.hidden(CLOTH)
    draw.give_back(bench, number=1, job=1, amount=Share(Decimal(1)), saving=fresh_token(), now=now)
    answer = owner.client.post(CLOTH, data={**hidden, "how": "all", "act": "back"})
    assert answer.status_code in (404, 422)
    assert "Nothing of piece 1 is in this job." in said(answer)


@pytest.mark.parametrize(
    "address", ["/jobs/7", "/jobs/0", "/jobs/" + "9" * 30, "/jobs/7/cloth/1", "/jobs/1/cloth/7", "/jobs/1/cloth/" + "9" * 30]
)
def test_what_is_not_there_is_said_plainly(owner, bench, address):
    answer = owner.get(address)
    assert answer.status_code == 404
    assert "There is no" in said(answer)


def test_a_form_that_is_not_ours_does_nothing(owner, bench):
    for address in ("/jobs", f"{JOB}/woven", f"{JOB}/again", f"{JOB}/called-off", f"{JOB}/undo", CLOTH):
        answer = owner.client.post(address, data={"name": "Mat", "how": "all", "step": "3", "piece": "1"})
        assert answer.status_code == 400
    assert stands(bench) == AS_BEFORE
    assert len(job.jobs(bench).jobs) == 1
