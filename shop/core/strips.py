"""Strips out of a piece of cloth: how many, how long, and how they are joined."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.measure import Length, ceil_count


class Way(Enum):
    """Which way a piece is made into strips."""

    ALONG = "along"
    """Strips run the length of the piece."""
    ACROSS = "across"
    """Strips run the width of the piece."""
    ZIGZAG = "zigzag"
    """Cut back and forth without severing: one long strip."""
    TUBE = "tube"
    """A tube, such as the body of a T-shirt, cut in a spiral: one long strip."""


class Tool(Enum):
    """What the strips are made with."""

    TEAR = "tear"
    ROTARY = "rotary"
    SCISSORS = "scissors"


FRAY: Final = Length.of("0.125", "in")
"""Lost along each torn edge (common practice)."""


@dataclass(frozen=True, slots=True)
class StripYield:
    """What one piece gives.

    Attributes:
        way: how it is cut.
        count: strips, each in one length.
        each: the length of one strip.
    """

    way: Way
    count: int
    each: Length

    @property
    def total(self) -> Length:
        """All the strip out of the piece, end to end."""
        return self.each * self.count

    @property
    def joins(self) -> int:
        """Joins to make one strip of it: one fewer than the strips."""
        return max(0, self.count - 1)


def strips_of(width: Length, length: Length, strip: Length, way: Way, tool: Tool = Tool.ROTARY) -> StripYield:
    """Strips of one width out of the usable part of a piece, hems and selvedges cut off.

    Along: ``floor(width / strip)`` strips, each as long as the piece; across: the same, the sides
    exchanged. A zigzag is one strip, ``n x side - (n - 1) x strip``: at each turn a bridge one strip wide
    is not cut through. A tube, ``width`` being its circumference and ``length`` its height, gives
    ``circumference x height / strip``. A torn strip frays by ``FRAY`` along both edges, so it takes that
    much more of the cloth.

    Returns:
        a yield of no strips when the piece is narrower than a strip.

    Raises:
        NotPossible: ``strip.none`` for a strip of no width; ``tear.way`` for a zigzag or spiral that is to
            be torn: cloth tears along its grain only.
    """
    if strip.nm <= 0:
        raise NotPossible(Problem("strip.none", "weft.strip"))
    pitch = strip
    if tool is Tool.TEAR:
        if way in (Way.ZIGZAG, Way.TUBE):
            raise NotPossible(Problem("tear.way", "weft.way"))
        pitch = strip + FRAY * 2
    if way is Way.TUBE:
        spiral = width.nm * length.nm // pitch.nm if min(width.nm, length.nm) >= pitch.nm else 0
        return StripYield(way, 1 if spiral else 0, Length(spiral))
    across, along = (length, width) if way is Way.ACROSS else (width, length)
    count = across.nm // pitch.nm
    if way is Way.ZIGZAG:
        snake = along.nm * count - pitch.nm * (count - 1) if count else 0
        return StripYield(way, 1, Length(snake)) if snake > 0 else StripYield(way, 0, Length(0))
    return StripYield(way, count, along)


@dataclass(frozen=True, slots=True)
class BothWays:
    """A piece cut along and across, side by side: which gives more strip, and which fewer joins."""

    along: StripYield
    across: StripYield

    @property
    def more(self) -> Way:
        """The way that gives more strip; along when they are alike."""
        return Way.ACROSS if self.across.total > self.along.total else Way.ALONG

    @property
    def fewer_joins(self) -> Way:
        """The way with fewer joins for a yard of strip, which is the one with the longer strips."""
        return Way.ACROSS if self.across.each > self.along.each else Way.ALONG


def both_ways(width: Length, length: Length, strip: Length, tool: Tool = Tool.ROTARY) -> BothWays:
    """Both ways to cut a piece into strips."""
    return BothWays(
        strips_of(width, length, strip, Way.ALONG, tool), strips_of(width, length, strip, Way.ACROSS, tool)
    )


class Join(Enum):
    """How one strip is joined to the next."""

    OVERLAP = "overlap"
    """Laid over one another in the shed."""
    SLIT = "slit"
    """A slit in each end, looped through."""
    BIAS = "bias"
    """Sewn on the bias; loses about the strip's width."""
    LAP = "lap"
    """A sewn lap."""
    NONE = "none"
    """Nothing is lost, or the loss is already in the counted figures."""


_JOIN_LOSS: Final[dict[Join, Length]] = {
    Join.OVERLAP: Length.of(3, "in"),
    Join.SLIT: Length.of(2, "in"),
    Join.LAP: Length.of("0.5", "in"),
    Join.NONE: Length(0),
}


def join_loss(join: Join, strip: Length) -> Length:
    """Strip lost at each join (overlap and slit: common practice; lap: C. Wheeler, How to Make Rugs, 1902)."""
    return strip if join is Join.BIAS else _JOIN_LOSS[join]


def joins_in(length_m: float, each_m: float, loss_m: float) -> int:
    """Joins needed so that strips of ``each_m`` reach ``length_m`` when each join loses ``loss_m``.

    ``n`` strips give ``n x each - (n - 1) x loss``; 54 strips have 53 joins.

    Raises:
        NotPossible: ``join.long`` when a join loses as much as a strip is long.
    """
    if length_m <= each_m:
        return 0
    if each_m <= loss_m:
        raise NotPossible(Problem("join.long", "weft.joins"))
    return ceil_count((length_m - loss_m) / (each_m - loss_m)) - 1
