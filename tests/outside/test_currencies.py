"""Currencies by ISO 4217 and amounts as CLDR writes them."""

from decimal import Decimal

import pytest

from shop.core.money import Money, decimals_of
from shop.words import Words

NO_BREAK, NARROW = "\u00a0", "\u202f"


@pytest.mark.parametrize(
    ("currencies", "decimals"),
    [("JPY KRW CLP ISK", 0), ("USD EUR SEK", 2), ("KWD BHD TND", 3), ("CLF UYW", 4)],
)
def test_decimals(currencies, decimals):
    """ISO 4217, the list of current currencies."""
    assert {decimals_of(code) for code in currencies.split()} == {decimals}


@pytest.mark.parametrize(
    ("locale", "currency", "amount", "written"),
    [
        ("en_US", "USD", "1234.50", "$1,234.50"),
        ("de_DE", "EUR", "1234.50", f"1.234,50{NO_BREAK}€"),
        ("fr_FR", "EUR", "1234.50", f"1{NARROW}234,50{NO_BREAK}€"),
        ("en_IN", "INR", "1234567.89", "₹12,34,567.89"),
        ("ja_JP", "JPY", "1234", "￥1,234"),
    ],
)
def test_amounts_as_each_country_writes_them(locale, currency, amount, written):
    """CLDR, through Babel 2.18."""
    words = Words(locale, "metric", "UTC", currency)
    assert words.money(Money.of(amount, currency)) == written


def test_a_half_is_rounded_before_it_is_written():
    """CLDR's writing rounds a half to the even neighbour: 2.5 yen would be shown as 2, and are 3."""
    half = Money.rounded(Decimal("2.5"), "JPY")
    assert Words("en_US", "metric", "UTC", "JPY").money(half) == "¥3"


@pytest.mark.parametrize(
    ("locale", "written"),
    [("en_US", "1,234.5"), ("de_DE", "1.234,5"), ("fr_FR", f"1{NARROW}234,5"), ("sv_SE", f"1{NO_BREAK}234,5")],
)
def test_numbers_as_each_country_writes_them(locale, written):
    """CLDR, through Babel 2.18."""
    assert Words(locale, "metric", "UTC", "EUR").number(1234.5, 1) == written
