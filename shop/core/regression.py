"""Fitting a line, or several parts at once, with what was thought before: conjugate normal linear regression.

    y of a row ~ normal(x . b, variance / weight),    b ~ normal(prior mean, variance x prior precision^-1),
    variance ~ inverse gamma(shape, rate)

Seen through the rows, ``b`` and the variance are of the same form again (P. D. Hoff, A First Course in Bayesian Statistical
Methods, 2009, s. 5.3 and 9.2; A. Gelman and others, Bayesian Data Analysis, 3rd ed., s. 14.8), and the next outcome is
Student's t. With a flat prior it is the method of least squares, its standard errors and its prediction bands.

The prior is put above the rows as rows of its own, and all of them are brought into a triangle by orthogonal turns (QR),
which squares no condition number. Then the fit is refined with residuals that are rounded once only (Å. Björck, "Iterative
refinement of linear least squares solutions", BIT 7, 1967), so that even columns that hardly differ give up their digits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from shop.core.spread import EIGHT_OF_TEN
from shop.core.student import quantile

Floats = NDArray[np.float64]
REFINEMENTS: Final = 4
TOO_FEW: Final = "too few rows, or rows too much alike"
_SPLIT: Final = 134217729.0
"""2^27 + 1: splits a number into two halves whose products are exact (T. J. Dekker, 1971)."""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is thought before any row is seen.

    Attributes:
        mean: of each coefficient.
        precision: a symmetric matrix, by rows, in units of one over the variance of a row; zeros where nothing is thought.
        shape, rate: of the inverse gamma distribution of that variance; ``rate / shape`` is about what it is thought to be.
    """

    mean: tuple[float, ...]
    precision: tuple[tuple[float, ...], ...]
    shape: float
    rate: float

    @classmethod
    def flat(cls, coefficients: int) -> Prior:
        """Nothing is thought: least squares, with ``rows - coefficients`` degrees of freedom."""
        nothing = (0.0,) * coefficients
        return cls(nothing, (nothing,) * coefficients, -coefficients / 2, 0.0)


@dataclass(frozen=True, slots=True)
class Band:
    """An outcome to come: Student's t about a middle.

    Attributes:
        middle: as likely to be above as below.
        scale: what a unit of Student's t is.
        freedom: degrees of freedom; infinite where the variance is known.
    """

    middle: float
    scale: float
    freedom: float

    def ends(self, share: float = 0.8) -> tuple[float, float]:
        """The ends between which this share of outcomes falls."""
        if math.isinf(self.freedom):
            out = EIGHT_OF_TEN if share == 0.8 else quantile((1 + share) / 2, 1e12)
        else:
            out = quantile((1 + share) / 2, self.freedom)
        return self.middle - out * self.scale, self.middle + out * self.scale


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """What is thought after the rows.

    Attributes:
        middle: of each coefficient.
        root: an upper triangle whose square, ``root^T root``, is the precision in units of one over the variance.
        shape, rate: of the variance of a row.
        known: the variance of a row where it was known beforehand; else ``None``.
    """

    middle: tuple[float, ...]
    root: Floats
    shape: float
    rate: float
    known: float | None = None

    @property
    def freedom(self) -> float:
        """Degrees of freedom of Student's t."""
        return math.inf if self.known is not None else 2 * self.shape

    @property
    def variance(self) -> float:
        """Of a row: known, or ``rate / shape``, which with a flat prior is the residual sum of squares over its freedom."""
        return self.known if self.known is not None else self.rate / self.shape

    @property
    def covariance(self) -> Floats:
        """Of the coefficients, as squares of Student's scale."""
        inverse = np.linalg.inv(self.root)
        found: Floats = inverse @ inverse.T * self.variance
        return found

    @property
    def errors(self) -> tuple[float, ...]:
        """Standard error of each coefficient."""
        return tuple(math.sqrt(each) for each in np.diag(self.covariance).tolist())

    def at(self, row: Sequence[float]) -> Band:
        """Where the line itself lies at a row."""
        return self._band(row, 0.0)

    def outcome(self, row: Sequence[float], weight: float = 1.0) -> Band:
        """Where the next outcome at a row falls."""
        return self._band(row, 1 / weight)

    def _band(self, row: Sequence[float], own: float) -> Band:
        middle = math.fsum(x * b for x, b in zip(row, self.middle, strict=True))
        turned = np.linalg.solve(self.root.T, np.array(row, dtype=float))
        scale = math.sqrt(self.variance * (own + float(turned @ turned)))
        return Band(middle, scale, self.freedom)


