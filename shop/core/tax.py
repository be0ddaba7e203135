"""Sales tax and value-added tax: on top of a price or contained in it, by the line or by the document.

Tax is carried to the third decimal and rounded up when that is over four (Streamlined Sales and Use Tax
Agreement, section 324), which for the exact product is rounding half-up, once. Rates and rules differ
by place; the shop sets its own and asks where unsure.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, total


def _checked(rate: Decimal) -> Decimal:
    if not 0 <= rate < 1:
        raise NotPossible(Problem("tax.range", "price.tax_rate", {"rate": rate}))
    return rate


def tax_on_top(price: Money, rate: Decimal) -> Money:
    """Tax to add: ``price x rate``. A rate is a share: 0.25 is 25 %.

    Raises:
        NotPossible: ``tax.range`` for a rate below nothing or of 100 % and more.
    """
    return price.share(_checked(rate))


def tax_contained(price: Money, rate: Decimal) -> Money:
    """Tax within a price that contains it: ``price x rate / (1 + rate)``."""
    _checked(rate)
    return Money.rounded(price.amount * rate / (1 + rate), price.currency)


def tax_of(lines: Sequence[Money], rate: Decimal, *, included: bool = False, by_line: bool = False) -> Money:
    """Tax of a document at one rate, rounded by the line or once for the whole.

    Three lines of 0.99 at 8.875 % give 0.27 by the line and 0.26 by the document.

    Raises:
        NotPossible: ``tax.no_lines`` for a document without lines.
    """
    if not lines:
        raise NotPossible(Problem("tax.no_lines"))
    one = tax_contained if included else tax_on_top
    currency = lines[0].currency
    if by_line:
        return total((one(line, rate) for line in lines), currency)
    return one(total(lines, currency), rate)
