"""An invoice to test with, of lines at two rates of tax, with everything on it that can stand there."""

from datetime import date
from decimal import Decimal

from shop.core.agreed import DISCOUNT, FOR_LESS
from shop.core.invoice import Adjustment, Invoice, Line, totals
from shop.core.money import Money
from shop.paper.invoice import InvoicePaper
from tests.paper.a_paper import a_shop


def usd(amount):
    return Money.of(amount, "USD")


def an_invoice(*, paid="10", tax_rate="0.06", of=None):
    """The paper; ``of`` makes a credit note of it."""
    rate, other = Decimal(tax_rate), Decimal(tax_rate) * 2
    invoice = Invoice(
        currency="USD",
        lines=(
            Line(name="Hall rug", quantity=Decimal(1), price=Decimal(100), tax_rate=rate),
            Line(name="", quantity=Decimal(1), price=Decimal(50), tax_rate=other),
        ),
        allowances=tuple(Adjustment(name=name, amount=usd("5"), tax_rate=rate) for name in (DISCOUNT, FOR_LESS)),
        paid=(usd(paid),),
        rounding=usd("0.02"),
    )
    return InvoicePaper(
        number=7,
        day=date(2026, 11, 25),
        shop=a_shop(),
        tax_number="No. 12" if of is None else "",
        supplied=date(2026, 11, 20) if of is None else None,
        due=date(2026, 12, 9) if of is None else None,
        totals=totals(invoice),
        quantities=(Decimal(1), Decimal(1)),
        of=of,
    )
