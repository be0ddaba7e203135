"""What a fair may bring: all outcomes of a small table gone through one by one, and the laws of large ones."""

from itertools import pairwise, product
from math import fsum, prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.fair_chance import (
    MOST_CELLS,
    WET_TO_FINE,
    Hope,
    KindOfDay,
    number_sold,
    profit,
    profit_mean_and_variance,
    simulated_profit,
    what_to_bring,
)
from shop.core.money import Money
from shop.core.profit_range import MOST_BARS
from tests.core.a_rug import problems_of
from tests.core.a_table import usd

CHANCES = st.floats(0, 1)
HOPES = st.lists(st.builds(Hope, CHANCES, st.integers(-2000, 20_000).map(usd)), max_size=7)
DAYS = st.lists(st.builds(KindOfDay, st.floats(0.01, 5), st.floats(0, 3)), min_size=1, max_size=3)
COSTS = st.integers(0, 30_000)


def outcomes(hopes, cost, days):
    """Every set of rugs that can be sold on every kind of day: (profit, chance), the lowest profit first."""
    weights = fsum(day.weight for day in days)
    found = {}
    for day in days:
        chances = [min(1.0, hope.chance * day.times) for hope in hopes]
        for sold in product((False, True), repeat=len(hopes)):
            amount = sum(hope.leaves.minor for hope, is_sold in zip(hopes, sold, strict=True) if is_sold) - cost
            likely = prod(p if is_sold else 1 - p for p, is_sold in zip(chances, sold, strict=True))
            found[amount] = found.get(amount, 0.0) + likely * day.weight / weights
    return sorted(found.items())


def up_to(found, amount):
    return fsum(likely for reached, likely in found if reached <= amount)


@given(HOPES, COSTS, DAYS)
def test_a_small_table_outcome_by_outcome(hopes, cost, days):
    found, truth = profit(hopes, usd(cost), days), outcomes(hopes, cost, days)
    mean = fsum(amount * likely for amount, likely in truth)
    variance = fsum((amount - mean) ** 2 * likely for amount, likely in truth)
    assert found.even == pytest.approx(fsum(likely for amount, likely in truth if amount >= 0), abs=1e-9)
    assert abs(found.mean.minor - mean) <= 0.5 + 1e-6
    assert abs(found.deviation.minor - variance**0.5) <= 0.5 + 1e-3
    for end, share in ((found.low, 0.1), (found.middle, 0.5), (found.high, 0.9)):
        assert up_to(truth, end.minor) >= share - 1e-9
        assert up_to(truth, end.minor - 1) < share + 1e-9
    closed_mean, closed_variance = profit_mean_and_variance(hopes, usd(cost), days)
    assert closed_mean == pytest.approx(mean, abs=1e-6)
    assert closed_variance == pytest.approx(variance, rel=1e-9, abs=1e-3)


@given(HOPES, COSTS, DAYS)
def test_a_picture_holds_every_fair_and_one_bar_begins_at_nothing(hopes, cost, days):
    found = profit(hopes, usd(cost), days)
    assert 1 <= len(found.bars) <= MOST_BARS
    assert fsum(bar.chance for bar in found.bars) == pytest.approx(1)
    assert all(one.below == other.least for one, other in pairwise(found.bars))
    width = found.bars[0].below.minor - found.bars[0].least.minor
    assert str(width).rstrip("0") in ("1", "2", "5")
    assert all(bar.least.minor % width == 0 and bar.below.minor - bar.least.minor == width for bar in found.bars)
    first, last = found.bars[0].least, found.bars[-1].below
    if first.minor <= 0 < last.minor:
        gain = fsum(bar.chance for bar in found.bars if bar.least.minor >= 0)
        assert gain == pytest.approx(found.even, abs=0.002 if first.minor == 0 else 1e-9)
    assert first <= found.low
    assert found.high < last


@given(st.lists(CHANCES, max_size=9), DAYS)
def test_the_number_sold_is_the_profit_of_rugs_that_leave_a_coin(chances, days):
    sold = number_sold(chances, days)
    assert len(sold) == len(chances) + 1
    assert fsum(sold) == pytest.approx(1)
    truth = dict(outcomes([Hope(p, usd(1)) for p in chances], 0, days))
    for count, likely in enumerate(sold):
        assert likely == pytest.approx(truth.get(count, 0.0), abs=1e-12)


@given(HOPES, COSTS, st.permutations(range(7)))
def test_the_order_of_rugs_does_not_matter(hopes, cost, order):
    shuffled = [hopes[at] for at in order if at < len(hopes)]
    one, other = profit(hopes, usd(cost)), profit(shuffled, usd(cost))
    assert one.even == pytest.approx(other.even)
    assert one.mean.minor == pytest.approx(other.mean.minor, abs=1)


