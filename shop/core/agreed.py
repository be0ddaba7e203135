"""What a customer agreed to pay for a rug, and the invoice that says the very same: to the last coin, or it is not made.

An order is one rug and so one line; its discount is an allowance on the whole document, and the tax is on both together, as
it was when the price was made. With one rug to a document, tax by the item and tax by the document are the same.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.invoice import Adjustment, Invoice, Line, totals
from shop.core.money import Money

DISCOUNT: Final = "discount"
FOR_LESS: Final = "handed over for less"
"""Names of allowances."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """A price that was agreed on.

    Attributes:
        name: of the rug.
        asking: after the discount, tax contained or not.
        discount: that was taken off before.
        tax: in the price, or on top of it.
        total: what the customer pays.
        tax_rate: as a share.
        tax_included: whether ``asking`` contains the tax.
    """

    name: str
    asking: Money
    discount: Money
    tax: Money
    total: Money
    tax_rate: Decimal
    tax_included: bool


def invoice_of(agreed: Agreed, *, paid: Money, came_to: Money | None = None) -> Invoice:
    """The invoice of an order.

    Args:
        agreed: what the customer agreed to.
        paid: what was paid and not given back, without tips.
        came_to: what the rug was handed over for, once it was; less than was agreed becomes an allowance.

    Raises:
        NotPossible: ``invoice.disagrees`` where the figures that were agreed on do not follow from one another;
            ``invoice.more`` where the rug was handed over for more than was agreed; as ``shop.core.invoice.totals``.
    """
    invoice = Invoice(
        currency=agreed.total.currency,
        lines=(Line(name=agreed.name, quantity=Decimal(1), price=agreed.asking + agreed.discount, tax_rate=agreed.tax_rate),),
        allowances=(_off(DISCOUNT, agreed.discount, agreed),) if agreed.discount else (),
        tax_included=agreed.tax_included,
        paid=(paid,) if paid else (),
    )
    found = totals(invoice)
    if (found.with_tax, found.tax) != (agreed.total, agreed.tax):
        raise NotPossible(Problem("invoice.disagrees", values={"made": found.with_tax, "agreed": agreed.total}))
    if came_to is None or came_to == agreed.total:
        return invoice
    if agreed.total < came_to:
        raise NotPossible(Problem("invoice.more", values={"came_to": came_to, "agreed": agreed.total}))
    return _for_less(invoice, agreed, came_to)


def invoice_of_total(amount: Money, name: str, tax_rate: Decimal) -> Invoice:
    """An invoice of which nothing but its total is known: one line that contains its tax.

    The tax is the same as where it was put on top: of ``p + t`` with ``t`` the rounded ``p x r``, the contained tax rounds to ``t``.
    """
    line = Line(name=name, quantity=Decimal(1), price=amount, tax_rate=tax_rate)
    return Invoice(currency=amount.currency, lines=(line,), tax_included=True)


def _off(name: str, amount: Money, agreed: Agreed) -> Adjustment:
    return Adjustment(name=name, amount=amount, tax_rate=agreed.tax_rate)


def _for_less(invoice: Invoice, agreed: Agreed, came_to: Money) -> Invoice:
    """The invoice brought down to what the rug was handed over for.

    With tax on top not every sum can be met by an amount without tax; the coin that is left is a rounding of what is due.
    """
    found = totals(invoice)
    if agreed.tax_included:
        off = found.with_tax - came_to
    else:
        off = found.without_tax - Money.rounded(came_to.amount / (1 + agreed.tax_rate), came_to.currency)
    if off:
        invoice = replace(invoice, allowances=(*invoice.allowances, _off(FOR_LESS, off, agreed)))
    left = came_to - totals(invoice).with_tax
    return replace(invoice, rounding=left) if left else invoice
