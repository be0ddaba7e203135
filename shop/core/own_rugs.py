"""What the shop's own rugs answer: a number for one loom, kind, cloth and size, with low and high, and which rugs say so.

The doubt of an answer is in two parts that mean different things. What is not known of the loom, the kind and the cloth is
shared by every rug to come, and measuring lessens it; how one rug turns out unlike the next is each rug's own, and stays.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from shop.core.evidence import DOUBTS, Grade, Guess, What
from shop.core.learning import Learned, Lesson, beforehand
from shop.core.over_guess import straightened
from shop.core.own_doubt import OF_THE_RUG, PACE_OF_THE_RUG
from shop.core.pooling import ALIKE, Floats, Pooled, sizes
from shop.core.spread import EIGHT_OF_TEN, Basis, Doubts, Estimate, doubtful
from shop.core.student import quantile

NEWTON: Final = 5
ROOT_HALF: Final = math.sqrt(0.5)
ROOT_OF_CIRCLE: Final = 1 / math.sqrt(2 * math.pi)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked: a number on a loom (or by a tool), for a kind, a cloth and a size."""

    what: What
    on: str
    kind: str = ""
    cloth: str = ""
    size: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """From which rugs an answer comes: “9 of your rugs on this loom, 3 in corduroy”. Odd records are not among them.

    Attributes:
        rugs, of_kind, of_cloth: whole and partial rugs on that loom; those of the kind; those of the very cloth.
        quick: quick measurements on that loom.
        odd: records there that hardly count, since they are likelier gross than not.
    """

    rugs: int = 0
    of_kind: int = 0
    of_cloth: int = 0
    quick: int = 0
    odd: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the shop's rugs say.

    Attributes:
        question: what was asked.
        estimate: of the number for the next rug. Of a share, of what it makes of the whole: ``1 / (1 - share)``.
        basis: a starting guess as long as no rug says anything.
        sources: which rugs say so.
    """

    question: Question
    estimate: Estimate
    basis: Basis
    sources: Sources

    @property
    def middle(self) -> float:
        """As many rugs to come lie above as below; never negative."""
        return self._value(self.estimate.middle)

    @property
    def low(self) -> float:
        """One rug in ten is below this; never negative."""
        return self._value(self.estimate.low)

    @property
    def high(self) -> float:
        """One rug in ten is above this."""
        return self._value(self.estimate.high)

    @property
    def known_to(self) -> float:
        """Log standard deviation of the middle itself: what more rugs would settle."""
        return math.hypot(*(sigma for name, sigma in self.estimate.doubts if not name.endswith(OF_THE_RUG)))

    def _value(self, found: float) -> float:
        return max(0.0, 1 - 1 / found) if self.question.what.is_share else found


def answer(learned: Learned, question: Question) -> Answer:
    """What the shop's own rugs say; the starting guess where there are none.

    Raises:
        KeyError: for a number on a loom that has no starting guess.
    """
    place = (question.what, question.on)
    guess, lesson = learned.guesses[place], learned.lessons.get(place)
    start = 1 / (1 - guess.fixed) if question.what.is_share else guess.at(question.size)
    if lesson is None or start <= 0:
        guessed = doubtful(start, question.what.value, DOUBTS[question.what].guess)
        return Answer(question=question, estimate=guessed, basis=Basis.GUESS, sources=Sources())
    point = asked(lesson.guess, lesson.line, lesson, question)
    middle, whole, part = spread_of(lesson.found, point)
    doubts = _doubts(question.what, whole, part, learned.one_pace)
    return Answer(
        question=question,
        estimate=Estimate(start * math.exp(middle + point.bend), doubts),
        basis=Basis.MEASURED,
        sources=sources(lesson, question),
    )


def _doubts(what: What, whole: float, part: float, one_pace: float) -> Doubts:
    """A standard deviation as its sources: what is not known, what is the rug's own, and what its steps have in common."""
    own = whole * math.sqrt(1 - part)
    parts = {what.value: whole * math.sqrt(part), what.value + OF_THE_RUG: own}
    if what.is_pace and one_pace:
        parts[what.value + OF_THE_RUG] = own * math.sqrt(1 - one_pace)
        parts[PACE_OF_THE_RUG] = own * math.sqrt(one_pace)
    return tuple(sorted(parts.items()))


@dataclass(frozen=True, slots=True, eq=False)
class Point:
    """A question as the sums that ``pooling`` answers by: its line, its cloth and its kind."""

    x: Floats
    bend: float
    cloth: Floats
    kind: Floats
    same: tuple[str, str]


