"""The shop itself: its name, its mark, and how it writes lengths, money and times. One row."""

from datetime import datetime

from sqlalchemy import CheckConstraint, exists, or_, select
from sqlalchemy.orm import Mapped, Session

from shop.core.hours import STEPS
from shop.store.base import Base, Document, Key, OnlyRow
from shop.store.fabric import Haul
from shop.store.fair import Fair
from shop.store.loom import LoomRow
from shop.store.price import PriceRow
from shop.store.quote import Quote
from shop.store.rates import OverheadLine, RatesRow
from shop.store.rug import Rug
from shop.store.till import Sale


class ShopRow(Base):
    """The shop's own settings.

    Attributes:
        address: lines, in order.
        mark: the colours of the shop's mark, a little striped rug: ``#rrggbb`` each.
        paying: how customers pay, in the shop's words; ``tax_number`` and ``no_tax`` what invoices say of tax.
        units: ``imperial`` or ``metric``.
        revision: goes up with each change.
    """

    __tablename__ = "shop"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        CheckConstraint("units IN ('imperial', 'metric')", name="units"),
    )

    id: Mapped[OnlyRow]
    name: Mapped[str]
    address: Mapped[Document]
    contact: Mapped[str]
    mark: Mapped[Document]
    locale: Mapped[Key]
    currency: Mapped[Key]
    units: Mapped[Key]
    time_zone: Mapped[Key]
    revision: Mapped[int]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]
    paying: Mapped[str]
    tax_number: Mapped[str]
    no_tax: Mapped[str]


def load(session: Session, *, lock: bool = False) -> ShopRow | None:
    """The row, or ``None`` before the shop was opened."""
    return session.get(ShopRow, 1, with_for_update=lock or None)


def money_recorded(session: Session) -> bool:
    """Whether any amount of money is kept anywhere, in the shop's currency."""
    price = or_(PriceRow.fee_fixed > 0, PriceRow.step > 0, PriceRow.area_rate > 0)
    paid = or_(RatesRow.wage > 0, *(getattr(RatesRow, f"pay_{step}") > 0 for step in STEPS))
    bought_in = or_(RatesRow.postage > 0, RatesRow.label > 0, RatesRow.mat > 0)
    anywhere = or_(
        exists(select(Haul.id)),
        exists(select(Quote.id)),
        exists(select(Rug.id)),
        exists(select(Fair.id)),
        exists(select(Sale.id)),
        exists(select(RatesRow.id).where(or_(paid, bought_in))),
        exists(select(OverheadLine.id)),
        exists(select(PriceRow.id).where(price)),
        exists(select(LoomRow.id).where(LoomRow.yarn_price.is_not(None))),
    )
    return bool(session.execute(select(anywhere)).scalar_one())
