"""Customers: kept, found, merged when they were entered twice, given out or erased when they ask for it."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.store import customer as table
from shop.store import history_entry, job_record
from shop.store import money_request as request_table
from shop.store import offer as offer_table
from shop.store import order_money as money_table
from shop.store import quote as quote_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.store.numbering import take
from shop.usecases import outbox
from shop.usecases.given import Given, is_number_of_a_row

PAGE: Final = 30
MOST_OFFERS: Final = 100
ERASED: Final = "–"
"""What stands where an erased customer's name stood, and where words about them did."""


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
    row.mail = given.line("customer.mail", customer.mail)
    if row.mail and (row.mail.count("@") != 1 or row.mail.startswith("@") or row.mail.endswith("@") or " " in row.mail):
        given.note("customer.mail", "customer.mail", text=row.mail[:60])
    row.contact = given.block("customer.contact", customer.contact, most=400)
    row.address = given.block("customer.address", customer.address, most=600)
    row.note = given.block("customer.note", customer.note)
    given.done()
    row.search_text = table.search_text(row.name, row.mail, row.contact, row.address)
    row.changed_at = now
    row.revision += 1


def _rename(session: Session, row: table.Customer, quote_ids: Sequence[int] = ()) -> None:
    """Orders are found by what their customers are called now."""
    session.flush()
    jobs = history_entry.jobs_that_name(session, customer_id=row.id, quote_ids=quote_ids)
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
        return CustomerWithOffers(card=card_of(session, row), offers=_offers(session, row), jobs=_jobs(session, row))


def _offers(session: Session, row: table.Customer) -> tuple[OfferOfCustomer, ...]:
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


def given_out(store: Store, *, number: int) -> Mapping[str, object]:
    """All that the shop keeps of a person, as plain tables: for whoever asks what is kept of them.

    Raises:
        NotFound: ``customer.unknown``.
    """
    with store.reading() as session:
        row = customer_in(session, number)
        offers: Sequence[OfferOfCustomer] = _offers(session, row)
        person = asdict(card_of(session, row))
        return {
            "customer": {key: _plain(value) for key, value in person.items()},
            "offers": [{key: _plain(value) for key, value in asdict(one).items()} for one in offers],
            "jobs": _remembered(session, row),
            **_papers(session, row),
        }


def _remembered(session: Session, row: table.Customer) -> list[dict[str, object]]:
    """What is noted about a customer's jobs, and said of their photographs."""
    jobs = offer_table.jobs_of_customer(session, row.id)
    ids = [job.id for job in jobs]
    notes, photographs = job_record.notes_of_jobs(session, ids), job_record.photographs_of(session, ids)
    return [
        {
            "number": job.number,
            "name": job.name,
            "note": job.note,
            "notes": [
                {"at": _plain(one.at), "words": one.words, "struck_out": one.struck_at is not None}
                for one in notes
                if one.job_id == job.id
            ],
            "photographs": [{"at": _plain(one.at), "words": one.words} for one in photographs if one.job_id == job.id],
        }
        for job in jobs
    ]


def _papers(session: Session, row: table.Customer) -> dict[str, object]:
    """The papers about money that went to a person, as plain tables, with all that they say."""
    jobs = [offer.job_id for offer, _ in offer_table.of_customer(session, row.id, limit=MOST_OFFERS) if offer.job_id]
    return {
        "papers": [
            {"kind": one.kind, "number": one.number, "on": one.on.isoformat(), "says": one.content}
            for one in money_table.papers_of_jobs(session, jobs)
        ],
        "requests": [
            {"what": one.what, "on": one.on.isoformat(), "due": one.due.isoformat(), "says": one.content}
            for one in request_table.of_jobs(session, jobs)
        ],
    }


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, datetime) else value


def erase(store: Store, *, number: int, saving: str, now: datetime) -> CustomerCard:
    """Erase a person: who they are goes, what was sold and paid stays.

    The name is taken out of their quotes, offers and jobs too, and offers and requests on paper, which carry it, are taken away; so
    are the words of notes about their jobs, and what is said of photographs, since nobody can tell by rule what in them is personal.
    Photographs stay: they show rugs. The page of the customer says so beforehand, and leads to them. Invoices, credit notes and
    receipts stay as they were written: the law makes the shop keep them.

    Raises:
        NotFound: ``customer.unknown``.
        Refusal: ``customer.open`` while an offer to them can still be accepted.
    """
    with store.writing() as session:
        row = customer_in(session, number, lock=True)
        if presses.claim(session, act=f"customer.erase.{row.id}", token=saving, given=None, now=now) is None:
            found = offer_table.of_customer(session, row.id, limit=100_000)
            if any(offer.state == "offered" for offer, _ in found):
                raise Refusal(Problem("customer.open", values={"number": number}))
            entries = [row, *table.merged_into(session, {row.id})]
            names = {one.name for one in entries} | {quote.customer_name for _, quote in found}
            jobs = offer_table.jobs_of_customer(session, row.id, lock=True)
            for job in jobs:
                job.name, job.note, job.revision = _without(names, job.name), "", job.revision + 1
            job_record.forget_words(session, [job.id for job in jobs], note=ERASED)
            for offer, quote in found:
                offer.said, offer.paper = "", None
                for question in offer_table.questions_of(session, offer.id):
                    question.words = ERASED
                quote.customer_name, quote.customer_contact = ERASED, ""
                quote.title = _without(names, quote.title)
                quote_table.save(session, quote, now=quote.updated_at)
            for request in request_table.of_jobs(session, [offer.job_id for offer, _ in found if offer.job_id]):
                request.content, request.pdf = {}, None
            for one in entries:
                outbox.forget(session, to=one.mail)
                one.name, one.mail, one.contact, one.address, one.note = ERASED, "", "", "", ""
                one.search_text, one.changed_at = "", now
                one.revision += 1
            row.state, row.merged_into_id = "erased", None
            _rename(session, row, [quote.id for _, quote in found])
            history_entry.renew(session, [job.id for job in jobs])
        return card_of(session, row)


def _without(names: Collection[str], text: str) -> str:
    """A text without these names, however they are written there; a dash stands for each."""
    known = sorted((re.escape(name) for name in names if name not in ("", ERASED)), key=len, reverse=True)
    return re.sub(rf"(?<!\w)(?:{'|'.join(known)})(?!\w)", ERASED, text, flags=re.IGNORECASE) if known else text
