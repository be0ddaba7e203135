"""Round prices: each goes to a point, never to nothing; and every price lies in one band."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.money import Money
from shop.core.price_points import Listed, PriceBand, Steps, at_least, price_band
from tests.core.a_rug import problems_of

MINORS = st.integers(0, 10**6)


def usd(minor):
    return Money(minor, "USD")


def steps(step, ending=0, *, up=True):
    return Steps(step=usd(step), ending=usd(ending), up=up)


def listed(*prices, up=True):
    return Listed(prices=tuple(map(usd, prices)), up=up)


STEPS = st.integers(1, 5000).flatmap(
    lambda step: st.builds(steps, st.just(step), st.integers(0, step - 1), up=st.booleans())
)
LISTS = st.builds(
    lambda prices, up: listed(*sorted(prices), up=up), st.sets(st.integers(1, 10**6), min_size=1), st.booleans()
)


@pytest.mark.parametrize(
    ("points", "price", "point"),
    [
        (steps(1000, 500), 4501, 5500),
        (steps(1000, 500), 4500, 4500),
        (steps(1000, 500), 1, 500),
        (steps(1000, 500, up=False), 4999, 4500),
        (steps(1000, 500, up=False), 5000, 5500),
        (steps(1000, 500, up=False), 0, 500),
        (steps(1000, up=False), 400, 1000),
        (steps(1000), 0, 1000),
        (steps(100, 99), 1234, 1299),
        (steps(0), 1234, 1234),
        (listed(2000, 3500, 5000), 2001, 3500),
        (listed(2000, 3500, 5000), 3500, 3500),
        (listed(2000, 3500, 5000), 5001, 5001),
        (listed(2000, 3500, 5000), 1, 2000),
        (listed(2000, 3500, 5000, up=False), 2749, 2000),
        (listed(2000, 3500, 5000, up=False), 2750, 3500),
        (listed(2000, 3500, 5000, up=False), 1, 2000),
        (listed(2000, 3500, 5000, up=False), 9000, 9000),
    ],
)
def test_a_price_goes_to_its_point(points, price, point):
    assert points.at(usd(price)) == usd(point)


@given(STEPS, MINORS)
def test_a_price_on_steps_is_on_a_step_and_near(points, price):
    point = points.at(usd(price)).minor
    step, ending = points.step.minor, points.ending.minor
    assert point > 0
    assert (point - ending) % step == 0
    if points.up:
        assert price <= point < price + step or point == (ending or step)
    else:
        assert 2 * abs(point - price) <= step or point == (ending or step)


@given(LISTS, MINORS)
def test_a_price_on_a_list_is_the_next_or_the_nearest_of_it(points, price):
    point = points.at(usd(price))
    minors = [each.minor for each in points.prices]
    if price > minors[-1]:
        assert point.minor == price
    elif points.up:
        assert point.minor == min(each for each in minors if each >= price)
    else:
        assert abs(point.minor - price) == min(abs(each - price) for each in minors)


@given(STEPS | LISTS, MINORS)
def test_a_point_stays_where_it_is(points, price):
    once = points.at(usd(price))
    assert points.at(once) == once


@given(STEPS | LISTS, MINORS, MINORS)
def test_a_dearer_rug_never_has_a_cheaper_point(points, one, other):
    low, high = sorted((one, other))
    assert points.at(usd(low)) <= points.at(usd(high))


@given(STEPS | LISTS, MINORS, MINORS)
def test_a_price_stays_above_what_it_must_be_at_least(points, price, least):
    point = at_least(usd(price), usd(least), points)
    assert usd(least) <= point
    assert usd(max(least, 1)) <= point or isinstance(points, Listed)
    assert points.at(point) == point


@given(st.integers(0, 10**12))
def test_a_price_lies_in_its_band_and_bands_touch(minor):
    band = price_band(usd(minor))
    assert band.least.minor <= minor < band.below.minor
    assert price_band(band.least) == band
    assert price_band(band.below).least == band.below


def test_bands_go_by_one_two_and_five():
    ends = [(band.least.minor, band.below.minor) for band in map(price_band, map(usd, (0, 4500, 5000, 9999, 10_000, 23_000)))]
    assert ends == [(0, 1), (2000, 5000), (5000, 10_000), (5000, 10_000), (10_000, 20_000), (20_000, 50_000)]
    assert PriceBand(usd(2000), usd(5000)) < PriceBand(usd(5000), usd(10_000))


def test_points_that_make_no_sense_are_refused():
    assert problems_of(steps, -1) == {("points.step", "step")}
    assert problems_of(steps, 100, 100) == problems_of(steps, 100, -1) == {("points.ending", "ending")}
    assert problems_of(steps, 0, 5) == {("points.ending", "ending")}
    for prices in ((), (0, 5), (5, 4), (5, 5)):
        assert problems_of(listed, *prices) == {("points.list", "points")}
    assert problems_of(price_band, usd(-1)) == {("points.negative", "price")}
