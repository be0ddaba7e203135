"""The money of a job: deposit, payments, refunds and tips; handed over or cancelled; and the papers that go with them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from shop.core.account_of_order import Event, Happening, OrderAccount, Stage, account_of
from shop.core.errors import Clash, NotFound, NotPossible, Problem, Refusal
from shop.core.money import Money
from shop.store import job as job_table
from shop.store import offer as offer_table
from shop.store import order_money as table
from shop.store import quote as quote_table
from shop.store import reservation
from shop.store import rug as rug_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.job import CALLED_OFF, JobLine, job_in, lines_in
from shop.usecases.moving import today_in
from shop.usecases.shop import shop_in

MEANS: Final = table.MEANS
HANDED_OVER: Final = "handed over"
PAID: Final = (Happening.PAYMENT, Happening.REFUND, Happening.TIP)


@dataclass(frozen=True, slots=True, kw_only=True)
class EventLine:
    """Something that happened; ``undone`` when it was a mistake, ``can_be_undone`` while it can be taken back."""

    id: int
    what: Happening
    amount: Money
    means: str
    reference: str
    on: date
    at: datetime
    undone: bool
    can_be_undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperLine:
    """A paper that was written."""

    id: int
    kind: str
    number: int
    total: Money
    on: date
    event: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobMoney:
    """The money of a job.

    Attributes:
        line: the job.
        agreed: what its rug is to cost, tax and all; ``None`` where it was begun without a quote.
        tax: in that price.
        deposit: that was agreed on.
        account: how it stands.
        events: what happened, oldest first.
        papers: that were written.
    """

    line: JobLine
    agreed: Money | None
    tax: Money
    deposit: Money
    account: OrderAccount
    events: tuple[EventLine, ...]
    papers: tuple[PaperLine, ...]


def money_of(store: Store, *, job: int) -> JobMoney:
    """The money of a job.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        return _money(session, job_in(session, job))


def _money(session: Session, row: job_table.Job) -> JobMoney:
    currency = shop_in(session).currency
    events = table.events_of(session, row.id)
    standing = [one for one in events if one.undone_at is None]
    offer = offer_table.of_job(session, row.id)
    quote = session.get(quote_table.Quote, row.quote_id) if row.quote_id else None
    agreed = Money(offer.total, offer.currency) if offer else Money(quote.total, quote.currency) if quote else None
    return JobMoney(
        line=lines_in(session, [row])[0],
        agreed=agreed,
        tax=_tax(offer.figures if offer else quote.figures if quote else None, currency),
        deposit=Money(offer.deposit, offer.currency) if offer else Money.zero(currency),
        account=account_of((_event(one) for one in standing), currency),
        events=tuple(
            EventLine(
                id=one.id,
                what=Happening(one.what),
                amount=Money(one.amount, one.currency),
                means=one.means,
                reference=one.reference,
                on=one.on,
                at=one.at,
                undone=one.undone_at is not None,
                can_be_undone=one.undone_at is None and Happening(one.what) in PAID and _stands_without(standing, one, currency),
            )
            for one in events
        ),
        papers=tuple(
            PaperLine(id=one.id, kind=one.kind, number=one.number, total=Money(one.total, one.currency), on=one.on, event=one.event_id)
            for one in table.papers_of(session, row.id)
        ),
    )


def _tax(figures: object, currency: str) -> Money:
    """The tax that the figures of a quote name; nothing where there are none."""
    try:
        return Money.of(str(figures["price"]["tax"]), currency)  # type: ignore[index]
    except (KeyError, TypeError, Refusal):
        return Money.zero(currency)


def _event(one: table.OrderEvent) -> Event:
    return Event(what=Happening(one.what), amount=Money(one.amount, one.currency))


def _stands_without(standing: list[table.OrderEvent], gone: table.OrderEvent, currency: str) -> bool:
    try:
        account_of((_event(one) for one in standing if one is not gone), currency)
    except NotPossible:
        return False
    return True


