"""Break-even, markup and margin against published examples."""

from decimal import Decimal

import pytest

from shop.core.errors import NotPossible
from shop.core.money import Money
from shop.core.price import break_even_units, margin_of, with_margin, with_markup


def dollars(amount):
    return Money.of(str(amount), "USD")


def test_units_at_which_nothing_is_lost():
    """Accounting Principles: A Business Perspective (CC BY 3.0), chapter 21, pages 837-838."""
    price, variable, fixed = dollars(20), dollars(12), dollars(40_000)
    contribution = price - variable
    assert contribution == dollars(8)
    assert contribution.amount / price.amount == Decimal("0.40")
    assert break_even_units(fixed, price, variable) == 5_000
    assert price * break_even_units(fixed, price, variable) == dollars(100_000)
    assert contribution * 6_000 - fixed == dollars(8_000)


def test_part_of_a_unit_is_not_sold():
    """Inputs of an exercise there: a fee of 650, 80 of it variable, 8,000 fixed is 14.04; the answer is our own."""
    assert break_even_units(dollars(8_000), dollars(650), dollars(80)) == 15
    assert break_even_units(dollars(15_000), dollars(650), dollars(80)) == 27


def test_a_fairs_stall_fee():
    """A practitioner's figure that is printed wrongly elsewhere: 224 at 6 a sale needs 38 sales, not 37."""
    assert break_even_units(dollars(224), dollars(6), dollars(0)) == 38


def test_a_special_order():
    """Lumen Learning, managerial accounting; from memory. 5,000 units at 20 earn 12,000; 3,000 more at 10, 18,000."""
    usual = (dollars(20) - dollars(8)) * 5_000 - dollars(48_000)
    assert usual == dollars(12_000)
    assert usual + (dollars(10) - dollars(8)) * 3_000 == dollars(18_000)


@pytest.mark.parametrize(("markup", "margin"), [("0.25", "0.20"), ("0.5", "0.3333"), ("1", "0.50")])
def test_a_markup_is_a_smaller_margin(markup, margin):
    """Common practice: 25 % on cost is 20 % of price, half on cost a third of price, twice the cost half the price."""
    assert round(margin_of(Decimal(markup)), 4) == Decimal(margin)


@pytest.mark.parametrize(("markup", "margin"), [("0.25", "0.20"), ("1", "0.50")])
def test_the_same_price_by_either(markup, margin):
    assert with_markup(dollars(120), Decimal(markup)) == with_margin(dollars(120), Decimal(margin))


def test_a_margin_of_everything_is_an_error():
    with pytest.raises(NotPossible, match=r"margin\.range"):
        with_margin(dollars(120), Decimal(1))
