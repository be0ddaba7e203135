"""Will it reach? Half way up a rug: whether the strip that is left is enough for the rows that are left.

How much strip a row takes is known beforehand only as an estimate, the prior, with its sources of doubt; what the rug has
taken so far is evidence. Both are joined on the logarithm, where they are normal: the rates of all the cloths of a rug share
what doubts they share (how loosely the weft lies), and each has something of its own. A cloth that has been woven tells
about one that has not.

    log rate of each cloth ~ normal(log of the estimate, shared and own variances)
    strip used so far, cut less left ~ rate x rows so far, with the error of measuring and of single rows

The joint normal is brought up to date in closed form (a linear Gaussian model; R. E. Kalman, 1960).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np

from shop.core.errors import NotPossible, Problem
from shop.core.spread import EIGHT_OF_TEN, Estimate

HARDLY: Final = 1e-3
"""Rows that are none."""
OWN: Final = 0.05
"""What one cloth's rate differs from another's on the same rug, beyond what their weights explain (log standard deviation)."""
OF_A_ROW: Final = 0.08
"""What one row takes more or less than the next (log standard deviation)."""
OF_THE_CUT: Final = 0.02
"""How far the strip that was cut may be from what it was reckoned to be."""


class Measured(Enum):
    """How the strip that is left was measured."""

    LENGTH = "length"
    WEIGHT = "weight"
    BOBBINS = "bobbins"


ERROR: Final[dict[Measured, float]] = {Measured.LENGTH: 0.02, Measured.WEIGHT: 0.03, Measured.BOBBINS: 0.08}
"""How far off a measurement is (log standard deviation): starting guesses."""


class Verdict(Enum):
    """What is said of a cloth."""

    REACHES = "reaches"
    CLOSE = "close"
    """It may or may not: look again later."""
    SHORT = "short"


SURE: Final = 0.9
"""The chance from which a cloth is said to reach."""
DOUBTED: Final = 0.35
"""The chance below which it is said not to, at the very end; while there is time to look again, the less the earlier."""
PATIENCE: Final = 4
"""The power of what is woven by which that chance grows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothOnLoom:
    """A cloth of the rug that is on the loom.

    Attributes:
        rate: metres of strip that a row of it takes, joins with it.
        rows: of it in the whole rug; ``done`` of them are woven. Parts of a row are allowed, as when only a length is known.
        cut: metres of strip that were cut for its rows; ``None`` when nobody knows, and then what is left says nothing about
            what a row took.
        left: metres of strip that are left.
        measured: how that was measured.
    """

    rate: Estimate
    rows: float
    done: float
    cut: float | None
    left: float
    measured: Measured = Measured.LENGTH


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What is said of one cloth.

    Attributes:
        chance: that it reaches.
        verdict: the same in a word.
        needed: metres of strip that the rest of its rows take.
        rate: metres a row, as is thought now.
        rows_short: rows of it to leave out so that it reaches in nine rugs of ten; 0 where it does.
        short: metres of strip to find so that it reaches in nine rugs of ten; 0 where it does.
        looser: the share of strip a row that would have to be saved on the rows left; 0 where it reaches.
    """

    chance: float
    verdict: Verdict
    needed: Estimate
    rate: Estimate
    rows_short: int
    short: float
    looser: float


def reach(cloths: Sequence[ClothOnLoom]) -> tuple[Reach, ...]:
    """Whether the strip of each cloth reaches.

    Raises:
        NotPossible: ``reach.done`` for more rows done than there are, ``reach.left`` for more strip left than was cut.
    """
    for place, one in enumerate(cloths):
        if one.done > one.rows + 1e-6:
            raise NotPossible(Problem("reach.done", f"left.{place}"))
        if one.cut is not None and one.left > one.cut * math.exp(3 * ERROR[one.measured]):
            raise NotPossible(Problem("reach.left", f"left.{place}"))
    mean, variance = _joined(cloths)
    return tuple(_said(one, float(mean[at]), float(variance[at, at])) for at, one in enumerate(cloths))


def _joined(cloths: Sequence[ClothOnLoom]) -> tuple[np.ndarray, np.ndarray]:
    """The logarithms of the rates after what was seen: their mean, and their covariance."""
    count = len(cloths)
    mean = np.array([math.log(one.rate.middle) for one in cloths])
    doubts = [dict(one.rate.doubts) for one in cloths]
    variance = np.empty((count, count))
    for i, mine in enumerate(doubts):
        for j, other in enumerate(doubts):
            variance[i, j] = sum(sigma * other[source] for source, sigma in mine.items() if source in other)
        variance[i, i] += OWN**2
    for at, one in enumerate(cloths):
        seen = _seen(one)
        if seen is None:
            continue
        value, noise = seen
        gain = variance[:, at] / (variance[at, at] + noise)
        mean = mean + gain * (value - mean[at])
        variance = variance - np.outer(gain, variance[at, :])
    return mean, variance


def _seen(one: ClothOnLoom) -> tuple[float, float] | None:
    """The logarithm of what a row took so far, with the variance of its error; ``None`` where nothing can be seen.

    What was used is the difference of two measured lengths, so while little is used it is hardly known.
    """
    if one.cut is None or one.done < HARDLY:
        return None
    used = one.cut - one.left
    error = math.hypot(OF_THE_CUT * one.cut, ERROR[one.measured] * one.left)
    if used <= error:
        return None
    return math.log(used / one.done), (error / used) ** 2 + OF_A_ROW**2 / max(1.0, one.done)


def _said(one: ClothOnLoom, mean: float, variance: float) -> Reach:
    rate = Estimate(math.exp(mean), (("rate", math.sqrt(variance)),))
    rest = one.rows - one.done
    if rest <= 1e-9:
        return Reach(
            chance=1.0, verdict=Verdict.REACHES, needed=Estimate(0.0), rate=rate, rows_short=0, short=0.0, looser=0.0
        )
    needed = Estimate(rate.middle * rest, (("rate", math.sqrt(variance + OF_A_ROW**2 / max(1.0, rest))),))
    doubt = math.hypot(needed.sigma, ERROR[one.measured])
    times = one.left / needed.middle
    chance = _below(math.log(times) / doubt) if times > 0 else 0.0
    verdict = Verdict.REACHES if chance >= SURE else Verdict.SHORT if chance <= DOUBTED * (one.done / one.rows) ** PATIENCE else Verdict.CLOSE
    wanted = needed.middle * math.exp(EIGHT_OF_TEN * doubt)
    enough_for = rest * one.left / wanted
    return Reach(
        chance=chance,
        verdict=verdict,
        needed=needed,
        rate=rate,
        rows_short=max(0, math.ceil(rest - enough_for - 1e-9)) if chance < SURE else 0,
        short=max(0.0, wanted - one.left) if chance < SURE else 0.0,
        looser=max(0.0, 1 - one.left / wanted) if chance < SURE else 0.0,
    )


def _below(z: float) -> float:
    """The chance that a standard normal is below ``z``."""
    return 0.5 * math.erfc(-z / math.sqrt(2))
