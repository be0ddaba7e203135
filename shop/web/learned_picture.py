"""The picture of what was learned: each record as a point, the fitted line, and the band in which eight of ten rugs lie.

Points are told apart by their shape, so that it can be read in grey: full for a whole rug, hollow for a part of one, a square
for a quick measurement, crossed out where a record hardly counts or is set aside.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from shop.core.evidence import Grade
from shop.usecases.lessons import SIZED, At, Lesson, RecordLine
from shop.web.learned_shown import size_shown, value_shown
from shop.words import Words

LEFT, RIGHT, TOP, BOTTOM = 8.0, 332.0, 22.0, 182.0
MOST_POINTS: Final = 200


@dataclass(frozen=True, slots=True)
class Dot:
    """A record: where it stands, its shape (``whole``, ``partial``, ``quick``), and whether it is crossed out."""

    x: float
    y: float
    shape: str
    crossed: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """A height that is named."""

    y: float
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """The picture.

    Attributes:
        band: the outline of the band; ``line`` the fitted line.
        dots: the records.
        ticks: named heights.
        begins, ends: what stands at both ends of the width.
    """

    band: str
    line: str
    dots: tuple[Dot, ...]
    ticks: tuple[Tick, ...]
    begins: str
    ends: str


def picture_of(lesson: Lesson, words: Words) -> Picture | None:
    """The picture of a number on a loom; ``None`` where nothing was seen."""
    if not lesson.records:
        return None
    what = lesson.line.what
    records = list(reversed(lesson.records[:MOST_POINTS]))
    fitted = lesson.fitted if len(lesson.fitted) > 1 else (lesson.fitted[0],) * 2
    sized = what in SIZED
    least, most = (fitted[0].size, fitted[-1].size) if sized else (-0.5, len(records) - 0.5)
    heights = [one.record.value for one in records if not (one.odd or one.record.aside)]
    heights += [end for at in fitted for end in (at.low, at.high)]
    low, high = min(heights), max(heights)
    room = (high - low or abs(high) or 1.0) * 0.08
    low, high = low - room, high + room

    def across(at: float) -> float:
        return round(LEFT + (RIGHT - LEFT) * (at - least) / ((most - least) or 1.0), 1)

    def up(value: float) -> float:
        return round(min(BOTTOM, max(TOP, BOTTOM - (BOTTOM - TOP) * (value - low) / (high - low))), 1)

    def at_place(place: int, at: At) -> float:
        return across(at.size) if sized else (LEFT, RIGHT)[min(place, 1)]

    upper = [f"{at_place(place, at)} {up(at.high)}" for place, at in enumerate(fitted)]
    lower = [f"{at_place(place, at)} {up(at.low)}" for place, at in enumerate(fitted)]
    middle = [f"{at_place(place, at)} {up(at.middle)}" for place, at in enumerate(fitted)]
    said = lesson.line.says
    if sized:
        begins, ends = (size_shown(what, at.size, words) for at in (fitted[0], fitted[-1]))
    else:
        begins, ends = (words.date(one.record.day, "medium") for one in (records[0], records[-1]))
    return Picture(
        band="M" + "L".join((*upper, *reversed(lower))) + "Z",
        line="M" + "L".join(middle),
        dots=tuple(_dot(one, across(one.record.size if sized else place), up) for place, one in enumerate(records)),
        ticks=tuple(Tick(up(value), value_shown(what, value, words)) for value in _named(said.low, said.high, low, high)),
        begins=begins,
        ends=ends if ends != begins else "",
    )


def _named(said_low: float, said_high: float, low: float, high: float) -> list[float]:
    """Heights worth naming: the ends of the band where they stand apart, else the ends of the picture."""
    return [said_low, said_high] if said_high - said_low > (high - low) * 0.12 else [low, high]


def _dot(one: RecordLine, x: float, up: Callable[[float], float]) -> Dot:
    shape = {Grade.WHOLE: "whole", Grade.PARTIAL: "partial"}.get(one.record.grade, "quick")
    return Dot(x, up(one.record.value), shape, one.odd or bool(one.record.aside))
