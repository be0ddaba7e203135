"""Tax against the rules as enacted and against published worked examples."""

from decimal import Decimal

import pytest

from shop.core.money import Money, round_to_step, total
from shop.core.tax import tax_contained, tax_of, tax_on_top


def money(amount, currency="USD"):
    return Money.of(amount, currency)


@pytest.mark.parametrize(
    ("price", "rate", "tax"),
    [
        ("2.50", "0.05", "0.13"),  # 0.125: the third decimal is over four
        ("2.48", "0.05", "0.12"),  # 0.124: it is not
        ("1.07", "0.08875", "0.09"),  # 0.0949625: rounding twice would make it 0.10
    ],
)
def test_carried_to_the_third_decimal_and_up_when_it_is_over_four(price, rate, tax):
    """Streamlined Sales and Use Tax Agreement, section 324, as in R.I. Gen. Laws 44-18.1-25 and N.D.C.C.
    57-39.4-25. The amounts are our own, under that rule."""
    assert tax_on_top(money(price), Decimal(rate)) == money(tax)


@pytest.mark.parametrize(("price", "by_item", "by_invoice"), [("0.99", "0.27", "0.26"), ("1.29", "0.33", "0.34")])
def test_by_the_item_or_by_the_invoice(price, by_item, by_invoice):
    """The same section leaves the choice to the seller. Amounts our own: three of a thing at 8.875 %."""
    lines, rate = [money(price)] * 3, Decimal("0.08875")
    assert tax_of(lines, rate, by_line=True) == money(by_item)
    assert tax_of(lines, rate) == money(by_invoice)


@pytest.mark.parametrize(
    ("price", "rate", "tax"),
    [("120", "0.20", "20.00"), ("105", "0.05", "5.00"), ("80", "0.05", "3.81"), ("9.99", "0.20", "1.67")],
)
def test_tax_within_a_price(price, rate, tax):
    """HM Revenue and Customs: the VAT fraction, 1/6 at 20 % and 1/21 at 5 %."""
    found = tax_contained(money(price, "GBP"), Decimal(rate))
    assert found == money(tax, "GBP")
    if price == "9.99":
        assert money(price, "GBP") - found == money("8.32", "GBP")


@pytest.mark.parametrize(
    ("base", "rate", "tax"),
    [
        ("183.23", "0.06", "10.99"),
        ("46.37", "0.21", "9.74"),
        ("1460.50", "0.25", "365.13"),  # 365.125: to even it would be 365.12
        ("12.12", "0.25", "3.03"),
    ],
)
def test_electronic_invoices(base, rate, tax):
    """EN 16931, worked examples of the tax category amount (BR-CO-17)."""
    assert tax_on_top(money(base, "EUR"), Decimal(rate)) == money(tax, "EUR")


def test_totals_of_electronic_invoices():
    """EN 16931, the same examples: BR-CO-10, 13 to 16."""
    net = [money("183.23", "EUR"), money("46.37", "EUR")]
    taxes = [tax_on_top(net[0], Decimal("0.06")), tax_on_top(net[1], Decimal("0.21"))]
    assert total(net, "EUR") == money("229.60", "EUR")
    assert total(net + taxes, "EUR") == money("250.33", "EUR")
    net = [money("1500", "EUR"), money("2500", "EUR")]
    taxes = [tax_on_top(net[0], Decimal("0.25")), tax_on_top(net[1], Decimal("0.12"))]
    owed = total(net + taxes, "EUR")
    assert owed == money("4675.00", "EUR")
    assert owed - owed.share(Decimal("0.5")) == money("2337.50", "EUR")
    assert money("1801.78", "EUR") - money("1000", "EUR") == money("801.78", "EUR")


def test_a_price_finer_than_a_coin_is_rounded_for_the_line():
    """EN 16931: 100 of a thing at 0.1234 less 0.0022 is 12.12, and 15.15 with 25 % of tax."""
    line = Money.rounded(100 * (Decimal("0.1234") - Decimal("0.0022")), "EUR")
    assert line == money("12.12", "EUR")
    assert line + tax_on_top(line, Decimal("0.25")) == money("15.15", "EUR")


@pytest.mark.parametrize(
    ("to_pay", "in_cash", "currency", "step"),
    [
        # Canada Revenue Agency, GI-131: the total only, after tax, to five cents
        ("202.27", "202.25", "CAD", "0.05"),
        ("5.98", "6.00", "CAD", "0.05"),
        ("5.97", "5.95", "CAD", "0.05"),
        ("772.72", "772.70", "CAD", "0.05"),
        # Sweden, lag 1970:1029, section 2: to the whole crown
        ("19.49", "19.00", "SEK", "1"),
        ("19.50", "20.00", "SEK", "1"),
    ],
)
def test_totals_paid_in_coins(to_pay, in_cash, currency, step):
    assert round_to_step(money(to_pay, currency), money(step, currency), up=False) == money(in_cash, currency)
