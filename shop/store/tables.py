"""Every table of the shop, gathered: importing this makes ``metadata`` whole."""

from shop.store import (
    account,
    customer,
    fabric,
    fair,
    history_entry,
    job,
    job_record,
    learning,
    ledger,
    loom,
    money_request,
    numbering,
    offer,
    order_money,
    outbox,
    pace,
    packing,
    photograph,
    price,
    quote,
    rates,
    reservation,
    rug,
    saving,
    shop,
    till,
    workweek,
)
from shop.store.base import Base

ROOMS = (account, customer, fabric, fair, history_entry, job, job_record, learning, ledger, loom, money_request, numbering, offer, order_money, outbox, pace, packing, photograph, price, quote, rates, reservation, rug, saving, shop, till, workweek)
metadata = Base.metadata
