"""What was agreed on for a job, with whom, and how its money stands: what every paper about its money rests on.

A job that came of an offer goes by that offer, which is frozen; one begun from a quote goes by the quote.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from shop.core.account_of_order import Event, Happening, OrderAccount, account_of
from shop.core.agreed import Agreed
from shop.core.described import plan_of
from shop.core.errors import Problem, Refusal
from shop.core.money import Money
from shop.store import customer as customer_table
from shop.store import job as job_table
from shop.store import offer as offer_table
from shop.store import order_money as table
from shop.store import quote as quote_table
from shop.store.engine import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Buyer:
    """Whom the papers go to; what is not known is empty. ``number`` is theirs among the customers."""

    name: str = ""
    address: tuple[str, ...] = ()
    mail: str = ""
    number: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The order that a job is.

    Attributes:
        buyer: the customer.
        total: what the rug is to cost, tax and all; ``None`` where nothing was agreed.
        deposit: that was agreed on.
        account: how it stands.
        handed_over: the day of that, once it was.
        kept: the offer or quote that it goes by.
    """

    buyer: Buyer
    total: Money | None
    deposit: Money
    account: OrderAccount
    handed_over: date | None
    kept: offer_table.Offer | quote_table.Quote | None

    def agreed(self, name: str) -> Agreed:
        """The price that was agreed on, with its tax.

        Raises:
            Refusal: ``invoice.no_price`` where nothing was agreed; ``quote.unreadable``.
        """
        if self.kept is None or self.total is None:
            raise Refusal(Problem("invoice.no_price"))
        return _agreed(self.kept, self.total, name)


def event_of(row: table.OrderEvent) -> Event:
    """Something that happened, as the account knows it."""
    return Event(what=Happening(row.what), amount=Money(row.amount, row.currency))


def order_of(
    session: Session, row: job_table.Job, currency: str, events: Iterable[table.OrderEvent] | None = None
) -> Order:
    """The order that a job is; its events can be handed in where they are at hand."""
    found = table.events_of(session, row.id) if events is None else events
    standing = [one for one in found if one.undone_at is None]
    offer = offer_table.of_job(session, row.id)
    quote = session.get(quote_table.Quote, row.quote_id) if row.quote_id else None
    kept = offer or quote
    return Order(
        buyer=_buyer(session, offer, quote),
        total=Money(kept.total, kept.currency) if kept else None,
        deposit=Money(offer.deposit, offer.currency) if offer else Money.zero(currency),
        account=account_of((event_of(one) for one in standing), currency),
        handed_over=next((one.on for one in standing if one.what == Happening.HANDED_OVER), None),
        kept=kept,
    )


def _buyer(session: Session, offer: offer_table.Offer | None, quote: quote_table.Quote | None) -> Buyer:
    if offer is None:
        return Buyer(name=quote.customer_name if quote else "")
    person = session.get_one(customer_table.Customer, offer.customer_id)
    address = tuple(line.strip() for line in person.address.splitlines() if line.strip())
    return Buyer(name=person.name, address=address, mail=person.mail, number=person.number)


def _agreed(kept: offer_table.Offer | quote_table.Quote, total: Money, name: str) -> Agreed:
    """The figures that were kept, not reckoned again; older ones name no discount, and then it stands in the price."""
    try:
        rule = plan_of(cast("Mapping[str, object]", cast("Mapping[str, Any]", kept.described)["document"])).price
        figures = cast("Mapping[str, Any]", kept.figures)["price"]
        return Agreed(
            name=name,
            asking=Money(kept.asking, kept.currency),
            discount=Money.of(figures.get("discount", "0"), kept.currency),
            tax=Money.of(figures["tax"], kept.currency),
            total=total,
            tax_rate=rule.tax_rate,
            tax_included=rule.tax_included,
        )
    except (KeyError, TypeError, ValueError, ArithmeticError, Refusal):
        raise Refusal(Problem("quote.unreadable")) from None
