"""How sure a figure is: estimates that are never negative, with the sources of their doubt.

An estimate is log-normal: a middle (its median) and, for each source of doubt, a standard deviation of
its logarithm. A source that enters two figures (how tightly a loom packs enters both the cloth and the
hours) moves both together, so a sum over them is not made to look surer than it is. Products are exact;
a sum is the log-normal with the same mean and variance (L. F. Fenton, "The sum of log-normal
probability distributions in scatter transmission systems", 1960; known as Fenton-Wilkinson).

``low`` and ``high`` are the ends between which 8 of 10 outcomes fall.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Final

EIGHT_OF_TEN: Final = 1.2815515655446004
"""The standard normal's 90 % point: 8 of 10 outcomes lie within so many standard deviations."""

Doubts = tuple[tuple[str, float], ...]


class Basis(Enum):
    """Where a number comes from."""

    MEASURED = "measured"
    """Counted, weighed or timed in this shop."""
    SETTING = "setting"
    """What the shop has set, or what was given for this rug."""
    GUESS = "guess"
    """A starting guess, until the shop's own record replaces it."""


SPREAD: Final[dict[Basis, float]] = {Basis.MEASURED: 0.05, Basis.SETTING: 0.10, Basis.GUESS: 0.20}
"""The log standard deviation that goes with each basis, where the number is one that varies."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure that is not known exactly.

    Attributes:
        middle: the median; as many outcomes lie above it as below. Not negative.
        doubts: (source, log standard deviation) pairs, sorted by source; a minus sign means that the
            figure falls when the source's number rises.
    """

    middle: float
    doubts: Doubts = ()

    @property
    def sigma(self) -> float:
        """Standard deviation of the logarithm, all sources together."""
        return math.sqrt(sum(s * s for _, s in self.doubts))

    @property
    def low(self) -> float:
        """One outcome in ten is below this."""
        return self.middle * math.exp(-EIGHT_OF_TEN * self.sigma)

    @property
    def high(self) -> float:
        """One outcome in ten is above this."""
        return self.middle * math.exp(EIGHT_OF_TEN * self.sigma)

    @property
    def mean(self) -> float:
        """The arithmetic mean, ``middle x exp(sigma^2 / 2)``."""
        return self.middle * math.exp(sum(s * s for _, s in self.doubts) / 2)

    @property
    def is_sure(self) -> bool:
        """Whether nothing about it is in doubt."""
        return not self.doubts

    def scaled(self, factor: float) -> Estimate:
        """So many times as much, the factor being known."""
        return Estimate(self.middle * factor, self.doubts)

    def times(self, other: Estimate) -> Estimate:
        """The product; exact for log-normals."""
        return Estimate(self.middle * other.middle, _joined(self.doubts, other.doubts, 1.0))

    def over(self, other: Estimate) -> Estimate:
        """The quotient; exact for log-normals."""
        return Estimate(self.middle / other.middle, _joined(self.doubts, other.doubts, -1.0))

    def at_middle(self, middle: float) -> Estimate:
        """The same doubts about another middle, as when rows are counted in whole numbers."""
        return Estimate(middle, self.doubts)


def sure(value: float) -> Estimate:
    """A figure that is known."""
    return Estimate(value)


def doubtful(value: float, source: str, sigma: float) -> Estimate:
    """A figure with one source of doubt; ``sigma`` is the log standard deviation."""
    return Estimate(value, ((source, sigma),) if sigma else ())


def _joined(one: Doubts, other: Doubts, sign: float) -> Doubts:
    if not other:
        return one
    if not one and sign > 0:
        return other
    by_source = dict(one)
    for source, sigma in other:
        by_source[source] = by_source.get(source, 0.0) + sign * sigma
    return tuple(sorted((source, s) for source, s in by_source.items() if s))


def add(estimates: Iterable[Estimate]) -> Estimate:
    """The sum, as the log-normal that has the sum's own mean and variance (Fenton-Wilkinson).

    Sources shared between the parts move together; others are independent.
    """
    parts = [part for part in estimates if part.middle > 0]
    if not parts:
        return Estimate(0.0)
    if not any(part.doubts for part in parts):
        return Estimate(math.fsum(part.middle for part in parts))
    means = [part.mean for part in parts]
    mean = math.fsum(means)
    variance = 0.0
    doubts = [dict(part.doubts) for part in parts]
    for i, one in enumerate(doubts):
        for j, other in enumerate(doubts[: i + 1]):
            shared = sum(s * other[source] for source, s in one.items() if source in other)
            variance += (1 if i == j else 2) * means[i] * means[j] * math.expm1(shared)
    log_variance = math.log1p(max(0.0, variance) / (mean * mean))
    weighted: dict[str, float] = {}
    for part_mean, one in zip(means, doubts, strict=True):
        for source, s in one.items():
            weighted[source] = weighted.get(source, 0.0) + part_mean / mean * s
    length = math.sqrt(sum(s * s for s in weighted.values()))
    scale = math.sqrt(log_variance) / length if length else 0.0
    combined = tuple(sorted((source, s * scale) for source, s in weighted.items() if s * scale))
    return Estimate(mean * math.exp(-log_variance / 2), combined)
