"""Student's t: how far an outcome may lie from its middle when its spread is itself only known from a few rugs.

The distribution function is an incomplete beta function, reckoned by its continued fraction (NIST Digital Library of
Mathematical Functions, 8.17.22, by W. J. Lentz's method of 1976). The number of degrees of freedom need not be whole.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

NEARLY_NORMAL: Final = 1e6
"""Degrees of freedom from which a normal distribution, brought into shape, agrees to twelve digits."""
MANY: Final = 50.0
"""From here on a ratio of gamma functions is reckoned by its asymptotic series."""
_SMALLEST: Final = 1e-300


def density(t: float, freedom: float) -> float:
    """The density at ``t`` of Student's t with so many degrees of freedom."""
    return math.exp(_log_scale(freedom) - (freedom + 1) / 2 * math.log1p(t * t / freedom))


def below(t: float, freedom: float) -> float:
    """The chance that Student's t is below ``t``.

    ``I(x; freedom / 2, 1/2) / 2`` is the tail beyond ``|t|``, where ``x = freedom / (freedom + t^2)`` (Abramowitz and Stegun
    26.7.1). Beyond a million degrees of freedom the normal form of 26.7.8 stands in.

    Raises:
        ValueError: for no degrees of freedom.
    """
    if not freedom > 0:
        raise ValueError(f"{freedom} degrees of freedom")
    if freedom >= NEARLY_NORMAL:
        normal = t * (1 - 1 / (4 * freedom)) / math.sqrt(1 + t * t / (2 * freedom))
        return math.erfc(-normal / math.sqrt(2)) / 2
    tail = _tail(abs(t), freedom)
    return tail if t < 0 else 1 - tail


@lru_cache(maxsize=4096)
def quantile(chance: float, freedom: float) -> float:
    """The ``t`` below which an outcome falls with this chance: Newton's steps, kept between ends that close in.

    Raises:
        ValueError: for a chance that is not between 0 and 1, or no degrees of freedom.
    """
    if not 0 < chance < 1:
        raise ValueError(f"a chance of {chance}")
    if chance > 0.5:
        return -quantile(1 - chance, freedom)
    low, high = -1.0, 0.0
    while below(low, freedom) > chance:
        low, high = 2 * low, low
    t = (low + high) / 2
    for _ in range(200):
        missed = below(t, freedom) - chance
        low, high = (low, t) if missed > 0 else (t, high)
        step = missed / density(t, freedom)
        nearer = t - step
        if not low < nearer < high:
            nearer = (low + high) / 2
        if abs(nearer - t) <= 1e-15 * abs(t) or nearer in (low, high):
            return nearer
        t = nearer
    return t


def _log_scale(freedom: float) -> float:
    """``log(Gamma((f + 1) / 2) / (Gamma(f / 2) sqrt(f pi)))``."""
    return _log_gamma_ratio(freedom / 2) - math.log(freedom * math.pi) / 2


def _log_gamma_ratio(a: float) -> float:
    """``log(Gamma(a + 1/2) / Gamma(a))``; for large ``a`` by its asymptotic series (DLMF 5.11.13), which loses no digits."""
    if a < MANY:
        return math.lgamma(a + 0.5) - math.lgamma(a)
    series = (1 / (8 * a)) * (-1 + 1 / a**2 * (1 / 24 - 1 / a**2 * (1 / 80 - 17 / (1792 * a**2))))
    return math.log(a) / 2 + series


def _tail(t: float, freedom: float) -> float:
    """The chance of falling beyond a ``t`` that is not negative."""
    a, b = freedom / 2, 0.5
    square = t * t
    if square == 0:
        return 0.5
    x, rest = freedom / (freedom + square), square / (freedom + square)
    front = math.exp(
        _log_gamma_ratio(a) - math.lgamma(b) - a * math.log1p(square / freedom) + b * math.log(rest)
    )
    if x < (a + 1) / (a + b + 2):
        return front * _fraction(a, b, x) / a / 2
    return 0.5 - front * _fraction(b, a, rest) / b / 2


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of the incomplete beta function, from its front to where it no longer changes."""
    upper, lower = 1.0, 1 / _kept(1 - (a + b) * x / (a + 1))
    whole = lower
    for m in range(1, 10_000):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            lower = 1 / _kept(1 + term * lower)
            upper = _kept(1 + term / upper)
            whole *= lower * upper
        if abs(lower * upper - 1) < 1e-16:
            break
    return whole


def _kept(value: float) -> float:
    """Away from zero, so that it can be divided by."""
    return value if abs(value) > _SMALLEST else _SMALLEST
