"""The fibre content of a finished rug, in percent by weight, and the lines of a label that states it.

It is reckoned from what was really drawn into the rug. What nobody knows the fibre of is said to be unknown:
no part of it is guessed, and none is claimed. The rules are those of the United States for textiles, cited
from memory: 16 CFR 303.3, 303.14, 303.16, 303.27 and 303.43. Fibres permitted a name below the line for what
they do (303.3) are not told apart here, and nothing is left out as ornament.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from typing import Final

from shop.core.cloth import Fibre
from shop.core.errors import NotPossible, Problem
from shop.core.money import allocate, exact

NAMED_FROM: Final = 5
"""Percent of the whole weight from which a fibre is called by its name (16 CFR 303.3, from memory)."""
TOLERANCE: Final = 3
"""Percentage points of the whole weight by which a fibre may differ from what a label states of it
(16 CFR 303.43, from memory)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FibrePart:
    """Something that was drawn into a rug.

    Attributes:
        grams: what went in of it.
        fibres: what it is spun of, each with its share of the weight; the shares sum to 1. Empty where nobody
            knows; ``Fibre.UNKNOWN`` where nobody knows a share.
    """

    grams: float | Decimal
    fibres: tuple[tuple[Fibre, Decimal], ...] = ()


class Said(Enum):
    """How a line of a label speaks of fibres."""

    NAMED = "named"
    OTHER = "other"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class ContentLine:
    """A line of a label.

    Attributes:
        said: a fibre by its name, other fibre(s), or fibre(s) unknown.
        percent: of the rug's weight, whole, at least 1.
        fibres: the one named; those that are the others, for the shop's own eyes and to say one or several;
            empty for the unknown.
    """

    said: Said
    percent: int
    fibres: tuple[Fibre, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FibreContent:
    """What a rug is made of, exactly.

    Attributes:
        shares: each fibre that is in it with its share of the weight, in the order of ``Fibre``, the unknown
            part as ``Fibre.UNKNOWN``. They sum to 1, and none is zero.
    """

    shares: tuple[tuple[Fibre, Fraction], ...]

    def percent(self, fibre: Fibre) -> Fraction:
        """Percent of the weight, unrounded; 0 for a fibre that is not in it."""
        return 100 * dict(self.shares).get(fibre, Fraction(0))

    def lines(self) -> tuple[ContentLine, ...]:
        """The lines of its label, whose whole percents sum to 100.

        Fibres of 5 % and more by their unrounded weight come first, by name, the most first (303.3, 303.16);
        of two that weigh the same, the earlier in ``Fibre``. Those under 5 %, be it only one, are together the
        other fibre(s) (303.3). The unknown part, however small, is last (303.14).

        Percents are rounded by largest remainder. What would come to 0 % is stated as 1 %, taken from the
        largest line (the last of equals): 100 % is said of nothing that is not wholly so (303.27).
        """
        known = [(fibre, share) for fibre, share in self.shares if fibre is not Fibre.UNKNOWN]
        known.sort(key=lambda pair: -pair[1])
        drafts: list[tuple[Said, tuple[Fibre, ...], Fraction]] = [
            (Said.NAMED, (fibre,), share) for fibre, share in known if 100 * share >= NAMED_FROM
        ]
        few = known[len(drafts) :]
        if few:
            together = sum((share for _, share in few), Fraction(0))
            drafts.append((Said.OTHER, tuple(fibre for fibre, _ in few), together))
        drafts += [(Said.UNKNOWN, (), share) for fibre, share in self.shares if fibre is Fibre.UNKNOWN]
        percents = _whole_percents([share for *_, share in drafts])
        return tuple(
            ContentLine(said=said, percent=percent, fibres=fibres)
            for (said, fibres, _), percent in zip(drafts, percents, strict=True)
        )


def fibre_content(parts: Sequence[FibrePart]) -> FibreContent:
    """What a rug is made of: ``sum(grams x share of a fibre) / sum(grams)`` for each fibre, exactly.

    A number counts as the decimal that it was written as: 0.1 g is a tenth of a gram.

    Raises:
        NotPossible: ``fibre_content.weight`` for a weight below zero or that is no number,
            ``fibre.sum`` for shares that do not sum to 1, or one of them below zero or no number, each at its
            part (``parts.0.grams``, ``parts.0.fibres``); ``fibre_content.none`` when nothing weighs anything.
    """
    problems = [problem for number, part in enumerate(parts) for problem in _problems(number, part)]
    if problems:
        raise NotPossible(*problems)
    grams = dict.fromkeys(Fibre, Fraction(0))
    for part in parts:
        for fibre, share in part.fibres or ((Fibre.UNKNOWN, Decimal(1)),):
            grams[fibre] += Fraction(exact(part.grams)) * Fraction(share)
    whole = sum(grams.values())
    if not whole:
        raise NotPossible(Problem("fibre_content.none"))
    return FibreContent(shares=tuple((fibre, weight / whole) for fibre, weight in grams.items() if weight))


def within_tolerance(
    stated: Sequence[ContentLine], found: FibreContent, *, points: Decimal | int = TOLERANCE
) -> bool:
    """Whether what a label states holds of what was found, give or take so many percentage points (303.43).

    Each fibre named, the unknown part, and all fibres that are not named together (against the line of the
    others, or 0 %) may each differ by ``points`` and no more. A fibre that is not named is stated to be under
    5 %, and must be under that and ``points``. A label that says 100 % of one fibre is given no tolerance.

    Args:
        stated: the lines of the label.
        found: what the rug is made of.
        points: percentage points of the whole weight: 3 lets 40 % be 37 % to 43 %.
    """
    named = {line.fibres[0]: line.percent for line in stated if line.said is Said.NAMED}
    if 100 in named.values():
        return all(found.percent(fibre) == percent for fibre, percent in named.items())
    stated_of = {said: sum(line.percent for line in stated if line.said is said) for said in Said}
    unnamed = [found.percent(fibre) for fibre in Fibre if fibre not in named and fibre is not Fibre.UNKNOWN]
    differences = [
        *(found.percent(fibre) - percent for fibre, percent in named.items()),
        sum(unnamed, Fraction(0)) - stated_of[Said.OTHER],
        found.percent(Fibre.UNKNOWN) - stated_of[Said.UNKNOWN],
    ]
    most = Fraction(points)
    return all(abs(by) <= most for by in differences) and all(each < NAMED_FROM + most for each in unnamed)


def _problems(number: int, part: FibrePart) -> list[Problem]:
    """What is wrong with a part."""
    found = []
    if not _counts(exact(part.grams)):
        found.append(Problem("fibre_content.weight", f"parts.{number}.grams"))
    shares = [share for _, share in part.fibres]
    if shares and not (all(map(_counts, shares)) and sum(map(Fraction, shares)) == 1):
        found.append(Problem("fibre.sum", f"parts.{number}.fibres"))
    return found


def _counts(number: Decimal) -> bool:
    """Whether it is a number, and not below zero."""
    return number.is_finite() and number >= 0


def _whole_percents(shares: Sequence[Fraction]) -> list[int]:
    """Whole percents of shares that sum to 1, by largest remainder, none of them below 1."""
    scale = math.lcm(*(share.denominator for share in shares))
    percents = allocate(100, [int(share * scale) for share in shares])
    for index, percent in enumerate(percents):
        if percent == 0:
            largest = max(range(len(percents)), key=lambda place: (percents[place], place))
            percents[largest] -= 1
            percents[index] = 1
    return percents
