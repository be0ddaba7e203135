"""Stripes: the bands of a rug, in whole rows that add up to the rug's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.core.money import allocate


@dataclass(frozen=True, slots=True)
class Band:
    """A run of rows of one cloth.

    Attributes:
        cloth: the place of the cloth in the plan's list.
        rows: whole rows.
        share: of the rug's woven length, for drawing to scale.
    """

    cloth: int
    rows: int
    share: float


def rows_by_cloth(total_rows: int, parts: Sequence[float]) -> list[int]:
    """Whole rows for each cloth, in proportion to ``parts``, adding up to the rug's rows exactly."""
    return allocate(total_rows, list(parts))


def bands(rows: Sequence[int], lengths: Sequence[float], repeats: int) -> tuple[Band, ...]:
    """The cloths in turn, repeated so many times down the rug.

    Args:
        rows: rows of each cloth in the whole rug.
        lengths: the woven length that each cloth fills, in any one unit.
        repeats: how often the run of cloths is repeated; one cloth alone is one band.

    Returns:
        Bands in weaving order; their rows add up to ``sum(rows)``, their shares to 1.
    """
    whole = sum(lengths)
    if len(rows) == 1 or repeats < 1:
        repeats = 1
    per_cloth = [allocate(count, [1] * repeats) for count in rows]
    found = []
    for turn in range(repeats):
        for cloth, counts in enumerate(per_cloth):
            if counts[turn]:
                share = lengths[cloth] / whole * counts[turn] / rows[cloth]
                found.append(Band(cloth, counts[turn], share))
    return tuple(found)
