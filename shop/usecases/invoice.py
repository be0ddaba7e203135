"""Invoices and credit notes: the very figures that the customer agreed to, numbered without holes, taken back and never changed.

What an invoice was made of is kept with it, so that a credit note mirrors what was written and not what would be written today.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from shop.core.account_of_order import Stage
from shop.core.agreed import invoice_of, invoice_of_total
from shop.core.errors import NotFound, Problem, Refusal
from shop.core.invoice import Invoice, Totals, credit_note, totals
from shop.core.invoice_kept import invoice_kept, invoice_read, totals_kept
from shop.core.money import Money
from shop.core.money_request import paid
from shop.store import job as job_table
from shop.store import order_money as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.usecases.agreed import Buyer, Order, order_of
from shop.usecases.job import job_in
from shop.usecases.money_paper import PaperLine, Printed, paper_in, paper_line, put_paper
from shop.usecases.money_request import DAYS_TO_PAY
from shop.usecases.moving import today_in
from shop.usecases.price import pricing_in
from shop.usecases.shop import Shop, shop_in

KEPT: Final = "kept"
"""Where in a paper's content the figures stand that it was made of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceSaid:
    """What an invoice or a credit note says.

    Attributes:
        number: of its kind; ``on`` the day that it is written.
        shop: whose it is.
        buyer: whom it goes to.
        name: of the rug.
        supplied: the day that the rug was handed over; ``None`` before.
        invoice: as it was entered; ``totals`` the same added up, on a credit note with the other sign.
        tax_name: what the tax is called there; may be empty.
        due: the day by which what is left is to be paid; ``None`` where nothing is left, and on a credit note.
        of: number and day of the invoice that a credit note takes back.
    """

    number: int
    on: date
    shop: Shop
    buyer: Buyer
    name: str
    supplied: date | None
    invoice: Invoice
    totals: Totals
    tax_name: str
    due: date | None = None
    of: tuple[int, date] | None = None


Make = Callable[[InvoiceSaid], Printed]
"""Makes the paper, told what it says."""


def write_invoice(store: Store, *, job: int, make: Make, saving: str, now: datetime) -> PaperLine:
    """Write the invoice of a job, under the next number.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``paper.written`` while one stands; ``invoice.cancelled``; ``invoice.no_price`` where nothing was agreed;
            ``quote.unreadable``; ``invoice.disagrees`` and ``invoice.more`` where it would not say what the customer agreed to.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"paper.invoice.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given=None, now=now)
        if earlier is not None:
            return paper_line(paper_in(session, row, earlier))
        papers = table.papers_of(session, row.id)
        credited = {one.of_id for one in papers if one.kind == "credit note"}
        if any(one.kind == "invoice" and one.id not in credited for one in papers):
            raise Refusal(Problem("paper.written"))
        shop = shop_in(session)
        order = order_of(session, row, shop.currency)
        invoice = _invoice(order, row.name)
        summed, today = totals(invoice), today_in(session, now)
        said = InvoiceSaid(
            number=take(session, "invoice")[0],
            on=today,
            shop=shop,
            buyer=order.buyer,
            name=row.name,
            supplied=order.handed_over,
            invoice=invoice,
            totals=summed,
            tax_name=pricing_in(session, shop.currency).tax_name,
            due=today + DAYS_TO_PAY if summed.due.minor > 0 else None,
        )
        made = _put(session, row, "invoice", said, make, now)
        presses.settle(session, act=act, token=saving, about=made.id)
        return paper_line(made)


def _invoice(order: Order, name: str) -> Invoice:
    if order.account.stage is Stage.CANCELLED:
        raise Refusal(Problem("invoice.cancelled"))
    came_to = order.account.came_to if order.account.stage is Stage.HANDED_OVER else None
    return invoice_of(order.agreed(name), paid=paid(order.account), came_to=came_to)


def write_credit_note(store: Store, *, job: int, of: int, make: Make, saving: str, now: datetime) -> PaperLine:
    """Take an invoice back, whole, by a credit note under the next number.

    Raises:
        NotFound: ``job.unknown``; ``paper.unknown`` for what is no invoice of this job.
        Refusal: ``paper.written`` when it was taken back before; ``quote.unreadable`` and ``invoice.no_price`` where it was
            written before figures were kept, and what was agreed cannot be read.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"paper.credit note.{row.id}"
        earlier = presses.claim(session, act=act, token=saving, given=of, now=now)
        if earlier is not None:
            return paper_line(paper_in(session, row, earlier))
        taken = paper_in(session, row, of)
        if taken.kind != "invoice":
            raise NotFound(Problem("paper.unknown"))
        if any(one.of_id == of for one in table.papers_of(session, row.id)):
            raise Refusal(Problem("paper.written"))
        shop = shop_in(session)
        kept = taken.content.get(KEPT)
        if kept is None:
            order = order_of(session, row, shop.currency)
            rate = order.agreed(row.name).tax_rate
            invoice = invoice_of_total(Money(taken.total, taken.currency), row.name, rate)
            buyer, tax_name, supplied = order.buyer, pricing_in(session, shop.currency).tax_name, order.handed_over
        else:
            invoice = invoice_read(kept["invoice"])
            buyer = Buyer(name=kept["buyer"]["name"], address=tuple(kept["buyer"]["address"]))
            tax_name = kept["tax_name"]
            supplied = date.fromisoformat(kept["supplied"]) if kept["supplied"] else None
        said = InvoiceSaid(
            number=take(session, "credit note")[0],
            on=today_in(session, now),
            shop=shop,
            buyer=buyer,
            name=row.name,
            supplied=supplied,
            invoice=invoice,
            totals=credit_note(invoice),
            tax_name=tax_name,
            of=(taken.number, taken.on),
        )
        made = _put(session, row, "credit note", said, make, now, of=taken.id)
        presses.settle(session, act=act, token=saving, about=made.id)
        return paper_line(made)


def _put(
    session: Session, row: job_table.Job, kind: str, said: InvoiceSaid, make: Make, now: datetime, *, of: int | None = None
) -> table.Paper:
    printed = make(said)
    kept = {
        "invoice": invoice_kept(said.invoice),
        "totals": totals_kept(said.totals),
        "buyer": {"name": said.buyer.name, "address": list(said.buyer.address)},
        "supplied": said.supplied.isoformat() if said.supplied else None,
        "tax_name": said.tax_name,
    }
    content = {**printed.content, KEPT: kept}
    total = said.totals.with_tax
    return put_paper(
        session, row, kind, said.number, Printed(content=content, pdf=printed.pdf), total=total, on=said.on, now=now, of=of
    )
