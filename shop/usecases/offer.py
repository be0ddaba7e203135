"""Offers: a quote offered to a customer, frozen as it was; answered by a private link, or withdrawn.

The link's secret is made from the shop's key and a number of the offer's own, so that it can be shown again without being
kept; the offer is found by a digest of it. Whoever has the link sees what the customer is to see, and nothing of cost or wage.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.loom import Size
from shop.core.money import Money
from shop.core.order import OfferState, can_be_answered, state_on
from shop.store import customer as customer_table
from shop.store import job as job_table
from shop.store import offer as table
from shop.store import quote as quote_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases import outbox
from shop.usecases.customer import CustomerCard, CustomerGiven, card_of, customer_in, new_in
from shop.usecases.given import is_number_of_a_row
from shop.usecases.moving import today_in
from shop.usecases.private_link import fresh_secret, secret_part

PAGE: Final = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferCard:
    """An offer.

    Attributes:
        id: of the offer; ``quote`` the number of its quote, ``revision`` which of that quote's offers.
        state: on the day that it was looked at: an open one may have lapsed.
        content: what the customer reads, as it was then; ``digest`` of it.
        holds_until: the last day that it can be accepted.
        promised: the day by which the rug is to be ready; ``None`` where none was promised.
        said: the name that it was accepted with, or the word that it was declined with.
        token: the private link's secret part.
        job: the number of the job that came of it.
    """

    id: int
    quote: int
    title: str
    revision: int
    state: OfferState
    customer: CustomerCard
    content: Mapping[str, Any]
    digest: str
    stripes: tuple[tuple[str, float], ...]
    size: Size
    asking: Money
    total: Money
    deposit: Money
    holds_until: date
    promised: date | None
    offered_at: datetime
    closed_at: datetime | None
    said: str
    token: str
    job: int | None
    questions: tuple[tuple[datetime, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferGiven:
    """An offer to be made.

    Attributes:
        content: everything that the customer is to read, as finished text.
        paper: the same as a PDF.
        deposit: asked for; ``None`` for none.
        holds_until: the last day that it can be accepted.
        promised: the day by which the rug is to be ready.
    """

    content: Mapping[str, object]
    paper: bytes
    deposit: Money | None
    holds_until: date
    promised: date | None = None


@dataclass(frozen=True, slots=True)
class OfferPage:
    """A page of offers, newest first; ``further`` is where the next page begins."""

    offers: tuple[OfferCard, ...]
    further: int | None


def _token(key: bytes, secret: str) -> str:
    return secret_part(key, to="offer", secret=secret)


def found_by(token: str) -> str:
    """What an offer is found by when somebody comes with this link: a digest of it."""
    return hashlib.sha256(token.encode()).hexdigest()


def offer(
    store: Store,
    *,
    quote: int,
    revision: int,
    given: OfferGiven,
    customer: CustomerGiven | int,
    key: bytes,
    saving: str,
    now: datetime,
) -> OfferCard:
    """Offer a quote as it is saved. An earlier offer of it that is still open is withdrawn.

    Args:
        store: the shop's database.
        quote: its number; ``revision`` that which the offer was made from.
        revision: see ``quote``.
        given: what is offered.
        customer: the number of a customer, or a new one.
        key: of the shop, for private links.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``quote.unknown``, ``customer.unknown``.
        Clash: ``quote.changed`` when the quote was saved again meanwhile.
        Refusal: ``offer.agreed`` when the quote has been agreed to already; ``offer.past`` at ``holds_until`` or ``promised``
            for a day that is past; ``customer.gone``; what ``customer.keep`` refuses.
    """
    with store.writing() as session:
        row = quote_table.by_number(session, quote, lock=True) if is_number_of_a_row(quote) else None
        if row is None:
            raise NotFound(Problem("quote.unknown", values={"number": quote}))
        said = {"revision": revision, "content": given.content, "until": given.holds_until, "promised": given.promised, "customer": customer}
        earlier = presses.claim(session, act=f"offer.make.{row.id}", token=saving, given=said, now=now)
        if earlier is not None:
            return card_in(session, _offer(session, earlier), key, now)
        if row.revision != revision:
            raise Clash(Problem("quote.changed", values={"number": quote}))
        today = today_in(session, now)
        late = [Problem("offer.past", where) for where, day in (("holds_until", given.holds_until), ("promised", given.promised)) if day and day < today]
        if late:
            raise Refusal(*late)
        before = table.of_quote(session, row.id, lock=True)
        if any(one.state == OfferState.ACCEPTED for one in before):
            raise Refusal(Problem("offer.agreed", values={"number": quote}))
        for one in before:
            if one.state == OfferState.OFFERED:
                lapsed = state_on(OfferState.OFFERED, one.holds_until, today) is OfferState.LAPSED
                close(one, OfferState.LAPSED if lapsed else OfferState.WITHDRAWN, "", now)
        session.flush()
        person = customer_in(session, customer) if isinstance(customer, int) else new_in(session, customer, now)
        if person.state != "known":
            raise Refusal(Problem("customer.gone", "customer"))
        secret = fresh_secret()
        made = table.Offer(
            quote_id=row.id,
            customer_id=person.id,
            revision=1 + max((one.revision for one in before), default=0),
            state=OfferState.OFFERED.value,
            content=dict(given.content),
            digest=presses.digest_of(given.content),
            described=row.described,
            figures=row.figures,
            paper=given.paper,
            stripes=row.stripes,
            width=row.width,
            length=row.length,
            asking=row.asking,
            total=row.total,
            deposit=given.deposit.minor if given.deposit else 0,
            currency=row.currency,
            secret=secret,
            link=found_by(_token(key, secret)),
            holds_until=given.holds_until,
            promised=given.promised,
            offered_at=now,
            closed_at=None,
            said="",
            job_id=None,
        )
        session.add(made)
        session.flush()
        presses.settle(session, act=f"offer.make.{row.id}", token=saving, about=made.id)
        return card_in(session, made, key, now)


def close(row: table.Offer, state: OfferState, said: str, now: datetime) -> None:
    """An offer is answered or taken back, as part of another use case."""
    row.state, row.closed_at, row.said = state.value, now, said


def _offer(session: Session, offer_id: int, *, lock: bool = False) -> table.Offer:
    row = table.by_id(session, offer_id, lock=lock) if is_number_of_a_row(offer_id) else None
    if row is None:
        raise NotFound(Problem("offer.unknown"))
    return row


def card_in(session: Session, row: table.Offer, key: bytes, now: datetime, *, questions: bool = True) -> OfferCard:
    """An offer as it is shown, as part of another use case."""
    quote = session.get_one(quote_table.Quote, row.quote_id)
    person = session.get_one(customer_table.Customer, row.customer_id)
    job = session.get(job_table.Job, row.job_id) if row.job_id else None
    asked = table.questions_of(session, row.id) if questions else ()
    return OfferCard(
        id=row.id,
        quote=quote.number,
        title=quote.title,
        revision=row.revision,
        state=state_on(OfferState(row.state), row.holds_until, today_in(session, now)),
        customer=card_of(session, person),
        content=row.content,
        digest=row.digest,
        stripes=tuple((str(colour), float(share)) for colour, share in row.stripes),
        size=Size(row.width, row.length),
        asking=Money(row.asking, row.currency),
        total=Money(row.total, row.currency),
        deposit=Money(row.deposit, row.currency),
        holds_until=row.holds_until,
        promised=row.promised,
        offered_at=row.offered_at,
        closed_at=row.closed_at,
        said=row.said,
        token=_token(key, row.secret),
        job=job.number if job else None,
        questions=tuple((one.at, one.words) for one in asked),
    )


def offer_by_id(store: Store, *, offer_id: int, key: bytes, now: datetime) -> OfferCard:
    """An offer.

    Raises:
        NotFound: ``offer.unknown``.
    """
    with store.reading() as session:
        return card_in(session, _offer(session, offer_id), key, now)


def offers_of_quote(store: Store, *, quote: int, key: bytes, now: datetime) -> tuple[OfferCard, ...]:
    """The offers of a quote, newest first; none for a quote that is not there."""
    with store.reading() as session:
        row = quote_table.by_number(session, quote) if is_number_of_a_row(quote) else None
        found = table.of_quote(session, row.id) if row is not None else ()
        return tuple(card_in(session, one, key, now, questions=False) for one in found)


def newest_offer(store: Store, *, quote: int, now: datetime) -> tuple[int, OfferState] | None:
    """The newest offer of a quote: its id, and what has become of it; ``None`` for a quote that was never offered."""
    with store.reading() as session:
        row = quote_table.by_number(session, quote) if is_number_of_a_row(quote) else None
        found = table.newest_of_quote(session, row.id, limit=1) if row is not None else ()
        today = today_in(session, now)
        return next(((one.id, state_on(OfferState(one.state), one.holds_until, today)) for one in found), None)


def offers(store: Store, *, state: str | None = None, below: int | None = None, key: bytes, now: datetime, limit: int = PAGE) -> OfferPage:
    """Look through the offers, newest first.

    Args:
        store: the shop's database.
        state: only those that are kept in this state; lapsed ones nobody touched since are among the offered.
        below: ``further`` of the page before.
        key: of the shop.
        now: the time, zoned.
        limit: offers on a page.
    """
    with store.reading() as session:
        rows = table.newest(session, state=state, below=below, limit=limit + 1)
        page = rows[:limit]
        cards = tuple(card_in(session, offer, key, now, questions=False) for offer, _, _ in page)
        return OfferPage(cards, page[-1][0].id if len(rows) > limit else None)


def withdraw(store: Store, *, offer_id: int, key: bytes, saving: str, now: datetime) -> OfferCard:
    """Take an offer back before it is answered.

    Raises:
        NotFound: ``offer.unknown``.
        Clash: ``offer.closed`` when it is answered, withdrawn or lapsed.
    """
    with store.writing() as session:
        row = _offer(session, offer_id, lock=True)
        if presses.claim(session, act=f"offer.withdraw.{row.id}", token=saving, given=None, now=now) is None:
            must_be_open(session, row, now)
            close(row, OfferState.WITHDRAWN, "", now)
            session.flush()
        return card_in(session, row, key, now)


def renew_link(store: Store, *, offer_id: int, key: bytes, saving: str, now: datetime) -> OfferCard:
    """Make another private link; the one before opens nothing any more.

    Raises:
        NotFound: ``offer.unknown``.
    """
    with store.writing() as session:
        row = _offer(session, offer_id, lock=True)
        if presses.claim(session, act=f"offer.link.{row.id}", token=saving, given=None, now=now) is None:
            row.secret = fresh_secret()
            row.link = found_by(_token(key, row.secret))
            session.flush()
        return card_in(session, row, key, now)


def send(store: Store, *, offer_id: int, subject: str, body: str, key: bytes, saving: str, now: datetime) -> OfferCard:
    """Put a letter about an open offer to its customer into the outbox.

    Raises:
        NotFound: ``offer.unknown``.
        Clash: ``offer.closed`` when it can no longer be answered.
        Refusal: what ``outbox.put`` refuses.
    """
    with store.writing() as session:
        row = _offer(session, offer_id, lock=True)
        if presses.claim(session, act=f"offer.send.{row.id}", token=saving, given=None, now=now) is None:
            must_be_open(session, row, now)
            card = card_in(session, row, key, now)
            outbox.put(session, to=card.customer.mail, subject=subject, body=body, about=about_offer(row.id), now=now)
        return card_in(session, row, key, now)


def about_offer(offer_id: int) -> str:
    """What a letter about an offer is about."""
    return f"offer.{offer_id}"


def must_be_open(session: Session, row: table.Offer, now: datetime) -> None:
    """Refuse, with ``offer.closed``, what only an offer that can still be answered allows."""
    if not can_be_answered(OfferState(row.state), row.holds_until, today_in(session, now)):
        raise Clash(Problem("offer.closed"))


def paper_of(store: Store, *, offer_id: int) -> bytes:
    """The PDF of an offer as it was given.

    Raises:
        NotFound: ``offer.unknown``; ``offer.no_paper`` when it was taken away with the customer's name.
    """
    with store.reading() as session:
        return paper_in(_offer(session, offer_id))


def paper_in(row: table.Offer) -> bytes:
    """The same of a row, as part of another use case."""
    if row.paper is None:
        raise NotFound(Problem("offer.no_paper"))
    return row.paper


def states_of_quotes(session: Session, quote_ids: set[int], now: datetime) -> dict[int, OfferState]:
    """The state of the newest offer of each quote that has one, as part of another use case."""
    today = today_in(session, now)
    return {quote: state_on(state, until, today) for quote, (state, until) in table.newest_of_quotes(session, quote_ids).items()}


