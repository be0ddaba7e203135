"""The pages of offers and customers, and the customer's own: who may see what, and what a wrong press changes: nothing."""

import re
from dataclasses import replace

import pytest

from shop.usecases import customer, job, offer
from tests.builders import a_haul_at_home, a_kept_loom, a_planned_quote, a_sheet
from tests.web.conftest import Visitor

OFFER = {"name": "Asa Lindqvist", "mail": "asa@example.org", "holds_until": "2099-01-01", "promised": "2099-02-01"}
SECRETS = ("wage", "Wage", "overhead", "Overhead", "hour earns", "Covers cost", "Floor", "margin", "markup")


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    a_planned_quote(sqlite_store, now, 1)
    return sqlite_store


@pytest.fixture
def link(owner, bench):
    """The private link of an offer, its path alone."""
    answer = owner.press("/offers/new?quote=1", act="", **OFFER)
    assert (answer.status_code, answer.location) == (303, "/offers/1")
    html = owner.get("/offers/1").get_data(as_text=True)
    return re.search(r'value="http://[^/"]+(/o/[\w-]+)"', html)[1]


@pytest.fixture
def stranger(app):
    """A browser of somebody who is not signed in."""
    return Visitor(app)


def state_of(store, app, now):
    key = str(app.config["SECRET_KEY"]).encode()
    return offer.offer_by_id(store, offer_id=1, key=key, now=now).state.value


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def test_the_customer_sees_the_rug_and_the_price_and_nothing_of_its_cost(stranger, link):
    answer = stranger.get(link)
    assert answer.status_code == 200
    text = text_of(answer)
    for wanted in ("Hall runner", "Total", "Deposit", "Ready by", "January 1, 2099", "I accept", "No, thank you"):
        assert wanted in text, wanted
    for secret in SECRETS:
        assert secret not in text, secret
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in answer.headers["X-Robots-Tag"]
    assert answer.headers["Cache-Control"] == "no-store"
    assert stranger.get(f"{link}/offer.pdf").data.startswith(b"%PDF-")


def test_yes_is_said_once_with_a_name(stranger, link, bench, app, now):
    hidden = stranger.hidden(link)
    for name in ("Asa Lindqvist", "Somebody else"):
        answer = stranger.client.post(f"{link}/accept", data={**hidden, "yes-name": name})
        assert answer.status_code == 303
    assert state_of(bench, app, now) == "accepted"
    assert "This offer is accepted." in text_of(stranger.get(link))
    assert len(job.jobs(bench).jobs) == 1


def test_yes_without_a_name_changes_nothing_and_says_so(stranger, link, bench, app, now):
    answer = stranger.press(f"{link}/accept", link, **{"yes-name": " "})
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.get_data(as_text=True)
    assert state_of(bench, app, now) == "offered"


def test_no_and_a_question_reach_the_weaver(stranger, owner, link, bench, app, now):
    assert stranger.press(f"{link}/ask", link, **{"ask-words": "Is it <soft>?"}).status_code == 303
    assert stranger.press(f"{link}/decline", link, **{"no-word": "Too long"}).status_code == 303
    assert state_of(bench, app, now) == "declined"
    html = owner.get("/offers/1").get_data(as_text=True)
    assert "Is it &lt;soft&gt;?" in html
    assert "Too long" in html
    assert stranger.press(f"{link}/accept", link, **{"yes-name": "Asa"}).status_code in (409, 422)
    assert state_of(bench, app, now) == "declined"


@pytest.mark.parametrize("forged", [{"digest": "0" * 64}, {"digest": ""}, {"yes-saving": ""}, {"csrf_token": "x"}])
def test_a_changed_field_accepts_nothing(stranger, link, bench, app, now, forged):
    answer = stranger.client.post(f"{link}/accept", data={**stranger.hidden(link), "yes-name": "Asa", **forged})
    assert answer.status_code in (400, 409, 422)
    assert state_of(bench, app, now) == "offered"


@pytest.mark.parametrize("path", ["/o/x", "/o/" + "A" * 43, "/o/" + "A" * 5000, "/o/%00"])
def test_a_guessed_link_opens_nothing(stranger, link, path):
    answer = stranger.get(path)
    assert answer.status_code == 404
    assert "Hall runner" not in answer.get_data(as_text=True)
    assert stranger.client.post(f"{path}/accept", data={"yes-name": "x"}).status_code in (400, 404)


def test_a_former_link_and_a_withdrawn_offer_open_no_door(stranger, owner, link, bench, app, now):
    assert owner.press("/offers/1/link", "/offers/1").status_code == 303
    assert stranger.get(link).status_code == 404
    html = owner.get("/offers/1").get_data(as_text=True)
    newer = re.search(r'value="http://[^/"]+(/o/[\w-]+)"', html)[1]
    assert newer != link
    assert owner.press("/offers/1/withdrawn", "/offers/1").status_code == 303
    assert "can no longer be accepted" in text_of(stranger.get(newer))
    assert stranger.press(f"{newer}/accept", newer, **{"yes-name": "Asa"}).status_code in (409, 422)
    assert state_of(bench, app, now) == "withdrawn"


def test_the_weavers_pages_are_shut_to_strangers(stranger, link):
    for path in ("/offers", "/offers/1", "/offers/1/offer.pdf", "/offers/new?quote=1", "/customers", "/customers/1", "/customers/1/kept.json"):
        answer = stranger.get(path)
        assert answer.status_code == 303, path
        assert "/sign-in" in answer.location
    token = stranger.hidden(link)
    for path in ("/offers/1/withdrawn", "/offers/1/link", "/customers/1/erased", "/customers/1/merged"):
        assert stranger.client.post(path, data=token).status_code in (303, 400)


