"""Conjugate updates and prediction intervals against published worked examples, and bands against SciPy."""

import math

import numpy as np
import pytest
from scipy.stats import linregress, multivariate_t
from scipy.stats import t as student

from shop.core.regression import Prior, fitted

WINGS = [1.64, 1.70, 1.72, 1.74, 1.82, 1.82, 1.82, 1.90, 2.08]
"""Wing lengths of nine midges, in millimetres."""


def test_a_published_update_of_a_mean_and_a_variance():
    """P. D. Hoff, A First Course in Bayesian Statistical Methods, s. 5.3: data as quoted on a page; results from memory, recomputed."""
    prior = Prior((1.9,), ((1.0,),), 0.5, 0.5 * 0.01)
    found = fitted([(1.0,)] * 9, WINGS, prior=prior)
    assert found.middle[0] == pytest.approx(1.814, abs=5e-5)
    assert found.freedom == 10
    assert found.variance == pytest.approx(0.015324, abs=5e-6)
    assert float(found.root[0, 0] ** 2) == pytest.approx(10)
    assert found.outcome((1.0,)).ends(0.95) == pytest.approx((1.5247, 2.1033), abs=5e-5)


def test_a_published_prediction_interval():
    """Shafer and Zhang, Introductory Statistics, ch. 10 (cars' ages and values); figures from memory, recomputed."""
    x = [2, 3, 3, 3, 4, 4, 5, 5, 5, 6]
    y = [28.7, 24.8, 26.0, 30.5, 23.8, 24.6, 23.8, 20.4, 21.6, 22.1]
    found = fitted([(1.0, each) for each in x], y)
    assert found.middle == pytest.approx((32.83, -2.05), abs=5e-3)
    low, high = found.outcome((1.0, 3.5)).ends(0.95)
    assert (low + high) / 2 == pytest.approx(25.655, abs=5e-4)
    assert (high - low) / 2 == pytest.approx(4.63770, abs=5e-5)


def test_a_flat_line_and_its_band_against_scipy():
    chance = np.random.default_rng(1902)
    x = chance.uniform(0.4, 1.2, 25)
    y = 0.3 + 2 * x + chance.normal(0, 0.2, 25)
    theirs = linregress(x, y)
    found = fitted(np.column_stack([np.ones(25), x]), y)
    assert found.middle == pytest.approx((theirs.intercept, theirs.slope), rel=1e-12)
    assert found.errors == pytest.approx((theirs.intercept_stderr, theirs.stderr), rel=1e-11)
    left = y - theirs.intercept - theirs.slope * x
    for at in (0.1, 0.8, 2.0):
        spread = math.sqrt((left @ left) / 23 * (1 + 1 / 25 + (at - x.mean()) ** 2 / ((x - x.mean()) ** 2).sum()))
        low, high = student.interval(0.8, 23, loc=theirs.intercept + theirs.slope * at, scale=spread)
        assert found.outcome((1.0, at)).ends() == pytest.approx((low, high), rel=1e-11)


def test_an_update_with_prior_and_weights_against_scipys_own_joint_distribution():
    """All rows and one to come are one multivariate t beforehand; SciPy's, given the rows, is what the update must say."""
    chance = np.random.default_rng(7)
    x = np.column_stack([np.ones(6), chance.uniform(0, 2, 6)])
    y, weights = chance.normal(1, 0.4, 6), chance.uniform(0.3, 2, 6)
    precision, mean, shape, rate = np.array([[2.0, 0.5], [0.5, 1.0]]), np.array([0.8, 0.2]), 1.5, 0.2
    found = fitted(x, y, prior=Prior(tuple(mean), tuple(map(tuple, precision)), shape, rate), weights=weights)
    new = np.array([1.0, 0.7])
    rows = np.vstack([x, new])
    shared = rows @ np.linalg.inv(precision) @ rows.T + np.diag([*(1 / weights), 1.0])
    joint = multivariate_t(rows @ mean, shared * rate / shape, df=2 * shape)
    band = found.outcome(tuple(new))
    grid = [band.middle + step * band.scale for step in (-2.0, -0.5, 0.0, 1.0, 3.0)]
    theirs = np.array([joint.pdf(np.append(y, at)) for at in grid])
    ours = student.pdf(grid, band.freedom, loc=band.middle, scale=band.scale)
    assert theirs / theirs[2] == pytest.approx(ours / ours[2], rel=1e-9)
