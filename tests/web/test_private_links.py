"""The pages behind private links under attack: whoever has no right to them learns nothing, and nothing changes.

Attacked are the customer's page of an offer and the calendar's private address. After each attack all that is in the database is
what was there before.
"""

import io
import logging
import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pypdf
import pytest
from sqlalchemy import MetaData, select

from shop.commands.log import DiscreetFormatter, discreet
from shop.usecases import answer as answers
from shop.usecases import customer, forgetting, offer, promises, rates
from shop.usecases.given import fresh_token
from shop.web import errors
from shop.web.entry import FIRST, NEED_NOTHING, OPEN_TO_ALL
from shop.web.private_page import ATTEMPTS
from tests.builders import (
    a_haul_at_home,
    a_kept_loom,
    a_piece_in_hand,
    a_planned_job,
    a_planned_quote,
    a_sheet,
    some_rates,
)
from tests.web.conftest import Visitor

SECRETS = ("wage", "overhead", "hour earns", "floor price", "margin", "markup", "covers cost", "profit", "paid for")
ASA, OTHER = "Asa Lindqvist", "Ottoline Grice"
MOST = int(ATTEMPTS.split()[0])
PRIVATE_HEADERS = {"Referrer-Policy": "no-referrer", "Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow"}


@dataclass
class Given:
    """An offer that was given, and the path of its link."""

    id: int
    path: str
    token: str


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    return sqlite_store


@pytest.fixture
def key(app):
    return str(app.config["SECRET_KEY"]).encode()


@pytest.fixture
def offered(owner, bench, key, now):
    """Offers a quote of its own to somebody; gives the offer."""

    def make(name=ASA, **changed):
        number = a_planned_quote(bench, now, 1)
        typed = {"name": name, "mail": "somebody@example.org", "holds_until": "2099-01-01", "promised": "2099-02-01", **changed}
        made = owner.press(f"/offers/new?quote={number}", **typed)
        assert made.status_code == 303
        return renewed(int(made.location.rsplit("/", 1)[1]))

    def renewed(number):
        card = offer.offer_by_id(bench, offer_id=number, key=key, now=now)
        return Given(number, f"/o/{card.token}", card.token)

    make.renewed = renewed
    return make


@pytest.fixture
def mine(offered):
    """The offer under attack."""
    return offered()


@pytest.fixture
def theirs(offered):
    """Another customer's offer."""
    return offered(OTHER)


@pytest.fixture
def stranger(app):
    """A browser of somebody who is not signed in."""
    return Visitor(app)


@pytest.fixture
def calendar(bench, key, now):
    """The calendar's private address, its path."""
    return f"/calendar/{promises.renew_calendar(bench, key=key, saving=fresh_token(), now=now)}.ics"


def all_rows(store):
    """Everything that is in the database."""
    with store.engine.connect() as connection:
        known = MetaData()
        known.reflect(connection)
        return {name: sorted(map(repr, connection.execute(select(one)))) for name, one in known.tables.items()}


def text_of(response):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.get_data(as_text=True))).strip()


def said(response):
    """What a page says, without what differs from one visitor to the next by design."""
    return re.sub(r'name="csrf_token" value="[^"]+"', "", response.get_data(as_text=True))


def is_private(response):
    return {name: response.headers.get(name) for name in PRIVATE_HEADERS} == PRIVATE_HEADERS


# --- links that open nothing --------------------------------------------------------------------

GUESSES = {
    "random": lambda token: "A7" + token[2:][::-1],
    "one sign off": lambda token: token[:-1] + ("A" if token[-1] != "A" else "B"),
    "other case": str.swapcase,
    "cut short": lambda token: token[:-1],
    "trailing sign": lambda token: token + "x",
    "trailing dot": lambda token: token + ".",
    "trailing blank": lambda token: token + "%20",
    "trailing path": lambda token: token + "/anything",
    "padding": lambda token: token + "=",
    "line end": lambda token: token + "%0A",
    "nought": lambda token: token + "%00",
    "its digest": answers.found_by,
    "no text": lambda _: "%ff%fe",
    "half a sign": lambda _: "%ed%a0%80",
    "up and away": lambda _: "..%2f..%2foffers%2f1",
    "wildcard": lambda _: "%25",
    "quote": lambda _: "%27%20or%201=1--",
    "very long": lambda _: "A" * 20_000,
    "a number": lambda _: "1",
}


