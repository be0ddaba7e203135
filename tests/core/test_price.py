"""From a cost to a price, by every rule."""

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.core.cost import JobCost
from shop.core.errors import NotPossible
from shop.core.money import Money
from shop.core.price import (
    PriceBy,
    PriceRule,
    before_fees,
    break_even_units,
    hourly,
    margin_of,
    price_of,
    with_margin,
    with_markup,
)


def dollars(amount):
    return Money.of(str(amount), "USD")


def a_cost(cloth=12, warp=8, labour=90, overhead=15, bought_in=0):
    return JobCost(*(dollars(amount) for amount in (cloth, warp, labour, overhead, bought_in)))


def a_rule(**changed):
    return PriceRule(**({"fee_fixed": dollars(0), "step": dollars(0)} | changed))


SHARES = st.decimals(0, "0.95", places=3)
COSTS = st.builds(
    lambda *minor: JobCost(*(Money(amount, "USD") for amount in minor)), *[st.integers(0, 200_000) for _ in range(5)]
)
RULES = st.builds(
    a_rule,
    by=st.sampled_from(PriceBy),
    share=st.one_of(SHARES, st.decimals(1, 10, places=2)),
    retail_times=st.decimals(1, 4, places=1),
    area_rate=st.decimals(0, 500, places=2),
    set_price=st.integers(0, 10**6).map(lambda minor: Money(minor, "USD")),
    fee_share=SHARES,
    fee_fixed=st.integers(0, 3000).map(lambda minor: Money(minor, "USD")),
    tax_rate=st.decimals(0, "0.9", places=4),
    tax_included=st.booleans(),
    step=st.sampled_from([0, 1, 25, 100, 500, 1000]).map(lambda minor: Money(minor, "USD")),
    up=st.booleans(),
    discount=st.one_of(st.just(Decimal(0)), SHARES, st.just(Decimal(1))),
    deposit=st.decimals(0, 1, places=3),
)


def the_price(rule, cost, area=1.5):
    try:
        return price_of(rule, cost, area)
    except NotPossible as refusal:
        assert refusal.problems[0].code in {"margin.range", "fee.range"}  # noqa: PT017 - the others cannot be drawn
        assume(False)  # noqa: FBT003 - a way of saying "another, please"


@given(RULES, COSTS)
def test_the_asking_price_is_never_below_the_floor_unless_asked_for(rule, cost):
    price = the_price(rule, cost)
    if rule.by is PriceBy.HAND:
        assert price.asking == rule.set_price - rule.set_price.share(rule.discount)
        assert not price.raised
    else:
        assert price.floor <= price.asking


@given(RULES, COSTS)
def test_a_price_below_the_floor_can_be_asked_for(rule, cost):
    assume(rule.by is not PriceBy.HAND)
    bold = PriceRule(**({name: getattr(rule, name) for name in PriceRule.__slots__} | {"below_floor": True}))
    usual, below = the_price(rule, cost), the_price(bold, cost)
    assert not below.raised
    assert below.asking <= usual.asking
    assert (below.asking < below.floor) == usual.raised


@given(RULES, COSTS)
def test_a_price_is_on_its_step_before_a_discount(rule, cost):
    assume(rule.by is not PriceBy.HAND)
    price = the_price(rule, cost)
    if rule.step and (not rule.discount or price.raised):
        assert price.asking.minor % rule.step.minor == 0


@given(RULES, COSTS)
def test_what_the_customer_pays_is_the_price_and_the_tax_on_it(rule, cost):
    price = the_price(rule, cost)
    assert price.total == (price.asking if rule.tax_included else price.asking + price.tax)
    assert price.net == price.asking - price.fees - (price.tax if rule.tax_included else dollars(0))
    assert dollars(0) <= price.deposit <= price.total


@given(RULES, COSTS)
def test_the_floor_pays_for_materials_and_what_is_bought_in_and_the_fees_to_the_coin(rule, cost):
    floor = the_price(rule, cost).floor
    kept = 1 - rule.fee_share - (rule.tax_rate / (1 + rule.tax_rate) if rule.tax_included else 0)
    left = floor.amount * kept - rule.fee_fixed.amount
    assert abs(left - (cost.materials + cost.bought_in).amount) <= Decimal("0.005")


@given(COSTS, st.decimals(0, "0.9", places=3))
def test_a_margin_is_the_markup_that_it_is(cost, margin):
    markup = margin / (1 - margin)
    by_margin, by_markup = with_margin(cost.total, margin), with_markup(cost.total, markup)
    assert abs(by_margin - by_markup) < Decimal("1e-18") * (1 + by_margin)
    assert abs(margin_of(markup) - margin) < Decimal("1e-20")


