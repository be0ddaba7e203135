"""A picture of values as bars: how tall each is, on which side of nothing it stands, and what it is in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

WIDE: Final = 600.0
TALL: Final = 160.0
_GAP: Final = 2.0


@dataclass(frozen=True, slots=True)
class Value:
    """What a bar stands for: its ``height``, ``name`` and ``much`` in words; ``loss`` gives it the colour of losses."""

    height: float
    name: str
    much: str
    loss: bool = False


@dataclass(frozen=True, slots=True)
class ChartBar:
    """A bar in the units of its picture; ``told`` and ``much`` in words, for the table beside it."""

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
        ground: where bars stand; those below nothing hang from it.
        zero: where nothing lies among bars that rise from losses to gains; ``None`` when it is not in the picture.
        first, last: what its ends stand for, in words.
        told: the picture in a sentence.
    """

    bars: tuple[ChartBar, ...]
    ground: float
    zero: float | None
    first: str
    last: str
    told: str
    box: tuple[float, float] = (WIDE, TALL)


def chart_of(values: Sequence[Value], *, first: str, last: str, told: str, rising: bool = False) -> Chart:
    """Bars from the left; the tallest and the deepest fill the picture between them.

    Args:
        values: what each bar stands for; a height below nothing hangs down.
        first: what the left end stands for.
        last: what the right end stands for.
        told: the picture in a sentence.
        rising: losses stand on the left and gains on the right, so that nothing lies between them.
    """
    highest = max((value.height for value in values), default=0.0)
    deepest = -min((value.height for value in values), default=0.0)
    highest, deepest = max(highest, 0.0), max(deepest, 0.0)
    scale = (TALL - 4) / ((highest + deepest) or 1.0)
    ground = round(2 + highest * scale, 2)
    wide = WIDE / max(1, len(values))
    bars = []
    for place, value in enumerate(values):
        tall = round(abs(value.height) * scale, 2)
        y = ground if value.height < 0 else round(ground - tall, 2)
        bars.append(
            ChartBar(round(place * wide + _GAP / 2, 2), y, round(wide - _GAP, 2), tall, value.loss, value.name, value.much)
        )
    losses = sum(value.loss for value in values)
    zero = round(losses * wide, 2) if rising and 0 < losses < len(values) else None
    return Chart(bars=tuple(bars), ground=ground, zero=zero, first=first, last=last, told=told)