@pytest.fixture
def revoked(owner, mine, offered):
    """A link that has ended."""
    assert owner.press(f"/offers/{mine.id}/link", f"/offers/{mine.id}").status_code == 303
    assert offered.renewed(mine.id).path != mine.path
    return mine


def test_whatever_opens_nothing_is_answered_as_a_revoked_link_is(stranger, revoked, offered, bench):
    token = offered.renewed(revoked.id).token
    before, model = all_rows(bench), stranger.get(revoked.path)
    assert model.status_code == 404
    assert "Hall runner" not in text_of(model)
    for guess, made in GUESSES.items():
        for end in ("", "/offer.pdf"):
            response = stranger.get(f"/o/{made(token)}{end}")
            assert (response.status_code, said(response)) == (404, said(model)), guess
            assert is_private(response), guess
        assert stranger.client.head(f"/o/{made(token)}").status_code == 404, guess
    for path in ("/o", "/o/"):
        assert said(stranger.get(path)) == said(model), path
    assert stranger.get(f"/o/{token}").status_code == 200
    assert all_rows(bench) == before


def test_nothing_can_be_said_at_a_link_that_opens_nothing(stranger, revoked, offered, theirs, bench):
    form = {**stranger.hidden(theirs.path), **all_words()}
    before, model = all_rows(bench), stranger.get(revoked.path)
    token = offered.renewed(revoked.id).token
    for wrong in (revoked.token, *(GUESSES[guess](token) for guess in ("random", "trailing sign", "very long"))):
        for act in ("/accept", "/decline", "/ask", "", "/accept/x"):
            for method in ("POST", "PUT", "DELETE"):
                response = stranger.client.open(f"/o/{wrong}{act}", method=method, data=form)
                assert (response.status_code, said(response)) == (404, said(model)), (wrong[:50], act, method)
                assert is_private(response)
    assert all_rows(bench) == before


def all_words():
    """What is typed in all three forms of the page."""
    return {"yes-name": "Asa", "no-word": "Too blue", "ask-words": "Is it soft?"}


def test_a_guessed_calendar_address_is_answered_as_one_that_ended(stranger, bench, key, calendar, now):
    newer = f"/calendar/{promises.renew_calendar(bench, key=key, saving=fresh_token(), now=now)}.ics"
    assert stranger.get(newer).status_code == 200
    before, model = all_rows(bench), stranger.get(calendar)
    assert model.status_code == 404
    assert is_private(model)
    secret = newer.removeprefix("/calendar/").removesuffix(".ics")
    guessed = [f"/calendar/{made(secret)}.ics" for made in GUESSES.values()]
    for path in ("/calendar", "/calendar/", "/calendar/x", "/calendar/.ics", f"{newer}x", f"{newer}/x", f"{newer}%20", *guessed):
        response = stranger.get(path)
        assert (response.status_code, said(response)) == (404, said(model)), path[:80]
        assert is_private(response), path[:80]
    assert all_rows(bench) == before


def test_a_calendar_without_an_address_opens_at_none(stranger, bench):
    for path in ("/calendar/.ics", "/calendar/" + "A" * 43 + ".ics"):
        assert stranger.get(path).status_code == 404


def test_a_link_of_one_kind_opens_no_other(stranger, mine, calendar):
    secret = calendar.removeprefix("/calendar/").removesuffix(".ics")
    assert stranger.get(f"/o/{secret}").status_code == 404
    assert stranger.get(f"/calendar/{mine.token}.ics").status_code == 404


def test_who_tries_too_often_is_kindly_asked_to_wait_wherever_on_private_pages(stranger, mine, calendar, bench):
    before = all_rows(bench)
    ways = ("/o/x", "/o/x/offer.pdf", "/o/x/y/z", "/calendar/x.ics")
    assert {stranger.get(ways[place % len(ways)]).status_code for place in range(MOST)} == {404}
    for path in (*ways, mine.path, f"{mine.path}/offer.pdf", calendar):
        response = stranger.get(path)
        assert response.status_code == 429, path
        assert is_private(response)
        assert "Wait 15 min and try again." in text_of(response)
        assert 1 <= int(response.headers["Retry-After"]) <= 15 * 60 + 1
        assert "Hall runner" not in text_of(response)
    assert stranger.get("/sign-in").status_code == 200
    assert all_rows(bench) == before


