"""What was seen at the loom, and how much each sight of it counts: whole rugs, rugs half woven, a counted inch.

A record says what one number of the trade came to once: the packing constant of a rug, the minutes of its rows, the strip
lost in cutting. Records are facts and are never changed by learning; one that is set aside keeps its reason and its place.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from operator import attrgetter
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.spread import SPREAD, Basis


class What(StrEnum):
    """A number of the trade that the shop's own rugs can tell; each is named as the arithmetic names it."""

    PACKING = "weft.packing"
    """k, the pitch of a row in millimetres over the root of the strip's section in square millimetres."""
    TAKE_UP = "weft.take_up"
    """m, strip in a row over the width of the rug."""
    WASTE = "weft.waste"
    """The share of the strip cut that is lost."""
    DRAW_IN = "loom.draw_in"
    """The share by which the web is narrower than in the reed."""
    RELAXATION = "loom.relaxation"
    """The share by which the web shortens off tension."""
    ROW = "hours.pace.weave_per_row"
    """Minutes of a row; its size is its width in metres."""
    CUT = "hours.pace.cut_per_m"
    """Minutes to cut a metre of strip; it stands by the tool, not by the loom."""
    WARP = "hours.pace.warp"
    """Minutes to dress a warp; its size is its passes or ends."""
    FINISH = "hours.pace.finish"
    """Minutes to finish a rug; its size is its edges, a seam counting for as many as it is guessed to take."""

    @property
    def is_share(self) -> bool:
        """Whether it is a share of something, which is learned by what it makes of the whole, ``1 / (1 - share)``."""
        return self in (What.WASTE, What.DRAW_IN, What.RELAXATION)

    @property
    def is_pace(self) -> bool:
        """Whether it is the weaver's pace, which may change with the years; stuff and looms stay as they are."""
        return self in (What.ROW, What.CUT, What.WARP, What.FINISH)

    @property
    def is_of_cloth(self) -> bool:
        """Whether kinds of cloth may differ in it."""
        return self in (What.PACKING, What.TAKE_UP, What.WASTE, What.ROW, What.CUT)


class Grade(StrEnum):
    """How much of a rug a record rests on."""

    WHOLE = "whole"
    PARTIAL = "partial"
    """A rug that is not finished, or was measured in part."""
    QUICK = "quick"
    """A counted inch, a weighed piece, a timed row."""


COUNTS: Final[dict[Grade, float]] = {Grade.WHOLE: 1.0, Grade.PARTIAL: 0.5, Grade.QUICK: 0.25}
"""How many whole rugs a record is worth: a starting guess. A quick measurement strays twice as far as a rug does."""


@dataclass(frozen=True, slots=True)
class Guess:
    """A starting guess: ``fixed + growing x size``. A number that has no size is all ``fixed``."""

    fixed: float
    growing: float = 0.0

    def at(self, size: float) -> float:
        """The guess for a size."""
        return self.fixed + self.growing * size


@dataclass(frozen=True, slots=True)
class Doubt:
    """How far truths are thought to lie from a starting guess, as log standard deviations.

    Attributes:
        guess: of an outcome, as long as the shop has seen none.
        rug: of one rug from the next of the same cloth on the same loom.
    """

    guess: float
    rug: float


_PACE: Final = Doubt(SPREAD[Basis.GUESS], 0.10)
DOUBTS: Final[dict[What, Doubt]] = {
    What.PACKING: Doubt(SPREAD[Basis.GUESS], 0.06),
    What.TAKE_UP: Doubt(SPREAD[Basis.GUESS], 0.06),
    What.WASTE: Doubt(0.10, 0.03),
    What.DRAW_IN: Doubt(0.04, 0.012),
    What.RELAXATION: Doubt(0.04, 0.012),
    What.ROW: _PACE,
    What.CUT: _PACE,
    What.WARP: _PACE,
    What.FINISH: _PACE,
}
"""Starting guesses of doubt themselves; each loom's own record soon outweighs them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One record.

    Attributes:
        what: the number that was seen.
        value: what it came to; positive, or a share below 1.
        on: the loom by its name; for cutting, the tool.
        size: of the row, the warp or the edges, where the number grows with it.
        kind: of cloth; empty where none is known.
        cloth: the cloth by its name; empty for one that will not come again.
        day: it was seen on.
        source: the rug or the measurement that it comes from; several records of one rug name it alike.
        grade: how much of a rug it rests on.
        weight: how many such records it is worth, where it rests on more or less than is usual.
        aside: why it was set aside; empty while it counts.

    Raises:
        NotPossible: ``evidence.value`` for a value that cannot be, ``evidence.size``, ``evidence.weight`` likewise.
    """

    what: What
    value: float
    on: str
    size: float = 1.0
    kind: str = ""
    cloth: str = ""
    day: date
    source: str
    grade: Grade = Grade.WHOLE
    weight: float = 1.0
    aside: str = ""

    def __post_init__(self) -> None:
        problems = []
        good = -0.5 <= self.value <= 0.95 if self.what.is_share else 1e-9 < self.value < 1e9
        for name, fine in (("value", good), ("size", 0 <= self.size < 1e9), ("weight", 1e-6 < self.weight < 1e6)):
            if not fine:
                problems.append(Problem(f"evidence.{name}", name, {"value": getattr(self, name)}))
        if problems:
            raise NotPossible(*problems)

    def counts_on(self, today: date, half_life: float | None) -> float:
        """How much it still counts for a pace that may have changed: a half after so many days, a quarter after twice as many."""
        if half_life is None or not self.what.is_pace:
            return 1.0
        age = max(0, (today - self.day).days)
        return float(math.pow(0.5, age / half_life))


def in_order(evidence: Iterable[Evidence]) -> list[Evidence]:
    """Records in an order of their own, so that the one in which they come makes no difference.

    Two that this order does not tell apart are the same in everything that is reckoned from them.
    """
    return sorted(evidence, key=_PLACE)


_PLACE: Final = attrgetter("kind", "cloth", "day", "value", "source", "what", "on", "size", "grade", "weight", "aside")
