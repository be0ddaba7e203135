"""Requests for the deposit and the balance: written once a press, frozen, sent, outstanding until paid."""

from datetime import timedelta

import pytest

from shop.core.account_of_order import Happening
from shop.core.errors import Clash, NotFound, NotPossible, Refusal
from shop.core.money import Money
from shop.core.money_request import Asked, Standing
from shop.usecases import forgetting, money_request, order_money, outbox
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from tests.builders import a_job, codes, money
from tests.usecases.an_order import Press, a_bench, an_order, in_days


@pytest.fixture
def bench(store, now):
    a_bench(store, now)
    an_order(store, now)
    return store


def asked(store, now, what="deposit", *, press=None, saving=None, **changed):
    given = {"job": 1, "what": what, "due": in_days(now, 14), **changed}
    return money_request.write_request(
        store, make=(press or Press()).request, saving=saving or fresh_token(), now=now, **given
    )


def paid(store, now, amount, what=Happening.PAYMENT):
    return order_money.record(
        store, job=1, what=what, amount=amount, means="transfer", saving=fresh_token(), now=now
    )


def requests(store):
    return order_money.money_of(store, job=1).requests


def refused(what, code, where="", error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {(where, code)}


def test_the_same_press_twice_is_one_paper(bench, now):
    token, press = fresh_token(), Press()
    first, again = (asked(bench, now, press=press, saving=token) for _ in range(2))
    assert first == again
    assert len(press.told) == len(requests(bench)) == 1
    refused(lambda: asked(bench, now, "balance", saving=token), "saving.other", error=Clash)
    assert len(requests(bench)) == 1


def test_a_request_says_what_is_asked_for_and_what_was_paid(bench, now):
    found = order_money.money_of(bench, job=1)
    paid(bench, now, money("1.00"))
    press = Press()
    one = asked(bench, now, press=press)
    asked(bench, now, "balance", press=press)
    deposit, balance = press.told
    assert (deposit.reference, balance.reference) == ("1-1", "1-2")
    assert (deposit.what, deposit.amount, deposit.price, deposit.paid) == (
        Asked.DEPOSIT, found.deposit - money("1.00"), found.agreed, money("1.00"),
    )  # fmt: skip
    assert (deposit.to_reach, balance.to_reach) == (found.deposit, found.agreed)
    assert (balance.what, balance.amount, balance.price) == (Asked.BALANCE, found.agreed - money("1.00"), found.agreed)
    assert (deposit.buyer.name, deposit.name, deposit.on, deposit.due) == (
        "Asa Lindqvist", "Hall runner", now.date(), in_days(now, 14),
    )  # fmt: skip
    assert (one.amount, one.missing, one.standing, one.sent_at) == (deposit.amount, deposit.amount, Standing.OUTSTANDING, None)
    assert money_request.pdf_of(bench, job=1, nth=1) == b"%PDF-request"


def test_it_is_outstanding_until_paid_and_again_if_the_money_goes_back(bench, now):
    one = asked(bench, now)
    half = Money(one.amount.minor // 2, "USD")
    paid(bench, now, half)
    assert (requests(bench)[0].standing, requests(bench)[0].missing) == (Standing.OUTSTANDING, one.amount - half)
    paid(bench, now, one.amount - half)
    assert (requests(bench)[0].standing, requests(bench)[0].missing) == (Standing.PAID, money("0"))
    paid(bench, now, half, Happening.REFUND)
    assert requests(bench)[0].standing is Standing.OUTSTANDING


def test_a_later_request_takes_the_place_of_an_earlier(bench, now):
    asked(bench, now)
    asked(bench, now, "balance")
    assert [one.standing for one in requests(bench)] == [Standing.REPLACED, Standing.OUTSTANDING]
    refused(lambda: money_request.mark_sent(bench, job=1, nth=1, saving=fresh_token(), now=now), "request.settled", error=Clash)


def test_what_can_be_asked_for_is_told(bench, now):
    found = order_money.money_of(bench, job=1)
    assert found.can_ask == ((Asked.DEPOSIT, found.deposit), (Asked.BALANCE, found.agreed))
    assert paid(bench, now, found.deposit).can_ask == ((Asked.BALANCE, found.agreed - found.deposit),)
    refused(lambda: asked(bench, now), "request.no_deposit", "what", NotPossible)
    assert paid(bench, now, found.agreed - found.deposit).can_ask == ()
    refused(lambda: asked(bench, now, "balance"), "request.paid", "what", NotPossible)


def test_what_cannot_be_asked_is_refused_and_writes_nothing(bench, now):
    refused(lambda: asked(bench, now, due=in_days(now, -1)), "offer.past", "due")
    refused(lambda: asked(bench, now, "a favour"), "choice.unknown", "what")
    refused(lambda: asked(bench, now, job=99), "job.unknown", error=NotFound)
    other = a_job(bench, now, name="Other")
    refused(lambda: asked(bench, now, "balance", job=other), "request.no_price", error=NotPossible)
    refused(lambda: money_request.pdf_of(bench, job=1, nth=1), "request.unknown", error=NotFound)
    assert requests(bench) == ()
    asked(bench, now)
    order_money.cancel(bench, job=1, kept=money("0"), saving=fresh_token(), now=now)
    refused(lambda: asked(bench, now, "balance"), "request.cancelled", error=NotPossible)
    assert [one.standing for one in requests(bench)] == [Standing.DROPPED]


def test_its_letter_goes_to_the_customer_once_a_press(bench, now):
    asked(bench, now)
    token, later = fresh_token(), now + timedelta(hours=1)
    for _ in range(2):
        one = money_request.send_request(bench, job=1, nth=1, saving=token, now=later)
    assert one.sent_at == later
    [letter] = outbox.letters(bench, about=money_request.about_request(one.id)).letters
    assert (letter.to, letter.subject, letter.body) == ("asa@example.org", "Pay 1-1", "Please pay.")
    last = money_request.mark_sent(bench, job=1, nth=1, saving=fresh_token(), now=later + timedelta(days=1))
    assert last.sent_at == later + timedelta(days=1)
    assert len(outbox.letters(bench).letters) == 1


def test_without_an_address_no_letter_goes_and_nothing_is_noted(store, now):
    a_bench(store, now)
    an_order(store, now, CustomerGiven(name="Asa Lindqvist"))
    asked(store, now)
    refused(
        lambda: money_request.send_request(store, job=1, nth=1, saving=fresh_token(), now=now), "letter.address", "to"
    )
    assert requests(store)[0].sent_at is None


def test_an_erased_person_is_taken_off_the_requests(bench, now):
    asked(bench, now)
    assert forgetting.given_out(bench, number=1)["requests"][0]["says"]["letter"]["body"] == "Please pay."
    forgetting.erase(bench, number=1, saving=fresh_token(), now=now)
    assert [(one.has_paper, one.standing) for one in requests(bench)] == [(False, Standing.OUTSTANDING)]
    refused(lambda: money_request.pdf_of(bench, job=1, nth=1), "offer.no_paper", error=NotFound)
    refused(lambda: money_request.mark_sent(bench, job=1, nth=1, saving=fresh_token(), now=now), "request.settled", error=Clash)


def test_looking_asks_as_often_for_many_requests_as_for_few_and_fetches_no_paper(bench, now, count_queries):
    def said():
        with count_queries(bench) as queries:
            order_money.money_of(bench, job=1)
        return [statement for statement, _ in queries]

    asked(bench, now)
    few = said()
    for _ in range(5):
        asked(bench, now, "balance")
        paid(bench, now, money("0.10"))
    assert len(said()) == len(few)
    assert not any("pdf" in statement for statement in few)
