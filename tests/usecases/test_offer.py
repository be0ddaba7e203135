"""Offers: frozen once made, answered once, found only by their own link; customers merged, given out and erased."""

import json
from datetime import date, timedelta

import pytest
from sqlalchemy import text

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.letter import LetterState
from shop.core.order import OfferState
from shop.usecases import answer, customer, forgetting, job, job_card, offer, outbox, quote
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.offer import OfferGiven
from tests.builders import a_haul_at_home, a_kept_loom, a_planned_quote, a_sheet, an_open_shop, codes, money

KEY = b"a key that only this shop has, and long"
UNTIL = date(2026, 4, 16)
CONTENT = {"name": "Hall runner", "price_rows": [{"label": "Total", "amount": "$148.40"}], "terms": ["Woven by hand."]}


@pytest.fixture
def bench(store, now):
    """A shop with a quote of a rug: No. 1."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    a_planned_quote(store, now, 1)
    return store


def made(store, now, *, number=1, revision=1, who=None, saving=None, **given):
    usual = {"content": CONTENT, "paper": b"%PDF-of-it", "deposit": money("70.00"), "holds_until": UNTIL}
    return offer.offer(
        store,
        quote=number,
        revision=revision,
        given=OfferGiven(**{**usual, **given}),
        customer=who or CustomerGiven(name="Asa Lindqvist", mail="asa@example.org"),
        key=KEY,
        saving=saving or fresh_token(),
        now=now,
    )


def said_yes(store, now, card, name="Asa Lindqvist", **changed):
    given = {"token": card.token, "name": name, "digest": card.digest, "key": KEY, "saving": fresh_token(), "now": now}
    return answer.accept(store, **{**given, **changed})


def looked_at(store, now, card):
    return offer.offer_by_id(store, offer_id=card.id, key=KEY, now=now)


def refused(what, code, where="", error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {(where, code)}


def test_an_offer_is_made_once_a_press_and_found_by_its_link(bench, now):
    token = fresh_token()
    card, again = (made(bench, now, saving=token) for _ in range(2))
    assert card == again
    assert (card.state, card.revision, card.customer.name) == (OfferState.OFFERED, 1, "Asa Lindqvist")
    seen = answer.open_link(bench, token=card.token, key=KEY, now=now)
    assert seen.content == CONTENT
    assert answer.paper_for(bench, token=card.token) == b"%PDF-of-it"
    with pytest.raises(Clash):
        made(bench, now, saving=token, holds_until=UNTIL + timedelta(days=1))


def test_a_change_makes_the_next_offer_and_takes_the_one_before_back(bench, now):
    first = made(bench, now)
    second = made(bench, now, content={**CONTENT, "terms": []})
    assert (second.revision, looked_at(bench, now, first).state) == (2, OfferState.WITHDRAWN)
    assert [one.revision for one in offer.offers_of_quote(bench, quote=1, key=KEY, now=now)] == [2, 1]
    assert looked_at(bench, now, first).content == CONTENT
    assert offer.offers(bench, state="offered", key=KEY, now=now).offers == (looked_at(bench, now, second),)


def test_what_was_offered_stays_as_it_was_when_the_quote_is_saved_again(bench, now):
    card = made(bench, now)
    view = quote.open_quote(bench, number=1)
    draft = quote.DraftGiven(
        customer_name="Somebody else", title="Another", described=view.described, figures=view.figures,
        size=view.size, asking=money("1.00"), total=money("1.00"),
    )  # fmt: skip
    quote.save_draft(bench, draft=draft, number=1, revision=view.revision, saving=fresh_token(), now=now)
    after = looked_at(bench, now, card)
    assert (after.content, after.digest, after.total) == (card.content, card.digest, card.total)
    assert offer.paper_of(bench, offer_id=card.id) == b"%PDF-of-it"


def test_accepting_twice_is_accepting_once_and_begins_one_job(bench, now):
    card = made(bench, now)
    first = said_yes(bench, now, card, "  Asa   Lindqvist ")
    again = said_yes(bench, now, card, "Somebody else")
    assert first == again
    assert (first.state, first.said, first.closed_at) == (OfferState.ACCEPTED, "Asa Lindqvist", now)
    assert [one.number for one in job.jobs(bench).jobs] == [first.job]
    assert job_card.card(bench, number=first.job).rug is not None


@pytest.mark.parametrize("end", ["declined", "withdrawn", "lapsed"])
def test_an_offer_that_is_closed_is_not_accepted_any_more(bench, now, end):
    card = made(bench, now)
    later = now
    if end == "declined":
        answer.decline(bench, token=card.token, word="Too dear", key=KEY, saving=fresh_token(), now=now)
    elif end == "withdrawn":
        offer.withdraw(bench, offer_id=card.id, key=KEY, saving=fresh_token(), now=now)
    else:
        later = now + timedelta(days=90)
    assert looked_at(bench, later, card).state.value == end
    refused(lambda: said_yes(bench, later, card), "offer.closed", error=Clash)
    assert job.jobs(bench).jobs == ()


def test_it_holds_until_the_end_of_its_last_day_in_the_shops_zone(bench, now):
    card = made(bench, now, holds_until=date(2026, 3, 17))
    evening = now.replace(hour=23, minute=59)  # still the 17th in New York
    assert looked_at(bench, evening, card).state is OfferState.OFFERED
    assert looked_at(bench, evening + timedelta(hours=5), card).state is OfferState.LAPSED


def test_a_name_is_needed_and_what_is_accepted_must_be_what_was_read(bench, now):
    card = made(bench, now)
    refused(lambda: said_yes(bench, now, card, "  "), "text.missing", "name")
    refused(lambda: said_yes(bench, now, card, digest="0" * 64), "offer.other", error=Clash)
    assert looked_at(bench, now, card).state is OfferState.OFFERED


def test_a_link_of_another_key_a_guess_or_a_former_one_opens_nothing(bench, now):
    card = made(bench, now)
    renewed = offer.renew_link(bench, offer_id=card.id, key=KEY, saving=fresh_token(), now=now)
    assert renewed.token != card.token
    for token in (card.token, "", "x" * 43, "x" * 5000, card.token[:-1], offer.offer_by_id(bench, offer_id=card.id, key=b"other", now=now).token):
        refused(lambda token=token: answer.open_link(bench, token=token, key=KEY, now=now), "offer.unknown", error=NotFound)
        refused(lambda token=token: said_yes(bench, now, card, token=token), "offer.unknown", error=NotFound)
    assert answer.open_link(bench, token=renewed.token, key=KEY, now=now).id == card.id


def test_no_secret_of_a_link_lies_in_the_database(bench, now):
    card = made(bench, now)
    with bench.reading() as session:
        rows = session.execute(text("SELECT * FROM offer")).mappings().all()
    assert card.token not in json.dumps([dict(row) for row in rows], default=str)


def test_questions_are_kept_and_have_an_end(bench, now):
    card = made(bench, now)
    token = fresh_token()
    for _ in range(2):
        answer.ask(bench, token=card.token, words="Could it be longer?", key=KEY, saving=token, now=now)
    assert [said for _, said in looked_at(bench, now, card).questions] == ["Could it be longer?"]
    refused(lambda: answer.ask(bench, token=card.token, words=" ", key=KEY, saving=fresh_token(), now=now), "text.missing", "words")
    for turn in range(answer.MOST_QUESTIONS - 1):
        answer.ask(bench, token=card.token, words=f"And {turn}?", key=KEY, saving=fresh_token(), now=now)
    refused(lambda: answer.ask(bench, token=card.token, words="More", key=KEY, saving=fresh_token(), now=now), "offer.asked", "words")


def test_what_cannot_be_offered_is_said(bench, now):
    refused(lambda: made(bench, now, number=9), "quote.unknown", error=NotFound)
    refused(lambda: made(bench, now, revision=7), "quote.changed", error=Clash)
    refused(lambda: made(bench, now, holds_until=date(2026, 3, 1)), "offer.past", "holds_until")
    refused(lambda: made(bench, now, promised=date(2026, 3, 1)), "offer.past", "promised")
    refused(lambda: made(bench, now, who=CustomerGiven(name=" ")), "text.missing", "customer.name")
    refused(lambda: made(bench, now, who=CustomerGiven(name="A", mail="nowhere")), "customer.mail", "customer.mail")
    refused(lambda: made(bench, now, who=77), "customer.unknown", error=NotFound)
    said_yes(bench, now, made(bench, now))
    refused(lambda: made(bench, now), "offer.agreed")


def test_a_customer_entered_twice_becomes_one(bench, now):
    card = made(bench, now)
    other = customer.keep(
        bench, customer=CustomerGiven(name="Åsa L.", contact="555-0101"), saving=fresh_token(), now=now
    )
    token = fresh_token()
    for _ in range(2):
        merged = customer.merge(bench, number=other.number, into=card.customer.number, saving=token, now=now)
    assert (merged.name, merged.mail, merged.contact) == ("Asa Lindqvist", "asa@example.org", "555-0101")
    gone = customer.customer(bench, number=other.number).card
    assert (gone.state, gone.merged_into) == ("merged", card.customer.number)
    assert [one.number for one in customer.customers(bench).customers] == [card.customer.number]
    refused(lambda: customer.merge(bench, number=1, into=1, saving=fresh_token(), now=now), "customer.itself", "into")
    refused(
        lambda: customer.merge(bench, number=other.number, into=1, saving=fresh_token(), now=now), "customer.gone", "into"
    )


def test_customers_are_found_by_beginnings_of_words(bench, now):
    made(bench, now)
    customer.keep(bench, customer=CustomerGiven(name="Ottoline Grice", address="The Lock House"), saving=fresh_token(), now=now)
    for words, names in (("ott", ["Ottoline Grice"]), ("lock gri", ["Ottoline Grice"]), ("LINDQ", ["Asa Lindqvist"]), ("qvist", []), ("", ["Ottoline Grice", "Asa Lindqvist"])):
        assert [one.name for one in customer.customers(bench, words=words).customers] == names


def test_erasing_takes_the_person_and_leaves_the_figures(bench, now):
    card = made(bench, now)
    refused(lambda: forgetting.erase(bench, number=1, saving=fresh_token(), now=now), "customer.open")
    said_yes(bench, now, card)
    given = forgetting.given_out(bench, number=1)
    assert given["customer"]["name"] == "Asa Lindqvist"
    assert [one["quote"] for one in given["offers"]] == [1]
    forgetting.erase(bench, number=1, saving=fresh_token(), now=now)
    with bench.reading() as session:
        everything = "".join(
            json.dumps([dict(row) for row in session.execute(text(f"SELECT * FROM {name}")).mappings()], default=str)  # noqa: S608
            for name in ("customer", "offer", "quote", "quote_word", "question")
        )
    for trace in ("Asa", "asa", "Lindqvist", "lindqvist"):
        assert trace not in everything
    after = looked_at(bench, now, card)
    assert (after.total, after.content, after.state) == (card.total, CONTENT, OfferState.ACCEPTED)
    refused(lambda: offer.paper_of(bench, offer_id=card.id), "offer.no_paper", error=NotFound)
    assert quote.quotes(bench, words="lindqvist").quotes == ()


def test_a_customer_changed_in_another_window_is_told(bench, now):
    card = customer.keep(bench, customer=CustomerGiven(name="Ann"), saving=fresh_token(), now=now)
    changed = {"customer": CustomerGiven(name="Anne"), "number": card.number, "revision": card.revision, "now": now}
    customer.keep(bench, saving=fresh_token(), **changed)
    refused(lambda: customer.keep(bench, saving=fresh_token(), **changed), "customer.changed", error=Clash)


def test_lists_ask_as_often_however_many_there_are(bench, now, count_queries):
    def asked():
        with count_queries(bench) as said:
            offer.offers(bench, key=KEY, now=now, limit=5)
            customer.customers(bench, limit=5)
        return len(said)

    for _ in range(6):
        made(bench, now)
    asked()
    before = asked()
    for _ in range(12):
        made(bench, now)
    assert asked() == before


def test_a_letter_about_an_open_offer_is_put_into_the_outbox_once_a_press(bench, now):
    card, token = made(bench, now), fresh_token()
    for _ in range(2):
        offer.send(bench, offer_id=card.id, subject="Your rug", body="Here it is.", key=KEY, saving=token, now=now)
    [letter] = outbox.letters(bench, about=offer.about_offer(card.id)).letters
    assert (letter.to, letter.subject, letter.state) == ("asa@example.org", "Your rug", LetterState.WAITING)
    said_yes(bench, now, card)
    late = {"offer_id": card.id, "subject": "Your rug", "body": "Here.", "key": KEY, "saving": fresh_token(), "now": now}
    refused(lambda: offer.send(bench, **late), "offer.closed", error=Clash)
    assert len(outbox.letters(bench).letters) == 1


def test_no_letter_goes_to_somebody_without_an_address_nor_stays_of_somebody_erased(bench, now):
    card = made(bench, now, who=CustomerGiven(name="Asa Lindqvist"))
    letter = {"subject": "Your rug", "body": "Here.", "key": KEY, "now": now}
    refused(lambda: offer.send(bench, offer_id=card.id, saving=fresh_token(), **letter), "letter.address", "to")
    other = made(bench, now, number=a_planned_quote(bench, now, 1), who=CustomerGiven(name="Bo Ek", mail="bo@example.org"))
    offer.send(bench, offer_id=other.id, saving=fresh_token(), **letter)
    offer.withdraw(bench, offer_id=other.id, key=KEY, saving=fresh_token(), now=now)
    forgetting.erase(bench, number=other.customer.number, saving=fresh_token(), now=now)
    assert outbox.letters(bench).letters == ()