def test_a_customer_is_sent_to_no_page_of_the_weavers(stranger, owner, mine):
    assert "To the bench" not in text_of(stranger.get("/o/x"))
    assert "To the bench" in text_of(owner.get("/o/x"))
    assert "To the bench" in text_of(owner.get("/offers/99"))


# --- answers that are not one's own, changed, or said again -------------------------------------


def closed(how, owner, stranger, bench, given):
    """The offer is answered or taken back."""
    if how == "accepted":
        assert stranger.press(f"{given.path}/accept", given.path, **{"yes-name": "Asa"}).status_code == 303
    elif how == "declined":
        assert stranger.press(f"{given.path}/decline", given.path).status_code == 303
    elif how == "withdrawn":
        assert owner.press(f"/offers/{given.id}/withdrawn", f"/offers/{given.id}").status_code == 303
    else:
        lapse(bench, given.id)


def lapse(store, offer_id):
    """The offer's last day is past."""
    with store.writing() as session:
        offer.table.by_id(session, offer_id).holds_until = (datetime.now(UTC) - timedelta(days=3)).date()


@pytest.mark.parametrize("how", ["accepted", "declined", "withdrawn", "lapsed"])
def test_a_form_sent_again_after_all_is_settled_changes_nothing(owner, stranger, bench, mine, how):
    held = stranger.hidden(mine.path)
    closed(how, owner, stranger, bench, mine)
    before = all_rows(bench)
    for act in ("accept", "decline"):
        for name in ("Asa", "Somebody else"):
            typed = {**held, "yes-name": name, "no-word": name}
            response = stranger.client.post(f"{mine.path}/{act}", data=typed)
            again = (how, act) in (("accepted", "accept"), ("declined", "decline"))
            assert response.status_code == (303 if again else 422)
            assert is_private(response)
    assert all_rows(bench) == before
    assert "Somebody else" not in text_of(stranger.get(mine.path))


ATTACKS = {
    "no saving token": {"yes-saving": "", "no-saving": "", "ask-saving": ""},
    "a bad saving token": {"yes-saving": "'; --", "no-saving": "'; --", "ask-saving": "'; --"},
    "too many signs": {"yes-name": "x" * 5000, "ask-words": "x" * 5000, "no-word": "x" * 5000},
    "no CSRF token": {"csrf_token": ""},
    "a made-up CSRF token": {"csrf_token": "x"},
}
AT_A_YES = {
    "no digest": {"digest": ""},
    "a made-up digest": {"digest": "0" * 64},
    "no name": {"yes-name": " "},
    "a name of signs that are none": {"yes-name": "\x00\x01"},
}


@pytest.mark.parametrize("act", ["accept", "decline", "ask"])
def test_after_each_attack_nothing_has_changed(stranger, bench, mine, theirs, act):
    held, digest = stranger.hidden(mine.path), stranger.hidden(theirs.path)["digest"]
    attacks = ATTACKS | (AT_A_YES | {"another offer's digest": {"digest": digest}} if act == "accept" else {})
    before = all_rows(bench)
    for attack, changed in attacks.items():
        response = stranger.client.post(f"{mine.path}/{act}", data={**held, **all_words(), **changed})
        assert response.status_code in (400, 422), attack
        assert is_private(response), attack
        assert all_rows(bench) == before, attack
    assert stranger.client.post(f"{mine.path}/{act}", data={**held, **all_words()}).status_code == 303, "else the attacks tell nothing"
    assert all_rows(bench) != before


MORE_FIELDS = {
    "asking": "1.00", "price": "1", "total": "0", "deposit": "0", "holds_until": "2199-01-01", "promised": "2030-01-01",
    "offer": "{other}", "offer_id": "{other}", "id": "{other}", "quote": "2", "customer": "2", "token": "{token}", "state": "withdrawn",
    "revision": "9", "yes-offer": "{other}", "yes-digest": "0", "job": "1",
}  # fmt: skip


