"""The money of a job: what was paid and given back, the end of the order, and its papers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.account_of_order import Happening, Stage
from shop.core.errors import Problem, Refusal
from shop.core.money import Money
from shop.paper.money_paper import MoneyPaper, money_paper_pdf, money_paper_texts
from shop.usecases import order_money, rug_from_job
from shop.usecases import shop as shops
from shop.usecases.order_money import JobMoney, PaperGiven
from shop.web.asked import number_of
from shop.web.fields import ChoiceField, DateField, MoneyField, SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.offer import pdf
from shop.web.pages import page, show
from shop.web.quote_papers import shop_head
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("order", __name__, url_prefix="/jobs")

WHATS: Final[dict[Happening, str]] = {
    Happening.DEPOSIT_ASKED: mark("Deposit asked"),
    Happening.PAYMENT: mark("Paid"),
    Happening.REFUND: mark("Given back"),
    Happening.TIP: mark("Tip"),
    Happening.HANDED_OVER: mark("Handed over"),
    Happening.CANCELLED: mark("Cancelled"),
}
MEANS: Final[dict[str, str]] = {
    "cash": mark("cash"),
    "card": mark("card"),
    "transfer": mark("bank transfer"),
    "cheque": mark("cheque"),
    "other": mark("another way"),
}
PAPERS: Final[dict[str, str]] = {
    "invoice": mark("Invoice"),
    "credit note": mark("Credit note"),
    "receipt": mark("Receipt"),
}
STAGES: Final[dict[Stage, str]] = {
    Stage.OPEN: mark("open"),
    Stage.HANDED_OVER: mark("handed over"),
    Stage.CANCELLED: mark("cancelled"),
}
class PayForm(ShopForm):
    """Money that came, or went back."""

    what = ChoiceField(
        mark("What"),
        choices=tuple((one.value, WHATS[one]) for one in order_money.PAID),
        default=Happening.PAYMENT.value,
        where="what",
    )
    amount = MoneyField(mark("Amount"), where="amount")
    means = ChoiceField(mark("How"), choices=tuple(MEANS.items()), default="cash", where="means")
    on = DateField(mark("When"), where="on")
    reference = TextField(mark("What stands on the slip"), needed=False, where="reference")
    saving = SavingField()


class EndForm(ShopForm):
    """Handed over, or cancelled."""

    amount = MoneyField(mark("Amount"), where="amount")
    saving = SavingField()


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


@page("order/money.html")
class MoneyPage:
    """The money of a job; ``rug`` the number of the rug for sale that it became instead of being handed over."""

    job: JobRow
    facts: tuple[tuple[str, str], ...]
    stage: str
    is_open: bool
    ready: bool
    rug: int | None
    events: tuple[EventRow, ...]
    papers: tuple[PaperRow, ...]
    can_invoice: bool
    pay: PayForm
    over: EndForm
    cancel: EndForm
    act: PressForm


@room.get("/<int:number>/money")
def show_money(number: int) -> Response:
    """The money of a job."""
    return _money_page(order_money.money_of(store_now(), job=number))


def _money_page(found: JobMoney, *, status: int = 200, **forms: Any) -> Response:
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
    receipts = {one.event for one in found.papers if one.kind == "receipt"}
    credited = sum(one.kind == "credit note" for one in found.papers)
    invoices = sum(one.kind == "invoice" for one in found.papers)
    context = MoneyPage(
        job=job_row(found.line),
        facts=_account_facts(found, words),
        stage=words.say(STAGES[account.stage]),
        is_open=order_money.stands(found),
        ready=found.line.state == "ready",
        rug=rug_from_job.offered(store_now(), job=found.line.number).rug,
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
                one.kind == "invoice" and invoices > credited,
            )
            for one in found.papers
        ),
        can_invoice=found.agreed is not None and invoices == credited,
        pay=pay,
        over=over,
        cancel=cancel,
        act=PressForm(formdata=None),
    )
    return show(context, status=status)


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


@room.post("/<int:number>/money")
def record(number: int) -> Response:
    """Money that came, or went back."""
    form = PayForm(prefix="pay-")
    if form.validate():
        try:
            order_money.record(
                store_now(),
                job=number,
                what=Happening(form.what.data),
                amount=form.amount.data,
                means=form.means.data,
                reference=form.reference.data or "",
                on=form.on.data,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            _put_beside(form, refusal)
        else:
            tell(mark("Written down."))
            return _back(number)
    return _money_page(order_money.money_of(store_now(), job=number), pay=form, status=422)


def _put_beside(form: ShopForm, refusal: Refusal) -> None:
    """Beside the amount, if nothing else is named; what is not there at all is not for this form to say."""
    if any(problem.code.endswith(".unknown") and problem.code != "choice.unknown" for problem in refusal.problems):
        raise refusal
    for problem in refusal.problems:
        form.refuse(problem if problem.where and problem.where not in ("came_to", "kept") else problem.at("amount"))


def _back(number: int) -> Response:
    return redirect(url_for("order.show_money", number=number), 303)  # type: ignore[return-value]


@room.post("/<int:number>/money/over")
def hand_over(number: int) -> Response:
    """The rug is handed over."""
    form = EndForm(prefix="over-")
    if form.validate():
        try:
            order_money.hand_over(
                store_now(), job=number, came_to=form.amount.data, saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            _put_beside(form, refusal)
        else:
            tell(mark("The rug is handed over."))
            return _back(number)
    return _money_page(order_money.money_of(store_now(), job=number), over=form, status=422)


@room.post("/<int:number>/money/cancelled")
def cancel(number: int) -> Response:
    """The order is cancelled."""
    form = EndForm(prefix="cancel-")
    if form.validate():
        try:
            order_money.cancel(store_now(), job=number, kept=form.amount.data, saving=form.saving.data, now=moment())
        except Refusal as refusal:
            _put_beside(form, refusal)
        else:
            tell(mark("The order is cancelled."))
            return _back(number)
    return _money_page(order_money.money_of(store_now(), job=number), cancel=form, status=422)


def _press(act: Callable[..., Any], number: int, told: str, **given: Any) -> None:
    act(store_now(), job=number, saving=pressed(), now=moment(), **given)
    tell(told)


@room.post("/<int:number>/money/undone")
def undo(number: int) -> Response:
    """It was a mistake."""
    event = number_of(request.form.get("event", "")) or 0
    _press(order_money.undo, number, mark("Struck out. It stays in the record."), event=event)
    return _back(number)


@room.post("/<int:number>/money/papers")
def write_paper(number: int) -> Response:
    """Write an invoice, a receipt or a credit note."""
    kind = request.form.get("kind", "")
    event, of = number_of(request.form.get("event", "")), number_of(request.form.get("of", ""))
    found = order_money.money_of(store_now(), job=number)
    words = words_now()
    if kind not in PAPERS or (kind != "receipt" and found.agreed is None):
        raise Refusal(Problem("choice.unknown", values={"text": kind[:24], "choices": tuple(PAPERS)}))
    head = shop_head(shops.current(store_now()))

    def make(paper_number: int, on: date) -> PaperGiven:
        paid = next((one.amount for one in found.events if one.id == event), found.account.received)
        amount = paid if kind == "receipt" else found.agreed or Money.zero(paid.currency)
        paper = MoneyPaper(
            kind=words.say(PAPERS[kind]),
            number=paper_number,
            day=on,
            shop=head,
            about=found.line.name,
            rows=_paper_rows(kind, found, amount, words),
            note=words.say("Takes back invoice %(number)s.", number=str(_number_of_paper(found, of))) if of else "",
        )
        total = -amount if kind == "credit note" else amount
        return PaperGiven(content=money_paper_texts(paper, words), pdf=money_paper_pdf(paper, words), total=total)

    _press(order_money.write_paper, number, mark("The paper is written."), kind=kind, event=event, of=of, make=make)
    return _back(number)


def _number_of_paper(found: JobMoney, paper: int | None) -> int:
    return next((one.number for one in found.papers if one.id == paper), 0)


def _paper_rows(kind: str, found: JobMoney, amount: Money, words: Words) -> tuple[tuple[str, str], ...]:
    say = words.say
    if kind == "receipt":
        return ((say("Received, with thanks"), words.money(amount)),)
    tax = found.tax
    sign = -1 if kind == "credit note" else 1
    rows = [(say("One rug, woven to order"), words.money((amount - tax) * sign))]
    if tax:
        rows.append((say("Tax"), words.money(tax * sign)))
    rows.append((say("Total"), words.money(amount * sign)))
    if kind == "invoice":
        rows.append((say("Paid already"), words.money(found.account.received - found.account.returned)))
        due = amount - found.account.received + found.account.returned
        rows.append((say("To pay"), words.money(due if due.minor > 0 else Money.zero(due.currency))))
    return tuple(rows)


@room.get("/<int:number>/money/papers/<int:paper>.pdf")
def show_paper(number: int, paper: int) -> Response:
    """A paper as it was written."""
    return pdf(order_money.pdf_of(store_now(), job=number, paper=paper), f"paper-{paper}.pdf")
