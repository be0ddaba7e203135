"""Rugs on a fair's table, priced, brought and sold."""

from __future__ import annotations

from decimal import Decimal

from shop.core.batch import RugToPrice
from shop.core.cost import JobCost
from shop.core.fair_account import RugAtFair, RugSale
from shop.core.fair_cost import CardReader, FairCost, RugBrought, leaves
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT
from shop.core.money import Money
from shop.core.price import PriceRule

FOOT = SQUARE_METRES_PER_SQUARE_FOOT


def usd(minor):
    return Money(minor, "USD")


def a_cost(cloth=600, warp=200, labour=6000, overhead=800, bought_in=100):
    return JobCost(*map(usd, (cloth, warp, labour, overhead, bought_in)))


def a_rug(rug="1", feet=6.0, **changed):
    """A finished rug of so many square feet, three hours in it."""
    given = {"cost": a_cost(), "minutes": 180.0, "area_m2": feet * FOOT}
    return RugToPrice(rug=rug, **{**given, **changed})


def a_rule(**changed):
    return PriceRule(**{"fee_fixed": usd(0), "step": usd(500), "share": Decimal("0.3"), **changed})


def a_fair(**changed):
    """One day: 150.00 the stall, 60.00 the way, ten hours and two."""
    given = {"stall": 15_000, "travel": 6000, "lodging": 0, "helper": 0, "permits": 0, "other": 0}
    money = {name: usd(changed.pop(name, minor)) for name, minor in given.items()}
    hours = {"hours_stood": Decimal(10), "hours_travelled": Decimal(2)}
    return FairCost(**{**money, **hours, **changed})


NO_CARD = CardReader(share=Decimal(0), fixed=usd(0), used=Decimal(0))


def what_leaves(*contributions, paid=0):
    """Rugs that each leave so much, sold without tax or fee."""
    return [
        leaves(RugBrought(rug=str(at), paid=usd(paid), tax=usd(0), cost=usd(paid - left)), NO_CARD)
        for at, left in enumerate(contributions)
    ]


def at_fair(rug, *, net=None, tax=0, feet=6.0, colour="blue", tag=9500, minutes=180.0, cost=None):
    """A rug at a fair; sold where there is a net."""
    sale = None if net is None else RugSale(net=usd(net), tax=usd(tax))
    return RugAtFair(
        rug=rug, area_m2=feet * FOOT, colour=colour, tag=usd(tag), cost=cost or a_cost(), minutes=minutes, sale=sale
    )
