"""The laws of conjugate regression."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.regression import Prior, fitted

numbers = st.floats(-5, 5).map(lambda x: round(x, 3))
rows = st.lists(st.tuples(st.just(1.0), numbers), min_size=1, max_size=8)
PRIOR = Prior((0.5, 1.0), ((2.0, 0.3), (0.3, 1.0)), 2.0, 0.3)


@given(rows, rows, st.tuples(st.just(1.0), numbers))
def test_with_the_variance_known_more_rows_never_widen_the_middles_own_uncertainty(some, more, at):
    few = fitted(some, [0.0] * len(some), prior=PRIOR, known=0.04)
    many = fitted(some + more, [0.0] * len(some) + [3.0] * len(more), prior=PRIOR, known=0.04)
    assert many.at(at).scale <= few.at(at).scale * (1 + 1e-12)
    assert many.outcome(at).scale >= 0.2


@given(rows, st.lists(numbers, min_size=8, max_size=8))
def test_rows_at_once_are_rows_one_after_the_other(some, outcomes):
    """Yesterday's answer is today's prior."""
    whole = fitted(some, outcomes[: len(some)], prior=PRIOR)
    thought = PRIOR
    for row, outcome in zip(some, outcomes, strict=False):
        found = fitted([row], [outcome], prior=thought)
        precision = tuple(map(tuple, (found.root.T @ found.root).tolist()))
        thought = Prior(found.middle, precision, found.shape, found.rate)
    assert thought.mean == pytest.approx(whole.middle, abs=1e-9)
    assert (thought.shape, thought.rate) == pytest.approx((whole.shape, whole.rate), rel=1e-8)


def test_a_weight_is_so_many_rows():
    one = fitted([(1.0, 2.0), (1.0, 3.0)], [1.0, 2.0], prior=PRIOR, weights=[3.0, 1.0], known=1.0)
    three = fitted([(1.0, 2.0)] * 3 + [(1.0, 3.0)], [1.0, 1.0, 1.0, 2.0], prior=PRIOR, known=1.0)
    assert one.middle == pytest.approx(three.middle, rel=1e-12)
    assert one.errors == pytest.approx(three.errors, rel=1e-12)


def test_a_known_variance_makes_the_band_normal():
    found = fitted([(1.0,)] * 4, [1.0, 2.0, 3.0, 2.0], known=4.0)
    assert found.at((1.0,)).ends(0.95) == pytest.approx((2 - 1.959963984540054, 2 + 1.959963984540054))
    assert found.at((1.0,)).ends() == pytest.approx((2 - 1.2815515655446004, 2 + 1.2815515655446004))


@pytest.mark.parametrize(
    ("x", "y"),
    [
        ([(1.0, 2.0)], [1.0]),
        ([(1.0, 2.0), (1.0, 2.0), (1.0, 2.0)], [1.0, 2.0, 3.0]),
        ([(1.0, 2.0), (1.0, 3.0)], [1.0, 2.0]),
        ([(0.0,), (0.0,)], [1.0, 2.0]),
    ],
)
def test_too_few_rows_for_a_flat_prior_are_refused(x, y):
    with pytest.raises(ValueError, match="too few rows"):
        fitted(x, y)


def test_columns_that_hardly_differ_still_give_up_their_digits():
    """Powers of a year: what an exact reckoning in fractions gives."""
    years = np.arange(2000.0, 2012.0)
    x = np.column_stack([np.ones(12), years, years**2])
    found = fitted(x, 3 + 2 * (years - 2000) + 0.5 * (years - 2000) ** 2)
    assert found.middle == pytest.approx((3 - 4000 + 0.5 * 2000**2, 2 - 2000, 0.5), rel=1e-12)
