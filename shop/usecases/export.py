"""Everything out: the hauls, pieces, jobs with their record, and movements of the shop, its rugs and their sales, its fairs and payments, as plain rows.

Money comes as decimals of the shop's currency, lengths in millimetres, weights in grams, shares of one, days and times as ISO
8601 writes them, times in UTC.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from shop.core.ledger import WHOLE
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.store import export as table
from shop.store import export_fairs
from shop.store.engine import Session, Store
from shop.usecases.shop import shop_in

Cell = str | int | Decimal | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table of cells.

    Attributes:
        name: such as ``pieces``.
        columns: the head of each.
        rows: reads them, as often as it is called, within ``everything`` only.
    """

    name: str
    columns: tuple[str, ...]
    rows: Callable[[], Iterator[tuple[Cell, ...]]]


@contextmanager
def everything(store: Store) -> Iterator[tuple[Sheet, ...]]:
    """All the tables as they stand at one moment, however often they are read; nothing is held in memory at once."""
    with store.reading() as session:
        currency = shop_in(session).currency
        yield tuple(_sheet(session, one, currency) for one in (*table.tables(), *table.rug_tables(), *export_fairs.fair_tables()))


def _sheet(session: Session, one: table.Table, currency: str) -> Sheet:
    kinds = [_kind(name) for name in one.columns]

    def rows() -> Iterator[tuple[Cell, ...]]:
        for row in table.rows_of(session, one):
            yield tuple(_cell(value, kind, currency) for value, kind in zip(row, kinds, strict=True))

    return Sheet(one.name, tuple(_head(name) for name in one.columns), rows)


def _kind(name: str) -> str:
    first = name.split(" ", maxsplit=1)[0]
    return first if first in ("money", "share") else ""


def _head(name: str) -> str:
    named = {"width": "width mm", "length": "length mm", "weight": "weight g", "grams_per_m2": "grams per m2"}
    return named.get(name, name.removeprefix("money ").replace("_", " "))


def _cell(value: Any, kind: str, currency: str) -> Cell:
    if value is None:
        return None
    if kind == "money":
        return Money(value, currency).amount
    if kind == "share":
        return Decimal(value) / WHOLE
    if isinstance(value, Length):
        return Decimal(value.nm) / 1_000_000
    if isinstance(value, Weight):
        return Decimal(value.ng) / 1_000_000_000
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, list):
        return ", ".join(f"{name} {share}" for name, share in value)
    return value if isinstance(value, int | Decimal) else str(value)
