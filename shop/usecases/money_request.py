"""Requests for the deposit and for the balance of an order: written once, frozen, sent as a letter, outstanding until paid."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from shop.core.account_of_order import OrderAccount
from shop.core.errors import Clash, NotFound, NotPossible, Problem
from shop.core.money import Money
from shop.core.money_request import Asked, Standing, Sum, missing, paid, reference, standing, to_ask
from shop.store import job as job_table
from shop.store import money_request as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases import outbox
from shop.usecases.agreed import Buyer, Order, order_of
from shop.usecases.given import Given
from shop.usecases.job import job_in
from shop.usecases.moving import today_in
from shop.usecases.shop import Shop, shop_in

LETTER: Final = "letter"
"""Where in a request's content its letter stands."""
DAYS_TO_PAY: Final = timedelta(days=14)
"""How long a customer has to pay, unless another day is said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestLine:
    """A request that was written.

    Attributes:
        nth: how manieth of its job, from 1; ``reference`` by which a payment is known again.
        amount: that was asked for; ``missing`` what of it has not come.
        due: the day by which it is to be paid.
        sent_at: when it was last sent, as far as anybody said.
        subject, body: of the letter that brings it; empty, as the paper is gone, once the customer's name was taken away.
    """

    id: int
    nth: int
    reference: str
    what: Asked
    amount: Money
    missing: Money
    due: date
    on: date
    sent_at: datetime | None
    standing: Standing
    subject: str
    body: str

    @property
    def has_paper(self) -> bool:
        """Whether it can still be read."""
        return bool(self.body)


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestSaid:
    """What a request says.

    Attributes:
        name: of the rug; ``price`` what it is to cost in all, ``paid`` what has come of that.
        amount: asked for, by ``due``, so that ``to_reach`` has come in all: the price, or the deposit that was agreed.
    """

    reference: str
    what: Asked
    on: date
    due: date
    shop: Shop
    buyer: Buyer
    name: str
    price: Money
    paid: Money
    to_reach: Money
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestMade:
    """A request as it was made: what it says as finished texts, the same as a PDF, and the letter that brings it."""

    content: Mapping[str, object]
    pdf: bytes
    subject: str
    body: str


def write_request(
    store: Store,
    *,
    job: int,
    what: str,
    due: date,
    make: Callable[[RequestSaid], RequestMade],
    saving: str,
    now: datetime,
) -> RequestLine:
    """Ask for the deposit or the balance of a job, as far as it has not come.

    Args:
        store: the shop's database.
        job: the number of the job.
        what: of ``Asked``.
        due: the day by which it is to be paid.
        make: makes the paper, told what it says.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``choice.unknown`` at ``what``, ``offer.past`` at ``due``; what ``shop.core.money_request.to_ask`` refuses.
    """
    given = Given()
    given.choice("what", what, table.WHATS)
    given.done()
    asked = Asked(what)
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"request.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given={"what": what, "due": due}, now=now)
        shop = shop_in(session)
        order = order_of(session, row, shop.currency)
        if earlier is None:
            today = today_in(session, now)
            if due < today:
                given.note("offer.past", "due")
            given.done()
            found = to_ask(asked, agreed=order.total, deposit=order.deposit, account=order.account)
            nth = 1 + max((one.nth for one in table.of_job(session, row.id)), default=0)
            said = RequestSaid(
                reference=reference(row.number, nth),
                what=asked,
                on=today,
                due=due,
                shop=shop,
                buyer=order.buyer,
                name=row.name,
                price=found.to_reach if asked is Asked.BALANCE or order.total is None else order.total,
                paid=paid(order.account),
                to_reach=found.to_reach,
                amount=found.amount,
            )
            _put(session, row, nth, said, found, make(said), now)
            presses.settle(session, act=act, token=saving, about=nth)
            earlier = nth
        return _line_of(session, row, earlier, order.account)


def _put(
    session: Session, row: job_table.Job, nth: int, said: RequestSaid, found: Sum, made: RequestMade, now: datetime
) -> None:
    row_of_it = table.MoneyRequest(
        job_id=row.id,
        nth=nth,
        what=said.what.value,
        amount=found.amount.minor,
        to_reach=found.to_reach.minor,
        currency=found.amount.currency,
        due=said.due,
        content={**made.content, LETTER: {"subject": made.subject, "body": made.body}},
        pdf=made.pdf,
        on=said.on,
        at=now,
        sent_at=None,
    )
    session.add(row_of_it)
    session.flush()


def requests_in(session: Session, row: job_table.Job, account: OrderAccount) -> tuple[RequestLine, ...]:
    """The requests of a job, oldest first, as part of another use case."""
    rows = table.of_job(session, row.id)
    return tuple(_line(row, one, account, newest=one is rows[-1]) for one in rows)


def _line(row: job_table.Job, one: table.MoneyRequest, account: OrderAccount, *, newest: bool) -> RequestLine:
    asked = Sum(amount=Money(one.amount, one.currency), to_reach=Money(one.to_reach, one.currency))
    return RequestLine(
        id=one.id,
        nth=one.nth,
        reference=reference(row.number, one.nth),
        what=Asked(one.what),
        amount=asked.amount,
        missing=missing(asked, account),
        due=one.due,
        on=one.on,
        sent_at=one.sent_at,
        standing=standing(asked, account, newest=newest),
        subject=one.content.get(LETTER, {}).get("subject", ""),
        body=one.content.get(LETTER, {}).get("body", ""),
    )


def send_request(
    store: Store, *, job: int, nth: int, saving: str, now: datetime
) -> RequestLine:
    """Put a letter that brings an outstanding request to the customer into the outbox.

    Raises:
        NotFound: ``job.unknown``, ``request.unknown``.
        Clash: ``request.settled`` when it is not outstanding any more.
        Refusal: what ``outbox.put`` refuses.
    """
    return _send(store, job, nth, saving, now, by_letter=True)


def mark_sent(store: Store, *, job: int, nth: int, saving: str, now: datetime) -> RequestLine:
    """The weaver says that she has sent a request herself: from her own mail program, by post, or by hand.

    Raises:
        NotFound: ``job.unknown``, ``request.unknown``.
        Clash: ``request.settled`` when it is not outstanding any more.
    """
    return _send(store, job, nth, saving, now, by_letter=False)


def _send(store: Store, job: int, nth: int, saving: str, now: datetime, *, by_letter: bool) -> RequestLine:
    act = "request.send" if by_letter else "request.sent"
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        one = _request(session, row, nth)
        order = order_of(session, row, one.currency)
        if presses.claim(session, act=f"{act}.{one.id}", token=saving, given=None, now=now) is None:
            line = _line_of(session, row, nth, order.account)
            if line.standing is not Standing.OUTSTANDING or not line.has_paper:
                raise Clash(Problem("request.settled"))
            if by_letter:
                about = about_request(one.id)
                outbox.put(session, to=order.buyer.mail, subject=line.subject, body=line.body, about=about, now=now)
            one.sent_at = now
            session.flush()
        return _line_of(session, row, nth, order.account)


def askable(order: Order) -> tuple[tuple[Asked, Money], ...]:
    """What can be asked for now, and how much of each, as part of another use case."""
    found = []
    for what in Asked:
        try:
            found.append((what, to_ask(what, agreed=order.total, deposit=order.deposit, account=order.account).amount))
        except NotPossible:
            continue
    return tuple(found)


def _line_of(session: Session, row: job_table.Job, nth: int, account: OrderAccount) -> RequestLine:
    return next(line for line in requests_in(session, row, account) if line.nth == nth)


def _request(session: Session, row: job_table.Job, nth: int) -> table.MoneyRequest:
    found = next((one for one in table.of_job(session, row.id) if one.nth == nth), None)
    if found is None:
        raise NotFound(Problem("request.unknown"))
    return found


def about_request(request_id: int) -> str:
    """What a letter about a request is about."""
    return f"request.{request_id}"


def pdf_of(store: Store, *, job: int, nth: int) -> bytes:
    """A request as it was written.

    Raises:
        NotFound: ``job.unknown``, ``request.unknown``; ``offer.no_paper`` when it was taken away with the customer's name.
    """
    with store.reading() as session:
        found = _request(session, job_in(session, job), nth).pdf
        if found is None:
            raise NotFound(Problem("offer.no_paper"))
        return found
