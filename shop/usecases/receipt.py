"""Receipts of the till: for whoever has the private link of a sale, and for the weaver.

A sale's link is the key of chance that the phone made for it, so the phone can show it before the sale has been sent; it
opens once the sale is here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from shop.core.errors import NotFound, Problem
from shop.core.loom import Size
from shop.core.money import Money, total
from shop.store import fair as fair_table
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session, Store


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiptLine:
    """A rug on a receipt: what its tag asked and what it went for, without a tax that goes on top."""

    number: int
    name: str
    size: Size
    asked: Money
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """A receipt.

    Attributes:
        number: of the sale, in the order in which sales were received.
        key: its private link; empty for a sale that no phone and no desk of a till made.
        tax_contained: whether the prices contain the tax.
        rounding: what rounding for cash added, or took.
        undone: the sale was undone, so it is a receipt of nothing.
    """

    number: int
    key: str
    on: date
    at: datetime
    fair: str
    lines: tuple[ReceiptLine, ...]
    tax: Money
    tax_name: str
    tax_rate: Decimal
    tax_contained: bool
    rounding: Money
    total: Money
    means: str
    given: Money
    change: Money
    undone: bool

    @property
    def bargained_off(self) -> Money:
        """What all of it went for below what the tags asked; nothing where it brought as much, or more."""
        off = total((line.asked - line.price for line in self.lines), self.total.currency)
        return off if off.minor > 0 else Money.zero(off.currency)


def receipt(store: Store, *, key: str) -> Receipt:
    """The receipt that a private link opens.

    Raises:
        NotFound: ``receipt.unknown`` for any link of no sale, or of one that has not been sent yet.
    """
    with store.reading() as session:
        entry = rows.entry_by_key(session, key) if 20 <= len(key) <= 70 else None
        sale = rows.sale_of_entry(session, entry.id) if entry is not None else None
        if sale is None:
            raise NotFound(Problem("receipt.unknown"))
        return receipt_in(session, sale, key)


def receipt_in(session: Session, sale: table.Sale, key: str) -> Receipt:
    """The receipt of a sale, as part of another use case."""
    fair = session.get(fair_table.Fair, sale.fair_id) if sale.fair_id is not None else None

    def money(minor: int) -> Money:
        return Money(minor, sale.currency)

    found = rows.lines_of(session, [sale.id])
    prices = sum(line.price for line, _ in found)
    return Receipt(
        number=sale.number,
        key=key,
        on=sale.on,
        at=sale.at,
        fair=fair.name if fair is not None else "",
        lines=tuple(
            ReceiptLine(number=rug.number, name=rug.name, size=Size(rug.width, rug.length), asked=money(line.asked), price=money(line.price))
            for line, rug in found
        ),
        tax=money(sale.tax),
        tax_name=fair.tax_name if fair is not None else "",
        tax_rate=fair.tax_rate if fair is not None else Decimal(0),
        tax_contained=prices + sale.rounding == sale.total,
        rounding=money(sale.rounding),
        total=money(sale.total),
        means=sale.means,
        given=money(sale.given),
        change=money(sale.change),
        undone=sale.undone_at is not None,
    )
