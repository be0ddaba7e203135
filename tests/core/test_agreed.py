"""The invoice of an order says what was agreed on, to the last coin, or it is not made."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.agreed import DISCOUNT, FOR_LESS, Agreed, invoice_of, invoice_of_total
from shop.core.errors import NotPossible
from shop.core.invoice import credit_note, totals
from shop.core.invoice_kept import SUMS, invoice_kept, invoice_read, totals_kept
from shop.core.money import Money
from shop.core.tax import tax_contained, tax_on_top
from tests.builders import codes

RATES = st.sampled_from([Decimal(rate) for rate in ("0", "0.05", "0.06", "0.08875", "0.2", "0.21", "0.25", "0.99")])
CURRENCIES = st.sampled_from(["USD", "SEK", "JPY", "KWD"])


def usd(amount):
    return Money.of(amount, "USD")


def agreed(asking="100.00", rate="0.06", *, included=False, discount="0", **changed):
    price = usd(asking)
    tax = (tax_contained if included else tax_on_top)(price, Decimal(rate))
    usual = {
        "name": "Hall runner",
        "asking": price,
        "discount": usd(discount),
        "tax": tax,
        "total": price if included else price + tax,
        "tax_rate": Decimal(rate),
        "tax_included": included,
    }
    return Agreed(**{**usual, **changed})


@st.composite
def prices(draw):
    """What a price rule can make of a rug."""
    currency, rate, included = draw(CURRENCIES), draw(RATES), draw(st.booleans())
    asking, discount = (Money(draw(st.integers(0, most)), currency) for most in (500_000, 50_000))
    tax = (tax_contained if included else tax_on_top)(asking, rate)
    return Agreed(
        name="Hall runner",
        asking=asking,
        discount=discount,
        tax=tax,
        total=asking if included else asking + tax,
        tax_rate=rate,
        tax_included=included,
    )


@given(prices(), st.integers(0, 600_000), st.booleans())
def test_payable_and_paid_are_the_price_that_was_agreed(price, minor, by_line):
    paid = Money(minor, price.total.currency)
    invoice = invoice_of(price, paid=paid)
    found = totals(invoice)
    assert (found.with_tax, found.tax) == (price.total, price.tax)
    assert found.due + found.paid == price.total
    assert found.paid == paid
    one_rug = replace(invoice, by_line=by_line, allowances=(), lines=(replace(invoice.lines[0], price=price.asking),))
    assert (totals(one_rug).with_tax, totals(one_rug).tax) == (price.total, price.tax)


@given(prices(), st.data())
def test_handed_over_for_less_the_difference_is_an_allowance(price, data):
    came_to = Money(data.draw(st.integers(0, price.total.minor)), price.total.currency)
    invoice = invoice_of(price, paid=Money.zero(price.total.currency), came_to=came_to)
    found = totals(invoice)
    assert found.due == came_to
    assert abs(found.rounding.minor) <= 1
    assert not (price.tax_included and found.rounding)
    if not price.tax_included:
        assert all(one.tax == tax_on_top(one.taxable, one.tax_rate) for one in found.taxes)


@given(prices())
def test_what_is_known_by_its_total_alone_bears_the_same_tax(price):
    found = totals(invoice_of_total(price.total, price.name, price.tax_rate))
    assert (found.with_tax, found.tax) == (price.total, price.tax)


@given(prices(), st.integers(0, 600_000), st.data())
def test_what_was_kept_reads_back_as_it_was_and_its_credit_note_mirrors_it(price, minor, data):
    came_to = Money(data.draw(st.integers(0, price.total.minor)), price.total.currency)
    invoice = invoice_of(price, paid=Money(minor, price.total.currency), came_to=came_to)
    back = invoice_read(invoice_kept(invoice))
    assert invoice_kept(back) == invoice_kept(invoice)
    assert totals(back) == totals(invoice)
    kept, mirrored = totals_kept(totals(invoice)), totals_kept(credit_note(back))
    assert all(Decimal(kept[name]) == -Decimal(mirrored[name]) for name in SUMS)


def test_a_discount_stands_on_its_own():
    found = totals(invoice_of(agreed("90.00", discount="10.00"), paid=usd("0")))
    assert [(line.name, str(line.net.amount)) for line in found.lines] == [("Hall runner", "100.00")]
    assert [(one.name, str(one.net.amount)) for one in found.allowances] == [(DISCOUNT, "10.00")]
    assert (found.without_tax, found.tax, found.with_tax) == (usd("90.00"), usd("5.40"), usd("95.40"))


def test_what_came_off_at_the_door_stands_beside_the_discount():
    found = totals(invoice_of(agreed("90.00", discount="10.00"), paid=usd("50"), came_to=usd("84.80")))
    assert [one.name for one in found.allowances] == [DISCOUNT, FOR_LESS]
    assert (found.without_tax, found.tax, found.due) == (usd("80.00"), usd("4.80"), usd("34.80"))


@pytest.mark.parametrize(
    ("changed", "came_to", "code"),
    [
        ({"total": usd("106.01")}, None, "invoice.disagrees"),
        ({"tax": usd("6.01"), "total": usd("106.01")}, None, "invoice.disagrees"),
        ({"tax_rate": Decimal("0.07")}, None, "invoice.disagrees"),
        ({"tax_included": True}, None, "invoice.disagrees"),
        ({}, usd("106.01"), "invoice.more"),
    ],
)
def test_an_invoice_that_says_anything_else_is_not_made(changed, came_to, code):
    with pytest.raises(NotPossible) as refused:
        invoice_of(replace(agreed(), **changed), paid=usd("0"), came_to=came_to)
    assert codes(refused) == {("", code)}
