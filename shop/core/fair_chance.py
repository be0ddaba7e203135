"""What a fair may bring: how many rugs are sold, and the range of the profit, from the chance of each rug's sale.

Rugs are sold independently of each other on a day of one kind. The number sold is then Poisson-binomial, found by the exact
recursion over the rugs; the profit is the sum of what each sold rug leaves, less the fair's cost, found by convolution,
cell by cell in smallest coins while there are not too many of them:

    mean     = sum of chance x contribution - cost
    variance = sum of chance x (1 - chance) x contribution^2

A wet day is bad for all rugs at once. So there may be several kinds of day, each with its weight, and with a factor on all
chances; what is found for each kind is mixed by weight, and the range grows wider as it should.

Draws (``simulated_profit``) tell the same another way; they are there to be held against.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, islice
from typing import Final

import numpy as np

from shop.core.chance import DRAWS, chance_from
from shop.core.errors import NotPossible, Problem
from shop.core.money import Money
from shop.core.profit_range import ProfitRange, range_of

MOST_CELLS: Final = 2**18
"""Cells of a convolution: 2,600.00 in smallest coins. Beyond it a cell is wider than the common measure of what rugs leave."""


@dataclass(frozen=True, slots=True)
class KindOfDay:
    """A kind of day: how likely it is among others, and what it makes of every chance (held at a certain sale)."""

    weight: float
    times: float = 1.0


ONE_KIND: Final = (KindOfDay(1.0),)
"""All days are alike: rugs are sold independently."""
WET_TO_FINE: Final = (KindOfDay(1, 0.5), KindOfDay(2, 1.0), KindOfDay(1, 1.5))
"""A quarter of days sells half, a quarter half as much again: a starting guess. The mean stays."""


@dataclass(frozen=True, slots=True)
class Hope:
    """A rug on the table.

    Attributes:
        chance: of its sale at the fair.
        leaves: towards the fair's cost when it is sold; may be less than nothing.

    Raises:
        NotPossible: ``fair.chance`` outside nothing to certain.
    """

    chance: float
    leaves: Money

    def __post_init__(self) -> None:
        if not 0 <= self.chance <= 1:
            raise NotPossible(Problem("fair.chance", "chance", {"share": self.chance}))


def _kinds(days: Sequence[KindOfDay]) -> list[tuple[float, float]]:
    """Weights that sum to one, with their factors."""
    everything = math.fsum(day.weight for day in days)
    if not everything > 0 or any(day.weight < 0 or not day.times >= 0 for day in days):
        raise NotPossible(Problem("fair.days_kinds", "days"))
    return [(day.weight / everything, day.times) for day in days if day.weight]


def number_sold(chances: Sequence[float], days: Sequence[KindOfDay] = ONE_KIND) -> tuple[float, ...]:
    """The chance that none, one, two and so on up to all rugs are sold.

    The Poisson-binomial distribution by recursion over the rugs: ``P(k of n) = P(k of n-1) (1 - p) + P(k-1 of n-1) p``.
    """
    mixed = np.zeros(len(chances) + 1)
    for weight, times in _kinds(days):
        sold = np.zeros(len(chances) + 1)
        sold[0] = 1.0
        for chance in chances:
            p = min(1.0, chance * times)
            sold[1:] = sold[1:] * (1 - p) + sold[:-1] * p
            sold[0] *= 1 - p
        mixed += weight * sold
    return tuple(map(float, mixed))


def profit_mean_and_variance(
    hopes: Sequence[Hope], cost: Money, days: Sequence[KindOfDay] = ONE_KIND
) -> tuple[float, float]:
    """Mean of the profit in smallest coins, and its variance in their squares, in closed form.

    With several kinds of day the variance is the mean of theirs and the variance of their means.
    """
    kinds = []
    for weight, times in _kinds(days):
        chances = [min(1.0, hope.chance * times) for hope in hopes]
        mean = math.fsum(p * hope.leaves.minor for p, hope in zip(chances, hopes, strict=True))
        spread = math.fsum(p * (1 - p) * hope.leaves.minor**2 for p, hope in zip(chances, hopes, strict=True))
        kinds.append((weight, mean, spread))
    mean = math.fsum(weight * each for weight, each, _ in kinds)
    variance = math.fsum(weight * (spread + (each - mean) ** 2) for weight, each, spread in kinds)
    return mean - cost.minor, variance


def profit(hopes: Sequence[Hope], cost: Money, days: Sequence[KindOfDay] = ONE_KIND) -> ProfitRange:
    """The range of the profit, by convolution.

    Exact in smallest coins while what all rugs leave together is at most 2^18 of them, or of their greatest common measure.
    Beyond that, what a rug leaves is shared between the two nearest cells so that its mean stays.

    Args:
        hopes: the rugs on the table.
        cost: of the fair, sold or not.
        days: kinds of day.

    Raises:
        NotPossible: ``fair.days_kinds`` for kinds of day without weight; ``money.mixed``.
    """
    amounts = [(hope.leaves + Money.zero(cost.currency)).minor for hope in hopes]
    width = max(1, math.gcd(*amounts))
    reach = sum(map(abs, amounts))
    if reach // width > MOST_CELLS:
        width = reach // MOST_CELLS + 1
    mixed = np.add.reduce(
        [
            weight * _convolved([min(1.0, hope.chance * times) for hope in hopes], amounts, width)
            for weight, times in _kinds(days)
        ]
    )
    lowest = sum(_parts(amount, width)[0] for amount in amounts if amount < 0)
    reached = (lowest + np.arange(len(mixed), dtype=np.int64)) * width - cost.minor
    return range_of(reached, mixed, Money(width, cost.currency))


def _parts(amount: int, width: int) -> tuple[int, float]:
    """An amount as the cell below it, and the share that belongs to the next one."""
    cell, rest = divmod(amount, width)
    return cell, rest / width


def _convolved(chances: Sequence[float], amounts: Sequence[int], width: int) -> np.ndarray:
    """The chance of each cell, from the one where all that lose money are sold, and none else."""
    cells = np.ones(1)
    for p, amount in zip(chances, amounts, strict=True):
        cell, over = _parts(amount, width)
        first = min(cell, 0)
        outcomes = [(-first, 1 - p), (cell - first, p * (1 - over))]
        if over:
            outcomes.append((cell - first + 1, p * over))
        longer = np.zeros(len(cells) + max(shift for shift, _ in outcomes))
        for shift, share in outcomes:
            longer[shift : shift + len(cells)] += share * cells
        cells = longer
    return cells


def what_to_bring(
    hopes: Sequence[Hope], cost: Money, *, sure: float, days: Sequence[KindOfDay] = ONE_KIND
) -> tuple[int, ...] | None:
    """The fewest rugs with which the chance of no loss is at least as large as wanted; ``None`` where all are too few.

    Those that may be expected to leave most (chance x contribution) are taken first, and those that leave nothing stay at
    home. Each more makes no outcome worse, so the chance only grows.

    Args:
        hopes: the rugs there are.
        cost: of the fair, sold or not.
        sure: the chance wanted.
        days: kinds of day.

    Returns:
        Their places among ``hopes``, in the order in which they are taken.

    Raises:
        NotPossible: as ``profit``.
    """
    order = sorted(range(len(hopes)), key=lambda at: -hopes[at].chance * hopes[at].leaves.minor)
    order = [at for at in order if hopes[at].chance > 0 and hopes[at].leaves.minor > 0]

    def enough(count: int) -> bool:
        return profit([hopes[at] for at in order[:count]], cost, days).even >= sure

    count = bisect_left(range(len(order) + 1), True, key=enough)  # noqa: FBT003 - what is looked for
    return tuple(order[:count]) if count <= len(order) else None


def simulated_profit(
    hopes: Sequence[Hope], cost: Money, *, draws: int, seed: int, days: Sequence[KindOfDay] = ONE_KIND
) -> ProfitRange:
    """The same by drawing fairs; a seed always gives the same ones.

    Args:
        hopes: the rugs on the table.
        cost: of the fair, sold or not.
        draws: fairs to draw, at least one.
        seed: any whole number.
        days: kinds of day.

    Raises:
        NotPossible: as ``profit``; ``fair.draws`` for none.
    """
    if draws < 1:
        raise NotPossible(Problem("fair.draws", "draws"))
    kinds = _kinds(days)
    chance = chance_from(seed)
    found: Counter[int] = Counter()
    for _ in range(draws):
        times = _drawn(kinds, next(chance))
        drawn = zip(hopes, islice(chance, len(hopes)), strict=True)
        sold = sum(hope.leaves.minor for hope, draw in drawn if draw < min(1.0, hope.chance * times) * DRAWS)
        found[sold - cost.minor] += 1
    reached = np.array(sorted(found), dtype=np.int64)
    shares = np.array([found[int(amount)] / draws for amount in reached])
    return range_of(reached, shares, Money(1, cost.currency))


def _drawn(kinds: Sequence[tuple[float, float]], draw: int) -> float:
    """The factor of the kind of day that a draw hits."""
    up_to = accumulate(weight for weight, _ in kinds)
    hit = (times for (_, times), end in zip(kinds, up_to, strict=True) if draw < end * DRAWS)
    return next(hit, kinds[-1][1])
