"""Builders of a stall: rugs at home, a fair, rugs packed and sold there, through the use cases."""

from datetime import date
from decimal import Decimal

from shop.core.measure import Length
from shop.core.money import Money
from shop.store import fair as fair_rows
from shop.store import rug as rug_rows
from shop.usecases import fair, fair_card, rug, sale
from shop.usecases.given import fresh_token
from shop.usecases.whereabouts import pack

NOTHING = Money(0, "USD")


def a_fair_given(**changed):
    """A fair of two days that costs 122.50, with 6.25 % of tax on top, and prices in steps of 5."""
    given = {
        "name": "Harvest fair", "series": "", "place": "Lower meadow", "first_on": date(2026, 9, 12), "last_on": date(2026, 9, 13),
        "stall": Money(90_00, "USD"), "travel": Money(22_50, "USD"), "nights": NOTHING, "helper": NOTHING, "permits": Money(10_00, "USD"),
        "other": NOTHING, "card_percent": Decimal("0.02"), "card_fixed": NOTHING, "card_share": Decimal("0.5"),
        "hours_stood": Decimal(14), "hours_travelled": Decimal(3), "tax_name": "Sales tax", "tax_rate": Decimal("0.0625"),
        "cash_step": NOTHING, "price_step": Money(5_00, "USD"), "opening_float": Money(80_00, "USD"),
    }  # fmt: skip
    return fair_card.FairGiven(**{**given, **changed})


def a_kept_fair(store, now, **changed):
    """A fair; gives its card."""
    return fair.keep(store, fair=a_fair_given(**changed), saving=fresh_token(), now=now)


def a_rug_at_home(store, now, name="Blue ladder", *, width=24, length=36, cost=40, price=60, minutes=240, colour="#2b3d6e"):
    """A rug that was entered by hand, whose cost is half wage; gives its number."""
    half = Money(cost * 50, "USD")
    given = rug.RugGiven(
        name=name, made_on=date(2026, 2, 1), width=Length.of(width, "in"), length=Length.of(length, "in"),
        stripes=((colour, Decimal(1)),), cloth=half, warp=NOTHING, labour=half, overhead=NOTHING, bought_in=NOTHING,
        minutes=Decimal(minutes), price=None if price is None else Money(price * 100, "USD"),
    )  # fmt: skip
    return rug.enter(store, rug=given, saving=fresh_token(), now=now).number


def packed(store, now, number, **prices):
    """Pack rugs, named as ``r1=60``, for a fair."""
    rugs = [(int(name[1:]), Money(price * 100, "USD")) for name, price in prices.items()]
    pack(store, fair=number, rugs=rugs, saving=fresh_token(), now=now)


def sold_there(store, now, number, *rugs, means="cash", rate=Decimal("0.0625")):
    """Sell rugs, given as (number, price), together at a fair with the tax on top; gives the sale's number."""
    with store.writing() as session:
        there = fair_rows.by_number(session, number)
        prices = [Money(price * 100, "USD") for _, price in rugs]
        due = sum((price.minor for price in prices), 0)
        tax = Money(int(due * rate + Decimal("0.5")), "USD")
        lines = [
            sale.SoldRug(rug_id=rug_rows.by_number(session, one).id, asked=price, price=price)
            for (one, _), price in zip(rugs, prices, strict=True)
        ]
        row = sale.sell_in(
            session, rugs=lines, total_paid=Money(due, "USD") + tax, tax=tax, means=means, fair_id=there.id,
            on=there.first_on, at=now, now=now, has_happened=True,
        )  # fmt: skip
        return row.number
