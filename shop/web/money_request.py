"""Requests for the deposit and the balance of an order: written, sent by e-mail, or said to have been sent."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from flask import Blueprint, Response, redirect, url_for

from shop.core.errors import Refusal
from shop.core.money_request import Asked
from shop.paper.money_paper import MoneyPaper, money_paper_pdf, money_paper_texts
from shop.usecases import money_request, order_money
from shop.usecases.money_request import RequestMade, RequestSaid
from shop.web.forms import pressed
from shop.web.offer import pdf
from shop.web.order_forms import RequestForm
from shop.web.order_page import money_page
from shop.web.quote_papers import shop_head
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("money_request", __name__, url_prefix="/jobs")

TITLES: Final[dict[Asked, str]] = {
    Asked.DEPOSIT: mark("Deposit: request"),
    Asked.BALANCE: mark("Balance: request"),
}
SUBJECTS: Final[dict[Asked, str]] = {
    Asked.DEPOSIT: mark("The deposit for your rug: %(name)s (%(reference)s)"),
    Asked.BALANCE: mark("The balance for your rug: %(name)s (%(reference)s)"),
}


def made_request(said: RequestSaid) -> RequestMade:
    """A request as paper and as a letter, made."""
    words = words_now()
    say = words.say
    rows = [(say("The rug costs, tax and all"), words.money(said.price))]
    if said.what is Asked.DEPOSIT:
        rows.append((say("The deposit that was agreed"), words.money(said.to_reach)))
    if said.paid:
        rows.append((say("Paid already"), words.money(-said.paid)))
    label = say("Deposit to pay now") if said.what is Asked.DEPOSIT else say("Balance to pay now")
    rows.append((label, words.money(said.amount)))
    paper = MoneyPaper(
        kind=say(TITLES[said.what]),
        number=said.reference,
        day=said.on,
        shop=shop_head(said.shop),
        to=(said.buyer.name, *said.buyer.address),
        about=said.name,
        facts=(
            (say("To be paid by"), words.date(said.due)),
            (say("Please write on the payment"), said.reference),
        ),
        rows=tuple(rows),
        paying=said.shop.paying,
        is_request=True,
    )
    return RequestMade(
        content=money_paper_texts(paper, words),
        pdf=money_paper_pdf(paper, words),
        subject=say(SUBJECTS[said.what], name=said.name, reference=said.reference),
        body=_letter(said, words),
    )


def _letter(said: RequestSaid, words: Words) -> str:
    """What the paper says, as a letter in plain words."""
    say, day = words.say, words.date(said.due)
    if said.what is Asked.DEPOSIT:
        first = say("For your rug, %(name)s, I ask for the deposit of %(amount)s by %(day)s.", name=said.name, amount=said.amount, day=day)
    else:
        first = say("For your rug, %(name)s, I ask for the balance of %(amount)s by %(day)s.", name=said.name, amount=said.amount, day=day)
    costs = say("It costs %(price)s in all, tax included; %(paid)s of that is paid.", price=said.price, paid=said.paid)
    on_it = say("Please write %(reference)s on the payment, so that I know it is yours.", reference=said.reference)
    return "\n\n".join(part for part in (first, costs, said.shop.paying, on_it, said.shop.name) if part)


@room.post("/<int:number>/money/requests")
def write_request(number: int) -> Response:
    """Write a request."""
    form = RequestForm(prefix="ask-")
    if form.validate():
        try:
            money_request.write_request(
                store_now(),
                job=number,
                what=form.what.data,
                due=form.due.data,
                make=made_request,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "job.unknown" for problem in refusal.problems):
                raise
            for problem in refusal.problems:
                form.refuse(problem if problem.where else problem.at("what"))
        else:
            tell(mark("The request is written. Send it, or hand it over on paper."))
            return _back(number)
    return money_page(order_money.money_of(store_now(), job=number), ask=form, status=422)


def _back(number: int) -> Response:
    return redirect(f"{url_for('order.show_money', number=number)}#requests", 303)  # type: ignore[return-value]


def _press(act: Callable[..., Any], number: int, nth: int, told: str) -> Response:
    act(store_now(), job=number, nth=nth, saving=pressed(), now=moment())
    tell(told)
    return _back(number)


@room.post("/<int:number>/money/requests/<int:nth>/letter")
def send_request(number: int, nth: int) -> Response:
    """Send it by e-mail."""
    return _press(
        money_request.send_request, number, nth, mark("The letter is in the outbox and goes out in a moment.")
    )


@room.post("/<int:number>/money/requests/<int:nth>/sent")
def mark_sent(number: int, nth: int) -> Response:
    """She has sent it herself."""
    return _press(money_request.mark_sent, number, nth, mark("Noted that it was sent today."))


@room.get("/<int:number>/money/requests/<int:nth>.pdf")
def show_request(number: int, nth: int) -> Response:
    """A request as it was written."""
    return pdf(money_request.pdf_of(store_now(), job=number, nth=nth), f"request-{number}-{nth}.pdf")
