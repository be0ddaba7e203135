"""Every table of the shop, gathered: importing this makes ``metadata`` whole."""

from shop.store import (
    account,
    customer,
    fabric,
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
    photograph,
    price,
    quote,
    rates,
    reservation,
    saving,
    shop,
    workweek,
)
from shop.store.base import Base

ROOMS = (account, customer, fabric, history_entry, job, job_record, learning, ledger, loom, money_request, numbering, offer, order_money, outbox, pace, photograph, price, quote, rates, reservation, saving, shop, workweek)
metadata = Base.metadata
