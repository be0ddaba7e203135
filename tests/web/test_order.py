"""The pages of an order: money, time, and quoted against real; what is typed badly stays and changes nothing."""

import io
import re
from dataclasses import replace
from urllib.parse import unquote

import pypdf
import pytest

from shop.usecases import clock, job, job_card, order_money, outbox
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
    for one, wanted in zip(papers, ("Receipt 1", "Invoice 1", "Takes back invoice 1 of"), strict=True):
        pdf = pypdf.PdfReader(io.BytesIO(owner.get(f"/jobs/1/money/papers/{one.id}.pdf").data))
        assert wanted in pdf.pages[0].extract_text()
    assert press(owner, "money/papers", "money", kind="poem").status_code == 422
    assert owner.get("/jobs/1/money/papers/99.pdf").status_code == 404


@pytest.fixture
def order(owner, bench):
    """A job that was offered and agreed to: No. 2."""
    offered = {"name": "Asa Lindqvist", "mail": "asa@example.org", "holds_until": "2099-01-01"}
    assert owner.press("/offers/new?quote=1", act="", **offered).status_code == 303
    link = re.search(r'value="http://[^/"]+(/o/[\w-]+)"', owner.get("/offers/1").get_data(as_text=True))[1]
    hidden = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', owner.get(link).get_data(as_text=True)))
    assert owner.client.post(f"{link}/accept", data={**hidden, "yes-name": "Asa"}).status_code == 303
    return 2


@pytest.fixture
def with_server(app, monkeypatch):
    set_up = app.extensions["thriftloom_settings"]
    monkeypatch.setitem(
        app.extensions, "thriftloom_settings", replace(set_up, smtp_host="mail.example.org", mail_from="ida@example.org")
    )


