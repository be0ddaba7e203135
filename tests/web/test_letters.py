"""Letters: an offer is sent from its page once a mail server is set; those in trouble are sent again or let go; the calendar."""

import re
from datetime import UTC, datetime, timedelta

import icalendar
import pytest

from shop.core.letter import NotSent, Trouble
from shop.usecases import outbox
from tests.builders import a_haul_at_home, a_kept_loom, a_planned_quote, a_sheet

DAY = datetime.now(UTC).date() + timedelta(days=60)


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    number = a_planned_quote(sqlite_store, now, 1)
    made = owner.press(
        f"/offers/new?quote={number}", f"/offers/new?quote={number}", name="Asa", mail="asa@example.org", contact="", customer="",
        holds_until=str(DAY), promised=str(DAY),
    )  # fmt: skip
    assert made.status_code == 303
    return sqlite_store


@pytest.fixture
def with_server(app, monkeypatch):
    settings = app.extensions["thriftloom_settings"]
    changed = type(settings)(**{**{name: getattr(settings, name) for name in settings.__dataclass_fields__}, "smtp_host": "mail.example.org", "mail_from": "ida@example.org"})
    monkeypatch.setitem(app.extensions, "thriftloom_settings", changed)


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def refused(letter):
    raise NotSent(Trouble.RECIPIENT, "550 nobody here", forever=True)


def test_without_a_mail_server_letters_open_in_the_own_mail_program(owner, bench):
    assert "Send it by e-mail" not in text_of(owner.get("/offers/1"))
    assert "mailto:asa%40example.org" in owner.get("/offers/1").get_data(as_text=True)
    assert "No mail server is set" in text_of(owner.get("/offers/letters"))


def test_an_offer_is_sent_once_a_press_and_what_became_of_it_is_told(owner, bench, with_server, now):
    hidden = owner.hidden("/offers/1")
    for _ in range(2):
        assert owner.client.post("/offers/1/letter", data=hidden).status_code == 303
    assert "waits to be sent" in text_of(owner.get("/offers/1"))
    went = []
    assert outbox.send_due(bench, went.append, now=datetime.now(UTC) + timedelta(minutes=1)).sent == 1
    [letter] = went
    link = re.search(r"http://\S+/o/\S+", letter.body)[0].rstrip(".")
    assert owner.get("/o/" + link.rpartition("/o/")[2]).status_code == 200
    assert "sent" in text_of(owner.get("/offers/letters"))


def test_a_letter_in_trouble_is_sent_again_or_left_unsent(owner, bench, with_server):
    owner.press("/offers/1/letter", "/offers/1")
    later = datetime.now(UTC) + timedelta(minutes=1)
    outbox.send_due(bench, refused, now=later)
    text = text_of(owner.get("/offers/letters"))
    for wanted in ("not sent", "does not accept the address", "550 nobody here", "Send it again"):
        assert wanted in text, wanted
    assert owner.press("/offers/letters/1/again", "/offers/letters").status_code == 303
    assert "waits to be sent" in text_of(owner.get("/offers/letters"))
    outbox.send_due(bench, refused, now=later + timedelta(minutes=1))
    assert owner.press("/offers/letters/1/unsent", "/offers/letters").status_code == 303
    assert "left unsent" in text_of(owner.get("/offers/letters"))
    assert owner.press("/offers/letters/1/unsent", "/offers/1").status_code == 409
    assert owner.press("/offers/letters/9/again", "/offers/1").status_code == 404


def test_the_calendar_is_written_and_subscribed_to_by_its_private_address_alone(owner, bench, client_of_nobody):
    answer = owner.get("/jobs/queue/calendar.ics")
    assert answer.content_type.startswith("text/calendar")
    [event] = icalendar.Calendar.from_ical(answer.get_data()).walk("VEVENT")
    assert (event["DTSTART"].dt, "lapses" in event["SUMMARY"]) == (DAY, True)
    assert client_of_nobody.get("/jobs/queue/calendar.ics").status_code == 303
    assert owner.press("/jobs/queue/calendar", "/jobs/queue/calendar").status_code == 303
    page = owner.get("/jobs/queue/calendar").get_data(as_text=True)
    address = re.search(r"/calendar/[^\"]+\.ics", page)[0]
    found = client_of_nobody.get(address)
    assert found.status_code == 200
    assert found.get_data() == answer.get_data()
    assert b"asa" not in found.get_data().lower()
    assert client_of_nobody.get("/calendar/guessed.ics").status_code == 404
    assert owner.press("/jobs/queue/calendar", "/jobs/queue/calendar", end="1").status_code == 303
    assert client_of_nobody.get(address).status_code == 404


@pytest.fixture
def client_of_nobody(app):
    return app.test_client()


def test_the_bench_says_what_to_do_today(owner, bench):
    page = owner.get("/").get_data(as_text=True)
    assert "offered to Asa" in page
    assert 'href="/offers/1"' in page
