"""A number of the trade as a logarithm over its starting guess, and back: how many times as much it came to.

Learned so, nothing can come out negative, and a rug that took a fifth more counts for as much as one that took a sixth less.
"""

from __future__ import annotations

import math

import numpy as np

from shop.core.evidence import Guess, What
from shop.core.pooling import Floats


def straightened(guess: Guess, line: tuple[float, float], size: Floats) -> tuple[Floats, Floats]:
    """The line ``log(fixed e^p + growing e^q)`` over the guess at some sizes: how it leans on p and q, and its own bend.

    Returns:
        two columns that add up to 1 in each row, and what must be added to ``columns . (p, q)`` to give the line itself.
    """
    fixed, growing = guess.fixed * math.exp(line[0]), guess.growing * math.exp(line[1]) * size
    part = fixed / (fixed + growing)
    lean = np.column_stack([part, 1 - part])
    over = np.log((fixed + growing) / (guess.fixed + guess.growing * size))
    return lean, over - (lean[:, 0] * line[0] + lean[:, 1] * line[1])


def over_guess(what: What, value: Floats, guess: Floats) -> Floats:
    """The logarithm that is learned: of a value over its guess; of a share, of what it makes of the whole."""
    return np.log1p(-guess) - np.log1p(-value) if what.is_share else np.log(value / guess)


def values(what: What, guess: Guess, size: Floats, over: Floats) -> list[float]:
    """Back from logarithms over the guess to values."""
    start = guess.fixed + guess.growing * size
    found: list[float] = (1 - (1 - start) * np.exp(-over) if what.is_share else start * np.exp(over)).tolist()
    return found
