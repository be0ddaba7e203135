"""Quick measurements: a counted inch, a timed row, a width in the reed and off the loom; and what each comes to."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import sqrt
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.evidence import What
from shop.core.measure import Length

ASKED: Final[dict[What, tuple[str, ...]]] = {
    What.PACKING: ("count", "first", "second"),
    What.TAKE_UP: ("first", "count", "second"),
    What.WASTE: ("first", "second"),
    What.DRAW_IN: ("first", "second"),
    What.RELAXATION: ("first", "second"),
    What.ROW: ("minutes", "count", "second"),
    What.CUT: ("minutes", "first"),
    What.WARP: ("minutes", "count"),
    What.FINISH: ("minutes", "count"),
}
"""What has to be told for each number of the trade."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What was counted, as it was told.

    Attributes:
        count: rows; of a warp its ends or passes, of finishing its edges.
        first: of packing the length that the rows take up under tension; of take-up the strip that went into them; of waste the
            strip lost; of draw-in the width in the reed; of relaxation the length under tension; of cutting the strip cut.
        second: of packing the width of the strips; of take-up and of a timed row the width of the row; of waste all the strip
            cut; of draw-in the width off the loom; of relaxation the length off tension.
        minutes: that it took.
    """

    count: Decimal | None = None
    first: Length | None = None
    second: Length | None = None
    minutes: Decimal | None = None


def comes_to(what: What, told: Told, section_mm2: float = 0.0) -> tuple[float, float]:
    """What a measurement comes to, and its size.

    Args:
        what: the number that it tells.
        told: all that is asked of it, each more than nothing.
        section_mm2: of packing, the solid section of the strip.

    Raises:
        NotPossible: ``quick.missing`` at each field that is needed and is nothing; ``quick.longer`` at ``second``, where
            more was lost than there was.
    """
    problems = [Problem("quick.missing", name) for name in ASKED[what] if not getattr(told, name)]
    if problems:
        raise NotPossible(*problems)
    count = float(told.count or 1)
    minutes = float(told.minutes or 0)
    first = told.first.metres if told.first else 0.0
    second = told.second.metres if told.second else 0.0
    if what is What.PACKING:
        return 1000 * first / count / sqrt(section_mm2), 1.0
    if what is What.TAKE_UP:
        return first / count / second, 1.0
    if what is What.WASTE:
        if first >= second:
            raise NotPossible(Problem("quick.longer", "second"))
        return first / second, 1.0
    if what in (What.DRAW_IN, What.RELAXATION):
        return 1 - second / first, 1.0
    if what is What.ROW:
        return minutes / count, second
    return (minutes / first, 1.0) if what is What.CUT else (minutes, count)
