"""The range of a profit: its middle, the ends between which 8 of 10 fairs lie, the chance of no loss, and a picture."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from shop.core.money import Money, decimals_of, exact

MOST_BARS: Final = 24
"""Bars of a picture."""
LOW: Final = 0.1
HIGH: Final = 0.9
TAIL: Final = 0.001
"""What lies beyond either end of a picture is told in its last bar."""
HARDLY: Final = 1e-12
"""A chance that is the rounding of others."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of a picture: the chance of a profit from ``least`` up to, but not, ``below``."""

    least: Money
    below: Money
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfitRange:
    """The range of a profit.

    Attributes:
        mean: over many fairs.
        deviation: standard deviation.
        low: one fair in ten brings less.
        middle: half of all fairs bring at least this.
        high: one fair in ten brings more.
        even: the chance that nothing is lost.
        bars: a picture of it; one begins at nothing. Their chances sum to one.
        step: how finely it was reckoned.
    """

    mean: Money
    deviation: Money
    low: Money
    middle: Money
    high: Money
    even: float
    bars: tuple[Bar, ...]
    step: Money


def range_of(amounts: np.ndarray, chances: np.ndarray, step: Money) -> ProfitRange:
    """The range of a profit from its distribution.

    Args:
        amounts: rising, in smallest coins.
        chances: of each, summing to one.
        step: how finely it was reckoned.
    """
    currency = step.currency
    below = np.cumsum(chances)

    def end(share: float) -> Money:
        """The smallest amount that as large a share of fairs does not go beyond."""
        place = int(np.searchsorted(below, share - HARDLY))
        return Money(int(amounts[min(place, len(amounts) - 1)]), currency)

    def rounded(minor: float) -> Money:
        return Money.rounded(exact(minor).scaleb(-decimals_of(currency)), currency)

    mean = float(chances @ amounts)
    return ProfitRange(
        mean=rounded(mean),
        deviation=rounded(math.sqrt(max(0.0, float(chances @ (amounts - mean) ** 2)))),
        low=end(LOW),
        middle=end(0.5),
        high=end(HIGH),
        even=min(1.0, float(chances[amounts >= 0].sum())),
        bars=_bars(chances, amounts, end(TAIL).minor, end(1 - TAIL).minor, currency),
        step=step,
    )


def _bars(
    chances: np.ndarray, amounts: np.ndarray, first: int, last: int, currency: str
) -> tuple[Bar, ...]:
    """Bars of a round width (1, 2 or 5 and noughts), one of which begins at nothing."""
    width = next(
        width
        for digits in range(20)
        for width in (10**digits, 2 * 10**digits, 5 * 10**digits)
        if last // width - first // width < MOST_BARS
    )
    lowest = first // width
    count = last // width - lowest + 1
    places = np.clip(amounts // width - lowest, 0, count - 1)
    heights = np.bincount(places, weights=chances, minlength=count)
    return tuple(
        Bar(Money((lowest + at) * width, currency), Money((lowest + at + 1) * width, currency), float(height))
        for at, height in enumerate(heights)
    )