def record(
    store: Store,
    *,
    job: int,
    what: Happening,
    amount: Money,
    means: str = "",
    reference: str = "",
    on: date | None = None,
    saving: str,
    now: datetime,
) -> JobMoney:
    """Write down a payment, a refund or a tip.

    Args:
        store: the shop's database.
        job: the number of the job.
        what: of the three.
        amount: of it.
        means: how it was paid, one of ``MEANS``.
        reference: what stands on the slip.
        on: the day that it counts for; today unless another is given.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``money.mixed`` and so on at ``amount``; ``choice.unknown`` at ``means``; ``money.future`` at ``on`` for a day to
            come; what ``OrderAccount.after`` refuses.
    """
    given = Given()
    said = given.line("reference", reference)
    given.choice("means", means, MEANS)
    if what not in PAID:
        given.note("choice.unknown", "what", text=what.value, choices=tuple(one.value for one in PAID))
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"money.{what.value}.{row.id}"
        told = {"amount": amount, "means": means, "reference": said, "on": on}
        if presses.claim(session, act=act, token=saving, given=told, now=now) is None:
            today = today_in(session, now)
            given.amount("amount", amount, shop_in(session).currency)
            if on is not None and on > today:
                given.note("money.future", "on")
            given.done()
            _put(session, row, what, amount, on or today, now, means=means, reference=said)
        return _money(session, row)


def _put(
    session: Session,
    row: job_table.Job,
    what: Happening,
    amount: Money,
    on: date,
    now: datetime,
    *,
    means: str = "",
    reference: str = "",
) -> table.OrderEvent:
    """Write an event down, if the account allows it."""
    before = [_event(one) for one in table.events_of(session, row.id) if one.undone_at is None]
    account_of(before, amount.currency).after(Event(what=what, amount=amount))
    made = table.OrderEvent(
        job_id=row.id,
        what=what.value,
        amount=amount.minor,
        currency=amount.currency,
        means=means,
        reference=reference,
        on=on,
        at=now,
        undone_at=None,
    )
    session.add(made)
    session.flush()
    return made


def undo(store: Store, *, job: int, event: int, saving: str, now: datetime) -> JobMoney:
    """A payment, refund or tip was written down by mistake; it stays in the record, struck out.

    Raises:
        NotFound: ``job.unknown``, ``event.unknown``.
        Clash: ``event.undone``.
        Refusal: ``event.fixed`` for what is no payment; ``event.leaning`` when something later leans on it.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"money.undo.{row.id}.{event}", token=saving, given=None, now=now) is None:
            events = table.events_of(session, row.id)
            found = next((one for one in events if one.id == event), None)
            if found is None:
                raise NotFound(Problem("event.unknown"))
            if found.undone_at is not None:
                raise Clash(Problem("event.undone"))
            if Happening(found.what) not in PAID:
                raise Refusal(Problem("event.fixed"))
            if not _stands_without([one for one in events if one.undone_at is None], found, found.currency):
                raise Refusal(Problem("event.leaning"))
            found.undone_at = now
            session.flush()
        return _money(session, row)


def hand_over(store: Store, *, job: int, came_to: Money, saving: str, now: datetime) -> JobMoney:
    """The rug is handed over: what was paid is earned now, up to what it came to.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.not_ready`` while the rug is not done.
        Clash: ``job.handed_over`` when it has been handed over before; ``rug.of_job`` when it is for sale instead.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"job.hand_over.{row.id}", token=saving, given=came_to, now=now) is None:
            if row.state == HANDED_OVER:
                raise Clash(Problem("job.handed_over", values={"number": job}))
            if row.state != "ready":
                raise Refusal(Problem("job.not_ready", values={"number": job}))
            if rug_table.of_job(session, row.id) is not None:
                raise Clash(Problem("rug.of_job", values={"number": job}))
            given = Given()
            given.amount("came_to", came_to, shop_in(session).currency)
            given.done()
            _put(session, row, Happening.HANDED_OVER, came_to, today_in(session, now), now)
            row.state, row.revision = HANDED_OVER, row.revision + 1
            session.flush()
        return _money(session, row)