@pytest.mark.parametrize(
    ("typed", "where"),
    [
        ({"name": ""}, "name"),
        ({"mail": "nowhere"}, "mail"),
        ({"holds_until": "soon"}, "holds_until"),
        ({"holds_until": "2020-01-01"}, "holds_until"),
        ({"promised": "2020-01-01"}, "promised"),
        ({"customer": "99"}, "customer"),
        ({"name": "x" * 500}, "name"),
    ],
)
def test_an_offer_badly_filled_in_is_not_made(owner, bench, typed, where):
    answer = owner.press("/offers/new?quote=1", **{**OFFER, **typed})
    html = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert f'id="{where}-wrong"' in html
    assert customer.customers(bench).customers == ()


def test_customers_are_kept_looked_for_merged_given_out_and_erased(owner, bench, link):
    assert owner.press("/customers/new", name="Ottoline Grice", address="The Lock House").location == "/customers/2"
    assert "Ottoline Grice" in text_of(owner.get("/customers?find=lock"))
    assert "Nobody here" in text_of(owner.get("/customers?find=zebra"))
    assert owner.press("/customers/2", name="Ottoline G.").status_code == 303
    bad = owner.press("/customers/2", name="", note="kept as typed")
    assert bad.status_code == 422
    assert "kept as typed" in bad.get_data(as_text=True)
    assert owner.press("/customers/2/merged", "/customers/2", into="2").status_code == 422
    assert owner.press("/customers/2/merged", "/customers/2", into="1").location == "/customers/1"
    assert "merged into" in text_of(owner.get("/customers/2"))
    assert "asa@example.org" in owner.get("/customers/1/kept.json").get_data(as_text=True)
    assert owner.press("/offers/1/withdrawn", "/offers/1").status_code == 303
    assert owner.press("/customers/1/erased", "/customers/1").status_code == 303
    assert "Asa" not in owner.get("/customers/1").get_data(as_text=True)
    assert owner.get("/customers/9").status_code == 404


def test_the_lists_of_offers_name_their_states(owner, link, bench):
    assert "offered" in text_of(owner.get("/offers"))
    assert owner.get("/offers?show=nonsense&below=zzz").status_code == 200
    assert "Hall runner" not in text_of(owner.get("/offers?show=accepted"))
    assert owner.get("/offers/99").status_code == 404
    assert owner.get("/offers/new?quote=99").status_code == 404


def test_a_link_that_only_this_machine_opens_is_warned_of(owner, app, link):
    assert "Nobody but you could open this link." in owner.get("/offers/1").get_data(as_text=True)
    known = replace(app.extensions["thriftloom_settings"], public_address="https://loom.example.org")
    app.extensions["thriftloom_settings"] = known
    elsewhere = owner.get("/offers/1").get_data(as_text=True)
    assert f"https://loom.example.org{link}" in elsewhere
    assert "Nobody but you could open this link." not in elsewhere


def test_an_address_that_is_written_on_the_offer_is_kept_with_the_customer(owner, bench):
    owner.press("/offers/new?quote=1", act="", **OFFER, address="The Lock House\nMarsh End")
    assert customer.customer(bench, number=1).card.address == "The Lock House\nMarsh End"


def test_a_quote_shows_how_far_it_has_come_and_leads_there(owner, bench, stranger, link):
    listed = owner.get("/quotes/").get_data(as_text=True)
    assert '<span class="tag">offered</span>' in listed
    assert 'class="button" href="/offers/1"' in owner.get("/quotes/1").get_data(as_text=True)
    assert stranger.press(f"{link}/accept", link, **{"yes-name": "Asa Lindqvist"}).status_code in (200, 303)
    number = job.jobs(bench).jobs[0].number
    listed = owner.get("/quotes/").get_data(as_text=True)
    assert '<span class="tag">waiting</span>' in listed
    assert f'href="/jobs/{number}"' in listed
    assert '<span class="tag">draft</span>' not in listed
    opened = owner.get("/quotes/1").get_data(as_text=True)
    assert f'class="button" href="/jobs/{number}"' in opened
    assert 'class="button quiet" href="/offers/new?quote=1"' in opened


@pytest.mark.parametrize("typed", ["1", "1: Asa Lindqvist", "asa lindqvist", "Asa"])
def test_a_known_customer_is_named_by_number_or_by_name(owner, bench, link, typed):
    page = owner.get("/offers/new?quote=1").get_data(as_text=True)
    assert '<option value="1: Asa Lindqvist">' in page
    answer = owner.press("/offers/new?quote=1", holds_until="2099-01-01", name="", customer=typed)
    assert answer.status_code == 303
    assert len(customer.customers(bench).customers) == 1


@pytest.mark.parametrize(("typed", "told"), [("Nobody", "No customer here is found"), ("99", "There is no customer 99"), ("sa", "No customer")])
def test_a_customer_who_is_not_known_is_told_beside_the_entry(owner, bench, link, typed, told):
    answer = owner.press("/offers/new?quote=1", holds_until="2099-01-01", name="", customer=typed)
    assert answer.status_code == 422
    assert told in answer.get_data(as_text=True)


def test_once_agreed_the_customer_is_told_of_the_deposit(stranger, link):
    before = text_of(stranger.get(link))
    assert "Work starts when the deposit of" not in before
    assert 'href="#yes"' in stranger.get(link).get_data(as_text=True)
    stranger.press(f"{link}/accept", link, **{"yes-name": "Asa Lindqvist"})
    after = text_of(stranger.get(link))
    assert "Work starts when the deposit of" in after
    assert "Ask the weaver how." in after
