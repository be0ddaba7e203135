"""The box with the cash of a fair: what lay in it, what came and went, what must be in it, and what was counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.money import Money
from shop.core.till import Drawer
from shop.store import fair as fair_table
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session

MOST_LINES: Final = 40
"""Of what was said of a box, so much is listed."""


@dataclass(frozen=True, slots=True)
class CashLine:
    """Something that was said of the box."""

    what: str
    amount: Money
    note: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Box:
    """The box: what must be in it, and what was counted. Sales undone went back out of it.

    Attributes:
        lines: what was said of it, newest first; ``more`` how much was said before those.
    """

    opening: Money
    sales: Money
    put_in: Money
    taken_out: Money
    drawer: Drawer
    lines: tuple[CashLine, ...]
    more: int


def opening_of(fair: fair_table.Fair, said: Sequence[table.TillCash]) -> int:
    """What lay in the box at the start: the last float that was said, and else the one that was planned."""
    return [fair.opening_float, *(one.amount for one in said if one.what == "float")][-1]


def box_in(session: Session, fair: fair_table.Fair, from_sales: int) -> Box:
    """The box, as part of another use case: the last float that was said counts, and else the one that was planned; so does the last count."""
    said = rows.cash_of(session, fair.id)

    def money(minor: int) -> Money:
        return Money(minor, fair.currency)

    def together(what: str) -> int:
        return sum(one.amount for one in said if one.what == what)

    opening = opening_of(fair, said)
    counted = [None, *(one.amount for one in said if one.what == "counted")][-1]
    put_in, taken_out = together("put in"), together("taken out")
    return Box(
        opening=money(opening),
        sales=money(from_sales),
        put_in=money(put_in),
        taken_out=money(taken_out),
        drawer=Drawer(
            opening=money(opening),
            taken=money(from_sales + put_in),
            paid_out=money(taken_out),
            counted=None if counted is None else money(counted),
        ),
        lines=tuple(CashLine(one.what, money(one.amount), one.note, one.at) for one in [*said][: -MOST_LINES - 1 : -1]),
        more=max(0, len(said) - MOST_LINES),
    )
