"""The shop's month: what the quotes now open may come to, if so many of their customers say yes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, cast

from shop.core.described import plan_of
from shop.core.errors import Problem, Refusal
from shop.core.reckon import reckon
from shop.core.risk import Month, OpenQuote, month_of
from shop.store import job as job_table
from shop.store import quote as table
from shop.store.engine import Store
from shop.usecases.shop import shop_in

MOST: Final = 40
"""Quotes that are looked at, newest first."""
OPEN_FOR: Final = timedelta(days=60)
"""A quote that nobody has saved or begun for so long is thought to have gone to sleep."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotesMonth:
    """What the open quotes may come to.

    Attributes:
        month: hours, cloth and income, low to high; ``None`` where no quote is open.
        quotes: how many they are.
        likely: the chance that a customer says yes, which it was reckoned with.
        currency: of the income.
    """

    month: Month | None
    quotes: int
    likely: float
    currency: str


def month(store: Store, *, likely: float, now: datetime) -> QuotesMonth:
    """What the quotes now open may come to; two months old at most, and no job begun from them.

    Args:
        store: the shop's database.
        likely: the chance that a customer says yes, 0 to 1.
        now: the time, zoned.

    Raises:
        Refusal: ``risk.likely`` at ``likely``.
    """
    if not 0 <= likely <= 1:
        raise Refusal(Problem("risk.likely", "likely", {"chance": likely}))
    with store.reading() as session:
        currency = shop_in(session).currency
        rows = table.newest_since(session, now - OPEN_FOR, limit=MOST)
        begun = job_table.quotes_begun(session, [row.id for row in rows])
    found = []
    for row in rows:
        if row.id in begun or row.currency != currency:
            continue
        one = _open(row, likely)
        if one is not None:
            found.append(one)
    return QuotesMonth(month=month_of(found) if found else None, quotes=len(found), likely=likely, currency=currency)


def _open(row: table.Quote, likely: float) -> OpenQuote | None:
    """A quote by the figures that it was saved with; ``None`` where it can no longer be read."""
    try:
        reckoning = reckon(plan_of(cast("Mapping[str, object]", row.described["document"])))
    except (KeyError, TypeError, Refusal):
        return None
    return OpenQuote(name=str(row.number), reckoning=reckoning, likely=likely)
