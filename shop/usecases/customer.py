"""Customers: kept, found, merged when they were entered twice. What is kept of them is given out and erased in ``forgetting``."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.store import customer as table
from shop.store import history_entry, job_record
from shop.store import offer as offer_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.store.numbering import take
from shop.usecases.given import Given, is_number_of_a_row

PAGE: Final = 30
MOST_OFFERS: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerGiven:
    """A customer as they are to be kept."""

    name: str
    mail: str = ""
    contact: str = ""
    address: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerCard(CustomerGiven):
    """A customer as they are kept; ``state`` is ``known``, ``merged`` or ``erased``, ``merged_into`` a number."""

    number: int
    state: str
    merged_into: int | None
    created_at: datetime
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferOfCustomer:
    """An offer that a customer had."""

    id: int
    quote: int
    title: str
    revision: int
    state: str
    offered_at: datetime
    total: int
    currency: str


@dataclass(frozen=True, slots=True)
class JobOfCustomer:
    """A job for a customer, and how many photographs it has."""

    number: int
    name: str
    photographs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerPage:
    """A page of customers, newest first; ``further`` is where the next page begins."""

    customers: tuple[CustomerCard, ...]
    further: int | None


def keep(
    store: Store, *, customer: CustomerGiven, number: int | None = None, revision: int = 0, saving: str, now: datetime
) -> CustomerCard:
    """Keep a customer, new or changed.

    Raises:
        NotFound: ``customer.unknown``.
        Clash: ``customer.changed`` when it has been changed since the page was shown.
        Refusal: ``text.missing`` and so on at ``customer.name``, ``customer.mail``, ...
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="customer.keep", token=saving, given=(number, customer), now=now)
        if earlier is not None:
            return card_of(session, customer_in(session, earlier))
        if number is None:
            row = new_in(session, customer, now)
        else:
            row = customer_in(session, number, lock=True)
            if row.state != "known" or row.revision != revision:
                raise Clash(Problem("customer.changed", values={"number": number}))
            _put(row, customer, now)
            _rename(session, row)
        session.flush()
        presses.settle(session, act="customer.keep", token=saving, about=row.number)
        return card_of(session, row)


def new_in(session: Session, customer: CustomerGiven, now: datetime) -> table.Customer:
    """A new customer, as part of another use case."""
    row = table.Customer(state="known", merged_into_id=None, created_at=now, revision=0)
    _put(row, customer, now)
    row.number = take(session, "customer")[0]
    session.add(row)
    session.flush()
    return row


def _put(row: table.Customer, customer: CustomerGiven, now: datetime) -> None:
    given = Given()
    row.name = given.line("customer.name", customer.name, required=True)
    row.mail = given.mail("customer.mail", customer.mail)
    row.contact = given.block("customer.contact", customer.contact, most=400)
    row.address = given.block("customer.address", customer.address, most=600)
    row.note = given.block("customer.note", customer.note)
    given.done()
    row.search_text = table.search_text(row.name, row.mail, row.contact, row.address)
    row.changed_at = now
    row.revision += 1


def _rename(session: Session, row: table.Customer) -> None:
    """Orders are found by what their customers are called now."""
    session.flush()
    jobs = history_entry.jobs_that_name(session, customer_id=row.id)
    history_entry.renew(session, jobs)


def customer_in(session: Session, number: int, *, lock: bool = False) -> table.Customer:
    """The customer of that number, as part of another use case.

    Raises:
        NotFound: ``customer.unknown``.
    """
    row = table.by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("customer.unknown", values={"number": number}))
    return row


def card_of(session: Session, row: table.Customer) -> CustomerCard:
    """A customer's card, as part of another use case."""
    into = session.get(table.Customer, row.merged_into_id) if row.merged_into_id else None
    return CustomerCard(
        number=row.number,
        name=row.name,
        mail=row.mail,
        contact=row.contact,
        address=row.address,
        note=row.note,
        state=row.state,
        merged_into=into.number if into else None,
        created_at=row.created_at,
        revision=row.revision,
    )


def customers(store: Store, *, words: str = "", below: int | None = None, limit: int = PAGE) -> CustomerPage:
    """Look through the customers, newest first; ``words`` are beginnings of words of name, address and so on."""
    with store.reading() as session:
        found = table.newest(session, words=words_of(words[:200])[:6], below=below, limit=limit + 1)
        page = found[:limit]
        cards = tuple(card_of(session, row) for row in page)
        return CustomerPage(customers=cards, further=page[-1].number if len(found) > limit else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerWithOffers:
    """A customer, what was offered to them, newest first, and what was woven for them, oldest first."""

    card: CustomerCard
    offers: tuple[OfferOfCustomer, ...]
    jobs: tuple[JobOfCustomer, ...]


def customer(store: Store, *, number: int) -> CustomerWithOffers:
    """A customer with their offers.

    Raises:
        NotFound: ``customer.unknown``.
    """
    with store.reading() as session:
        row = customer_in(session, number)
        return CustomerWithOffers(card=card_of(session, row), offers=offers_of(session, row), jobs=_jobs(session, row))


def offers_of(session: Session, row: table.Customer) -> tuple[OfferOfCustomer, ...]:
    """What was offered to a customer, newest first, as part of another use case."""
    return tuple(
        OfferOfCustomer(
            id=offer.id,
            quote=quote.number,
            title=quote.title,
            revision=offer.revision,
            state=offer.state,
            offered_at=offer.offered_at,
            total=offer.total,
            currency=offer.currency,
        )
        for offer, quote in offer_table.of_customer(session, row.id, limit=MOST_OFFERS)
    )


def _jobs(session: Session, row: table.Customer) -> tuple[JobOfCustomer, ...]:
    jobs = offer_table.jobs_of_customer(session, row.id)
    owners = [one.job_id for one in job_record.photographs_of(session, [job.id for job in jobs])]
    return tuple(JobOfCustomer(job.number, job.name, owners.count(job.id)) for job in jobs)


def merge(store: Store, *, number: int, into: int, saving: str, now: datetime) -> CustomerCard:
    """Two entries are one person: the offers of the first go to the second, and what the second lacks is filled in.

    Raises:
        NotFound: ``customer.unknown``.
        Refusal: ``customer.itself``; ``customer.gone`` when either is merged or erased already.
    """
    if number == into:
        raise Refusal(Problem("customer.itself", "into"))
    with store.writing() as session:
        first, second = (customer_in(session, one, lock=True) for one in sorted((number, into)))
        source, target = (first, second) if first.number == number else (second, first)
        given = {"into": into}
        if presses.claim(session, act=f"customer.merge.{source.id}", token=saving, given=given, now=now) is None:
            if source.state != "known" or target.state != "known":
                raise Refusal(Problem("customer.gone", "into"))
            for offer, _ in offer_table.of_customer(session, source.id, limit=100_000):
                offer.customer_id = target.id
            joined = CustomerGiven(
                name=target.name,
                mail=target.mail or source.mail,
                contact=target.contact or source.contact,
                address=target.address or source.address,
                note="\n".join(part for part in (target.note, source.note) if part)[:2000],
            )
            _put(target, joined, now)
            source.state, source.merged_into_id, source.changed_at = "merged", target.id, now
            source.revision += 1
            _rename(session, target)
        return card_of(session, target)