def test_fields_that_the_form_has_not_are_of_no_account(app, stranger, bench, mine, theirs):
    more = {name: value.format(other=theirs.id, token=theirs.token) for name, value in MORE_FIELDS.items()}
    seen = Visitor(app).get(theirs.path).get_data()
    before = all_rows(bench)
    held = stranger.hidden(mine.path)
    response = stranger.client.post(f"{mine.path}/accept?offer_id={theirs.id}&token={theirs.token}", data={**more, **held, "yes-name": "Asa"})
    assert (response.status_code, response.location) == (303, mine.path)
    after = all_rows(bench)
    assert {name for name in after if after[name] != before[name]} == {"offer", "job", "press", "counter", "history_entry", "history_word"}
    changed = set(after["offer"]) ^ set(before["offer"])
    assert len(changed) == 2
    assert all(row.startswith(f"({mine.id},") for row in changed)
    old, new = (next(row for row in rows["offer"] if row.startswith(f"({mine.id},")) for rows in (before, after))
    assert re.search(r"'accepted'", new)
    assert [part for part in re.findall(r"\d{3,}", old) if part not in new] == [], "no figure of it is another"
    assert drawn_of(Visitor(app).get(theirs.path).get_data()) == drawn_of(seen)


def drawn_of(page):
    """What of a page stays the same from one visit to the next."""
    return re.sub(rb'name="(csrf_token|[a-z-]*saving)" value="[^"]+"', b"", page)


def test_another_customers_link_shows_and_answers_only_its_own_offer(app, bench, owner, offered):
    mine, theirs = offered(ASA, promised="2099-02-01"), offered(OTHER, promised="2099-03-03")
    asa, ottoline = Visitor(app), Visitor(app)
    assert "February 1, 2099" in text_of(asa.get(mine.path))
    assert "March 3, 2099" not in text_of(asa.get(mine.path))
    assert "March 3, 2099" in text_of(ottoline.get(theirs.path))
    held = ottoline.hidden(theirs.path)
    before = all_rows(bench)
    for act in ("accept", "decline", "ask"):  # her forms, sent to his link from a browser that never opened it
        response = ottoline.client.post(f"{mine.path}/{act}", data={**held, **all_words(), "digest": held["digest"]})
        if act == "accept":
            assert response.status_code == 422
            assert all_rows(bench) == before
    assert [row for row in all_rows(bench)["offer"] if row.startswith(f"({theirs.id},")] == [
        row for row in before["offer"] if row.startswith(f"({theirs.id},")
    ]


def test_a_form_from_another_browser_is_refused(app, bench, mine):
    """A page of somebody else's cannot make the customer's browser say yes: the form's token is bound to the browser."""
    held = Visitor(app).hidden(mine.path)
    other = Visitor(app)
    other.get(mine.path)
    before = all_rows(bench)
    assert other.client.post(f"{mine.path}/accept", data={**held, "yes-name": "Asa"}).status_code == 400
    assert all_rows(bench) == before


def test_questions_come_to_an_end(stranger, bench, mine):
    for place in range(answers.MOST_QUESTIONS):
        assert stranger.press(f"{mine.path}/ask", mine.path, **{"ask-words": f"And number {place}?"}).status_code == 303
    before = all_rows(bench)
    assert stranger.press(f"{mine.path}/ask", mine.path, **{"ask-words": "One more?"}).status_code == 422
    assert all_rows(bench) == before


# --- what leaks ---------------------------------------------------------------------------------


@pytest.fixture
def whole_shop(owner, bench, now, offered):
    """A shop with wages set, other customers, jobs and pieces of high numbers, and an offer of a high number."""
    rates.change(bench, rates=some_rates(), revision=0, saving=fresh_token(), now=now)
    for _ in range(6):
        a_piece_in_hand(bench, now)
    a_planned_job(bench, now, 1, name="Somebody else’s rug")
    for place in range(4):
        offered(f"Neighbour {place}")
    return offered()


def leaks(text):
    folded = text.lower()
    return [one for one in (*SECRETS, "neighbour", "somebody else", "astrid", "somebody@example.org") if one in folded]


