"""A batch of rugs gets its prices: by the shop's rule or by hand, on the fair's points, beside what its like went for."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.batch import LIKE, PastSale, price_batch, table_sum
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.price_points import Listed, Steps
from tests.core.a_rug import problems_of
from tests.core.a_table import FOOT, a_cost, a_rug, a_rule, usd

FIVES = Steps(step=usd(1000), ending=usd(500))


def one(rug=None, rule=None, points=FIVES, past=()):
    (priced,) = price_batch([rug or a_rug()], rule or a_rule(), points, past)
    return priced


def test_the_rule_then_the_fair_s_points():
    """77.00 and 30 % on it is 100.10; the next price that ends in 5 is 105."""
    priced = one()
    assert priced.by_rule == usd(10_010)
    assert priced.asking == usd(10_500)
    assert priced.price.floor == usd(900)
    assert priced.price.cost == usd(7700)
    assert not priced.raised
    assert not priced.below_floor
    assert priced.hour == usd(2933)  # 105.00 less 8.00, 8.00 and 1.00 leaves 88.00 for three hours


def test_the_shop_s_own_steps_give_way():
    assert one(rule=a_rule(step=usd(5000)), points=Steps(step=usd(0), ending=usd(0))).asking == usd(10_010)


def test_a_price_by_hand_stands_even_below_its_floor():
    priced = one(a_rug(by_hand=usd(800)))
    assert priced.asking == usd(800)
    assert priced.below_floor
    assert not priced.raised
    assert priced.by_rule == usd(10_010)


def test_a_price_that_came_out_below_its_floor_is_raised_to_the_next_point():
    dear_cloth = a_rug(cost=a_cost(cloth=20_000, labour=0, overhead=0))
    low = a_rule(by=PriceBy.AREA, area_rate=Decimal(10))
    priced = one(dear_cloth, low)
    assert priced.price.floor == usd(20_300)
    assert priced.asking == usd(20_500)
    assert priced.raised
    assert one(dear_cloth, a_rule(by=PriceBy.AREA, area_rate=Decimal(10), below_floor=True)).asking == usd(1500)


def test_rounding_to_the_nearest_does_not_fall_below_the_floor():
    rug = a_rug(cost=a_cost(cloth=8000, labour=0, overhead=0))
    priced = one(rug, a_rule(share=Decimal(0)), Listed(prices=(usd(8000), usd(20_000)), up=False))
    assert priced.price.floor == priced.by_rule == usd(8300)
    assert priced.asking == usd(20_000)
    assert priced.raised


def test_the_price_of_an_area_leaves_out_the_tax():
    contained = one(a_rug(by_hand=usd(12_000)), a_rule(tax_rate=Decimal("0.20"), tax_included=True))
    on_top = one(a_rug(by_hand=usd(10_000)), a_rule(tax_rate=Decimal("0.20")))
    assert contained.price.tax == on_top.price.tax == usd(2000)
    assert contained.price.total == on_top.price.total == usd(12_000)
    assert contained.per_area == on_top.per_area
    assert float(on_top.per_area) * SQUARE_METRES_PER_SQUARE_FOOT == pytest.approx(100 / 6)


def test_beside_what_its_like_went_for():
    """Like in size are a fourth more and a fourth less: 5 and 7 square feet of 6, not 4 or 8."""
    past = [PastSale(area_m2=feet * FOOT, price=usd(minor)) for feet, minor in [(5, 5000), (7, 14_000), (6, 7200), (4, 99_900), (8, 100)]]
    likes = one(past=past).likes
    assert likes.count == 3
    for found, a_foot in ((likes.low, 10), (likes.middle, 12), (likes.high, 20)):
        assert float(found) * SQUARE_METRES_PER_SQUARE_FOOT == pytest.approx(a_foot)
    assert one(past=past[3:]).likes is None


@given(st.lists(st.tuples(st.floats(0.1, 5), st.integers(1, 10**5)), max_size=20), st.floats(0.1, 5))
def test_like_sales_are_all_of_about_that_size_and_no_others(sales, area):
    past = [PastSale(area_m2=area_m2, price=usd(minor)) for area_m2, minor in sales]
    likes = one(a_rug(area_m2=area), past=past).likes
    near = [sale for sale in past if area / LIKE <= sale.area_m2 <= area * LIKE]
    assert (likes.count if likes else 0) == len(near)
    if likes:
        rates = [float(sale.price.amount) / sale.area_m2 for sale in near]
        assert float(likes.low) == pytest.approx(min(rates))
        assert float(likes.high) == pytest.approx(max(rates))
        assert likes.low <= likes.middle <= likes.high


@given(st.lists(st.tuples(st.integers(0, 20_000), st.integers(1, 600) | st.none()), max_size=12))
def test_the_table_is_the_sum_of_its_rugs(rugs):
    batch = [a_rug(str(at), cost=a_cost(cloth=cloth), minutes=minutes) for at, (cloth, minutes) in enumerate(rugs)]
    priced = price_batch(batch, a_rule(fee_share=Decimal("0.03"), tax_rate=Decimal("0.06")), FIVES)
    found = table_sum(priced, "USD")
    assert found.count == len(rugs)
    assert found.asking.minor == sum(one.asking.minor for one in priced)
    assert found.net == found.asking - found.fees
    assert found.cost.minor == sum(one.cost.total.minor for one in batch)
    assert found.timed == sum(minutes is not None for _, minutes in rugs)
    assert (found.hour is None) == (found.timed == 0)


def test_the_table_s_hour_is_that_of_all_work_together():
    """Three hours that leave 88.00 and one that leaves 80.00 - 17.00 = 63.00: 151.00 for four."""
    batch = [a_rug("1"), a_rug("2", minutes=60.0, by_hand=usd(8000)), a_rug("3", minutes=None)]
    found = table_sum(price_batch(batch, a_rule(), FIVES), "USD")
    assert found.minutes == 240
    assert found.timed == 2
    assert found.hour == usd(3775)
    assert table_sum([], "USD").hour is None


def test_a_rug_without_size_finds_no_place():
    assert problems_of(a_rug, "9", feet=0) == {("ladder.area", "9")}
    assert problems_of(a_rug, "9", area_m2=float("nan")) == {("ladder.area", "9")}


def test_a_hand_price_in_another_currency_is_refused():
    assert problems_of(one, a_rug(by_hand=Money(100, "SEK"))) == {("money.mixed", "")}
