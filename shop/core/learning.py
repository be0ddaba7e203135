"""What the shop's own rugs say: each number of the trade, learned from every rug on that loom, kind by kind, cloth by cloth.

Logarithms of what was seen over the starting guess go through ``pooling``; a number that grows with a size, such as the
minutes of a row, is a line of two parts, straightened about where it lies (Gauss and Newton's steps). A record may be gross:
a slip of the pen, a wrong unit. Each counts by the chance that it is not, told from all the others without it (the
contaminated normal of J. W. Tukey, 1960; G. E. P. Box and G. C. Tiao, Biometrika 55, 1968). So one odd rug wrecks nothing,
and what is odd can be shown. Everything is reckoned anew from the records, by a fixed number of steps.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np

from shop.core.evidence import COUNTS, DOUBTS, Evidence, Guess, What, in_order
from shop.core.pooling import Floats, Pooled, Seen, pooled, sizes
from shop.core.student import density

RUG_SHAPE: Final = 2.0
"""How sure the starting guess of a rug's own variance is: as sure as four rugs would make it."""
GROSS: Final = 0.03
"""The share of records that are thought to be gross."""
GROSS_REACH: Final = math.log(20.0)
"""A gross record may be up to so many times too much or too little, each alike (logarithm)."""
STEPS: Final = 6
"""Steps of straightening and of weighing records; after three hardly anything moves."""
AFRESH: Final = 3
"""After so many steps all sizes are tried again; between them only the likeliest."""
ODD: Final = 0.5
"""A record is odd when it is likelier gross than not."""

Place = tuple[What, str]
Guesses = Mapping[Place, Guess]


@dataclass(frozen=True, slots=True)
class Weighed:
    """A record, and what came of it.

    Attributes:
        record: as it was seen.
        expected: what the others would have made of it.
        good: the chance that it is not gross.
    """

    record: Evidence
    expected: float
    good: float

    @property
    def is_odd(self) -> bool:
        """Whether it is likelier gross than not."""
        return self.good < ODD


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """What one loom says of one number.

    Attributes:
        place: the number, and the loom or tool.
        guess: where it started from.
        found: coefficients, kinds and cloths, as logarithms over the guess.
        line: the loom's two coefficients, about which the line was straightened.
        records: with how much each counts.
        cloths, kinds: their places in ``found``, by name.
    """

    place: Place
    guess: Guess
    found: Pooled
    line: tuple[float, float]
    records: tuple[Weighed, ...]
    cloths: Mapping[tuple[str, str], int]
    kinds: Mapping[str, int]


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """Everything that was learned, by number and loom."""

    lessons: Mapping[Place, Lesson]
    guesses: Guesses

    @property
    def odd(self) -> tuple[Weighed, ...]:
        """Every odd record, for the weaver to look at."""
        return tuple(one for lesson in self.lessons.values() for one in lesson.records if one.is_odd)


def learn(
    evidence: Iterable[Evidence], guesses: Guesses, *, today: date, half_life: float | None = None
) -> Learned:
    """Learn from all records that are not set aside; those of a place without a guess say nothing.

    Args:
        evidence: in any order.
        guesses: the starting guess of each number on each loom.
        today: the day from which the age of a record counts.
        half_life: days after which a record of the weaver's pace counts half; ``None`` for never.
    """
    by_place: dict[Place, list[Evidence]] = defaultdict(list)
    for one in evidence:
        place = (one.what, one.on)
        if not one.aside and place in guesses and (one.what.is_share or guesses[place].at(one.size) > 0):
            by_place[place].append(one)
    lessons = {
        place: _lesson(place, guesses[place], in_order(by_place[place]), today, half_life)
        for place in sorted(by_place)
    }
    return Learned(lessons, guesses)


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


def beforehand(what: What) -> tuple[float, float]:
    """Shape and rate of the variance of a rug, before any is seen."""
    return RUG_SHAPE, RUG_SHAPE * DOUBTS[what].rug ** 2


