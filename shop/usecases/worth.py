"""What the cloth is worth, where, on any day: what was paid for what lay on the shelf, in jobs and in rugs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Problem, Refusal
from shop.core.ledger import WHOLE, standing
from shop.core.money import Money
from shop.store import ledger, ledger_day
from shop.store.engine import Store
from shop.usecases.moving import today_in
from shop.usecases.shop import shop_in

LINES: Final = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """Where the money was at the end of a day; ``paid`` is all the others together.

    Attributes:
        day: whose end it was.
        today: the day that it is in the shop.
    """

    day: date
    today: date
    paid: Money
    on_shelf: Money
    in_jobs: Money
    in_rugs: Money
    written_off: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfLine:
    """What of a piece lay on the shelf at the end of a day."""

    number: int
    name: str
    colour: str
    share: Decimal
    cost: Money


@dataclass(frozen=True, slots=True)
class ShelfOn:
    """The shelf at the end of a day, by falling number; ``further`` is where the next page begins, if there is one."""

    lines: tuple[ShelfLine, ...]
    further: int | None


def worth(store: Store, *, day: date | None = None, now: datetime) -> Worth:
    """Where the money was at the end of a day, or is now.

    Raises:
        Refusal: ``date.future`` at ``day``.
    """
    with store.reading() as session:
        today = today_in(session, now)
        if day is not None and day > today:
            raise Refusal(Problem("date.future", "day"))
        found = standing(ledger.flows(session, until=day))
        currency = shop_in(session).currency
        return Worth(
            day=day or today,
            today=today,
            paid=Money(found.paid, currency),
            on_shelf=Money(found.on_shelf, currency),
            in_jobs=Money(found.in_jobs, currency),
            in_rugs=Money(found.in_rugs, currency),
            written_off=Money(found.written_off, currency),
        )


def shelf_on(store: Store, *, day: date, below: int | None = None, limit: int = LINES) -> ShelfOn:
    """What lay on the shelf at the end of a day, piece by piece.

    Args:
        store: the shop's database.
        day: whose end it was.
        below: ``further`` of the page before.
        limit: pieces on a page.
    """
    with store.reading() as session:
        currency = shop_in(session).currency
        rows = ledger_day.shelf_on(session, day=day, below=below, limit=limit + 1)
    page = rows[:limit]
    lines = tuple(
        ShelfLine(
            number=piece.number,
            name=piece.name,
            colour=piece.colour,
            share=Decimal(share) / WHOLE,
            cost=Money(cost, currency),
        )
        for piece, share, cost in page
    )
    return ShelfOn(lines, page[-1][0].number if len(rows) > limit else None)