@given(st.decimals(0, 10_000, places=2), SHARES, st.integers(0, 500))
def test_fees_taken_from_the_price_leave_what_was_wanted(wanted, share, fixed):
    price = before_fees(wanted, share, Money(fixed, "USD"))
    assert abs(price * (1 - share) - Money(fixed, "USD").amount - wanted) < Decimal("1e-15")


@given(RULES, COSTS)
def test_no_tax_rate_makes_tax_on_top_of_nothing(rule, cost):
    price = the_price(PriceRule(**({n: getattr(rule, n) for n in PriceRule.__slots__} | {"tax_rate": Decimal(0)})), cost)
    assert not price.tax
    assert price.total == price.asking


@pytest.mark.parametrize(
    ("rule", "asking"),
    [
        (a_rule(by=PriceBy.MARKUP, share=Decimal("0.4")), "175.00"),
        (a_rule(by=PriceBy.MARGIN, share=Decimal("0.5")), "250.00"),
        (a_rule(by=PriceBy.TRADE, share=Decimal("0.2")), "300.00"),
        (a_rule(by=PriceBy.AREA, area_rate=Decimal(200)), "300.00"),
        (a_rule(by=PriceBy.HAND, set_price=dollars(99)), "99.00"),
        (a_rule(share=Decimal("0.4"), step=dollars(10)), "180.00"),
        (a_rule(share=Decimal("0.4"), step=dollars(20), up=False), "180.00"),
        (a_rule(share=Decimal("0.4"), step=dollars(40), up=False), "160.00"),
        (a_rule(share=Decimal("0.4"), discount=Decimal("0.1")), "157.50"),
        (a_rule(share=Decimal("0.4"), fee_share=Decimal("0.1"), fee_fixed=dollars(5)), "200.00"),
        (a_rule(share=Decimal("0.4"), tax_rate=Decimal("0.25"), tax_included=True), "218.75"),
        (a_rule(share=Decimal("0.4"), discount=Decimal(1)), "20.00"),
    ],
)
def test_a_rug_that_costs_125(rule, asking):
    assert price_of(rule, a_cost(), 1.5).asking == dollars(asking)


def test_a_trade_price_stands_beside_its_retail():
    price = price_of(a_rule(by=PriceBy.TRADE, share=Decimal("0.2"), retail_times=Decimal("2.5")), a_cost(), 1.5)
    assert (price.trade, price.asking) == (dollars(150), dollars(375))
    assert price.per_area == Decimal(250)


@pytest.mark.parametrize(
    ("rule", "code"),
    [
        (a_rule(by=PriceBy.MARGIN, share=Decimal(1)), "margin.range"),
        (a_rule(by=PriceBy.MARGIN, share=Decimal("1.5")), "margin.range"),
        (a_rule(by=PriceBy.MARGIN, share=Decimal("-0.1")), "margin.range"),
        (a_rule(share=Decimal(-1)), "markup.range"),
        (a_rule(share=Decimal(11)), "markup.range"),
        (a_rule(fee_share=Decimal(1)), "fee.range"),
        (a_rule(fee_share=Decimal("0.6"), tax_rate=Decimal("0.9"), tax_included=True), "fee.range"),
        (a_rule(tax_rate=Decimal(1)), "tax.range"),
        (a_rule(discount=Decimal("1.01")), "discount.range"),
        (a_rule(deposit=Decimal("-0.1")), "deposit.range"),
    ],
)
def test_what_no_price_can_be(rule, code):
    with pytest.raises(NotPossible) as refusal:
        price_of(rule, a_cost(), 1.5)
    assert refusal.value.problems[0].code == code


def test_a_sale_of_nothing_bears_no_fixed_fee():
    free = a_rule(by=PriceBy.HAND, set_price=dollars(0), fee_fixed=dollars(1))
    assert price_of(free, a_cost(), 1.5).fees == dollars(0)


def test_at_the_cost_price_an_hour_earns_the_wage():
    cost = a_cost(labour=90)
    assert hourly(cost.total, cost, 300.0) == dollars(18)
    assert hourly(dollars(0), cost, 60.0) == dollars(-35)


def test_a_rug_that_takes_no_time_earns_no_hourly_wage():
    with pytest.raises(NotPossible, match=r"hourly\.no_hours"):
        hourly(dollars(100), a_cost(), 0.0)


@given(st.integers(0, 10**7), st.integers(1, 10**5), st.integers(0, 10**5))
def test_the_break_even_sale_is_the_first_that_bears_the_cost(fixed, contribution, variable):
    price = Money(variable + contribution, "USD")
    sales = break_even_units(Money(fixed, "USD"), price, Money(variable, "USD"))
    assert sales * contribution >= fixed
    assert sales == 0 or (sales - 1) * contribution < fixed


def test_selling_at_cost_never_breaks_even():
    with pytest.raises(NotPossible, match=r"break_even\.none"):
        break_even_units(dollars(10), dollars(5), dollars(5))
