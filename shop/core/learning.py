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
from shop.core.over_guess import over_guess, straightened, values
from shop.core.pooling import Floats, Pooled, Seen, pooled, sizes
from shop.core.student import density

RUG_SHAPE: Final = 1.5
"""How sure the starting guess of a rug's own variance is: as sure as three rugs would make it."""
FEW_PAIRS: Final = 20
"""So many pairs of steps that stray apart are thought to have been seen beforehand."""
GROSS: Final = 0.03
"""The share of records that are thought to be gross."""
GROSS_REACH: Final = math.log(20.0)
"""A gross record may be up to so many times too much or too little, each alike (logarithm)."""
STEPS: Final = 5
"""Steps of straightening and of weighing records; after three hardly anything moves."""
AFRESH: Final = 2
"""In every second step, the first and the last among them, all sizes are tried; between them only the likeliest."""
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
        strays: how far it lies from that, in standard deviations.
    """

    record: Evidence
    expected: float
    good: float
    strays: float

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

    @property
    def parts(self) -> tuple[float, float]:
        """The loom's own line: what is fixed, and what grows with the size; of no kind of cloth in particular."""
        return self.guess.fixed * math.exp(self.line[0]), self.guess.growing * math.exp(self.line[1])


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """Everything that was learned.

    Attributes:
        lessons: by number and loom.
        guesses: that they started from.
        one_pace: how alike the steps of one rug stray (correlation, 0 to 0.9): a tired weaver is slow in all of them.
    """

    lessons: Mapping[Place, Lesson]
    guesses: Guesses
    one_pace: float = 0.0

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
    return Learned(lessons, guesses, _one_pace(lessons.values()))


def _one_pace(lessons: Iterable[Lesson]) -> float:
    """How alike the steps of one rug stray: the mean product of any two, drawn to nothing while pairs are few."""
    by_rug: dict[str, list[float]] = defaultdict(list)
    for lesson in lessons:
        if lesson.place[0].is_pace:
            for one in lesson.records:
                if not one.is_odd:
                    by_rug[one.record.source].append(max(-3.0, min(3.0, one.strays)))
    products, pairs = [], 0
    for source in sorted(by_rug):
        strays = by_rug[source]
        products.append((math.fsum(strays) ** 2 - math.fsum(z * z for z in strays)) / 2)
        pairs += len(strays) * (len(strays) - 1) // 2
    return max(0.0, min(0.9, math.fsum(products) / (pairs + FEW_PAIRS)))


def beforehand(what: What) -> tuple[float, float]:
    """Shape and rate of the variance of a rug, before any is seen; the guess is about its median."""
    return RUG_SHAPE, (RUG_SHAPE - 1 / 3) * DOUBTS[what].rug ** 2


def _lesson(place: Place, guess: Guess, records: list[Evidence], today: date, half_life: float | None) -> Lesson:
    what, _ = place
    seen, cloths, kinds = _sorted_out(what, records)
    size = np.array([one.size for one in records])
    y = over_guess(what, np.array([one.value for one in records]), guess.fixed + guess.growing * size)
    worth = np.array([COUNTS[one.grade] * one.weight for one in records])
    age = np.array([one.counts_on(today, half_life) for one in records])
    good, middle = _first_look(y, seen, DOUBTS[what].rug)
    tried, rug = sizes(of_cloth=what.is_of_cloth), beforehand(what)
    line, narrowed = (middle, middle), tried
    for step in range(STEPS):
        about = line
        x, bend = straightened(guess, about, size)
        counts = age * good
        now = tried if step % AFRESH == 0 else narrowed
        found = pooled(seen, x, y - bend, worth * counts, float(np.sum(counts)), now, rug)
        line, narrowed = _middle_line(found), found.sizes.only(found.best())
        good, expected, strays = _weighed(found, seen, x, y - bend, worth, counts)
    columns = (values(what, guess, size, expected + bend), good.tolist(), strays.tolist())
    return Lesson(place, guess, found, about, tuple(map(Weighed, records, *columns)), cloths, kinds)


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
    found: Pooled, seen: Seen, x: Floats, y: Floats, worth: Floats, counts: Floats
) -> tuple[Floats, Floats, Floats]:
    """The chance that each record is not gross, its middle as all others have it, and how far it strays from that.

    What all others have is the posterior with the record taken out again, in closed form.
    """
    one = found.only(found.best())
    middle, variance = one.at(x, one.cloth_sums[seen.cloth], one.kind_sums[:, seen.kind[seen.cloth]])
    weight = worth * counts
    left = np.maximum(1 - weight * variance[0], 1e-9)
    missed = (y - middle[0]) / left
    freedom = max(2 * one.shape - 1, 1.0)
    rate = np.maximum(float(one.rate[0]) - weight * missed * missed * left / 2, float(one.rate[0]) * 1e-3)
    scale = np.sqrt(rate / np.maximum(one.shape - counts / 2, 0.5) * (1 / worth + variance[0] / left))
    likely = density(0.0, freedom) * (1 + (missed / scale) ** 2 / freedom) ** (-(freedom + 1) / 2) / scale
    fair = (1 - GROSS) * likely
    return fair / (fair + GROSS / (2 * GROSS_REACH)), y - missed, missed / scale