def test_the_page_its_headers_and_its_paper_tell_nothing_of_the_weavers(stranger, whole_shop, bench, now, key):
    link = whole_shop
    card = offer.offer_by_id(bench, offer_id=link.id, key=key, now=now)
    job = "accepted"
    for state in ("offered", job):
        if state == job:
            assert stranger.press(f"{link.path}/accept", link.path, **{"yes-name": ASA}).status_code == 303
        page, paper = stranger.get(link.path), stranger.get(f"{link.path}/offer.pdf")
        html = page.get_data(as_text=True)
        reader = pypdf.PdfReader(io.BytesIO(paper.data))
        written = " ".join(one.extract_text() for one in reader.pages)
        about = " ".join(f"{name} {value}" for name, value in (reader.metadata or {}).items())
        whole = paper.data.decode("latin-1") + (reader.xmp_metadata.stream.get_data().decode() if reader.xmp_metadata else "")
        headers = " ".join(f"{name}: {value}" for response in (page, paper) for name, value in response.headers)
        for text in (html, written, about, headers, whole):
            assert leaks(text) == []
        for path in ("/offers", "/jobs", "/quotes", "/customers", "/cloth", "/looms", "/rates"):
            assert f'"{path}' not in html, path
        assert set(re.findall(r'(?:href|action)="(/o/[^"]*)"', html)) <= {f"{link.path}{end}" for end in ("/offer.pdf", "/accept", "/decline", "/ask")}
        assert re.findall(r'type="hidden" name="([^"]+)"', html) == (
            ["csrf_token", "yes-saving", "digest", "csrf_token", "no-saving", "csrf_token", "ask-saving"]
            if state == "offered"
            else ["csrf_token", "ask-saving"]
        )
        assert paper.headers["Content-Disposition"] == 'inline; filename="offer.pdf"'
        assert card.customer.mail not in html
        assert str(bench.engine.url.database) not in html + whole
        assert is_private(page)
        assert is_private(paper)


def test_the_calendar_tells_rugs_and_days_and_nothing_else(stranger, whole_shop, calendar):
    response = stranger.get(calendar)
    text = response.get_data(as_text=True).replace("\r\n ", "")
    assert "Hall runner" in text
    assert leaks(text.replace("Somebody else’s rug", "")) == []
    assert ASA not in text
    assert not re.search(r"[$€£]\s?\d|\d+\.\d\d\b", text)
    assert is_private(response)


def test_every_answer_is_kept_by_nobody_listed_nowhere_and_tells_no_other_site(stranger, mine):
    link = mine.path
    for status, response in (
        (200, stranger.get(link)),
        (200, stranger.get(f"{link}/offer.pdf")),
        (303, stranger.press(f"{link}/ask", link, **{"ask-words": "Soft?"})),
        (400, stranger.client.post(f"{link}/accept", data={"yes-name": "Asa"})),
        (404, stranger.get("/o/x")),
        (422, stranger.press(f"{link}/accept", link, **{"yes-name": ""})),
    ):
        assert response.status_code == status
        assert is_private(response), status
        assert "frame-ancestors 'none'" in response.headers["Content-Security-Policy"]
        assert response.headers["X-Content-Type-Options"] == "nosniff"
    cookie = Visitor(stranger.client.application).get(link).headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_a_person_that_was_erased_is_no_longer_on_their_page(stranger, owner, bench, mine, now):
    asked = "Asa here, is it soft?"
    assert stranger.press(f"{mine.path}/ask", mine.path, **{"ask-words": asked}).status_code == 303
    assert stranger.press(f"{mine.path}/decline", mine.path, **{"no-word": "Asa says no"}).status_code == 303
    forgetting.erase(bench, number=1, saving=fresh_token(), now=now)
    text = text_of(stranger.get(mine.path))
    assert "Asa" not in text
    assert stranger.get(f"{mine.path}/offer.pdf").status_code == 404


# --- the log ------------------------------------------------------------------------------------


def broken(*given, **_named):
    raise RuntimeError("a thread is broken", *given)


