"""An order to test with: a quote by a price rule of the test's, offered and agreed to; and papers that remember what they were told."""

from datetime import date, timedelta

from shop.usecases import answer, job, offer, price, quote
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.money_paper import Printed
from shop.usecases.money_request import RequestMade
from shop.usecases.offer import OfferGiven
from tests.builders import (
    a_haul_at_home,
    a_kept_loom,
    a_planned_quote,
    a_price_rule,
    a_sheet,
    an_open_shop,
    drawn,
)

KEY = b"a key that only this shop has, and long"
BUYER = CustomerGiven(name="Asa Lindqvist", mail="asa@example.org", address="The Lock House\nMarsh End")


def a_bench(store, now, **shop):
    """A shop with a loom and two sheets."""
    an_open_shop(store, now, **shop)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True), a_sheet(ready=True))


def a_rule(store, now, **rule):
    """The shop's prices are made by this rule from now on."""
    revision = price.current(store).revision
    price.change(store, pricing=a_price_rule(**rule), revision=revision, saving=fresh_token(), now=now)


def an_offer(store, now, who=BUYER, **chosen):
    """A rug quoted and offered; gives the offer's card."""
    number = a_planned_quote(store, now, 1, **chosen)
    view = quote.open_quote(store, number=number)
    given = OfferGiven(
        content={"name": view.title}, paper=b"%PDF", deposit=view.total.share(0.5), holds_until=date(2099, 1, 1)
    )
    return offer.offer(
        store, quote=number, revision=1, given=given, customer=who, key=KEY, saving=fresh_token(), now=now
    )


def an_order(store, now, who=BUYER, **chosen):
    """A rug quoted, offered and agreed to; gives the offer's card, and its job's number in it."""
    card = an_offer(store, now, who, **chosen)
    return answer.accept(
        store, token=card.token, name="Asa", digest=card.digest, key=KEY, saving=fresh_token(), now=now
    )


def woven(store, now, number):
    """The rug of a job is done."""
    drawn(store, now, 1, number)
    job.weave(store, number=number, saving=fresh_token(), now=now)


class Press:
    """Makes papers, and remembers what it was told that they say."""

    def __init__(self):
        self.told = []

    def __call__(self, said):
        self.told.append(said)
        return Printed(content={"number": said.number}, pdf=b"%PDF")

    def request(self, said):
        """A request, made."""
        self.told.append(said)
        return RequestMade(
            content={"reference": said.reference}, pdf=b"%PDF-request", subject=f"Pay {said.reference}", body="Please pay."
        )


def in_days(now, days):
    """So many days on."""
    return now.date() + timedelta(days=days)
