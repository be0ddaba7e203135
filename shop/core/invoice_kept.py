"""An invoice as a plain document, and read back: what it was made of is kept with the paper, exact, as text."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Final

from shop.core.invoice import Adjustment, Invoice, Line, Taxed, Totals
from shop.core.money import Money

SUMS: Final = (
    "sum_of_lines",
    "sum_of_allowances",
    "sum_of_charges",
    "without_tax",
    "tax",
    "with_tax",
    "paid",
    "rounding",
    "due",
)
"""The sums of a document, each by the name that the arithmetic has for it."""


def invoice_kept(invoice: Invoice) -> dict[str, Any]:
    """An invoice as a plain document: money and numbers as text, exact."""

    def adjustments(some: tuple[Adjustment, ...]) -> list[dict[str, str]]:
        return [{"name": one.name, "amount": one.amount.plain(), "tax_rate": f"{one.tax_rate:f}"} for one in some]

    return {
        "currency": invoice.currency,
        "lines": [
            {
                "name": line.name,
                "quantity": f"{line.quantity:f}",
                "price": line.price.plain() if isinstance(line.price, Money) else f"{line.price:f}",
                "tax_rate": f"{line.tax_rate:f}",
            }
            for line in invoice.lines
        ],
        "allowances": adjustments(invoice.allowances),
        "charges": adjustments(invoice.charges),
        "tax_included": invoice.tax_included,
        "by_line": invoice.by_line,
        "paid": [one.plain() for one in invoice.paid],
        "rounding": invoice.rounding.plain() if invoice.rounding else None,
    }


def invoice_read(kept: Mapping[str, Any]) -> Invoice:
    """The invoice of such a document."""
    currency = kept["currency"]

    def adjustments(some: list[dict[str, str]]) -> tuple[Adjustment, ...]:
        return tuple(
            Adjustment(name=one["name"], amount=Money.of(one["amount"], currency), tax_rate=Decimal(one["tax_rate"]))
            for one in some
        )

    return Invoice(
        currency=currency,
        lines=tuple(
            Line(
                name=one["name"],
                quantity=Decimal(one["quantity"]),
                price=Decimal(one["price"]),
                tax_rate=Decimal(one["tax_rate"]),
            )
            for one in kept["lines"]
        ),
        allowances=adjustments(kept["allowances"]),
        charges=adjustments(kept["charges"]),
        tax_included=kept["tax_included"],
        by_line=kept["by_line"],
        paid=tuple(Money.of(one, currency) for one in kept["paid"]),
        rounding=Money.of(kept["rounding"], currency) if kept["rounding"] else None,
    )


def totals_kept(found: Totals) -> dict[str, Any]:
    """What a document adds up to, as text."""

    def things(some: tuple[Taxed, ...]) -> list[dict[str, str]]:
        return [{"name": one.name, "net": one.net.plain(), "tax": one.tax.plain()} for one in some]

    return {
        "lines": things(found.lines),
        "allowances": things(found.allowances),
        "charges": things(found.charges),
        "taxes": [
            {"tax_rate": f"{one.tax_rate:f}", "taxable": one.taxable.plain(), "tax": one.tax.plain()} for one in found.taxes
        ],
        **{name: getattr(found, name).plain() for name in SUMS},
    }