def pdf_text(answer):
    pages = pypdf.PdfReader(io.BytesIO(answer.data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u200b", "").split())


def ask(owner, order, **typed):
    given = {"ask-what": "deposit", "ask-due": "2099-02-01", **typed}
    return owner.press(f"/jobs/{order}/money/requests", f"/jobs/{order}/money", **given)


def test_the_deposit_is_asked_for_sent_and_outstanding_until_it_is_paid(owner, bench, order):
    page = f"/jobs/{order}/money"
    deposit = order_money.money_of(bench, job=order).deposit
    assert f"Of the deposit ${deposit.amount} has not come" in text_of(owner.get(page))
    assert ask(owner, order).status_code == 303
    text = text_of(owner.get(page))
    for wanted in (f"Deposit, request {order}-1", "to be paid by Feb 1, 2099", "not sent yet", "outstanding"):
        assert wanted in text, wanted
    assert "Send it by e-mail" not in text
    mailto = re.search(r'href="(mailto:[^"]+)"', owner.get(page).get_data(as_text=True))[1]
    letter = unquote(mailto)
    for wanted in ("asa@example.org", f"({order}-1)", f"the deposit of ${deposit.amount} by February 1, 2099"):
        assert wanted in letter, wanted
    paper = pdf_text(owner.get(f"{page}/requests/1.pdf"))
    for wanted in (f"Deposit: request {order}-1", "Asa Lindqvist", "To be paid by February 1, 2099", f"Deposit to pay now ${deposit.amount}"):
        assert wanted in paper, wanted
    assert "written but not sent" in text_of(owner.get("/"))
    assert owner.press(f"{page}/requests/1/sent", page).status_code == 303
    assert "not sent yet" not in text_of(owner.get(page))
    assert "still missing; asked for on" in text_of(owner.get("/"))
    owner.press(page, page, **{**PAY, "pay-amount": str(deposit.amount), "pay-reference": f"{order}-1"})
    assert "outstanding" not in text_of(owner.get(page))
    assert "still missing" not in text_of(owner.get("/"))


def test_a_request_says_how_to_pay_as_the_shop_does(owner, bench, order):
    assert "It will not say how to pay" in text_of(owner.get(f"/jobs/{order}/money"))
    hidden = {**owner.hidden("/shop"), "name": "Warp & Rag", "count": "1", "locale": "en_US", "currency": "USD"}
    typed = {**hidden, "units": "imperial", "time_zone": "UTC", "paying": "Marsh Bank\nAccount 123"}
    colours = {f"stripe_{number}": "#112233" for number in range(1, 10)}
    assert owner.client.post("/shop", data={**typed, **colours}).status_code == 303
    assert "It will not say how to pay" not in text_of(owner.get(f"/jobs/{order}/money"))
    ask(owner, order, **{"ask-what": "balance"})
    assert "How to pay Marsh Bank Account 123" in pdf_text(owner.get(f"/jobs/{order}/money/requests/1.pdf"))
    assert "Account 123" in unquote(owner.get(f"/jobs/{order}/money").get_data(as_text=True))
    owner.press(f"/jobs/{order}/money/papers", f"/jobs/{order}/money", kind="invoice")
    assert "Account 123" in pdf_text(owner.get(f"/jobs/{order}/money/papers/1.pdf"))


def test_a_request_goes_out_by_e_mail_once_a_press(owner, bench, order, with_server):
    ask(owner, order)
    page = f"/jobs/{order}/money"
    hidden = owner.hidden(page)
    for _ in range(2):
        assert owner.client.post(f"{page}/requests/1/letter", data=hidden).status_code == 303
    [letter] = outbox.letters(bench).letters
    assert (letter.to, letter.subject) == ("asa@example.org", f"The deposit for your rug: Hall runner ({order}-1)")
    assert "waits to be sent" in text_of(owner.get(page))


@pytest.mark.parametrize("typed", [{"ask-due": ""}, {"ask-due": "soon"}, {"ask-due": "2020-01-01"}, {"ask-what": "a favour"}])
def test_a_request_badly_written_stays_and_writes_nothing(owner, bench, order, typed):
    answer = ask(owner, order, **typed)
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.get_data(as_text=True)
    assert order_money.money_of(bench, job=order).requests == ()


def test_what_is_paid_is_not_asked_for_again(owner, bench, order):
    page, agreed = f"/jobs/{order}/money", order_money.money_of(bench, job=order).agreed
    stale = owner.hidden(page)
    owner.press(page, page, **{**PAY, "pay-amount": str(agreed.amount)})
    assert "Asking for money" not in text_of(owner.get(page))
    answer = owner.client.post(f"{page}/requests", data={**stale, "ask-what": "balance", "ask-due": "2099-02-01"})
    assert answer.status_code == 422
    assert 'id="ask-what-wrong"' in answer.get_data(as_text=True)
    assert "nothing left to ask for" in text_of(answer)
    for path in ("requests/1.pdf", "requests/99.pdf"):
        assert owner.get(f"{page}/{path}").status_code == 404
    assert owner.press(f"{page}/requests/1/sent", page).status_code == 404
    assert owner.press("/jobs/99/money/requests", page, **{"ask-what": "balance", "ask-due": "2099-01-01"}).status_code == 404


def test_an_invoice_that_cannot_be_is_told_why(owner, bench, order):
    stale = owner.hidden(f"/jobs/{order}/money")
    owner.press(f"/jobs/{order}/money/cancelled", f"/jobs/{order}/money", **{"cancel-amount": "0"})
    assert "Write the invoice" not in text_of(owner.get(f"/jobs/{order}/money"))
    answer = owner.client.post(f"/jobs/{order}/money/papers", data={**stale, "kind": "invoice"})
    assert answer.status_code == 422
    assert "nothing to invoice" in text_of(answer)


def test_an_invoice_before_the_rug_is_handed_over_is_asked_about_first(owner, bench, order, now):
    page = f"/jobs/{order}/money"
    text = text_of(owner.get(page))
    assert "Write the invoice before the rug is handed over" in text
    assert "No address of the customer is known" in text
    html = owner.get(page).get_data(as_text=True)
    number = re.search(r'href="(/customers/\d+)">Write their address down', html)[1]
    hidden = owner.hidden(number)
    owner.client.post(number, data={**hidden, "name": "Asa Lindqvist", "mail": "asa@example.org", "address": "The Lock House\nMarsh End"})
    assert "No address of the customer is known" not in text_of(owner.get(page))
    owner.press(f"{page}/papers", page, kind="invoice")
    paper = pdf_text(owner.get(f"{page}/papers/1.pdf"))
    for wanted in ("The Lock House", "To be paid by"):
        assert wanted in paper, wanted


def test_the_page_of_a_job_tells_for_whom_what_is_owed_and_what_comes_next(owner, bench, order, now):
    agreed = order_money.money_of(bench, job=order).agreed
    text = text_of(owner.get(f"/jobs/{order}"))
    for wanted in ("For Asa Lindqvist", f"Still to pay ${agreed.amount}"):
        assert wanted in text, wanted
    assert "What comes next" not in text
    drawn(bench, now, 1, order)
    job.weave(bench, number=order, saving=fresh_token(), now=now)
    html = owner.get(f"/jobs/{order}").get_data(as_text=True)
    for wanted in (f'href="/jobs/{order}/measures">Measure and weigh it', f'href="/jobs/{order}/money#end">Hand it over', "Write the invoice, with"):
        assert wanted in html, wanted
    owner.press(f"/jobs/{order}/money/over", f"/jobs/{order}/money", **{"over-amount": str(agreed.amount)})
    owner.press(f"/jobs/{order}/money", f"/jobs/{order}/money", **{**PAY, "pay-amount": str(agreed.amount)})
    text = text_of(owner.get(f"/jobs/{order}"))
    assert "Still to pay" not in text
    assert "What comes next" not in text


def test_an_invoice_taken_back_is_not_taken_back_again(owner, bench):
    page = "/jobs/1/money"
    for kind, of in (("invoice", ""), ("credit note", "1"), ("invoice", "")):
        assert owner.press(f"{page}/papers", page, kind=kind, of=of).status_code == 303
    html = owner.get(page).get_data(as_text=True)
    assert re.findall(r'name="of" value="(\d+)"', html) == [str(order_money.money_of(bench, job=1).papers[2].id)]
    assert "Write the invoice" not in html


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
    assert press(owner, "time", "time", step="cut", minutes="2 h 50 min").status_code == 303
    assert clock.time_of(bench, job=1).spent["cut"] == 170
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
