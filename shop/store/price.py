"""The shop's rule for a price: one row."""

from datetime import datetime
from decimal import Decimal

from sqlalchemy import CheckConstraint
from sqlalchemy.orm import Mapped, Session

from shop.store.base import Base, Key, Minor, OnlyRow


class PriceRow(Base):
    """The price rule.

    Attributes:
        price_by: ``markup``, ``margin``, ``trade`` or ``area``.
        share: the markup or margin, or the markup to the trade price.
        retail_times: a retail price over its trade price.
        area_rate: an amount for an ``area_unit``, ``ft2`` or ``m2``.
        fee_share: what card or marketplace keep of the price; ``fee_fixed`` besides, for each sale.
        tax_name: what the tax is called on a quote; ``tax_rate`` a share, contained in prices or on top.
        step: price steps, ``up`` to the next or to the nearest; 0 leaves prices as they come out.
        deposit: the part of the total to pay first.
        holds_days: how many days a quote holds.
    """

    __tablename__ = "price_rule"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        CheckConstraint("price_by IN ('markup', 'margin', 'trade', 'area')", name="price_by"),
        CheckConstraint("area_unit IN ('ft2', 'm2')", name="area_unit"),
    )

    id: Mapped[OnlyRow]
    price_by: Mapped[Key]
    share: Mapped[Decimal]
    retail_times: Mapped[Decimal]
    area_rate: Mapped[Minor]
    area_unit: Mapped[Key]
    fee_share: Mapped[Decimal]
    fee_fixed: Mapped[Minor]
    tax_name: Mapped[str]
    tax_rate: Mapped[Decimal]
    tax_included: Mapped[bool]
    step: Mapped[Minor]
    up: Mapped[bool]
    deposit: Mapped[Decimal]
    discount: Mapped[Decimal]
    holds_days: Mapped[int]
    revision: Mapped[int]
    updated_at: Mapped[datetime]


def load(session: Session, *, lock: bool = False) -> PriceRow | None:
    """The row, or ``None`` before anything was set."""
    return session.get(PriceRow, 1, with_for_update=lock or None)