def test_no_line_of_the_log_has_the_secret_in_it(stranger, mine, calendar, caplog, monkeypatch):
    secret = calendar.removeprefix("/calendar/").removesuffix(".ics")
    caplog.set_level(logging.DEBUG)
    logging.getLogger("flask-limiter").setLevel(logging.DEBUG)

    form = {**stranger.hidden(mine.path), "ask-words": "Is it soft?"}

    def go_everywhere():
        for path in (mine.path, f"{mine.path}/offer.pdf", f"{mine.path}/x", calendar, f"{calendar}x"):
            for method in ("GET", "POST"):
                with suppress(RuntimeError):
                    stranger.client.open(path, method=method, data=form)
        with suppress(RuntimeError):
            stranger.client.post(f"{mine.path}/ask", data=form)

    go_everywhere()
    for use_case, name in ((answers, "open_link"), (answers, "paper_for"), (promises, "due_dates_for")):
        monkeypatch.setattr(use_case, name, broken)
    go_everywhere()
    monkeypatch.setattr(errors, "show", broken)
    go_everywhere()
    for _ in range(MOST):
        with suppress(RuntimeError):
            stranger.get(mine.path)
    assert "a thread is broken" in caplog.text
    assert "/o/<token>" in caplog.text
    assert "ratelimit" in caplog.text
    assert mine.token not in caplog.text
    assert secret not in caplog.text


def test_the_address_of_any_other_page_that_breaks_is_in_the_log(owner, bench, caplog, monkeypatch):
    monkeypatch.setattr(customer, "customers", broken)
    assert owner.get("/customers").status_code == 500
    assert "/customers" in caplog.text


@pytest.mark.parametrize(
    "line",
    [
        "Client disconnected while serving /o/{token}",
        "Exception while serving /o/{token}/offer.pdf",
        "Exception while serving /calendar/{token}.ics",
        "Client disconnected while serving /o/{short}",
        "asked for http://127.0.0.1:8000/o/{token}?x=1",
        "sent to /sign-in?next=%2Fo%2F{token}",
        "a thing called {token}",
        'GET "/o/{token}"',
    ],
)
def test_whatever_else_writes_an_address_into_the_log_the_secret_is_struck_out(line):
    token = "fK3_" + "aB9-" * 9 + "xyz"
    written = discreet(line.format(token=token, short=token[:30]))
    assert token[:30] not in written
    assert "…" in written
    record = logging.LogRecord("waitress", logging.INFO, "", 1, line.format(token=token, short=token[:30]), (), None)
    try:
        broken(f"/o/{token}")
    except RuntimeError as error:
        record.exc_info = (type(error), error, error.__traceback__)
    assert token[:30] not in DiscreetFormatter().format(record)


@pytest.mark.parametrize("line", ["The database cannot be reached: no such table: job", "Unexpected error at GET /offers/12", "/jobs/queue/calendar"])
def test_other_lines_of_the_log_stay_as_they_are(line):
    assert discreet(line) == line


# --- the weaver's own pages ---------------------------------------------------------------------


def addresses(app, method):
    """An address of every page that takes this method, with its name."""
    urls = app.url_map.bind("127.0.0.1")
    for rule in app.url_map.iter_rules():
        if method in rule.methods:
            values = {name: 1 if f"<int:{name}>" in rule.rule else "x" for name in rule.arguments}
            yield rule.endpoint, urls.build(rule.endpoint, values, method=method)


def test_a_stranger_is_sent_to_sign_in_from_every_page_of_the_weavers(app, stranger, bench):
    before, walked = all_rows(bench), 0
    for method in ("GET", "POST"):
        for endpoint, path in addresses(app, method):
            response = stranger.client.open(path, method=method)
            if endpoint in NEED_NOTHING | OPEN_TO_ALL:
                continue
            assert response.status_code == 303, path
            assert response.location == "/" if endpoint in FIRST else response.location.startswith("/sign-in"), path
            assert not response.get_data(as_text=True).count("Hall runner")
            walked += 1
    assert walked > 100
    assert all_rows(bench) == before


BY_A_SECRET = frozenset({"till.take_entries"})
"""What a phone shows its own secret for, which no form of another site can."""


def test_every_post_without_its_token_is_refused_and_changes_nothing(app, owner, bench, mine):
    before, walked = all_rows(bench), 0
    for endpoint, path in addresses(app, "POST"):
        for form in ({}, {"csrf_token": "x", "saving": fresh_token(), "name": "x"}):
            response = owner.client.post(path, data=form)
            if endpoint in FIRST:
                assert response.location == "/"
                continue
            if endpoint in BY_A_SECRET:
                assert response.status_code in {400, 403, 413}, path
                continue
            assert response.status_code == 400, path
            assert "opened before you signed in" in text_of(response)
            walked += 1
    assert walked > 100
    assert all_rows(bench) == before
