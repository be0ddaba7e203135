"""The chance of a sale: a guess at first, then the shop's own past, price by price."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.sale_chance import GUESS, WEIGHT, Tried, sale_chances
from tests.core.a_rug import problems_of
from tests.core.a_table import usd

TRIED = st.lists(
    st.tuples(st.sampled_from([1500, 4500, 4900, 9000, 15_000]), st.integers(0, 60), st.floats(0, 1)).map(
        lambda one: Tried(price=usd(one[0]), brought=one[1], sold=round(one[1] * one[2]))
    ),
    max_size=8,
)


def chance(price, *past):
    (found,) = sale_chances([usd(price)], past)
    return found


def test_without_a_past_it_is_the_guess_and_says_so():
    found = chance(4500)
    assert found.chance == GUESS
    assert found.guessed
    assert (found.brought, found.sold) == (0, 0)


def test_the_past_at_that_price_takes_the_guess_s_place():
    """24 of 40 with 5 rugs of 30 %: 25.5 of 45."""
    found = chance(4500, Tried(price=usd(4500), brought=30, sold=20), Tried(price=usd(2500), brought=10, sold=4))
    assert found.chance == pytest.approx(25.5 / 45)
    assert not found.guessed
    assert (found.brought, found.sold) == (40, 24)


def test_a_price_never_tried_behaves_like_the_rest_of_the_table():
    found = chance(15_000, Tried(price=usd(4500), brought=95, sold=48))
    assert found.chance == pytest.approx(0.495)
    assert not found.guessed
    assert found.brought == 0


def test_a_price_tried_little_leans_on_the_rest():
    rest = Tried(price=usd(4500), brought=95, sold=48)
    found = chance(15_000, rest, Tried(price=usd(15_000), brought=2, sold=0))
    assert found.chance == pytest.approx(5 * 0.495 / 7)


def test_each_rug_has_the_chance_of_its_own_price():
    past = [Tried(price=usd(4500), brought=50, sold=40), Tried(price=usd(15_000), brought=50, sold=5)]
    cheap, dear, again = sale_chances([usd(4500), usd(15_000), usd(3000)], past)
    assert cheap == again
    assert dear.chance < 0.2
    assert cheap.chance > 0.7


@given(TRIED, st.sampled_from([0, 1500, 4500, 9000, 15_000]))
def test_a_chance_is_never_certain_and_its_doubt_is_no_more_than_a_guess_s(past, price):
    found = chance(price, *past)
    assert 0 < found.chance < 1
    assert 0 < found.doubt <= 0.5 / (WEIGHT + 1) ** 0.5


@given(TRIED, st.sampled_from([1500, 4500, 9000, 15_000]), st.integers(1, 50))
def test_a_sale_raises_the_chance_and_a_rug_that_comes_home_lowers_it(past, price, count):
    before = chance(price, *past).chance
    assert chance(price, *past, Tried(price=usd(price), brought=count, sold=count)).chance > before
    assert chance(price, *past, Tried(price=usd(price), brought=count, sold=0)).chance < before


@given(TRIED, st.randoms(use_true_random=False))
def test_the_order_of_fairs_does_not_matter(past, order):
    shuffled = list(past)
    order.shuffle(shuffled)
    assert chance(4500, *past) == chance(4500, *shuffled)


def test_a_long_past_is_believed():
    assert chance(4500, Tried(price=usd(4500), brought=100_000, sold=72_000)).chance == pytest.approx(0.72, abs=1e-4)


def test_no_more_are_sold_than_brought():
    assert problems_of(Tried, price=usd(1), brought=2, sold=3) == {("fair.sold", "sold")}
    assert problems_of(Tried, price=usd(1), sold=-1) == {("fair.sold", "sold")}