def asked(guess: Guess, line: tuple[float, float], lesson: Lesson | None, question: Question) -> Point:
    """A question as the sums that ``pooling`` answers by. A cloth or kind that was never woven has none."""
    x, bend = straightened(guess, line, np.array([question.size]))
    of_cloth = question.what.is_of_cloth
    same = (question.kind, question.cloth) if of_cloth else ("", "any")
    tried = len(sizes(of_cloth=of_cloth).loom)
    cloth, kind = np.zeros((1, 4)), np.zeros((tried, 1, 4))
    if lesson is not None and same in lesson.cloths:
        cloth = lesson.found.cloth_sums[[lesson.cloths[same]]]
    if lesson is not None and same[0] in lesson.kinds:
        kind = lesson.found.kind_sums[:, [lesson.kinds[same[0]]]]
    return Point(x, float(bend[0]), cloth, kind, same)


def spread_of(found: Pooled, point: Point) -> tuple[float, float, float]:
    """An outcome on the logarithm: its middle, its standard deviation, and which part of its variance is doubt about the middle.

    The sizes that were tried are mixed as they count; where they disagree about the middle, that is doubt about it too. The
    standard deviation is the one whose ends hold eight of ten of the mixture, Student's t being that much wider than normal.
    """
    middles, variances = (each[:, 0] for each in found.at(point.x, point.cloth, point.kind))
    rug = found.rate / found.shape
    shared, own = doubt_in_two(found, middles, variances)
    scales = np.sqrt(rug * (variances + 1))
    wider = quantile(0.9, 2 * found.shape) / EIGHT_OF_TEN
    about = float(np.sum(found.share * middles))
    low, high = ends_of_mixture(found.share.tolist(), middles.tolist(), scales.tolist(), about, math.sqrt(shared + own))
    return (low + high) / 2, wider * (high - low) / (2 * EIGHT_OF_TEN), shared / (shared + own)


def doubt_in_two(found: Pooled, middles: Floats, variances: Floats) -> tuple[float, float]:
    """The variance of a middle, all sizes that were tried together, and that of a rug about it; as squares of Student's scale."""
    rug = found.rate / found.shape
    off = middles - np.sum(found.share * middles)
    return float(np.sum(found.share * (rug * variances + off**2))), float(np.sum(found.share * rug))


def ends_of_mixture(
    shares: list[float], middles: list[float], scales: list[float], about: float, spread: float
) -> tuple[float, float]:
    """The ends between which eight of ten outcomes of a mixture of normals fall, by Newton's steps from one that is like it."""
    found = []
    for end, chance in ((about - EIGHT_OF_TEN * spread, 0.1), (about + EIGHT_OF_TEN * spread, 0.9)):
        at = end
        for _ in range(NEWTON):
            over, dense = -chance, 0.0
            for share, middle, scale in zip(shares, middles, scales, strict=True):
                z = (at - middle) / scale
                over += share * math.erfc(-z * ROOT_HALF) / 2
                dense += share * math.exp(-z * z / 2) / scale
            at -= max(-spread, min(spread, over / (dense * ROOT_OF_CIRCLE)))
        found.append(at)
    return found[0], found[1]


@lru_cache(maxsize=64)
def nothing_seen(what: What) -> Pooled:
    """What is thought of a number before any record of it."""
    tried = sizes(of_cloth=what.is_of_cloth)
    count = len(tried.loom)
    shape, rate = beforehand(what)
    return Pooled(
        sizes=tried,
        share=np.full(count, 1 / count),
        loom=(np.zeros(count), np.zeros(count)),
        inverse=(tried.loom, ALIKE * tried.loom, tried.loom),
        shape=shape,
        rate=np.full(count, rate),
        cloth_sums=np.zeros((0, 4)),
        kind_sums=np.zeros((count, 0, 4)),
    )


def sources(lesson: Lesson, question: Question) -> Sources:
    """Which rugs on a loom an answer comes from. A rug counts once, however much of it was measured."""
    rugs, whole = _counted(lesson)
    return replace(
        whole,
        of_kind=rugs[question.kind, ""] if question.kind else 0,
        of_cloth=rugs[question.kind, question.cloth] if question.kind and question.cloth else 0,
    )


@lru_cache(maxsize=64)
def _counted(lesson: Lesson) -> tuple[Counter[tuple[str, str]], Sources]:
    """How many rugs a lesson has of each kind, and of each cloth of it; and of all, with no kind in particular."""
    good = [one.record for one in lesson.records if not one.is_odd]
    rugs = [one for one in good if one.grade is not Grade.QUICK]
    kinds = {(one.kind, "", one.source) for one in rugs}
    cloths = {(one.kind, one.cloth, one.source) for one in rugs if one.cloth}
    counted = Counter((kind, cloth) for kind, cloth, _ in kinds | cloths)
    return counted, Sources(
        rugs=len({one.source for one in rugs}),
        quick=len(good) - len(rugs),
        odd=len(lesson.records) - len(good),
    )
