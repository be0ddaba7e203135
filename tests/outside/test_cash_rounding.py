"""Rounding of cash against what the countries themselves publish, and against the currency data of Unicode."""

import pytest
from babel.core import get_global

from shop.core.cash import CASH_STEPS, cash_step, in_cash
from shop.core.money import Money
from shop.core.till import settle


def in_country(country, currency, total):
    return in_cash(Money.of(total, currency), cash_step(country, currency))


@pytest.mark.parametrize(
    ("total", "cash"), [("202.27", "202.25"), ("5.98", "6.00"), ("5.97", "5.95"), ("772.72", "772.70")]
)
def test_canada(total, cash):
    """Canada Revenue Agency, GI-131, on the end of the penny: the total after tax, and only in cash."""
    assert in_country("CA", "CAD", total) == Money.of(cash, "CAD")


def test_canada_leaves_a_card_payment_as_it_is():
    """The same: what is not paid in cash is not rounded."""
    total = Money.of("202.27", "CAD")
    by_card = settle(total, elsewhere=total, given=None, step=cash_step("CA", "CAD"))
    assert (by_card.cash.minor, by_card.rounding.minor) == (0, 0)


@pytest.mark.parametrize(("total", "cash"), [("19.49", "19"), ("19.50", "20"), ("19.51", "20"), ("0.49", "0")])
def test_sweden(total, cash):
    """Lag (1970:1029) om avrundning av vissa öresbelopp, section 2: to the nearest whole krona, 50 öre up."""
    assert in_country("SE", "SEK", total) == Money.of(cash, "SEK")


@pytest.mark.parametrize(("total", "cash"), [("12.32", "12.30"), ("12.33", "12.35"), ("12.37", "12.35"), ("12.38", "12.40")])
def test_switzerland(total, cash):
    """To 0.05, the smallest coin (Unicode CLDR); the amounts are our own."""
    assert in_country("CH", "CHF", total) == Money.of(cash, "CHF")


@pytest.mark.parametrize(
    ("country", "currency", "total", "cash"),
    [
        ("FI", "EUR", "1.02", "1.00"), ("FI", "EUR", "1.03", "1.05"), ("FI", "EUR", "1.07", "1.05"), ("FI", "EUR", "1.08", "1.10"),
        ("DK", "DKK", "10.24", "10.00"), ("DK", "DKK", "10.25", "10.50"), ("DK", "DKK", "10.74", "10.50"), ("DK", "DKK", "10.75", "11.00"),
        ("NO", "NOK", "10.49", "10"), ("NO", "NOK", "10.50", "11"),
        ("AU", "AUD", "9.92", "9.90"), ("AU", "AUD", "9.93", "9.95"), ("AU", "AUD", "9.97", "9.95"), ("AU", "AUD", "9.98", "10.00"),
        ("HU", "HUF", "102", "100"), ("HU", "HUF", "103", "105"), ("HU", "HUF", "107", "105"), ("HU", "HUF", "108", "110"),
        ("CZ", "CZK", "10.50", "11"),
    ],
)  # fmt: skip
def test_other_countries(country, currency, total, cash):
    """From memory: the ends of each step as the central banks tell them."""
    assert in_country(country, currency, total) == Money.of(cash, currency)


@pytest.mark.parametrize("country", [country for country, (currency, _) in CASH_STEPS.items() if currency not in ("EUR", "AUD", "HUF")])
def test_the_step_is_that_of_the_currency_data(country):
    """Unicode CLDR, cash digits and cash rounding. It has none for the euro and the Australian dollar, where countries
    differ or stores round by custom, and whole forints, though five are the smallest coin."""
    currency, step = CASH_STEPS[country]
    _, _, digits, rounding = get_global("currency_fractions")[currency]
    assert step == (rounding or 1) * 10 ** (2 - digits)
