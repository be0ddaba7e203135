"""Chance that a number decides: the same draws on every machine and in every year."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

DRAWS: Final = 2**64
"""Each draw is a whole number from 0 up to, and without, this."""
_MASK: Final = DRAWS - 1


def chance_from(seed: int) -> Iterator[int]:
    """Whole numbers below 2^64, without end, that a seed decides.

    SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
    """
    state = seed & _MASK
    while True:
        state = (state + 0x9E3779B97F4A7C15) & _MASK
        mixed = ((state ^ (state >> 30)) * 0xBF58476D1CE4E5B9) & _MASK
        mixed = ((mixed ^ (mixed >> 27)) * 0x94D049BB133111EB) & _MASK
        yield mixed ^ (mixed >> 31)
