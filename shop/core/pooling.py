"""Partial pooling: a cloth starts from its kind, a kind from its loom, a loom from the starting guess.

Logarithms of what was seen, over the starting guess, are a regression of which most columns stand for a single cloth or kind:

    y = x . loom + kind + cloth + rug,    loom ~ N(0, v L),  kind ~ N(0, v K),  cloth ~ N(0, v C),  rug ~ N(0, v / weight)

and v, the variance of a rug, is inverse gamma: the conjugate model of ``regression``. Columns that stand for one cloth only
can be taken out one by one in closed form, then those of the kinds, which leaves the two of the loom; so ten thousand rugs
cost hardly more than reading them (D. V. Lindley and A. F. M. Smith, "Bayes estimates for the linear model", JRSS B 34, 1972).

How unlike looms, kinds and cloths are beside rugs (L, K and C) is not known either. Every pair of a few sizes is tried and
counts by its evidence, the chance that it gave to what was seen (Gelman and others, Bayesian Data Analysis, 3rd ed., s. 5.3).
All sums run in the order of the records, so that the same records always give the same bits.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]

LOOMS: Final = (1.5, 6.0)
KINDS: Final = (0.3, 0.8, 1.6, 3.0)
CLOTHS: Final = (0.3, 0.8, 1.6)
"""How far looms, kinds and cloths stray, in standard deviations of a rug."""
ALIKE: Final = 0.6
"""How alike the two parts of a loom's line are thought to be: a weaver who is slow is slow in both (correlation)."""


@dataclass(frozen=True, slots=True, eq=False)
class Sizes:
    """What is tried: variances of loom, kind and cloth in units of a rug's, one of each in every place."""

    loom: Floats
    kind: Floats
    cloth: Floats

    def only(self, place: int) -> Sizes:
        """One of them."""
        return Sizes(*(each[place : place + 1] for each in (self.loom, self.kind, self.cloth)))


def sizes(*, of_cloth: bool) -> Sizes:
    """All that is tried; a number in which cloths do not differ has looms and rugs only."""
    tried = [*product(LOOMS, KINDS, CLOTHS)] if of_cloth else [(loom, 0.0, 0.0) for loom in LOOMS]
    return Sizes(*(np.square(np.array(column)) for column in zip(*tried, strict=True)))


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """Records of one number on one loom, as columns; in the order of kinds, then cloths.

    Attributes:
        cloth: which cloth each record is of, counted from 0.
        kind: which kind each cloth is of, counted from 0, never falling.
        cloths, kinds: how many there are.
    """

    cloth: Whole
    kind: Whole
    cloths: int
    kinds: int


@dataclass(frozen=True, slots=True, eq=False)
class Pooled:
    """What is thought after the records, for every size that was tried (along the first axis).

    Attributes:
        sizes: what was tried.
        share: how much each counts; they add up to 1.
        loom: the two coefficients of the loom.
        inverse: the inverse of their precision, as its three numbers.
        shape, rate: of the variance of a rug.
        cloth_sums: of each cloth: weights, and weighted sums of x and y.
        kind_sums: of each kind likewise, its cloths taken out.
    """

    sizes: Sizes
    share: Floats
    loom: tuple[Floats, Floats]
    inverse: tuple[Floats, Floats, Floats]
    shape: float
    rate: Floats
    cloth_sums: Floats
    kind_sums: Floats

    def best(self) -> int:
        """The place of the sizes that count most."""
        return int(np.argmax(self.share))

    def only(self, place: int) -> Pooled:
        """The same for one of the sizes that were tried."""
        here = slice(place, place + 1)
        (first, second), (one, mixed, other) = self.loom, self.inverse
        return Pooled(
            sizes=self.sizes.only(place),
            share=np.ones(1),
            loom=(first[here], second[here]),
            inverse=(one[here], mixed[here], other[here]),
            shape=self.shape,
            rate=self.rate[here],
            cloth_sums=self.cloth_sums,
            kind_sums=self.kind_sums[here],
        )

    def at(self, x: Floats, cloth: Floats, kind: Floats) -> tuple[Floats, Floats]:
        """The middle at some rows, and its variance in units of a rug's, for each size.

        Args:
            x: the loom's part of each row, two columns.
            cloth: sums of each row's cloth (its place in ``cloth_sums``), zeros for a new one.
            kind: sums of each row's kind for each size, zeros for a new one.
        """
        own = self.sizes.cloth[:, None]
        rest = 1 / (1 + own * cloth[None, :, 0])
        by_cloth = own * rest
        by_kind = rest * self.sizes.kind[:, None] / (1 + self.sizes.kind[:, None] * kind[:, :, 0])
        left = [x[None, :, i] - by_cloth * cloth[None, :, 1 + i] - by_kind * kind[:, :, 1 + i] for i in (0, 1)]
        first, mixed, second = (each[:, None] for each in self.inverse)
        middle = left[0] * self.loom[0][:, None] + left[1] * self.loom[1][:, None]
        middle += by_cloth * cloth[None, :, 3] + by_kind * kind[:, :, 3]
        variance = left[0] ** 2 * first + 2 * left[0] * left[1] * mixed + left[1] ** 2 * second
        variance += by_cloth + by_kind * rest
        return middle, variance


