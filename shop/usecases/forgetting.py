"""What is kept of a person: given out to them when they ask for it, and erased when they ask to be forgotten."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import asdict
from datetime import datetime

from shop.core.errors import Problem, Refusal
from shop.store import customer as table
from shop.store import history_entry, job_record
from shop.store import money_request as request_table
from shop.store import offer as offer_table
from shop.store import order_money as money_table
from shop.store import quote as quote_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases import outbox, till_forgetting
from shop.usecases.customer import MOST_OFFERS, CustomerCard, card_of, customer_in, offers_of
from shop.usecases.till_forgetting import ERASED


def given_out(store: Store, *, number: int) -> Mapping[str, object]:
    """All that the shop keeps of a person, as plain tables: for whoever asks what is kept of them.

    Raises:
        NotFound: ``customer.unknown``.
    """
    with store.reading() as session:
        row = customer_in(session, number)
        offers = offers_of(session, row)
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
    Sales of a till and wishes that carry their address lose it, and all words with it; so does what the phone sent.
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
            till_forgetting.forget_in(session, names=names, reached={text for one in entries for text in (one.mail, one.contact)})
            for one in entries:
                outbox.forget(session, to=one.mail)
                one.name, one.mail, one.contact, one.address, one.note = ERASED, "", "", "", ""
                one.search_text, one.changed_at = "", now
                one.revision += 1
            row.state, row.merged_into_id = "erased", None
            session.flush()
            named = history_entry.jobs_that_name(session, customer_id=row.id, quote_ids=[quote.id for _, quote in found])
            history_entry.renew(session, {*named, *(job.id for job in jobs)})
        return card_of(session, row)


def _without(names: Collection[str], text: str) -> str:
    """A text without these names, however they are written there; a dash stands for each."""
    known = sorted((re.escape(name) for name in names if name not in ("", ERASED)), key=len, reverse=True)
    return re.sub(rf"(?<!\w)(?:{'|'.join(known)})(?!\w)", ERASED, text, flags=re.IGNORECASE) if known else text