def _lesson(place: Place, guess: Guess, records: list[Evidence], today: date, half_life: float | None) -> Lesson:
    what, _ = place
    seen, cloths, kinds = _sorted_out(what, records)
    size = np.array([one.size for one in records])
    y = over_guess(what, np.array([one.value for one in records]), guess.fixed + guess.growing * size)
    worth = np.array([COUNTS[one.grade] * one.weight for one in records])
    age = np.array([one.counts_on(today, half_life) for one in records])
    good, middle = _first_look(y, seen, DOUBTS[what].rug)
    tried, rug = sizes(of_cloth=what.is_of_cloth), beforehand(what)
    line, now = (middle, middle), tried
    for step in range(STEPS):
        x, bend = straightened(guess, line, size)
        counts = age * good
        now = tried if step % AFRESH == 0 else now
        found = pooled(seen, x, y - bend, worth * counts, float(np.sum(counts)), now, rug)
        line = _middle_line(found)
        best = found.best()
        good, _ = _weighed(found, best, seen, x, y - bend, worth, counts)
        now = now.only(best)
    x, bend = straightened(guess, line, size)
    counts = age * good
    found = pooled(seen, x, y - bend, worth * counts, float(np.sum(counts)), tried, rug)
    good, expected = _weighed(found, found.best(), seen, x, y - bend, worth, counts)
    weighed = tuple(
        Weighed(one, value, chance)
        for one, value, chance in zip(records, _values(what, guess, size, expected + bend), good.tolist(), strict=True)
    )
    return Lesson(place, guess, found, line, weighed, cloths, kinds)


def _sorted_out(
    what: What, records: list[Evidence]
) -> tuple[Seen, dict[tuple[str, str], int], dict[str, int]]:
    """Which cloth and kind each record is of. A cloth without a name is one of its own."""
    cloths: dict[tuple[str, str], int] = {}
    kinds: dict[str, int] = {}
    cloth: list[int] = []
    kind: list[int] = []
    for one in records:
        named = (one.kind, one.cloth) if what.is_of_cloth else ("", "any")
        if named not in cloths or not named[1]:
            if named[1]:
                cloths[named] = len(kind)
            kind.append(kinds.setdefault(named[0], len(kinds)))
            cloth.append(len(kind) - 1)
        else:
            cloth.append(cloths[named])
    return Seen(np.array(cloth), np.array(kind), len(kind), len(kinds)), cloths, kinds


def _first_look(y: Floats, seen: Seen, rug: float) -> tuple[Floats, float]:
    """Before anything is fitted: records near the median of their kind count, those far off do not yet."""
    middle = float(np.median(y))
    kind = seen.kind[seen.cloth]
    about = np.full(len(y), middle)
    for each in range(seen.kinds):
        mine = kind == each
        if np.count_nonzero(mine) >= 3:
            about[mine] = np.median(y[mine])
    off = np.abs(y - about)
    scale = max(1.4826 * float(np.median(off)), 1.5 * rug)
    return (off <= 4 * scale).astype(float), middle


def _middle_line(found: Pooled) -> tuple[float, float]:
    return float(np.sum(found.share * found.loom[0])), float(np.sum(found.share * found.loom[1]))


def _weighed(
    found: Pooled, best: int, seen: Seen, x: Floats, y: Floats, worth: Floats, counts: Floats
) -> tuple[Floats, Floats]:
    """The chance that each record is not gross, and its middle as all others have it (the cavity of the conjugate model)."""
    one = found.only(best)
    middle, variance = one.at(x, one.cloth_sums[seen.cloth], one.kind_sums[:, seen.kind[seen.cloth]])
    weight = worth * counts
    left = np.maximum(1 - weight * variance[0], 1e-9)
    missed = (y - middle[0]) / left
    freedom = max(2 * one.shape - 1, 1.0)
    rate = np.maximum(float(one.rate[0]) - weight * missed * missed * left / 2, float(one.rate[0]) * 1e-3)
    scale = np.sqrt(rate / np.maximum(one.shape - counts / 2, 0.5) * (1 / worth + variance[0] / left))
    likely = density(0.0, freedom) * (1 + (missed / scale) ** 2 / freedom) ** (-(freedom + 1) / 2) / scale
    fair = (1 - GROSS) * likely
    return fair / (fair + GROSS / (2 * GROSS_REACH)), y - missed


def _values(what: What, guess: Guess, size: Floats, over: Floats) -> list[float]:
    """Back from logarithms over the guess to values."""
    start = guess.fixed + guess.growing * size
    found: list[float] = (1 - (1 - start) * np.exp(-over) if what.is_share else start * np.exp(over)).tolist()
    return found
