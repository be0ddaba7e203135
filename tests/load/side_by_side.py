"""Timing things side by side: turn and turn about in one run, each told by its median.

A machine that is busy is busy for all of them alike, so the ratio of two medians says more than either.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Timed:
    """What one thing took: the median of its turns, in seconds, and the middle half of them."""

    median: float
    quickest_quarter: float
    slowest_quarter: float

    def __str__(self) -> str:
        """In milliseconds, or microseconds."""
        factor, unit = (1e3, "ms") if self.median >= 1e-3 else (1e6, "µs")
        ends = f"{self.quickest_quarter * factor:.2f} to {self.slowest_quarter * factor:.2f}"
        return f"{self.median * factor:.2f} {unit} (half of them {ends})"


def side_by_side(
    things: Mapping[str, Callable[[], object]],
    *,
    turns: int,
    warm: int = 3,
    often: Mapping[str, int] = MappingProxyType({}),
) -> dict[str, Timed]:
    """Time things turn and turn about.

    Args:
        things: what is timed, by name.
        turns: how often each has its turn.
        warm: turns before these, which do not count.
        often: how often a quick thing is done in one turn; once by default. On a busy machine a long turn is
            interrupted where a short one slips through, so turns should be about as long as one another.

    Returns:
        by name, what doing it once took.

    The garbage collector stays on, as it does where these things really run; it starts from a clean floor.
    """
    taken: dict[str, list[float]] = {name: [] for name in things}
    gc.collect()
    for turn in range(warm + turns):
        for name, thing in things.items():
            times = often.get(name, 1)
            start = perf_counter()
            for _ in range(times):
                thing()
            stop = perf_counter()
            if turn >= warm:
                taken[name].append((stop - start) / times)
    return {name: _timed(sorted(seconds)) for name, seconds in taken.items()}


def _timed(seconds: list[float]) -> Timed:
    return Timed(median(seconds), seconds[len(seconds) // 4], seconds[-1 - len(seconds) // 4])


def say_ratio(what: str, one: Timed, other: Timed, *, aim: float) -> None:
    """Print how many times the other one takes, and whether that is within what is aimed at."""
    times = one.median / other.median
    print(f"    {times:5.2f} times {what}; aim {aim:g}{'' if times <= aim else ' - MISSED'}")
