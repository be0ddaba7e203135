"""Documents added up, against the worked examples of EN 16931 and the rules of tax as enacted.

The business rules of EN 16931 are named beside the figures that they make.
"""

from decimal import Decimal

import pytest

from shop.core.invoice import Adjustment, Invoice, Line, Part, cash_rounding, credit_note, receipt_of, totals
from shop.core.money import Money


def euros(amount):
    return Money.of(amount, "EUR")


def line(price, rate, quantity=1):
    return Line(name="Rug", quantity=Decimal(quantity), price=Decimal(price), tax_rate=Decimal(rate))


def invoice(*lines, currency="EUR", **given):
    return Invoice(currency=currency, lines=lines, **given)


def at_rates(found):
    return [(str(one.tax_rate), one.taxable.plain(), one.tax.plain()) for one in found.taxes]


def test_two_rates():
    found = totals(invoice(line("183.23", "0.06"), line("46.37", "0.21")))
    assert found.sum_of_lines == euros("229.60")  # BR-CO-10
    assert found.without_tax == euros("229.60")  # BR-CO-13
    assert at_rates(found) == [("0.06", "183.23", "10.99"), ("0.21", "46.37", "9.74")]  # BR-CO-17
    assert found.tax == euros("20.73")  # BR-CO-14
    assert found.with_tax == euros("250.33")  # BR-CO-15
    assert found.due == euros("250.33")  # BR-CO-16


def test_half_of_a_document_at_two_rates_paid_before():
    found = totals(invoice(line("1500", "0.25"), line("2500", "0.12"), paid=(euros("2337.50"),)))
    assert found.sum_of_lines == euros("4000.00")  # BR-CO-10
    assert at_rates(found) == [("0.12", "2500.00", "300.00"), ("0.25", "1500.00", "375.00")]  # BR-CO-17
    assert found.tax == euros("675.00")  # BR-CO-14
    assert found.with_tax == euros("4675.00")  # BR-CO-15
    assert found.due == euros("2337.50")  # BR-CO-16


def test_tax_of_half_a_cent_goes_up():
    """365.125: to even it would be 365.12."""
    found = totals(invoice(line("1460.50", "0.25")))
    assert at_rates(found) == [("0.25", "1460.50", "365.13")]  # BR-CO-17


def test_what_was_paid_before_is_taken_off_the_total():
    """Of this example the totals are used alone, so one line without tax stands for the document."""
    found = totals(invoice(line("1801.78", "0"), paid=(euros(1000),)))
    assert (found.with_tax, found.due) == (euros("1801.78"), euros("801.78"))  # BR-CO-16


def test_a_price_finer_than_a_coin():
    price = Decimal("0.1234") - Decimal("0.0022")
    found = totals(invoice(line(price, "0.25", quantity=100)))
    assert [one.net for one in found.lines] == [euros("12.12")]
    assert (found.tax, found.with_tax) == (euros("3.03"), euros("15.15"))  # BR-CO-14, BR-CO-15


def test_allowances_and_charges_change_what_the_tax_is_on():
    """Amounts our own, set so that the bases are those of the first example: 200 - 20 + 3.23 and 40 - 0 + 6.37."""

    def of(amount, rate):
        return Adjustment(name="Of the whole", amount=euros(amount), tax_rate=Decimal(rate))

    document = invoice(
        line("200", "0.06"),
        line("40", "0.21"),
        allowances=(of("20", "0.06"),),
        charges=(of("3.23", "0.06"), of("6.37", "0.21")),
    )
    found = totals(document)
    assert found.sum_of_lines == euros("240.00")  # BR-CO-10
    assert found.sum_of_allowances == euros("20.00")  # BR-CO-11
    assert found.sum_of_charges == euros("9.60")  # BR-CO-12
    assert found.without_tax == euros("229.60")  # BR-CO-13
    assert at_rates(found) == [("0.06", "183.23", "10.99"), ("0.21", "46.37", "9.74")]  # BR-CO-17
    assert (found.tax, found.with_tax) == (euros("20.73"), euros("250.33"))  # BR-CO-14, BR-CO-15
    note = credit_note(document)
    assert (note.without_tax, note.tax, note.with_tax) == (
        euros("-229.60"),
        euros("-20.73"),
        euros("-250.33"),
    )


def test_a_credit_note_of_one_line():
    """The first example's second line alone: 46.37 at 21 %."""
    note = credit_note(invoice(line("183.23", "0.06"), line("46.37", "0.21")), Part(lines={1: Decimal(1)}))
    assert at_rates(note) == [("0.21", "-46.37", "-9.74")]  # BR-CO-17
    assert note.with_tax == euros("-56.11")  # BR-CO-15


@pytest.mark.parametrize(
    ("price", "rate", "tax"),
    [("2.50", "0.05", "0.13"), ("2.48", "0.05", "0.12"), ("1.07", "0.08875", "0.09")],
)
@pytest.mark.parametrize("by_line", [True, False])
def test_streamlined_to_the_third_decimal_and_up_when_it_is_over_four(price, rate, tax, by_line):
    """Streamlined Sales and Use Tax Agreement, section 324; the amounts are our own."""
    found = totals(invoice(line(price, rate), currency="USD", by_line=by_line))
    assert found.tax == Money.of(tax, "USD")
    assert found.with_tax == Money.of(Decimal(price) + Decimal(tax), "USD")


@pytest.mark.parametrize(
    ("price", "by_item", "by_invoice"), [("0.99", "0.27", "0.26"), ("1.29", "0.33", "0.34")]
)
def test_streamlined_by_the_item_or_by_the_invoice(price, by_item, by_invoice):
    """The same section leaves the choice to the seller: three of a thing at 8.875 %, a line each."""
    for by_line, tax in ((True, by_item), (False, by_invoice)):
        three = invoice(*[line(price, "0.08875")] * 3, currency="USD", by_line=by_line)
        assert totals(three).tax.plain() == tax
        assert totals(three).with_tax == Money.of(3 * Decimal(price) + Decimal(tax), "USD")


@pytest.mark.parametrize(
    ("price", "rate", "tax", "net"),
    [
        ("120", "0.20", "20.00", "100.00"),
        ("105", "0.05", "5.00", "100.00"),
        ("80", "0.05", "3.81", "76.19"),
        ("9.99", "0.20", "1.67", "8.32"),
    ],
)
@pytest.mark.parametrize("by_line", [True, False])
def test_tax_within_prices(price, rate, tax, net, by_line):
    """HM Revenue and Customs: the VAT fraction, 1/6 at 20 % and 1/21 at 5 %."""
    found = totals(invoice(line(price, rate), currency="GBP", tax_included=True, by_line=by_line))
    assert (found.tax.plain(), found.without_tax.plain()) == (tax, net)
    assert found.sum_of_lines.plain() == net
    assert found.with_tax == Money.of(price, "GBP")


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
def test_a_receipt_paid_in_coins(to_pay, in_cash, currency, step):
    receipt = totals(receipt_of(invoice(line(to_pay, "0"), currency=currency), Money.of(step, currency)))
    assert receipt.with_tax.plain() == to_pay
    assert receipt.paid.plain() == in_cash
    assert not receipt.due  # BR-CO-16
    rounding = cash_rounding(Money.of(to_pay, currency), Money.of(step, currency))
    assert receipt.rounding == rounding == Money.of(Decimal(in_cash) - Decimal(to_pay), currency)
