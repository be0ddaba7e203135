"""Stripes: the bands of a rug, in whole rows that add up to the rug's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.core.money import allocate


@dataclass(frozen=True, slots=True)
class Band:
    """A run of rows of one cloth, or of two that take turns.

    Attributes:
        cloth: the place of the cloth in the plan's list.
        rows: whole rows.
        share: of the rug's woven length, for drawing to scale.
        second: the place of the cloth of every second row, beginning with the second.
    """

    cloth: int
    rows: int
    share: float
    second: int | None = None


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


def rows_of_cloths_until(bands: Sequence[Band], cloths: int, until: float) -> list[float]:
    """The rows of each cloth among the first so many rows; the last may be in part.

    Of two that take turns each is counted half of the rows, to a row.
    """
    rows = [0.0] * cloths
    left = until
    for band in bands:
        here = min(float(band.rows), left)
        if band.second is None:
            rows[band.cloth] += here
        else:
            first = min(here, (band.rows + 1) // 2 if here >= band.rows else here / 2)
            rows[band.cloth] += first
            rows[band.second] += here - first
        left -= here
        if left <= 0:
            break
    return rows


def slices(bands: Sequence[Band], most: int) -> tuple[tuple[int, float], ...]:
    """The bands as they are drawn: the cloth of each slice across the rug, and its share of the length.

    Of two cloths that take turns each row is a slice of its own. Where that makes more than ``most``, the rug is looked at
    in so many places instead, evenly down its length.
    """
    found: list[tuple[int, float]] = []
    for band in bands:
        if band.second is None:
            found.append((band.cloth, band.share))
        else:
            turns = (band.cloth, band.second)
            found += [(turns[row % 2], band.share / band.rows) for row in range(band.rows)]
    if len(found) <= most:
        return tuple(found)
    seen, place, reached = [], 0, found[0][1]
    for at in range(most):
        while reached < (at + 0.5) / most and place < len(found) - 1:
            place += 1
            reached += found[place][1]
        seen.append((found[place][0], 1 / most))
    return tuple(seen)
