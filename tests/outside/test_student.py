"""Student's t against SciPy, and against its closed forms for one and two degrees of freedom."""

import math

import pytest
from scipy.stats import t as scipys

from shop.core.student import below, density, quantile

FREEDOMS = [0.5, 1, 1.7, 2, 3, 4.2, 7.5, 10, 33.4, 99, 101, 1e3, 1e5, 9.9e5, 1e6, 1e8]
CHANCES = [1e-6, 0.001, 0.025, 0.1, 0.25, 0.4999, 0.5, 0.75, 0.9, 0.975, 0.999]


@pytest.mark.parametrize("freedom", FREEDOMS)
def test_the_distribution_is_scipys(freedom):
    for x in (-40, -8, -3, -1, -0.1, 0, 1e-3, 0.5, 2, 5, 20):
        assert below(x, freedom) == pytest.approx(scipys.cdf(x, freedom), rel=1e-9, abs=1e-14)
        assert density(x, freedom) == pytest.approx(scipys.pdf(x, freedom), rel=1e-9, abs=1e-300)


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("chance", CHANCES)
def test_its_quantiles_are_scipys(freedom, chance):
    assert quantile(chance, freedom) == pytest.approx(scipys.ppf(chance, freedom), rel=1e-10, abs=1e-12)


@pytest.mark.parametrize("chance", [0.001, 0.1, 0.3, 0.62, 0.9, 0.99])
def test_its_closed_forms(chance):
    """Cauchy's for one degree of freedom; for two, ``(2 p - 1) / sqrt(2 p (1 - p))``."""
    assert quantile(chance, 1) == pytest.approx(math.tan(math.pi * (chance - 0.5)), rel=1e-13)
    assert quantile(chance, 2) == pytest.approx((2 * chance - 1) / math.sqrt(2 * chance * (1 - chance)), rel=1e-13)


@pytest.mark.parametrize("wrong", [lambda: below(1, 0), lambda: below(1, math.nan), lambda: quantile(0, 3), lambda: quantile(1.0, 3)])
def test_what_has_no_answer_is_refused(wrong):
    with pytest.raises(ValueError, match=r"degrees|chance"):
        wrong()
