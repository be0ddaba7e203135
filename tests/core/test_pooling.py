"""Partial pooling in closed form against the same model written out, a column for every kind and cloth."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import multivariate_t

from shop.core.pooling import ALIKE, Seen, pooled, sizes
from shop.core.regression import Prior, fitted

RUG = (1.5, 0.005)


def a_history(seed):
    """Some rugs of six cloths in up to three kinds, on a loom whose line has two parts."""
    chance = np.random.default_rng(seed)
    rugs = int(chance.integers(1, 25))
    _, kind = np.unique(np.sort(chance.integers(0, 3, 6)), return_inverse=True)
    part = chance.uniform(0, 1, rugs)
    seen = Seen(chance.integers(0, 6, rugs), kind, 6, int(kind.max()) + 1)
    return seen, np.column_stack([part, 1 - part]), chance.normal(0.3, 0.2, rugs), chance.uniform(0.1, 2, rugs)


def written_out(seen, x):
    """The rows of x with a column for each kind and each cloth."""
    kinds = np.eye(seen.kinds)[seen.kind[seen.cloth]]
    return np.hstack([x, kinds, np.eye(seen.cloths)[seen.cloth]])


def spread_out(seen, tried, place):
    """The variances of those columns, in units of a rug's."""
    loom, kind, cloth = (float(each[place]) for each in (tried.loom, tried.kind, tried.cloth))
    whole = np.diag([loom, loom, *[kind] * seen.kinds, *[cloth] * seen.cloths])
    whole[0, 1] = whole[1, 0] = ALIKE * loom
    return whole


@given(st.integers(0, 10_000), st.integers(0, 23))
def test_cloths_and_kinds_taken_out_in_closed_form_are_columns_written_out(seed, place):
    seen, x, y, weights = a_history(seed)
    tried = sizes(of_cloth=True)
    found = pooled(seen, x, y, weights, len(y), tried, RUG)
    precision = np.linalg.inv(spread_out(seen, tried, place))
    prior = Prior((0.0,) * len(precision), tuple(map(tuple, precision)), *RUG)
    whole = fitted(written_out(seen, x), y, prior=prior, weights=weights)
    for cloth in range(6):
        new = np.array([[0.3, 0.7]])
        row = [0.3, 0.7, *np.eye(seen.kinds)[seen.kind[cloth]], *np.eye(6)[cloth]]
        middle, variance = found.at(new, found.cloth_sums[[cloth]], found.kind_sums[:, [seen.kind[cloth]]])
        assert middle[place, 0] == pytest.approx(whole.at(row).middle, abs=1e-10)
        assert variance[place, 0] == pytest.approx((whole.at(row).scale ** 2) / whole.variance, rel=1e-9)
    assert (found.shape, found.rate[place]) == pytest.approx((whole.shape, whole.rate), rel=1e-10)


@given(st.integers(0, 10_000))
def test_sizes_count_by_the_chance_that_they_gave_to_what_was_seen(seed):
    """SciPy's multivariate t is that chance."""
    seen, x, y, weights = a_history(seed)
    tried = sizes(of_cloth=True)
    found = pooled(seen, x, y, weights, len(y), tried, RUG)
    rows = written_out(seen, x)
    chances = []
    for place in range(len(tried.loom)):
        shared = rows @ spread_out(seen, tried, place) @ rows.T + np.diag(1 / weights)
        joint = multivariate_t(np.zeros(len(y)), shared * RUG[1] / RUG[0], df=2 * RUG[0])
        chances.append(joint.logpdf(y))
    expected = np.exp(np.array(chances) - max(chances))
    assert found.share == pytest.approx(expected / expected.sum(), rel=1e-6, abs=1e-12)


def test_a_cloth_starts_from_its_kind_and_a_kind_from_its_loom():
    """Two kinds, one of them woven often and a fifth higher; of one cloth of it there is more yet."""
    cloth = np.array([0] * 8 + [1] * 8 + [2] * 8)
    seen = Seen(cloth, np.array([0, 1, 1]), 3, 2)
    y = np.array([0.1, 0.12] * 4 + [0.3, 0.32] * 4 + [0.4, 0.42] * 4)
    x = np.column_stack([np.ones(24), np.zeros(24)])
    found = pooled(seen, x, y, np.ones(24), 24, sizes(of_cloth=True), RUG)

    def said(cloth_sums, kind_sums):
        middle, _ = found.at(np.array([[1.0, 0.0]]), cloth_sums, kind_sums)
        return float(np.sum(found.share * middle[:, 0]))

    nothing, no_kind = np.zeros((1, 4)), np.zeros((len(found.share), 1, 4))
    own = said(found.cloth_sums[[2]], found.kind_sums[:, [1]])
    of_kind = said(nothing, found.kind_sums[:, [1]])
    of_loom = said(nothing, no_kind)
    assert math.isclose(own, 0.41, abs_tol=0.01)
    assert 0.3 < of_kind < own
    assert 0.1 < of_loom < of_kind
