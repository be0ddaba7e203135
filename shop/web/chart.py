"""A picture of values as bars: what each stands for, how tall it is, and whether it lies on the side of loss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

WIDE: Final = 600.0
TALL: Final = 160.0
_GAP: Final = 2.0


@dataclass(frozen=True, slots=True)
class ChartBar:
    """A bar in the units of its picture; ``told`` in words for the table beside it, ``much`` its value in words."""

    x: float
    y: float
    width: float
    height: float
    loss: bool
    told: str
    much: str


@dataclass(frozen=True, slots=True)
class Chart:
    """Bars beside each other.

    Attributes:
        bars: from the left.
        zero: where nothing lies; ``None`` when it is not in the picture.
        first, last: what its ends stand for, in words.
        told: the picture in a sentence.
    """

    bars: tuple[ChartBar, ...]
    zero: float | None
    first: str
    last: str
    told: str
    box: tuple[float, float] = (WIDE, TALL)


def chart_of(values: Sequence[tuple[float, bool, str, str]], *, first: str, last: str, told: str, rising: bool = False) -> Chart:
    """Bars of (height, whether it is a loss, its name, its value in words); the tallest fills the picture.

    Args:
        values: the bars from the left.
        first: what the left end stands for.
        last: what the right end stands for.
        told: the picture in a sentence.
        rising: losses stand on the left and gains on the right, so that nothing lies between them.
    """
    tallest = max((height for height, _, _, _ in values), default=0.0) or 1.0
    wide = WIDE / max(1, len(values))
    bars = []
    for place, (height, loss, name, much) in enumerate(values):
        tall = round(height / tallest * (TALL - 4), 2)
        bars.append(ChartBar(round(place * wide + _GAP / 2, 2), round(TALL - tall, 2), round(wide - _GAP, 2), tall, loss, name, much))
    losses = sum(loss for _, loss, _, _ in values)
    zero = round(losses * wide, 2) if rising and 0 < losses < len(values) else None
    return Chart(bars=tuple(bars), zero=zero, first=first, last=last, told=told)