@given(HOPES, COSTS, st.integers(1, 5000))
def test_a_dearer_fair_is_a_smaller_profit_coin_by_coin(hopes, cost, more):
    one, dearer = profit(hopes, usd(cost)), profit(hopes, usd(cost + more))
    assert dearer.even <= one.even + 1e-12
    assert one.middle.minor - dearer.middle.minor == more
    assert one.low.minor - dearer.low.minor == more


def test_certain_sales_have_no_range():
    hopes = [Hope(1.0, usd(5000)), Hope(0.0, usd(70_000)), Hope(1.0, usd(-300))]
    found = profit(hopes, usd(4700))
    assert found.low == found.middle == found.high == found.mean == usd(0)
    assert (found.even, found.deviation) == (1.0, usd(0))
    assert profit(hopes, usd(4701)).even == 0


def test_a_table_too_dear_for_single_coins_keeps_its_mean():
    hopes = [Hope((at % 9 + 1) / 10, usd(9000 + 7919 * at % 40_000)) for at in range(120)]
    found = profit(hopes, usd(100_000))
    mean, variance = profit_mean_and_variance(hopes, usd(100_000))
    assert 1 < found.step.minor <= sum(hope.leaves.minor for hope in hopes) // MOST_CELLS + 1
    assert abs(found.mean.minor - mean) <= 1
    assert found.deviation.minor == pytest.approx(variance**0.5, rel=1e-6)


def test_round_prices_are_reckoned_in_round_steps():
    hopes = [Hope(0.5, usd(5000 * at)) for at in range(1, 200)]
    found = profit(hopes, usd(123))
    assert found.step == usd(5000)
    assert found.middle.minor % 5000 == 5000 - 123


def test_days_of_several_kinds_widen_the_range_and_keep_the_mean():
    hopes = [Hope(0.4, usd(4000))] * 30
    alike, mixed = profit(hopes, usd(30_000)), profit(hopes, usd(30_000), WET_TO_FINE)
    assert alike.mean == mixed.mean == usd(18_000)
    assert mixed.low < alike.low < alike.high < mixed.high
    assert mixed.even < alike.even


@given(HOPES, COSTS, st.integers(0, 2**64), DAYS)
def test_a_number_always_draws_the_same_fairs(hopes, cost, seed, days):
    one = simulated_profit(hopes, usd(cost), draws=20, seed=seed, days=days)
    assert one == simulated_profit(hopes, usd(cost), draws=20, seed=seed, days=days)
    reached = {amount for amount, likely in outcomes(hopes, cost, days) if likely}
    assert {one.low.minor, one.middle.minor, one.high.minor} <= reached


@given(HOPES, COSTS, st.sampled_from([0.5, 0.8, 0.95]), DAYS)
def test_so_many_rugs_are_brought_as_make_it_sure_enough_and_no_more(hopes, cost, sure, days):
    brought = what_to_bring(hopes, usd(cost), sure=sure, days=days)
    gains = [at for at, hope in enumerate(hopes) if hope.chance > 0 and hope.leaves.minor > 0]

    def even(places):
        return profit([hopes[at] for at in places], usd(cost), days).even

    if brought is None:
        assert even(gains) < sure
    else:
        assert even(brought) >= sure
        assert not brought or even(brought[:-1]) < sure
        expected = [hopes[at].chance * hopes[at].leaves.minor for at in brought]
        assert expected == sorted(expected, reverse=True)
        left_home = [hopes[at].chance * hopes[at].leaves.minor for at in gains if at not in brought]
        assert min(expected, default=0) >= max(left_home, default=0) or not brought


def test_what_to_bring():
    """A rug that surely sells bears 50.00 alone; for 51.00 another must come; one that leaves nothing never does."""
    hopes = [Hope(0.9, usd(100)), Hope(1.0, usd(5000)), Hope(1.0, usd(0)), Hope(0.1, usd(0))]
    assert what_to_bring(hopes, usd(5000), sure=1.0) == (1,)
    assert what_to_bring(hopes, usd(5100), sure=0.8) == (1, 0)
    assert what_to_bring(hopes, usd(5100), sure=0.95) is None
    assert what_to_bring(hopes, usd(0), sure=1.0) == ()


def test_what_makes_no_sense_is_refused():
    assert problems_of(Hope, 1.1, usd(1)) == problems_of(Hope, float("nan"), usd(1)) == {("fair.chance", "chance")}
    assert problems_of(simulated_profit, [], usd(0), draws=0, seed=1) == {("fair.draws", "draws")}
    for days in ((), (KindOfDay(0),), (KindOfDay(-1), KindOfDay(2)), (KindOfDay(1, -1),)):
        assert problems_of(profit, [], usd(0), days) == {("fair.days_kinds", "days")}
        assert problems_of(number_sold, [], days) == {("fair.days_kinds", "days")}
    assert problems_of(profit, [Hope(0.5, Money(1, "SEK"))], usd(0)) == {("money.mixed", "")}
