"""What to measure next: of everything that could be measured now, what lessens the doubt of an estimate most.

In a conjugate normal model it does not matter what a measurement will say: how much surer it makes an estimate is known
beforehand, ``variance - covariance^2 / (variance of what is measured + its own error)`` (the value of sample information;
H. Raiffa and R. Schlaifer, Applied Statistical Decision Theory, 1961).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from shop.core.evidence import COUNTS, Grade
from shop.core.learning import Learned
from shop.core.own_doubt import OF_THE_RUG
from shop.core.own_rugs import Question, asked, doubt_in_two, nothing_seen
from shop.core.pooling import Floats, Pooled
from shop.core.spread import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """Something that can be measured now.

    Attributes:
        question: what it would tell about: a number on a loom, of a kind or a cloth.
        grade: how well; a counted inch is a quick one.
    """

    question: Question
    grade: Grade = Grade.QUICK


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """What a measurement would do.

    Attributes:
        measurement: what is measured.
        name: the source of doubt that it lessens.
        before, after: log standard deviation of the whole estimate, as it is and as it is expected to be.
    """

    measurement: Measurement
    name: str
    before: float
    after: float

    @property
    def spared(self) -> float:
        """The share of the spread that goes away; 0.5 where it halves."""
        return 1 - self.after / self.before if self.before else 0.0


def lessened(learned: Learned, question: Question, measurement: Measurement) -> float:
    """The part of the doubt about a question's middle that is expected to be left after a measurement (as a standard deviation)."""
    if (question.what, question.on) != (measurement.question.what, measurement.question.on):
        return 1.0
    place = (question.what, question.on)
    if not question.what.is_share and learned.guesses[place].at(question.size) <= 0:
        return 1.0
    lesson = learned.lessons.get(place)
    found = lesson.found if lesson else nothing_seen(question.what)
    line = lesson.line if lesson else (0.0, 0.0)
    one, other = (asked(learned.guesses[place], line, lesson, each) for each in (question, measurement.question))
    x = np.vstack([one.x, other.x])
    cloth, kind = np.vstack([one.cloth, other.cloth]), np.concatenate([one.kind, other.kind], axis=1)
    middles, variance = found.at(x, cloth, kind)
    same_cloth = one.same == other.same and bool(one.same[1])
    together = _covariance(found, x, cloth, kind, same_kind=one.same[0] == other.same[0], same_cloth=same_cloth)
    after = _expected_after(found, middles, variance, together, 1 / COUNTS[measurement.grade])
    now, _ = doubt_in_two(found, middles[:, 0], variance[:, 0])
    return math.sqrt(max(0.0, after / now))


def _expected_after(found: Pooled, middles: Floats, variance: Floats, together: Floats, error: float) -> float:
    """The variance of the first middle that is to be expected when the second has been measured, all sizes together.

    Over all sizes the two are no longer normal; but what the best line in the measurement explains of the first goes away at
    the least (linear Bayes estimation; J. A. Hartigan, JRSS B 31, 1969).
    """
    rug = found.rate / found.shape
    off = middles - np.sum(found.share[:, None] * middles, axis=0)
    now = np.sum(found.share * (rug * variance[:, 0] + off[:, 0] ** 2))
    measured = np.sum(found.share * (rug * (variance[:, 1] + error) + off[:, 1] ** 2))
    shared = np.sum(found.share * (rug * together + off[:, 0] * off[:, 1]))
    return float(now - shared**2 / measured)


def gains(
    learned: Learned, estimate: Estimate, questions: Mapping[str, Question], measurements: Iterable[Measurement]
) -> tuple[Gain, ...]:
    """What each measurement would do to an estimate, the best first; those that do nothing are left out.

    Args:
        learned: so far.
        estimate: any figure of a rug: its strip, its hours, its cost.
        questions: by the name of a source of doubt in it, the question that it comes from.
        measurements: that can be made.
    """
    sigma = dict(estimate.doubts)
    before = estimate.sigma
    found = []
    for measurement in measurements:
        for name, question in questions.items():
            if not sigma.get(name) or name.endswith(OF_THE_RUG):
                continue
            left = sigma[name] * lessened(learned, question, measurement)
            after = math.sqrt(max(0.0, before**2 - sigma[name] ** 2 + left**2))
            if after < before * (1 - 1e-9):
                found.append(Gain(measurement=measurement, name=name, before=before, after=after))
    return tuple(sorted(found, key=lambda gain: (gain.after, gain.name, gain.measurement.grade.value)))


def _covariance(
    found: Pooled, x: Floats, cloth: Floats, kind: Floats, *, same_kind: bool, same_cloth: bool
) -> Floats:
    """How far the middles of two rows move together, in units of a rug's variance, for each size that was tried."""
    own, kinds = found.sizes.cloth[:, None], found.sizes.kind[:, None]
    rest = 1 / (1 + own * cloth[None, :, 0])
    of_kind = kinds / (1 + kinds * kind[:, :, 0])
    left = [x[None, :, i] - own * rest * cloth[None, :, 1 + i] - rest * of_kind * kind[:, :, 1 + i] for i in (0, 1)]
    first, mixed, second = found.inverse
    together: Floats = (
        left[0][:, 0] * left[0][:, 1] * first
        + (left[0][:, 0] * left[1][:, 1] + left[1][:, 0] * left[0][:, 1]) * mixed
        + left[1][:, 0] * left[1][:, 1] * second
    )
    if same_kind:
        together = together + rest[:, 0] * rest[:, 1] * of_kind[:, 0]
    if same_cloth:
        together = together + own[:, 0] * rest[:, 0]
    return together
