"""The money of a job: deposit, payments, refunds and tips; handed over or cancelled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from shop.core.account_of_order import Event, Happening, OrderAccount, Stage, account_of
from shop.core.errors import Clash, NotFound, NotPossible, Problem, Refusal
from shop.core.money import Money
from shop.core.money_request import Asked
from shop.store import history_entry, reservation
from shop.store import job as job_table
from shop.store import order_money as table
from shop.store import rug as rug_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.agreed import Buyer, event_of, order_of
from shop.usecases.given import Given
from shop.usecases.job import CALLED_OFF, JobLine, job_in, lines_in
from shop.usecases.money_paper import PaperLine, paper_line
from shop.usecases.money_request import RequestLine, askable, requests_in
from shop.usecases.moving import today_in
from shop.usecases.profit import profit_in
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
class JobMoney:
    """The money of a job.

    Attributes:
        line: the job.
        agreed: what its rug is to cost, tax and all; ``None`` where it was begun without a quote.
        deposit: that was agreed on.
        buyer: the customer, as far as they are known.
        account: how it stands.
        events: what happened, oldest first.
        papers: that were written.
        requests: for money, oldest first; ``can_ask`` what can be asked for now, with how much.
    """

    line: JobLine
    agreed: Money | None
    deposit: Money
    buyer: Buyer
    account: OrderAccount
    events: tuple[EventLine, ...]
    papers: tuple[PaperLine, ...]
    requests: tuple[RequestLine, ...]
    can_ask: tuple[tuple[Asked, Money], ...]


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
    order = order_of(session, row, currency, events)
    return JobMoney(
        line=lines_in(session, [row])[0],
        agreed=order.total,
        deposit=order.deposit,
        buyer=order.buyer,
        account=order.account,
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
        papers=tuple(paper_line(one) for one in table.papers_of(session, row.id)),
        requests=requests_in(session, row, order.account),
        can_ask=askable(order),
    )


def _stands_without(standing: list[table.OrderEvent], gone: table.OrderEvent, currency: str) -> bool:
    try:
        account_of((event_of(one) for one in standing if one is not gone), currency)
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
    before = [event_of(one) for one in table.events_of(session, row.id) if one.undone_at is None]
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
    history_entry.renew(session, [row.id])
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
            history_entry.renew(session, [row.id])
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
            history_entry.renew(session, [row.id])
            left = profit_in(session, row, came_to)
            history_entry.note_profit(session, row.id, None if left is None else left.minor)
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
        return _money(session, row)


def stands(money: JobMoney) -> bool:
    """Whether the order is still open: neither handed over nor cancelled."""
    return money.account.stage is Stage.OPEN
