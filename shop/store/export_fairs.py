"""What of fairs and of the money of orders goes out: fairs, what was packed, the box, wishes, what nearly sold, payments."""

from __future__ import annotations

from sqlalchemy import select

from shop.store.export import Table, table_of
from shop.store.fair import Fair
from shop.store.job import Job
from shop.store.order_money import OrderEvent
from shop.store.packing import PackedRug
from shop.store.quote import Quote
from shop.store.rug import Rug
from shop.store.till import Refused, TillCash, Wish


def fair_tables() -> tuple[Table, ...]:
    """The fairs with what happened at them beside sales, and what happened to the money of orders."""
    fairs = (
        Fair.number.label("fair"),
        Fair.name,
        Fair.series,
        Fair.place,
        Fair.first_on.label("first day"),
        Fair.last_on.label("last day"),
        Fair.state,
        Fair.currency,
        Fair.stall.label("money stall"),
        Fair.travel.label("money travel"),
        Fair.nights.label("money nights"),
        Fair.helper.label("money helper"),
        Fair.permits.label("money permits"),
        Fair.other.label("money other"),
        Fair.card_percent.label("card reader keeps"),
        Fair.card_fixed.label("money card reader keeps of each"),
        Fair.card_share.label("thought to be paid by card"),
        Fair.hours_stood,
        Fair.hours_travelled,
        Fair.tax_name,
        Fair.tax_rate,
        Fair.tax_contained.label("tax in prices"),
        Fair.cash_step.label("money cash is rounded to"),
        Fair.opening_float.label("money float"),
        Fair.counted.label("money counted"),
        Fair.note,
    )
    packed = (
        Fair.number.label("fair"),
        Rug.number.label("rug"),
        PackedRug.price.label("money price"),
        PackedRug.packed_at,
        PackedRug.back_at,
    )
    cash = (
        Fair.number.label("fair"),
        TillCash.what,
        TillCash.amount.label("money amount"),
        TillCash.at.label("said at"),
        TillCash.note,
    )
    wishes = (
        Fair.number.label("fair"),
        Wish.name,
        Wish.contact,
        Wish.words,
        Wish.width,
        Wish.length,
        Wish.at.label("wished at"),
        Quote.number.label("quote"),
        Wish.done_at.label("seen to at"),
    )
    refused = (
        Fair.number.label("fair"),
        Rug.number.label("rug"),
        Refused.asked.label("money asked"),
        Refused.offered.label("money offered"),
        Refused.at.label("asked at"),
    )
    payments = (
        OrderEvent.id.label("entry"),
        Job.number.label("job"),
        OrderEvent.what,
        OrderEvent.amount.label("money amount"),
        OrderEvent.currency,
        OrderEvent.means,
        OrderEvent.reference,
        OrderEvent.on.label("day"),
        OrderEvent.at.label("written at"),
        OrderEvent.undone_at,
    )
    return (
        table_of("fairs", fairs, select(*fairs).order_by(Fair.number)),
        table_of(
            "packed rugs",
            packed,
            select(*packed)
            .join(Fair, Fair.id == PackedRug.fair_id)
            .join(Rug, Rug.id == PackedRug.rug_id)
            .order_by(Fair.number, Rug.number),
        ),
        table_of("cash box", cash, select(*cash).join(Fair, Fair.id == TillCash.fair_id).order_by(Fair.number, TillCash.id)),
        table_of(
            "wishes",
            wishes,
            select(*wishes)
            .join(Fair, Fair.id == Wish.fair_id)
            .outerjoin(Quote, Quote.id == Wish.quote_id)
            .order_by(Fair.number, Wish.id),
        ),
        table_of(
            "asked not bought",
            refused,
            select(*refused)
            .join(Fair, Fair.id == Refused.fair_id)
            .join(Rug, Rug.id == Refused.rug_id)
            .order_by(Fair.number, Refused.id),
        ),
        table_of(
            "money of orders",
            payments,
            select(*payments).join(Job, Job.id == OrderEvent.job_id).order_by(OrderEvent.id),
        ),
    )
