"""Estimates: never negative, in order, exact in products, honest in sums."""

import math
from statistics import NormalDist

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.core.spread import EIGHT_OF_TEN, SPREAD, Basis, Estimate, add, doubtful, sure

SIGMAS = st.floats(-0.6, 0.6)
ESTIMATES = st.builds(
    lambda middle, doubts: Estimate(middle, tuple(sorted(doubts.items()))),
    st.floats(0.001, 1e6),
    st.dictionaries(st.sampled_from("abcd"), SIGMAS, max_size=3),
)


def close(one, other):
    return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)


def test_the_ends_hold_eight_of_ten():
    assert NormalDist().inv_cdf(0.9) == pytest.approx(EIGHT_OF_TEN, abs=1e-12)


def test_a_guess_is_less_sure_than_a_setting_and_that_than_a_measurement():
    assert SPREAD[Basis.GUESS] > SPREAD[Basis.SETTING] > SPREAD[Basis.MEASURED] > 0


def test_what_is_known_has_one_value():
    known = sure(12.0)
    assert known.is_sure
    assert (known.low, known.middle, known.high, known.mean) == (12.0, 12.0, 12.0, 12.0)
    assert doubtful(12.0, "weft.take_up", 0).is_sure


@given(ESTIMATES)
def test_low_middle_and_high_stand_in_order(one):
    assert 0 < one.low <= one.middle <= one.high
    assert one.middle <= one.mean


@given(ESTIMATES, ESTIMATES)
def test_a_product_over_one_factor_is_the_other(one, other):
    back = one.times(other).over(other)
    assert close(back.middle, one.middle)
    assert close(back.sigma, one.sigma) or abs(back.sigma - one.sigma) < 1e-9


def test_one_source_moves_both_factors_together():
    packing = doubtful(6.5, "weft.packing", 0.2)
    assert packing.times(packing).sigma == pytest.approx(0.4)
    assert packing.over(packing).sigma == 0
    assert packing.times(doubtful(2, "weft.take_up", 0.2)).sigma == pytest.approx(math.hypot(0.2, 0.2))


@given(st.lists(ESTIMATES, min_size=1, max_size=5))
def test_a_sum_keeps_the_mean_and_its_order(parts):
    whole = add(parts)
    assert math.isclose(whole.mean, sum(part.mean for part in parts), rel_tol=1e-9)
    assert whole.low <= whole.middle <= whole.high


@given(st.lists(ESTIMATES, min_size=1, max_size=5))
def test_a_sum_is_no_less_sure_than_its_least_sure_part(parts):
    assert add(parts).sigma <= max(part.sigma for part in parts) + 1e-6


@given(ESTIMATES)
def test_a_part_alone_is_its_own_sum(one):
    assume(one.doubts)
    whole = add([one, sure(0)])
    assert math.isclose(whole.middle, one.middle, rel_tol=1e-9)
    assert math.isclose(whole.sigma, one.sigma, rel_tol=1e-6, abs_tol=1e-9)


def test_shared_doubt_does_not_average_out_and_separate_doubt_does():
    shared = add([doubtful(100, "a", 0.2), doubtful(100, "a", 0.2)])
    separate = add([doubtful(100, "a", 0.2), doubtful(100, "b", 0.2)])
    assert shared.sigma == pytest.approx(0.2)
    assert separate.sigma < 0.15
    assert {name for name, _ in separate.doubts} == {"a", "b"}


def test_nothing_adds_up_to_nothing():
    assert add([]).middle == add([sure(0.0)]).middle == 0
    assert add([sure(2), sure(3)]) == sure(5)
