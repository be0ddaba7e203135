"""What an order left once everything was paid: tax, card fees, stuff, the weaver's wage, overhead, and what was bought in."""

from __future__ import annotations

from shop.core.errors import Refusal
from shop.core.money import Money
from shop.core.tax import tax_contained
from shop.store import job as job_table
from shop.store import order_money as money_table
from shop.store.engine import Session
from shop.usecases.quoted_real import share_by_card
from shop.usecases.real_cost import drawn_for, real_cost
from shop.usecases.rug_of_job import rug_of


def profit_in(session: Session, row: job_table.Job, came_to: Money) -> Money | None:
    """What a job's rug leaves at what it came to, as far as is known now; as part of another use case.

        profit = came to - tax in it - card fees of the part paid by card - what it really cost

    Time and yarn that were not written down cost what was quoted, as with a rug for sale.

    Args:
        session: of the transaction.
        row: the job.
        came_to: all that its customer pays, tax with it.

    Returns:
        The profit; ``None`` where what the job was reckoned from can no longer be read.
    """
    try:
        planned = rug_of(row)
    except Refusal:
        return None
    cost = real_cost(session, row, planned, drawn_for(session, row))
    left = came_to - cost.cloth - cost.warp - cost.labour - cost.overhead - cost.bought_in
    if planned is None:
        return left
    events = [one for one in money_table.events_of(session, row.id) if one.undone_at is None]
    by_card = share_by_card(events)
    fees = planned.reckoning.price.fees if by_card is None else planned.reckoning.price.fees.share(by_card)
    return left - tax_contained(came_to, planned.reckoning.plan.price.tax_rate) - fees
