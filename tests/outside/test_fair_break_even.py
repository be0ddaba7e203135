"""Break-even of a fair against published examples of cost, volume and profit."""

from decimal import Decimal

from shop.core.fair_cost import CardReader, RugBrought, break_even, leaves
from shop.core.money import Money

NO_CARD = CardReader(share=Decimal(0), fixed=Money(0, "USD"), used=Decimal(0))


def dollars(amount):
    return Money.of(str(amount), "USD")


def rugs(price, cost, count=1, card=NO_CARD):
    one = RugBrought(rug="any", paid=dollars(price), tax=dollars(0), cost=dollars(cost))
    return [leaves(one, card)] * count


def test_in_units_and_in_takings():
    """Accounting Principles: A Business Perspective (CC BY 3.0), chapter 21, pages 837-838: price 20, variable cost 12,
    fixed cost 40,000; contribution 8 or 40 %, break-even 5,000 units or 100,000 of sales."""
    (one,) = rugs(20, 12)
    assert one.contribution == dollars(8)
    assert one.ratio == Decimal("0.4")
    found = break_even([one], dollars(40_000))
    assert found.average == 5_000
    assert found.takings == dollars(100_000)


def test_units_for_an_income_wanted():
    """The same example: 6,000 units leave 8,000."""
    found = break_even(rugs(20, 12, count=6_000), dollars(40_000))
    assert found.all_sold == dollars(8_000)
    assert found.dearest_first == found.cheapest_first == 5_000
    wanted = break_even(rugs(20, 12), dollars(40_000), wanted=dollars(8_000))
    assert (wanted.average, wanted.takings) == (6_000, dollars(120_000))


def test_whole_units():
    """Inputs of an exercise there: a price of 650, 80 of it variable, 8,000 fixed is 14.04; the whole number is our own."""
    found = break_even(rugs(650, 80, count=20), dollars(8_000))
    assert (found.average, found.dearest_first, found.cheapest_first) == (15, 15, 15)
    assert break_even(rugs(650, 80), dollars(15_000)).average == 27


def test_a_stall_s_fee():
    """A practitioner's figure that is printed wrongly elsewhere: 224 at 6 a sale needs 38 sales, not 37."""
    found = break_even(rugs(6, 0, count=40), dollars(224))
    assert found.cheapest_first == 38
    assert break_even(rugs(6, 0, count=37), dollars(224)).cheapest_first is None


def test_a_special_order():
    """Lumen Learning, managerial accounting; from memory. 5,000 at 20 with 8 variable and 48,000 fixed leave 12,000; 3,000
    more at 10 leave 18,000."""
    usual = rugs(20, 8, count=5_000)
    assert break_even(usual, dollars(48_000)).all_sold == dollars(12_000)
    assert break_even([*usual, *rugs(10, 8, count=3_000)], dollars(48_000)).all_sold == dollars(18_000)


def test_several_products_by_their_mix():
    """Cost-volume-profit with a sales mix, by hand (common practice): contributions of 8 and 4 in equal numbers average 6, so
    600 to bear needs 100 of them; the ratio is 12 of 30, so 1,500 of takings."""
    found = break_even([*rugs(20, 12), *rugs(10, 6)], dollars(600))
    assert (found.average, found.takings) == (100, dollars(1_500))