def fitted(
    rows: Sequence[Sequence[float]],
    outcomes: Sequence[float],
    *,
    prior: Prior | None = None,
    weights: Sequence[float] | None = None,
    known: float | None = None,
) -> Fitted:
    """The coefficients after these rows.

    Args:
        rows: x of each row; a column of ones where the line need not go through nothing.
        outcomes: y of each row.
        prior: what was thought before; flat by default.
        weights: of each row, one by default: its variance is so many times smaller.
        known: the variance of a row of weight one, where it is known.

    Raises:
        ValueError: where rows and prior together do not settle every coefficient, or leave nothing to tell the variance by.
    """
    x = np.array(rows, dtype=float).reshape(len(outcomes), -1)
    y = np.array(outcomes, dtype=float)
    if prior is None:
        prior = Prior.flat(x.shape[1])
    if weights is not None:
        each = np.sqrt(np.array(weights, dtype=float))
        x, y = x * each[:, None], y * each
    above, beside = _as_rows(prior)
    x, y = np.vstack([above, x]), np.concatenate([beside, y])
    if x.shape[0] < x.shape[1]:
        raise ValueError(TOO_FEW)
    turned, root = np.linalg.qr(x)
    across = np.abs(np.diag(root))
    length = np.sqrt((x * x).sum(axis=0))
    if not (across > 1e-13 * length).all():
        raise ValueError(TOO_FEW)
    middle, left = _refined(x, y, turned, root)
    shape = prior.shape + len(outcomes) / 2
    if known is None and not shape > 0:
        raise ValueError(TOO_FEW)
    rate = prior.rate + math.fsum((left * left).tolist()) / 2
    return Fitted(tuple(middle.tolist()), root, shape, rate, known)


def _as_rows(prior: Prior) -> tuple[Floats, Floats]:
    """The prior as rows of variance one: a root of its precision, and what that makes of its mean."""
    values, vectors = np.linalg.eigh(np.array(prior.precision, dtype=float))
    kept = values > 0
    root: Floats = np.sqrt(values[kept])[:, None] * vectors[:, kept].T
    beside: Floats = root @ np.array(prior.mean, dtype=float)
    return root, beside


def _refined(x: Floats, y: Floats, turned: Floats, root: Floats) -> tuple[Floats, Floats]:
    """Coefficients and residuals. Both are kept in the two equations ``r + x b = y`` and ``x^T r = 0``, and mended together."""
    b = np.linalg.solve(root, turned.T @ y).astype(np.float64)
    r: Floats = y - x @ b
    for _ in range(REFINEMENTS):
        missed = _exactly(np.column_stack([x, r, -y]), np.concatenate([b, [1.0, 1.0]]))
        across = _exactly(x.T, r)
        inner = turned.T @ missed
        lifted = np.linalg.solve(root.T, across)
        r -= (missed - turned @ inner) + turned @ lifted
        b -= np.linalg.solve(root, inner - lifted)
    return b, r


def _exactly(matrix: Floats, vector: Floats) -> Floats:
    """``matrix @ vector``, each sum rounded once: products are split into two parts without error (Dekker, 1971)."""
    product = matrix * vector
    high, low = _halves(matrix)
    other_high, other_low = _halves(vector)
    error = ((high * other_high - product) + high * other_low + low * other_high) + low * other_low
    return np.array([math.fsum((*one, *other)) for one, other in zip(product.tolist(), error.tolist(), strict=True)])


def _halves(values: Floats) -> tuple[Floats, Floats]:
    large = _SPLIT * values
    high = large - (large - values)
    return high, values - high
