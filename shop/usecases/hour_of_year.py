"""The year's overhead and hours as they were planned, and as they were: what was borne too little or too much, and the next rate."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Final

from shop.core.cost import OverheadYear
from shop.core.errors import Problem, Refusal
from shop.core.money import Money
from shop.store import order_money
from shop.store.engine import Store
from shop.usecases.rates import rates_in
from shop.usecases.shop import shop_in

YEAR: Final = timedelta(days=365)
LEAST_KEPT: Final = timedelta(days=90)
"""Time that was kept for less than this says nothing of a year."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourOfYear:
    """The year as it was planned and as it was.

    Attributes:
        year: the figures; ``None`` where overhead is not borne by the hour, or time was kept too little.
        worked: hours that were written down in the last year.
        since: the day from which time was kept, where that is less than a year ago: the hours are then stretched to a year.
        planned: whether the shop has a budget and hours at all.
    """

    year: OverheadYear | None
    worked: Decimal
    since: date | None
    planned: bool


def hour_of_year(store: Store, *, spent: Money | None, now: datetime) -> HourOfYear:
    """The year up to now.

    Args:
        store: the shop's database.
        spent: what overhead really cost in it; ``None`` for as much as was budgeted.
        now: the time, zoned.

    Raises:
        Refusal: ``money.currency`` at ``spent`` for another currency than the shop's.
    """
    with store.reading() as session:
        currency = shop_in(session).currency
        rates = rates_in(session, currency)
        minutes, first = order_money.minutes_since(session, now - YEAR)
    if spent is not None and spent.currency != currency:
        raise Refusal(Problem("money.currency", "spent", {"currency": spent.currency}))
    worked = minutes / 60
    planned = rates.overhead == "budget" and bool(rates.productive_hours) and bool(rates.budget)
    kept = now - first if first is not None else timedelta(0)
    young = kept < YEAR
    year = None
    if planned and worked and kept >= LEAST_KEPT and rates.productive_hours:
        whole = worked * YEAR.days / kept.days if young else worked
        actual = spent if spent is not None else rates.budget
        year = OverheadYear(budget=rates.budget, planned=rates.productive_hours, actual=actual, worked=round(whole, 2))
    return HourOfYear(
        year=year, worked=worked, since=first.date() if first is not None and young else None, planned=planned
    )
