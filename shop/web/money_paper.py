"""The numbered papers of an order: receipt, invoice and credit note, written and looked at."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Problem, Refusal
from shop.paper.invoice import InvoicePaper, invoice_pdf, invoice_texts
from shop.paper.money_paper import MoneyPaper, money_paper_pdf, money_paper_texts
from shop.usecases import invoice, money_paper
from shop.usecases.invoice import InvoiceSaid
from shop.usecases.money_paper import Printed, ReceiptSaid
from shop.web.asked import number_of
from shop.web.forms import pressed
from shop.web.offer import pdf
from shop.web.order_forms import MEANS
from shop.web.quote_papers import shop_head
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("money_paper", __name__, url_prefix="/jobs")


def printed_receipt(said: ReceiptSaid) -> Printed:
    """A receipt, made."""
    words = words_now()
    how = [(words.say("Came on"), words.date(said.came_on))]
    if said.means:
        how.append((words.say("How"), words.say(MEANS[said.means])))
    if said.reference:
        how.append((words.say("What stands on the slip"), said.reference))
    paper = MoneyPaper(
        kind=words.say("Receipt"),
        number=str(said.number),
        day=said.on,
        shop=shop_head(said.shop),
        to=(said.buyer.name, *said.buyer.address),
        about=said.name,
        facts=tuple(how),
        rows=((words.say("Received, with thanks"), words.money(said.amount)),),
    )
    return Printed(content=money_paper_texts(paper, words), pdf=money_paper_pdf(paper, words))


def printed_invoice(said: InvoiceSaid) -> Printed:
    """An invoice or a credit note, made."""
    words, sign = words_now(), -1 if said.of else 1
    paper = InvoicePaper(
        number=said.number,
        day=said.on,
        shop=shop_head(said.shop),
        tax_number=said.shop.tax_number,
        buyer=(said.buyer.name, *said.buyer.address),
        supplied=said.supplied,
        totals=said.totals,
        quantities=tuple(line.quantity * sign for line in said.invoice.lines),
        tax_name=said.tax_name,
        due=said.due,
        no_tax=said.shop.no_tax,
        paying=said.shop.paying,
        of=said.of,
    )
    return Printed(content=invoice_texts(paper, words), pdf=invoice_pdf(paper, words))


def _receipt(job: int) -> None:
    event = number_of(request.form.get("event", "")) or 0
    money_paper.write_receipt(
        store_now(), job=job, event=event, make=printed_receipt, saving=pressed(), now=moment()
    )


def _invoice(job: int) -> None:
    invoice.write_invoice(store_now(), job=job, make=printed_invoice, saving=pressed(), now=moment())


def _credit_note(job: int) -> None:
    of = number_of(request.form.get("of", "")) or 0
    invoice.write_credit_note(store_now(), job=job, of=of, make=printed_invoice, saving=pressed(), now=moment())


WRITERS: Final[dict[str, Callable[[int], None]]] = {
    "receipt": _receipt,
    "invoice": _invoice,
    "credit note": _credit_note,
}


@room.post("/<int:number>/money/papers")
def write_paper(number: int) -> Response:
    """Write an invoice, a receipt or a credit note."""
    kind = request.form.get("kind", "")
    if kind not in WRITERS:
        raise Refusal(Problem("choice.unknown", values={"text": kind[:24], "choices": tuple(WRITERS)}))
    WRITERS[kind](number)
    tell(mark("The paper is written."))
    return redirect(url_for("order.show_money", number=number), 303)  # type: ignore[return-value]


@room.get("/<int:number>/money/papers/<int:paper>.pdf")
def show_paper(number: int, paper: int) -> Response:
    """A paper as it was written."""
    return pdf(money_paper.pdf_of(store_now(), job=number, paper=paper), f"paper-{paper}.pdf")
