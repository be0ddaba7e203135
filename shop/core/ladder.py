"""The ladder of prices: small, middle and large rugs on the table, and whether prices climb with size."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from shop.core.batch import RugPriced
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT
from shop.core.money import Money

ALIKE: Final = 1.05
"""Rugs are of one size when the larger has at most so many times the area: what one loom makes of one plan."""


class Size(Enum):
    """A rung of the ladder."""

    SMALL = "small"
    MIDDLE = "middle"
    LARGE = "large"


RUNGS: Final = (7 * SQUARE_METRES_PER_SQUARE_FOOT, 14 * SQUARE_METRES_PER_SQUARE_FOOT)
"""Square metres up to which a rug is small, and middling: 2 by 3 ft is small, 3 by 4 ft middling, 3 by 5 ft large. A starting guess."""


def size_of(area_m2: float, rungs: tuple[float, float] = RUNGS) -> Size:
    """The rung on which a rug stands."""
    return Size.SMALL if area_m2 <= rungs[0] else Size.MIDDLE if area_m2 <= rungs[1] else Size.LARGE


@dataclass(frozen=True, slots=True)
class Rung:
    """The rugs of one size: how many, and their lowest, middle and highest price; of an even number the dearer middle one."""

    size: Size
    count: int
    low: Money
    middle: Money
    high: Money


@dataclass(frozen=True, slots=True)
class Slip:
    """Where prices do not climb: a rug that is larger than another, and cheaper. The other is the dearest of those smaller."""

    larger: str
    smaller: str


def ladder(priced: Iterable[RugPriced], rungs: tuple[float, float] = RUNGS) -> tuple[Rung, ...]:
    """The rungs on which there are rugs, small ones first."""
    prices: dict[Size, list[Money]] = {size: [] for size in Size}
    for one in priced:
        prices[size_of(one.rug.area_m2, rungs)].append(one.asking)
    return tuple(
        Rung(size, len(found), min(found), sorted(found)[len(found) // 2], max(found))
        for size, found in prices.items()
        if found
    )


def slips(priced: Sequence[RugPriced]) -> tuple[Slip, ...]:
    """Every rug that is cheaper than one that is smaller by more than a twentieth, smaller ones first."""
    climbing = sorted(priced, key=lambda one: one.rug.area_m2)
    found, next_smaller, dearest = [], 0, None
    for one in climbing:
        while climbing[next_smaller].rug.area_m2 * ALIKE < one.rug.area_m2:
            if dearest is None or dearest.asking < climbing[next_smaller].asking:
                dearest = climbing[next_smaller]
            next_smaller += 1
        if dearest is not None and one.asking < dearest.asking:
            found.append(Slip(one.rug.rug, dearest.rug.rug))
    return tuple(found)
