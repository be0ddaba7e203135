"""The numbered papers about a job's money: each is written once, under the next number of its kind, and never changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from shop.core.account_of_order import Happening
from shop.core.errors import NotFound, Problem, Refusal
from shop.core.money import Money
from shop.store import job as job_table
from shop.store import order_money as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.usecases.agreed import Buyer, order_of
from shop.usecases.given import is_number_of_a_row
from shop.usecases.job import job_in
from shop.usecases.moving import today_in
from shop.usecases.shop import Shop, shop_in


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLine:
    """A paper that was written; ``of`` is the invoice that a credit note takes back, ``event`` what a receipt is for."""

    id: int
    kind: str
    number: int
    total: Money
    on: date
    of: int | None
    event: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A paper as it was made: what it says as finished texts, and the same as a PDF."""

    content: Mapping[str, object]
    pdf: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptSaid:
    """What a receipt says: so much came on a day, by some means."""

    number: int
    on: date
    shop: Shop
    buyer: Buyer
    name: str
    amount: Money
    means: str
    reference: str
    came_on: date


def write_receipt(
    store: Store, *, job: int, event: int, make: Callable[[ReceiptSaid], Printed], saving: str, now: datetime
) -> PaperLine:
    """Write the receipt of a payment.

    Args:
        store: the shop's database.
        job: the number of the job.
        event: the payment.
        make: makes the paper, told what it says.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``; ``event.unknown`` for what is no payment of this job, or was struck out.
        Refusal: ``paper.written`` for a second receipt of a payment.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"paper.receipt.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given=event, now=now)
        if earlier is not None:
            return paper_line(paper_in(session, row, earlier))
        standing = [one for one in table.events_of(session, row.id) if one.undone_at is None]
        payment = next((one for one in standing if one.id == event and one.what == Happening.PAYMENT), None)
        if payment is None:
            raise NotFound(Problem("event.unknown"))
        if any(one.event_id == event for one in table.papers_of(session, row.id)):
            raise Refusal(Problem("paper.written"))
        shop, amount, on = shop_in(session), Money(payment.amount, payment.currency), today_in(session, now)
        number = take(session, "receipt")[0]
        said = ReceiptSaid(
            number=number,
            on=on,
            shop=shop,
            buyer=order_of(session, row, shop.currency, standing).buyer,
            name=row.name,
            amount=amount,
            means=payment.means,
            reference=payment.reference,
            came_on=payment.on,
        )
        made = put_paper(session, row, "receipt", number, make(said), total=amount, on=on, now=now, event=event)
        presses.settle(session, act=act, token=saving, about=made.id)
        return paper_line(made)


def put_paper(
    session: Session,
    row: job_table.Job,
    kind: str,
    number: int,
    printed: Printed,
    *,
    total: Money,
    on: date,
    now: datetime,
    of: int | None = None,
    event: int | None = None,
) -> table.Paper:
    """Keep a paper that was made, as part of another use case that took its number in this transaction."""
    made = table.Paper(
        kind=kind,
        number=number,
        job_id=row.id,
        content=dict(printed.content),
        pdf=printed.pdf,
        total=total.minor,
        currency=total.currency,
        on=on,
        at=now,
        of_id=of,
        event_id=event,
    )
    session.add(made)
    session.flush()
    return made


def paper_in(session: Session, row: job_table.Job, paper_id: int) -> table.Paper:
    """A paper of a job, as part of another use case.

    Raises:
        NotFound: ``paper.unknown``.
    """
    found = table.paper_by_id(session, paper_id) if is_number_of_a_row(paper_id) else None
    if found is None or found.job_id != row.id:
        raise NotFound(Problem("paper.unknown"))
    return found


def paper_line(one: table.Paper) -> PaperLine:
    """A paper as it stands in a list."""
    return PaperLine(
        id=one.id,
        kind=one.kind,
        number=one.number,
        total=Money(one.total, one.currency),
        on=one.on,
        of=one.of_id,
        event=one.event_id,
    )


def pdf_of(store: Store, *, job: int, paper: int) -> bytes:
    """A paper as it was written.

    Raises:
        NotFound: ``job.unknown``, ``paper.unknown``.
    """
    with store.reading() as session:
        return paper_in(session, job_in(session, job), paper).pdf
