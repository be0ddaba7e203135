"""Orders under whatever may happen to them, step after step, on both databases: offered, agreed, paid, drawn, handed over, undone.

After each step all money received is earned, owed to customers or given back; papers have numbers without holes; and an
offer that was once given has not changed by a byte; and what the history finds orders by is as it would be written anew. ``THRIFTLOOM_LONG=1`` runs many more steps.
"""

import json
import os
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from shop.core.account_of_order import Happening
from shop.core.amount import Share
from shop.core.errors import Refusal
from shop.core.money import Money
from shop.core.money_request import Asked, Standing
from shop.core.order import OfferState
from shop.usecases import answer, draw, invoice, job, money_paper, money_request, offer, order_money
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.money_paper import Printed
from shop.usecases.money_request import RequestMade
from shop.usecases.offer import OfferGiven
from tests.builders import (
    a_haul_at_home,
    a_kept_loom,
    a_planned_job,
    a_planned_quote,
    a_sheet,
    an_open_shop,
)
from tests.usecases.history_kept import entries_anew, entries_kept

LONG = os.environ.get("THRIFTLOOM_LONG") == "1"
KEY = b"a key that only this shop has, and long"
NOW = datetime(2026, 3, 17, 15, 30, tzinfo=UTC)
KINDS = ("invoice", "receipt", "credit note")
QUOTES = 5

places = st.integers(0, 50)
cents = st.integers(0, 9000)


def paper(said):
    return Printed(content={"number": said.number, "day": said.on.isoformat()}, pdf=b"%PDF")


def asked_for(said):
    return RequestMade(content={"reference": said.reference}, pdf=b"%PDF", subject=said.reference, body="Please pay.")


