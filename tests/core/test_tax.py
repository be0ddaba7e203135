"""Tax on a price or in it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.money import Money
from shop.core.tax import tax_contained, tax_of, tax_on_top

AMOUNTS = st.integers(0, 10**9)
RATES = st.decimals(0, "0.99", places=5)


@given(AMOUNTS, RATES)
def test_tax_contained_is_the_tax_on_what_is_left_within_a_coin(minor, rate):
    price = Money(minor, "USD")
    tax = tax_contained(price, rate)
    assert Money(0, "USD") <= tax <= price
    assert abs(tax_on_top(price - tax, rate).minor - tax.minor) <= 1


@given(AMOUNTS, RATES)
def test_a_price_with_its_tax_on_top_contains_it(minor, rate):
    price = Money(minor, "USD")
    tax = tax_on_top(price, rate)
    assert abs(tax_contained(price + tax, rate).minor - tax.minor) <= 1


@given(st.lists(AMOUNTS, min_size=1, max_size=9), RATES, st.booleans())
def test_by_the_line_and_by_the_document_differ_by_no_more_than_half_a_coin_a_line(minors, rate, included):
    lines = [Money(minor, "USD") for minor in minors]
    one, other = (tax_of(lines, rate, included=included, by_line=by_line) for by_line in (True, False))
    assert abs(one.minor - other.minor) <= (len(lines) + 1) / 2


@pytest.mark.parametrize("rate", [Decimal(1), Decimal("-0.01"), Decimal(25)])
def test_a_rate_of_everything_is_refused(rate):
    for call in (tax_on_top, tax_contained):
        with pytest.raises(NotPossible, match=r"tax\.range"):
            call(Money(100, "USD"), rate)


def test_a_document_without_lines_has_no_tax_to_name():
    with pytest.raises(NotPossible, match=r"tax\.no_lines"):
        tax_of([], Decimal("0.25"))
