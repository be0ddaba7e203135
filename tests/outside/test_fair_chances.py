"""Chances of a fair against SciPy, and profits that are drawn against their closed form."""

import math

import numpy as np
import pytest
from scipy import stats

from shop.core.fair_chance import (
    WET_TO_FINE,
    Hope,
    number_sold,
    profit,
    profit_mean_and_variance,
    simulated_profit,
)
from shop.core.money import Money
from shop.core.sale_chance import GUESS, WEIGHT, Tried, sale_chances

DRAWS = 20_000
SURE = 5.0
"""Standard errors: a sound draw is further off less than once in a million."""


def usd(minor):
    return Money(minor, "USD")


def a_table(count, seed=2026):
    """Rugs with any chance, which leave from 5.00 to 120.00."""
    rng = np.random.default_rng(seed)
    return [Hope(float(p), usd(int(left))) for p, left in zip(rng.uniform(0, 1, count), rng.integers(500, 12_000, count), strict=True)]


@pytest.mark.parametrize("count", [0, 1, 7, 40, 200])
@pytest.mark.parametrize("p", [0.0, 0.03, 0.3, 0.5, 1.0])
def test_rugs_that_are_all_alike_are_binomial(count, p):
    """scipy.stats.binom."""
    assert number_sold([p] * count) == pytest.approx(stats.binom.pmf(range(count + 1), count, p), abs=1e-12)


@pytest.mark.parametrize("count", [1, 5, 40, 120])
def test_rugs_of_any_chance_are_poisson_binomial(count):
    """scipy.stats.poisson_binom."""
    chances = [hope.chance for hope in a_table(count)]
    assert number_sold(chances) == pytest.approx(stats.poisson_binom.pmf(range(count + 1), chances), abs=1e-12)


def test_two_kinds_of_rug_are_two_binomials_together():
    """numpy.convolve of two of scipy.stats.binom."""
    truth = np.convolve(stats.binom.pmf(range(13), 12, 0.2), stats.binom.pmf(range(9), 8, 0.65))
    assert number_sold([0.2] * 12 + [0.65] * 8) == pytest.approx(truth, abs=1e-12)


@pytest.mark.parametrize("cost", [0, 500, 4_000, 12_000])
def test_breaking_even_with_rugs_that_are_all_alike(cost):
    """scipy.stats.binom: enough are sold when at least cost / contribution are."""
    found = profit([Hope(0.35, usd(1_000))] * 30, usd(cost))
    assert found.even == pytest.approx(stats.binom.sf(math.ceil(cost / 1_000) - 1, 30, 0.35), abs=1e-12)
    for end, share in ((found.low, 0.1), (found.middle, 0.5), (found.high, 0.9)):
        assert end.minor == stats.binom.ppf(share, 30, 0.35) * 1_000 - cost


@pytest.mark.parametrize("days", [None, WET_TO_FINE], ids=["alike", "wet to fine"])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_profits_drawn_have_the_mean_and_variance_of_the_closed_form(seed, days):
    """The standard error of a mean is sigma / sqrt(n); that of a variance is at most sigma^2 sqrt((kurtosis - 1) / n), and the
    kurtosis of a sum of so many is below 4. Both are held to five of them."""
    hopes, kinds = a_table(40), {"days": days} if days else {}
    mean, variance = profit_mean_and_variance(hopes, usd(150_000), **kinds)
    drawn = simulated_profit(hopes, usd(150_000), draws=DRAWS, seed=seed, **kinds)
    assert abs(drawn.mean.minor - mean) < SURE * math.sqrt(variance / DRAWS) + 1
    assert abs(drawn.deviation.minor**2 - variance) < SURE * variance * math.sqrt(3 / DRAWS)


@pytest.mark.parametrize("days", [None, WET_TO_FINE], ids=["alike", "wet to fine"])
def test_profits_drawn_break_even_as_often_as_those_reckoned(days):
    """The standard error of a share is sqrt(p (1 - p) / n)."""
    hopes, kinds = a_table(40, seed=7), {"days": days} if days else {}
    mean, _ = profit_mean_and_variance(hopes, usd(0))
    for cost in (0.8, 1.0, 1.15):
        reckoned = profit(hopes, usd(round(mean * cost)), **kinds)
        drawn = simulated_profit(hopes, usd(round(mean * cost)), draws=DRAWS, seed=11, **kinds)
        assert abs(drawn.even - reckoned.even) < SURE * math.sqrt(reckoned.even * (1 - reckoned.even) / DRAWS)
        for found, end, share in ((drawn.low, reckoned.low, 0.1), (drawn.high, reckoned.high, 0.9)):
            assert found.minor == pytest.approx(end.minor, abs=0.1 * reckoned.deviation.minor), share


def test_a_large_table_is_nearly_normal():
    """scipy.stats.norm, by the central limit theorem: 200 rugs, to one in a hundred."""
    hopes = a_table(200)
    mean, variance = profit_mean_and_variance(hopes, usd(600_000))
    found = profit(hopes, usd(600_000))
    truth = stats.norm(mean, math.sqrt(variance))
    assert found.even == pytest.approx(truth.sf(0), abs=0.01)
    for end, share in ((found.low, 0.1), (found.middle, 0.5), (found.high, 0.9)):
        assert truth.cdf(end.minor) == pytest.approx(share, abs=0.01)


@pytest.mark.parametrize(("brought", "sold"), [(0, 0), (12, 3), (200, 120)])
def test_the_chance_of_a_sale_is_a_beta_s(brought, sold):
    """scipy.stats.beta, mean and standard deviation: a beta of the guess, with the sold and the unsold added."""
    (found,) = sale_chances([usd(4_500)], [Tried(price=usd(4_500), brought=brought, sold=sold)])
    truth = stats.beta(WEIGHT * GUESS + sold, WEIGHT * (1 - GUESS) + brought - sold)
    assert found.chance == pytest.approx(truth.mean())
    assert found.doubt == pytest.approx(truth.std())
