"""What a yard or a pound cost: three figures where little, never coarser than the coins of the currency."""

from decimal import Decimal

import pytest

from shop.words import Words


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("0.0235678", "USD", "$0.0236"),
        ("0.2512", "USD", "$0.251"),
        ("4.12345", "USD", "$4.12"),
        ("1234.5", "USD", "$1,234.50"),
        ("0.000001", "USD", "$0.00"),
        ("0", "USD", "$0.00"),
        ("3.4567", "JPY", "¥3.46"),
        ("345.6", "JPY", "¥346"),
        ("0.0235678", "KWD", "KWD0.0236"),
    ],
)
def test_a_unit_cost_has_the_figures_that_tell_two_cloths_apart(amount, currency, text):
    assert Words().unit_cost(Decimal(amount), currency) == text


def test_it_is_written_as_the_shop_writes():
    assert Words("sv_SE", "metric", "UTC", "SEK").unit_cost(Decimal("0.2512"), "SEK") == "0,251\xa0kr"
