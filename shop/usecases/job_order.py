"""The order behind a job, as its page tells it: for whom, by when, what is still to come, and what comes next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.core.account_of_order import Stage
from shop.core.money import Money
from shop.store import offer as offer_table
from shop.store import order_money as table
from shop.store.engine import Store
from shop.usecases.agreed import Buyer, order_of
from shop.usecases.job import job_in
from shop.usecases.shop import shop_in


@dataclass(frozen=True, slots=True, kw_only=True)
class JobOrder:
    """The order that a job is.

    Attributes:
        buyer: the customer, as far as they are known.
        promised: the day that was promised; ``None`` where none was.
        agreed: what the rug is to cost; ``None`` where nothing was agreed.
        to_come: what the customer still has to pay: of what was agreed, or of what it came to once it was handed over.
        to_give_back: what of the customer's money is theirs again, once it was handed over or cancelled.
        invoiced: an invoice stands.
    """

    buyer: Buyer
    promised: date | None
    agreed: Money | None
    to_come: Money
    to_give_back: Money
    invoiced: bool


def order_of_job(store: Store, *, job: int) -> JobOrder:
    """The order behind a job; a fixed number of queries.

    Raises:
        NotFound: ``job.unknown``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        currency = shop_in(session).currency
        order = order_of(session, row, currency)
        promised = offer_table.promised_of_jobs(session, [row.id]).get(row.id)
        papers = table.papers_of(session, row.id)
    account, nothing = order.account, Money.zero(currency)
    is_open = account.stage is Stage.OPEN
    to_come = max((order.total or nothing) - account.owed, nothing) if is_open else account.to_pay
    credited = {one.of_id for one in papers if one.kind == "credit note"}
    return JobOrder(
        buyer=order.buyer,
        promised=promised[0] if promised else None,
        agreed=order.total,
        to_come=to_come,
        to_give_back=nothing if is_open else account.owed,
        invoiced=any(one.kind == "invoice" and one.id not in credited for one in papers),
    )
