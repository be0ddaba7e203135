"""A fair as it is given and as it is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import NotFound, Problem
from shop.core.money import Money, total
from shop.store import fair as table
from shop.store.engine import Session
from shop.usecases.given import is_number_of_a_row

COSTS: Final = ("stall", "travel", "nights", "helper", "permits", "other")
"""What a stall costs whatever is sold, in the order in which it is asked."""
AMOUNTS: Final = (*COSTS, "card_fixed", "cash_step", "opening_float")
"""All its amounts but its round prices."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FairGiven:
    """A fair as it is to be kept.

    Attributes:
        series: the name under which its years stand side by side; its own where none is given.
        stall, travel, nights, helper, permits, other: what it costs, whatever is sold.
        card_percent, card_fixed: what the card reader takes of each sale by card.
        card_share: of the takings that are thought to be paid by card.
        tax_rate: of the place, as a part of one; ``tax_contained`` in the price, or on top of it.
        cash_step: what a cash total is rounded to; nought for none.
        price_step: what prices there end in steps of; nought for none. ``price_points`` the round prices themselves, if set.
        opening_float: in the box at the start.
    """

    name: str
    series: str = ""
    place: str = ""
    note: str = ""
    first_on: date
    last_on: date
    stall: Money
    travel: Money
    nights: Money
    helper: Money
    permits: Money
    other: Money
    card_percent: Decimal
    card_fixed: Money
    card_share: Decimal
    hours_stood: Decimal
    hours_travelled: Decimal
    tax_name: str = ""
    tax_rate: Decimal = Decimal(0)
    tax_contained: bool = False
    cash_step: Money
    price_step: Money
    price_points: tuple[Money, ...] = ()
    opening_float: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class FairCard(FairGiven):
    """A fair as it is kept.

    Attributes:
        state: as in ``shop.store.fair.STATES``.
        counted: the cash in the box at the end; ``None`` before it was counted.
    """

    id: int
    number: int
    state: str
    currency: str
    counted: Money | None
    created_at: datetime
    ended_at: datetime | None
    revision: int

    @property
    def costs(self) -> Money:
        """All that it costs, whatever is sold."""
        return total((getattr(self, name) for name in COSTS), self.currency)

    @property
    def days(self) -> int:
        """How many days it lasts."""
        return (self.last_on - self.first_on).days + 1

    @property
    def hours(self) -> Decimal:
        """Hers, stood and travelled."""
        return self.hours_stood + self.hours_travelled


def fair_in(session: Session, number: int, *, lock: str = "") -> table.Fair:
    """The fair of that number, as part of another use case; ``lock`` as in ``shop.store.fair.by_number``.

    Raises:
        NotFound: ``fair.unknown``.
    """
    row = table.by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("fair.unknown", values={"number": number}))
    return row


def card_of(row: table.Fair) -> FairCard:
    """A fair's card, as part of another use case."""

    def money(minor: int) -> Money:
        return Money(minor, row.currency)

    return FairCard(
        id=row.id,
        number=row.number,
        name=row.name,
        series=row.series,
        place=row.place,
        note=row.note,
        first_on=row.first_on,
        last_on=row.last_on,
        state=row.state,
        currency=row.currency,
        **{name: money(getattr(row, name)) for name in AMOUNTS},
        card_percent=row.card_percent,
        card_share=row.card_share,
        hours_stood=row.hours_stood,
        hours_travelled=row.hours_travelled,
        tax_name=row.tax_name,
        tax_rate=row.tax_rate,
        tax_contained=row.tax_contained,
        price_step=money(row.price_points["step"]),
        price_points=tuple(money(point) for point in row.price_points["points"]),
        counted=None if row.counted is None else money(row.counted),
        created_at=row.created_at,
        ended_at=row.ended_at,
        revision=row.revision,
    )