def pooled(seen: Seen, x: Floats, y: Floats, weights: Floats, counted: float, tried: Sizes, rug: tuple[float, float]) -> Pooled:
    """What is thought after the records.

    Args:
        seen: which cloth and kind each is of.
        x: the loom's part of each, two columns.
        y: logarithm of each over the starting guess.
        weights: how many whole rugs each is worth.
        counted: how many records they are, for the variance of a rug.
        tried: sizes.
        rug: shape and rate of the variance of a rug, beforehand.
    """
    z = (x[:, 0], x[:, 1], y)
    weighted = [weights, *(weights * each for each in z)]
    cloth_sums: Floats = np.column_stack([np.bincount(seen.cloth, each, seen.cloths) for each in weighted])
    starts = np.searchsorted(seen.kind, np.arange(seen.kinds))
    rest = 1 / (1 + tried.cloth[:, None] * cloth_sums[None, :, 0])
    kind_sums: Floats = np.stack(
        [np.add.reduceat(rest * cloth_sums[None, :, i], starts, axis=1) for i in range(4)], axis=2
    )
    by_cloth = tried.cloth[:, None] * rest
    by_kind = tried.kind[:, None] / (1 + tried.kind[:, None] * kind_sums[:, :, 0])

    def moment(i: int, j: int) -> Floats:
        """The sum of the products of two columns, cloths and kinds taken out."""
        found: Floats = (
            np.sum(weighted[1 + i] * z[j])
            - np.sum(by_cloth * (cloth_sums[:, 1 + i] * cloth_sums[:, 1 + j]), axis=1)
            - np.sum(by_kind * kind_sums[:, :, 1 + i] * kind_sums[:, :, 1 + j], axis=1)
        )
        return found

    unlike = tried.loom * (1 - ALIKE**2)
    first, second, mixed = moment(0, 0) + 1 / unlike, moment(1, 1) + 1 / unlike, moment(0, 1) - ALIKE / unlike
    toward = (moment(0, 2), moment(1, 2))
    spanned = first * second - mixed * mixed
    inverse = (second / spanned, -mixed / spanned, first / spanned)
    loom = (
        inverse[0] * toward[0] + inverse[1] * toward[1],
        inverse[1] * toward[0] + inverse[2] * toward[1],
    )
    shape = rug[0] + counted / 2
    explained = loom[0] * toward[0] + loom[1] * toward[1]
    rate = rug[1] + np.maximum(0.0, moment(2, 2) - explained) / 2
    evidence = -shape * np.log(rate) - (
        np.log(spanned * tried.loom * unlike)
        + np.sum(np.log1p(tried.cloth[:, None] * cloth_sums[None, :, 0]), axis=1)
        + np.sum(np.log1p(tried.kind[:, None] * kind_sums[:, :, 0]), axis=1)
    ) / 2
    chance = np.exp(evidence - np.max(evidence))
    share: Floats = chance / np.sum(chance)
    return Pooled(tried, share, loom, inverse, shape, rate, cloth_sums, kind_sums)