class Orders(RuleBasedStateMachine):
    """One shop with a few quotes; ``store`` is given by the test."""

    store = None

    def __init__(self):
        super().__init__()
        self.now, self.given, self.jobs, self.received, self.accepted = NOW, {}, [], Money(0, "USD"), 0

    def said(self):
        return {"saving": fresh_token(), "now": self.now}

    def cards(self):
        return [offer.offer_by_id(self.store, offer_id=one, key=KEY, now=self.now) for one in self.given]

    def open_one(self):
        return next((one for one in self.cards() if one.state is OfferState.OFFERED), None)

    def stock(self):
        an_open_shop(self.store, NOW)
        a_kept_loom(self.store, NOW)
        a_haul_at_home(self.store, NOW, a_sheet(ready=True), a_sheet(ready=True))
        self.quotes = [a_planned_quote(self.store, NOW, 1) for _ in range(QUOTES)]
        for place in range(2):  # two are agreed from the beginning, so that there is something to pay
            self.offer_it(place, 60, 5000)
            self.say_yes(place, twice=False)

    @rule(place=places, days=st.integers(0, 30), deposit=cents)
    def offer(self, place, days, deposit):
        self.offer_it(place, days, deposit)

    def offer_it(self, place, days, deposit):
        given = OfferGiven(
            content={"name": f"rug {place}", "terms": [str(deposit)]},
            paper=f"%PDF {place} {deposit}".encode(),
            deposit=Money(deposit, "USD"),
            holds_until=self.now.date() + timedelta(days=days),
        )
        who = CustomerGiven(name="Asa Lindqvist")
        try:
            made = offer.offer(
                self.store, quote=self.quotes[place % QUOTES], revision=1, given=given, customer=who, key=KEY, **self.said()
            )
        except Refusal:
            return
        self.given[made.id] = (json.dumps(given.content, sort_keys=True), given.paper, made.digest, given.deposit)

    @precondition(lambda self: self.given)
    @rule(place=places, twice=st.booleans())
    def accept(self, place, twice):
        self.say_yes(place, twice=twice)

    def say_yes(self, place, *, twice):
        cards = self.cards()
        card = cards[place % len(cards)]
        could = card.state is OfferState.OFFERED
        for _ in range(1 + twice):
            try:
                said = answer.accept(self.store, token=card.token, name="Asa", digest=card.digest, key=KEY, **self.said())
            except Refusal:
                assert card.state is not OfferState.ACCEPTED
                assert not could
                return
            if could:
                self.jobs.append(said.job)
                could = False
        assert len(self.jobs) == len(set(self.jobs))

    @precondition(lambda self: self.open_one())
    @rule(how=st.sampled_from(["withdraw", "ask", "decline", "renew"]))
    def turn(self, how):
        card = self.open_one()
        if how == "withdraw":
            offer.withdraw(self.store, offer_id=card.id, key=KEY, **self.said())
        elif how == "ask":
            answer.ask(self.store, token=card.token, words="Can it be wider?", key=KEY, **self.said())
        elif how == "renew":
            offer.renew_link(self.store, offer_id=card.id, key=KEY, **self.said())
        else:
            answer.decline(self.store, token=card.token, word="too blue", key=KEY, **self.said())

    @rule(days=st.integers(1, 3))
    def wait(self, days):
        self.now += timedelta(days=days)

    @precondition(lambda self: self.jobs)
    @rule(place=places, what=st.sampled_from([Happening.PAYMENT, Happening.PAYMENT, Happening.REFUND, Happening.TIP]), minor=cents)
    def money(self, place, what, minor):
        amount = Money(minor, "USD")
        try:
            order_money.record(self.store, job=self.job(place), what=what, amount=amount, means="card", **self.said())
        except Refusal:
            return
        if what is Happening.PAYMENT:
            self.received += amount

    @precondition(lambda self: self.jobs)
    @rule(place=places)
    def strike(self, place):
        events = [one for one in self.account(self.job(place)).events if not one.undone]
        if not events:
            return
        event = events[place % len(events)]
        try:
            order_money.undo(self.store, job=self.job(place), event=event.id, **self.said())
        except Refusal:
            return
        if event.what is Happening.PAYMENT:
            self.received -= event.amount

    @precondition(lambda self: self.jobs)
    @rule(place=places, percent=st.integers(1, 60))
    def draw_cloth(self, place, percent):
        self.tried(draw.draw, number=1 + place % 2, job=self.job(place), amount=Share(Decimal(percent) / 100))

    @precondition(lambda self: self.jobs)
    @rule(place=places)
    def weave(self, place):
        self.tried(job.weave, number=self.job(place))

    @precondition(lambda self: self.jobs)
    @rule(place=places, minor=cents, done=st.booleans())
    def hand_over(self, place, minor, done):
        if done:
            self.tried(draw.draw, number=1 + place % 2, job=self.job(place), amount=Share(Decimal("0.05")))
            self.tried(job.weave, number=self.job(place))
        self.tried(order_money.hand_over, job=self.job(place), came_to=Money(minor, "USD"))

    @precondition(lambda self: len(self.jobs) > 2)
    @rule(place=places, minor=cents)
    def cancel(self, place, minor):
        self.tried(order_money.cancel, job=self.job(place), kept=Money(minor, "USD"))

    @precondition(lambda self: self.jobs)
    @rule(place=places, kind=st.sampled_from(KINDS))
    def write(self, place, kind):
        found = self.account(self.job(place))
        events, invoices = [one.id for one in found.events], [one.id for one in found.papers if one.kind == "invoice"]
        given = {"job": self.job(place), "make": paper}
        if kind == "invoice":
            self.tried(invoice.write_invoice, **given)
        elif kind == "receipt" and events:
            self.tried(money_paper.write_receipt, event=events[place % len(events)], **given)
        elif kind == "credit note" and invoices:
            self.tried(invoice.write_credit_note, of=invoices[place % len(invoices)], **given)

    @precondition(lambda self: self.jobs)
    @rule(place=places, what=st.sampled_from(Asked), sent=st.booleans())
    def ask(self, place, what, sent):
        number, due = self.job(place), self.now.date() + timedelta(days=14)
        self.tried(money_request.write_request, job=number, what=what.value, due=due, make=asked_for)
        if sent:
            self.tried(money_request.mark_sent, job=number, nth=len(self.account(number).requests))

    def job(self, place):
        return self.jobs[place % len(self.jobs)]

    def account(self, number):
        return order_money.money_of(self.store, job=number)

    def tried(self, act, **given):
        try:
            act(self.store, **given, **self.said())
        except Refusal:
            return

    @invariant()
    def holds(self):
        found = [self.account(number) for number in self.jobs]
        no = Money(0, "USD")
        received = earned = owed = returned = no
        for one in found:
            account = one.account
            assert min(account.earned.minor, account.owed.minor, account.returned.minor, account.tips.minor) >= 0
            received, earned = received + account.received, earned + account.earned
            owed, returned = owed + account.owed, returned + account.returned
        assert received == self.received == earned + owed + returned
        for one in found:
            standing = [request for request in one.requests if request.standing is Standing.OUTSTANDING]
            assert standing in ([], list(one.requests[-1:]))
            for line in one.papers:
                if line.kind == "invoice":
                    assert line.total == one.agreed or line.total < one.agreed
        for kind in KINDS:
            numbers = sorted(line.number for one in found for line in one.papers if line.kind == kind)
            assert numbers == list(range(1, len(numbers) + 1)), kind
        for card in self.cards():
            as_kept = (
                json.dumps(card.content, sort_keys=True),
                offer.paper_of(self.store, offer_id=card.id),
                card.digest,
                card.deposit,
            )
            assert as_kept == self.given[card.id]
        assert entries_kept(self.store) == entries_anew(self.store)
        for quote in self.quotes:
            states = [card.state for card in self.cards() if card.quote == quote]
            assert states.count(OfferState.OFFERED) + states.count(OfferState.ACCEPTED) <= 1


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_money_numbers_and_offers_hold_whatever_happens(kind, request):
    stores = request.getfixturevalue(f"{kind}_shops")

    class Machine(Orders):
        @initialize()
        def open(self):
            type(self).store = stores()
            self.stock()

    run_state_machine_as_test(
        Machine,
        settings=settings(
            max_examples=60 if LONG else 8,
            stateful_step_count=80 if LONG else 40,
            deadline=None,
            suppress_health_check=list(HealthCheck),
            derandomize=not LONG,
            phases=(Phase.generate,),  # a story of forty steps is read sooner than it is made shorter
        ),
    )


def test_eight_that_write_invoices_at_once_leave_no_hole_in_the_numbers(store, now):
    """Of every second one the writing breaks off after it was told its number."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    jobs = [a_planned_job(store, now, 1) for _ in range(8)]

    def torn(_said):
        raise OSError("the pen broke")

    def writes(number):
        for _ in range(3):
            with pytest.raises(OSError, match="pen"):
                invoice.write_invoice(store, job=number, make=torn, saving=fresh_token(), now=now)
            made = invoice.write_invoice(store, job=number, make=paper, saving=fresh_token(), now=now)
            invoice.write_credit_note(store, job=number, of=made.id, make=paper, saving=fresh_token(), now=now)
        return order_money.money_of(store, job=number).papers

    with ThreadPoolExecutor(8) as pool:
        papers = [one for found in pool.map(writes, jobs) for one in found]
    for kind in ("invoice", "credit note"):
        assert sorted(one.number for one in papers if one.kind == kind) == list(range(1, 25)), kind
