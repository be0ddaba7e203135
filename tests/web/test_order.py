"""The pages of an order: money, time, and quoted against real; what is typed badly stays and changes nothing."""

import io
import re

import pypdf
import pytest

from shop.usecases import clock, job, job_card, order_money
from shop.usecases.given import fresh_token
from tests.builders import a_haul_at_home, a_job, a_kept_loom, a_planned_job, a_sheet, drawn

PAY = {"pay-amount": "50.00", "pay-means": "card", "pay-on": "2026-03-17", "pay-what": "payment", "pay-reference": "slip 7"}


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True), a_sheet(ready=True))
    a_planned_job(sqlite_store, now, 1)
    return sqlite_store


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def press(owner, path, page, **typed):
    return owner.press(f"/jobs/1/{path}", f"/jobs/1/{page}", **typed)


def test_money_is_written_down_once_and_struck_out(owner, bench):
    hidden = owner.hidden("/jobs/1/money")
    for _ in range(2):
        assert owner.client.post("/jobs/1/money", data={**hidden, **PAY}).status_code == 303
    text = text_of(owner.get("/jobs/1/money"))
    for wanted in ("Received $50.00", "slip 7", "card", "Still to pay"):
        assert wanted in text, wanted
    event = order_money.money_of(bench, job=1).events[0].id
    assert press(owner, "money/undone", "money", event=event).status_code == 303
    assert "Received $0.00" in text_of(owner.get("/jobs/1/money"))


@pytest.mark.parametrize(
    "typed", [{"pay-amount": ""}, {"pay-amount": "much"}, {"pay-amount": "0"}, {"pay-on": "2999-01-01"}, {"pay-on": "soon"}, {"pay-what": "refund"}, {"pay-means": "gold"}]
)
def test_money_badly_written_stays_and_changes_nothing(owner, bench, typed):
    answer = press(owner, "money", "money", **{**PAY, **typed})
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.get_data(as_text=True)
    assert order_money.money_of(bench, job=1).events == ()


def test_papers_are_written_and_say_their_number(owner, bench):
    press(owner, "money", "money", **PAY)
    event = order_money.money_of(bench, job=1).events[0].id
    assert press(owner, "money/papers", "money", kind="receipt", event=event).status_code == 303
    assert press(owner, "money/papers", "money", kind="invoice").status_code == 303
    invoice = next(one for one in order_money.money_of(bench, job=1).papers if one.kind == "invoice")
    assert press(owner, "money/papers", "money", kind="credit note", of=invoice.id).status_code == 303
    papers = order_money.money_of(bench, job=1).papers
    assert [(one.kind, one.number) for one in papers] == [("receipt", 1), ("invoice", 1), ("credit note", 1)]
    assert papers[2].total == -papers[1].total
    for one, wanted in zip(papers, ("Receipt 1", "Invoice 1", "Takes back invoice 1."), strict=True):
        pdf = pypdf.PdfReader(io.BytesIO(owner.get(f"/jobs/1/money/papers/{one.id}.pdf").data))
        assert wanted in pdf.pages[0].extract_text()
    assert press(owner, "money/papers", "money", kind="poem").status_code == 422
    assert owner.get("/jobs/1/money/papers/99.pdf").status_code == 404


def test_a_rug_is_handed_over_when_it_is_done(owner, bench, now):
    assert press(owner, "money/over", "money", **{"over-amount": "120"}).status_code == 422
    drawn(bench, now, 1, 1)
    job.weave(bench, number=1, saving=fresh_token(), now=now)
    assert press(owner, "money/over", "money", **{"over-amount": "lots"}).status_code == 422
    assert press(owner, "money/over", "money", **{"over-amount": "120"}).status_code == 303
    assert "handed over" in text_of(owner.get("/jobs/1/money"))
    assert owner.press("/jobs/1/again", "/jobs/1").status_code == 422


def test_an_order_is_cancelled_with_what_is_kept(owner, bench):
    press(owner, "money", "money", **PAY)
    assert press(owner, "money/cancelled", "money", **{"cancel-amount": "60"}).status_code == 422
    assert press(owner, "money/cancelled", "money", **{"cancel-amount": "20"}).status_code == 303
    text = text_of(owner.get("/jobs/1/money"))
    assert "cancelled" in text
    assert "Owed to the customer until the rug is handed over $30.00" in text


def test_the_clock_is_started_stopped_and_corrected(owner, bench):
    assert press(owner, "time/clock", "time", step="weave").status_code == 303
    assert "The clock runs: Weave" in text_of(owner.get("/jobs/1/time"))
    assert press(owner, "time/clock", "time", stop="y").status_code == 303
    assert press(owner, "time", "time", step="cut", minutes="42", note="at home").status_code == 303
    entry = clock.time_of(bench, job=1).lines[0].id
    assert press(owner, "time/struck", "time", entry=entry).status_code == 303
    assert clock.time_of(bench, job=1).lines[0].struck
    for typed in ({"minutes": "long"}, {"minutes": "0"}, {"step": "dream"}):
        answer = press(owner, "time", "time", **{"step": "cut", "minutes": "5", **typed})
        assert answer.status_code == 422
        assert 'class="wrong"' in answer.get_data(as_text=True)


def test_quoted_and_real_stand_side_by_side(owner, bench, now):
    drawn(bench, now, 1, 1)
    text = text_of(owner.get("/jobs/1/compare"))
    for wanted in ("An hour was to earn", "No time is written down yet", "Blue striped sheet", "Everything", "not done yet"):
        assert wanted in text, wanted
    press(owner, "time", "time", step="weave", minutes="300")
    assert "An hour earned" in text_of(owner.get("/jobs/1/compare"))
    plain = a_job(bench, now, name="Plain")
    assert owner.get(f"/jobs/{plain}/compare").status_code == 422
    assert owner.get(f"/jobs/{plain}/money").status_code == 200
    for page in ("money", "time", "compare"):
        assert owner.get(f"/jobs/99/{page}").status_code == 404


def test_the_label_tells_the_fibres_by_weight(owner, bench, now):
    drawn(bench, now, 1, 1)
    label = pypdf.PdfReader(io.BytesIO(owner.get("/jobs/1/label.pdf").data)).pages[0].extract_text()
    assert "100% cotton" in label
    assert "check them locally" in label
    assert job_card.card(bench, number=1).rug is not None