def cancel(store: Store, *, job: int, kept: Money, saving: str, now: datetime) -> JobMoney:
    """The order is cancelled: so much of what was paid is kept by the shop's terms, the rest is owed back.

    An open job is called off with it, and what it held is free; cloth that is in it has to go back first.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.full`` while cloth is in an open job; what ``OrderAccount.after`` refuses, at ``kept``.
        Clash: ``job.handed_over``.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"job.cancel.{row.id}", token=saving, given=kept, now=now) is None:
            if row.state == HANDED_OVER:
                raise Clash(Problem("job.handed_over", values={"number": job}))
            if row.state in job_table.OPEN:
                if lines_in(session, [row])[0].pieces:
                    raise Refusal(Problem("job.full", values={"number": job}))
                reservation.lapse(session, row.id)
                row.state, row.ended_at, row.revision = CALLED_OFF, now, row.revision + 1
            _put(session, row, Happening.CANCELLED, kept, today_in(session, now), now)
            session.flush()
        return _money(session, row)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperGiven:
    """A paper to be written: what it says, as a PDF and as texts, once it is told its number."""

    content: Mapping[str, object]
    pdf: bytes
    total: Money


def write_paper(
    store: Store,
    *,
    job: int,
    kind: str,
    event: int | None = None,
    of: int | None = None,
    make: Callable[[int, date], PaperGiven],
    saving: str,
    now: datetime,
) -> PaperLine:
    """Write an invoice, a receipt or a credit note, under the next number of its kind; numbers have no holes.

    Args:
        store: the shop's database.
        job: the number of the job.
        kind: of ``shop.store.order_money.PAPERS``.
        event: of a receipt, the payment that it is for.
        of: of a credit note, the invoice that it takes back.
        make: makes the paper, given its number and day.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``, ``event.unknown``, ``paper.unknown``.
        Refusal: ``choice.unknown``; ``paper.written`` for an invoice while one stands, or a second receipt of a payment, or a
            second credit note.
    """
    given = Given()
    given.choice("kind", kind, table.PAPERS)
    given.done()
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"paper.{kind}.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given={"event": event, "of": of}, now=now)
        if earlier is not None:
            return _paper_line(_paper(session, row, earlier))
        papers = table.papers_of(session, row.id)
        if event is not None and event not in {one.id for one in table.events_of(session, row.id) if one.undone_at is None}:
            raise NotFound(Problem("event.unknown"))
        if of is not None:
            _paper(session, row, of)
        credited = {one.of_id for one in papers if one.kind == "credit note"}
        twice = {
            "invoice": any(one.kind == "invoice" and one.id not in credited for one in papers),
            "receipt": any(one.kind == "receipt" and one.event_id == event for one in papers),
            "credit note": of in credited,
        }
        if twice[kind]:
            raise Refusal(Problem("paper.written"))
        today = today_in(session, now)
        number = take(session, kind)[0]
        paper = make(number, today)
        made = table.Paper(
            kind=kind,
            number=number,
            job_id=row.id,
            content=dict(paper.content),
            pdf=paper.pdf,
            total=paper.total.minor,
            currency=paper.total.currency,
            on=today,
            at=now,
            of_id=of,
            event_id=event,
        )
        session.add(made)
        session.flush()
        presses.settle(session, act=act, token=saving, about=made.id)
        return _paper_line(made)


def _paper(session: Session, row: job_table.Job, paper_id: int) -> table.Paper:
    found = table.paper_by_id(session, paper_id) if is_number_of_a_row(paper_id) else None
    if found is None or found.job_id != row.id:
        raise NotFound(Problem("paper.unknown"))
    return found


def _paper_line(one: table.Paper) -> PaperLine:
    return PaperLine(
        id=one.id, kind=one.kind, number=one.number, total=Money(one.total, one.currency), on=one.on, event=one.event_id
    )


def pdf_of(store: Store, *, job: int, paper: int) -> bytes:
    """A paper as it was written.

    Raises:
        NotFound: ``job.unknown``, ``paper.unknown``.
    """
    with store.reading() as session:
        return _paper(session, job_in(session, job), paper).pdf


def stands(money: JobMoney) -> bool:
    """Whether the order is still open: neither handed over nor cancelled."""
    return money.account.stage is Stage.OPEN
