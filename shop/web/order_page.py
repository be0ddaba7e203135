"""The page of an order's money: how it stands, what happened, what is asked for, its papers, and the forms on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final
from urllib.parse import quote as in_address

from flask import Response

from shop.core.account_of_order import Happening, Stage
from shop.core.money import Money
from shop.core.money_request import Asked, Standing
from shop.usecases import measuring, order_money, outbox, rug_from_job
from shop.usecases import shop as shops
from shop.usecases.money_request import DAYS_TO_PAY, RequestLine, about_request
from shop.usecases.order_money import JobMoney
from shop.web.forms import PressForm
from shop.web.job import JobRow, job_row
from shop.web.letter_words import LETTER_STATES
from shop.web.offer import letters_are_sent
from shop.web.order_forms import MEANS, WHATS, EndForm, PayForm, RequestForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, words_now
from shop.words import Words, mark

PAPERS: Final[dict[str, str]] = {
    "invoice": mark("Invoice"),
    "credit note": mark("Credit note"),
    "receipt": mark("Receipt"),
}
STANDINGS: Final[dict[Standing, str]] = {
    Standing.OUTSTANDING: mark("outstanding"),
    Standing.PAID: mark("paid"),
    Standing.REPLACED: mark("a later one asks for it"),
    Standing.DROPPED: mark("dropped with the order"),
}
REQUESTS: Final[dict[Asked, str]] = {
    Asked.DEPOSIT: mark("Deposit, request %(reference)s"),
    Asked.BALANCE: mark("Balance, request %(reference)s"),
}
CAN_ASK: Final[dict[Asked, str]] = {
    Asked.DEPOSIT: mark("Of the deposit %(amount)s has not come."),
    Asked.BALANCE: mark("Of the whole price %(amount)s has not come."),
}
STAGES: Final[dict[Stage, str]] = {
    Stage.OPEN: mark("open"),
    Stage.HANDED_OVER: mark("handed over"),
    Stage.CANCELLED: mark("cancelled"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class EventRow:
    """Something that happened to the money."""

    id: int
    what: str
    amount: str
    how: str
    when: str
    undone: bool
    undo: bool
    receipt: bool
    paper: int | None


@dataclass(frozen=True, slots=True)
class PaperRow:
    """A paper that was written."""

    id: int
    name: str
    total: str
    when: str
    is_invoice: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestRow:
    """A request for money.

    Attributes:
        mood: how its tag is dressed.
        letter: opens in the weaver's own mail program.
        letters: those that the outbox has: when, and how each stands.
    """

    nth: int
    name: str
    amount: str
    standing: str
    open: bool
    mood: str
    told: tuple[str, ...]
    has_paper: bool
    sendable: bool
    letter: str
    letters: tuple[tuple[str, str], ...]


@page("order/money.html")
class MoneyPage:
    """The money of a job; ``rug`` the number of the rug for sale that it became instead of being handed over."""

    job: JobRow
    facts: tuple[tuple[str, str], ...]
    stage: str
    is_open: bool
    ready: bool
    measured: bool
    rug: int | None
    events: tuple[EventRow, ...]
    papers: tuple[PaperRow, ...]
    can_invoice: bool
    no_address: int | None
    requests: tuple[RequestRow, ...]
    can_ask: tuple[str, ...]
    pays_how: bool
    ask: RequestForm
    pay: PayForm
    over: EndForm
    cancel: EndForm
    act: PressForm


def money_page(found: JobMoney, *, status: int = 200, **forms: Any) -> Response:
    """The page; ``forms`` are those that were sent and have to be shown again."""
    words, account = words_now(), found.account
    pay = forms.get("pay") or PayForm(formdata=None, prefix="pay-")
    if pay.on.data is None and not pay.on.errors:
        pay.on.data = words.today(moment())
    over = forms.get("over") or EndForm(formdata=None, prefix="over-")
    if over.amount.data is None and not over.amount.errors and found.agreed is not None:
        over.amount.data = found.agreed
    cancel = forms.get("cancel") or EndForm(formdata=None, prefix="cancel-")
    if cancel.amount.data is None and not cancel.amount.errors:
        cancel.amount.data = min(account.owed, found.deposit) if found.deposit else Money.zero(account.owed.currency)
    ask = forms.get("ask") or RequestForm(formdata=None, prefix="ask-")
    if ask.due.data is None and not ask.due.errors:
        ask.due.data = words.today(moment()) + DAYS_TO_PAY
        ask.what.data = found.can_ask[0][0].value if found.can_ask else ask.what.data
    receipts = {one.event for one in found.papers if one.kind == "receipt"}
    credited = {one.of for one in found.papers if one.kind == "credit note"}
    standing = {one.id for one in found.papers if one.kind == "invoice"} - credited
    context = MoneyPage(
        job=job_row(found.line),
        facts=_account_facts(found, words),
        stage=words.say(STAGES[account.stage]),
        is_open=order_money.stands(found),
        ready=found.line.state == "ready",
        rug=rug_from_job.offered(store_now(), job=found.line.number).rug,
        measured=measuring.measured(store_now(), job=found.line.number) is not None,
        events=tuple(
            EventRow(
                id=one.id,
                what=words.say(WHATS[one.what]),
                amount=words.money(one.amount),
                how=" · ".join(part for part in (words.say(MEANS[one.means]) if one.means else "", one.reference) if part),
                when=words.date(one.on, "medium"),
                undone=one.undone,
                undo=one.can_be_undone,
                receipt=one.what is Happening.PAYMENT and not one.undone and one.id not in receipts,
                paper=next((paper.id for paper in found.papers if paper.event == one.id), None),
            )
            for one in found.events
        ),
        papers=tuple(
            PaperRow(
                one.id,
                words.say("%(kind)s %(number)s", kind=words.say(PAPERS[one.kind]), number=str(one.number)),
                words.money(one.total),
                words.date(one.on, "medium"),
                one.id in standing,
            )
            for one in found.papers
        ),
        can_invoice=found.agreed is not None and not standing and account.stage is not Stage.CANCELLED,
        no_address=found.buyer.number if not found.buyer.address else None,
        requests=tuple(_request_row(one, found, words) for one in reversed(found.requests)),
        can_ask=tuple(words.say(CAN_ASK[what], amount=words.money(amount)) for what, amount in found.can_ask),
        pays_how=bool(shops.current(store_now()).paying),
        ask=ask,
        pay=pay,
        over=over,
        cancel=cancel,
        act=PressForm(formdata=None),
    )
    return show(context, status=status)


def _request_row(one: RequestLine, found: JobMoney, words: Words) -> RequestRow:
    say, is_open = words.say, one.standing is Standing.OUTSTANDING
    late = is_open and one.due < words.today(moment())
    told = [say("written %(day)s", day=words.date(one.on, "medium")), say("to be paid by %(day)s", day=words.date(one.due, "medium"))]
    if one.sent_at:
        told.append(say("sent %(day)s", day=words.date(words.today(one.sent_at), "medium")))
    elif is_open:
        told.append(say("not sent yet"))
    if is_open and one.missing != one.amount:
        told.append(say("%(amount)s still missing", amount=words.money(one.missing)))
    mail = found.buyer.mail
    letters = outbox.letters(store_now(), about=about_request(one.id), limit=5).letters if is_open and one.sent_at else ()
    return RequestRow(
        nth=one.nth,
        name=say(REQUESTS[one.what], reference=one.reference),
        amount=words.money(one.amount),
        standing=say("overdue") if late else say(STANDINGS[one.standing]),
        open=is_open and one.has_paper,
        mood="short" if late else "good" if one.standing is Standing.PAID else "",
        told=tuple(told),
        has_paper=one.has_paper,
        sendable=bool(letters_are_sent() and mail),
        letter=f"mailto:{in_address(mail)}?subject={in_address(one.subject)}&body={in_address(one.body)}",
        letters=tuple((words.datetime(letter.put_at), say(LETTER_STATES[letter.state])) for letter in letters),
    )


def _account_facts(found: JobMoney, words: Words) -> tuple[tuple[str, str], ...]:
    account, say = found.account, words.say
    facts = [(say("Agreed price"), words.money(found.agreed))] if found.agreed is not None else []
    if found.deposit:
        facts.append((say("Deposit agreed"), words.money(found.deposit)))
    facts += [
        (say("Received"), words.money(account.received)),
        (say("Owed to the customer until the rug is handed over"), words.money(account.owed)),
        (say("Earned"), words.money(account.earned)),
    ]
    if account.returned:
        facts.append((say("Given back"), words.money(account.returned)))
    if account.tips:
        facts.append((say("Tips"), words.money(account.tips)))
    left = account.to_pay if account.stage is not Stage.OPEN else (found.agreed - account.owed if found.agreed is not None else None)
    if left is not None and left.minor > 0 and account.stage is not Stage.CANCELLED:
        facts.append((say("Still to pay"), words.money(left)))
    return tuple(facts)


