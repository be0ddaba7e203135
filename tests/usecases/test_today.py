"""What to do today: questions, letters, late promises, deposits, offers that lapse; each leaves when it is done."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from shop.core.account_of_order import Happening
from shop.core.letter import NotSent, Trouble
from shop.usecases import answer, clock, money_request, offer, order_money, outbox, promises, today
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.money_request import RequestMade
from shop.usecases.offer import OfferGiven
from shop.usecases.promises import WeekGiven
from shop.usecases.today import Task
from tests.a_fair import a_fair, a_key, a_phone, a_sale, an_entry, an_undo, sent, some_rugs
from tests.builders import a_haul_at_home, a_job, a_kept_loom, a_planned_quote, a_sheet, an_open_shop, money

KEY = b"a key that only this shop has, and long"
CONTENT = {"name": "Hall runner", "terms": []}


@pytest.fixture
def bench(store, now):
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    return store


def made(store, now, *, days=30, promised=None):
    given = OfferGiven(
        content=CONTENT, paper=b"%PDF", deposit=money("70.00"), holds_until=now.date() + timedelta(days=days), promised=promised
    )
    who = CustomerGiven(name="Asa Lindqvist", mail="asa@example.org")
    return offer.offer(
        store, quote=a_planned_quote(store, now, 1), revision=1, given=given, customer=who, key=KEY, saving=fresh_token(), now=now
    )


def accepted(store, now, card):
    return answer.accept(store, token=card.token, name="Asa", digest=card.digest, key=KEY, saving=fresh_token(), now=now)


def tasks(store, now):
    return [one.task for one in today.chores(store, now=now)]


def test_a_shop_without_offers_has_nothing_to_do_today(bench, now):
    assert tasks(bench, now) == []


def test_an_offer_waits_then_lapses_then_is_gone(bench, now):
    card = made(bench, now, days=10)
    [one] = today.chores(bench, now=now)
    assert (one.task, one.number, one.who, one.day) == (Task.WAITS, card.id, "Asa Lindqvist", card.holds_until)
    assert tasks(bench, now + timedelta(days=3)) == [Task.LAPSES]
    assert tasks(bench, now + timedelta(days=10)) == [Task.LAPSES]
    assert tasks(bench, now + timedelta(days=11)) == []


def test_a_question_comes_before_all_else(bench, now):
    made(bench, now)
    card = made(bench, now)
    answer.ask(bench, token=card.token, words="Can it be wider?", key=KEY, saving=fresh_token(), now=now)
    assert tasks(bench, now) == [Task.ANSWER, Task.WAITS]


def test_a_no_is_told_for_a_fortnight_or_until_another_offer_is_made(bench, now):
    card = made(bench, now)
    answer.decline(bench, token=card.token, word="Too wide for us", key=KEY, saving=fresh_token(), now=now)
    [one] = today.chores(bench, now=now + timedelta(days=13))
    assert (one.task, one.number, one.who, one.day, one.said) == (Task.DECLINED, card.id, "Asa Lindqvist", now.date(), "Too wide for us")
    assert tasks(bench, now + timedelta(days=15)) == []


def test_a_deposit_is_due_until_all_of_it_is_paid_and_not_given_back(bench, now):
    job = accepted(bench, now, made(bench, now)).job

    def happened(what, amount):
        given = {"what": Happening(what), "amount": money(amount), "means": "card", "on": now.date()}
        order_money.record(bench, job=job, **given, saving=fresh_token(), now=now)

    def missing():
        return [(one.number, one.amount) for one in today.chores(bench, now=now) if one.task is Task.DEPOSIT]

    assert missing() == [(job, money("70.00"))]
    happened("payment", "50.00")
    assert missing() == [(job, money("20.00"))]
    happened("tip", "20.00")
    assert missing() == [(job, money("20.00"))]
    happened("payment", "20.00")
    assert missing() == []
    happened("refund", "1.00")
    assert missing() == [(job, money("1.00"))]


def test_a_deposit_that_was_asked_for_says_when(bench, now):
    job = accepted(bench, now, made(bench, now)).job

    def asked():
        return [(one.written, one.asked) for one in today.chores(bench, now=now) if one.task is Task.DEPOSIT]

    def make(said):
        return RequestMade(content={}, pdf=b"%PDF", subject=said.reference, body="Please pay.")

    assert asked() == [(False, None)]
    due = now.date() + timedelta(days=14)
    money_request.write_request(bench, job=job, what="deposit", due=due, make=make, saving=fresh_token(), now=now)
    assert asked() == [(True, None)]
    midnight = now.replace(hour=23, minute=59) + timedelta(days=2, hours=2)  # still the day before in New York
    money_request.send_request(bench, job=job, nth=1, saving=fresh_token(), now=midnight)
    assert asked() == [(True, now.date() + timedelta(days=2))]
    money_request.write_request(bench, job=job, what="balance", due=due, make=make, saving=fresh_token(), now=now)
    assert asked() == [(True, now.date() + timedelta(days=2))]


def test_a_promise_that_is_hard_to_keep_is_told(bench, now):
    hours = tuple(Decimal(each) for each in (1, 0, 0, 0, 0, 0, 0))
    promises.keep_week(bench, week=WeekGiven(hours=hours), revision=0, saving=fresh_token(), now=now)
    early, late = now.date() + timedelta(days=3), date(now.year + 2, 1, 1)
    job = accepted(bench, now, made(bench, now, promised=early)).job
    accepted(bench, now, made(bench, now, promised=late))
    assert [(one.number, one.day) for one in today.chores(bench, now=now) if one.task is Task.LATE] == [(job, early)]


def test_a_letter_in_trouble_is_looked_after(bench, now):
    def refused(letter):
        raise NotSent(Trouble.RECIPIENT, "550 nobody", forever=True)

    card = made(bench, now)
    offer.send(bench, offer_id=card.id, subject="Your rug", body="Here.", key=KEY, saving=fresh_token(), now=now)
    assert Task.LETTER not in tasks(bench, now)
    outbox.send_due(bench, refused, now=now)
    assert tasks(bench, now) == [Task.LETTER, Task.WAITS]
    outbox.let_go(bench, letter_id=1, saving=fresh_token(), now=now)
    assert tasks(bench, now) == [Task.WAITS]


def test_a_running_clock_is_told_until_it_is_stopped(bench, now):
    number = a_job(bench, now, name="Hall runner")
    clock.start(bench, job=number, step="weave", saving=fresh_token(), now=now)
    [one] = today.chores(bench, now=now)
    assert (one.task, one.number, one.title, one.step, one.since) == (Task.CLOCK, number, "Hall runner", "weave", now)
    clock.stop(bench, job=number, saving=fresh_token(), now=now + timedelta(minutes=5))
    assert tasks(bench, now) == []


def test_a_fair_that_is_on_a_rug_sold_twice_and_a_wish_are_told_and_lead_to_its_till(bench, now, count_queries):
    def queries_of(store, at):
        with count_queries(store) as said:
            today.chores(store, now=at)
        return len(said)

    fair = a_fair(bench, now)
    rug, *_ = some_rugs(bench, now, fair)
    assert [(one.task, one.number, one.fair) for one in today.chores(bench, now=now)] == [(Task.FAIR, fair, fair)]
    wish = an_entry(a_key(7), "wish", {"name": "Asa", "contact": "", "width": "24", "length": "60", "words": "Blue"})
    sent(bench, a_phone(bench, now, fair), a_sale(a_key(1), rug), a_sale(a_key(2), rug), wish)
    found = today.chores(bench, now=now)
    assert [(one.task, one.fair) for one in found] == [(Task.TWICE, fair), (Task.FAIR, fair), (Task.WISH, fair)]
    assert (found[0].title, found[2].who) == ("Hall runner", "Asa")
    sent(bench, a_phone(bench, now, fair, "Another"), an_undo(a_key(2)))
    assert tasks(bench, now) == [Task.FAIR, Task.WISH]
    few = queries_of(bench, now)
    for place in range(20, 26):
        other = a_fair(bench, now)
        some_rugs(bench, now, other)
        sent(bench, a_phone(bench, now, other), an_entry(a_key(place), "wish", {"name": "Bo", "contact": "", "width": "", "length": "", "words": ""}))
    assert queries_of(bench, now) == few


def test_looking_asks_as_often_for_many_orders_as_for_few(bench, now, count_queries):
    def asked():
        with count_queries(bench) as said:
            today.chores(bench, now=now)
        return len(said)

    accepted(bench, now, made(bench, now, promised=now.date() + timedelta(days=40)))
    made(bench, now)
    few = asked()
    for _ in range(4):
        accepted(bench, now, made(bench, now, promised=now.date() + timedelta(days=40)))
        made(bench, now)
    assert asked() == few
