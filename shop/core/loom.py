"""Looms, and what each can make.

Three kinds: a *frame* loom with pegs at both ends and a warp of rag strip; a *shaft* loom (or rigid
heddle loom) with a warp of yarn; and *pegs standing in a plank*, with a doubled yarn warp through each.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar, Final

from shop.core.errors import CannotMake, Problem, Unreadable
from shop.core.measure import Length, ceil_count

MOST_PEGS: Final = 1000
WIDEST: Final = Length.of(20, "m")
LONGEST: Final = Length.of(100, "m")
SMALLEST: Final = Length.of(2, "in")
TAPE_SLACK: Final = Length.of("0.25", "in")
"""How far a size asked for may be from a frame's own and still be called the same."""


@dataclass(frozen=True, slots=True)
class Sett:
    """How close the warp ends stand: so many to the inch or to the centimetre."""

    per: Decimal
    unit: str

    @property
    def per_metre(self) -> float:
        """Ends in a metre."""
        return float(self.per) / Length.of(1, self.unit).metres

    @property
    def per_inch(self) -> float:
        """Ends in an inch."""
        return self.per_metre * 0.0254

    def text(self) -> str:
        """As it is written: ``12.5/in``."""
        return f"{self.per:f}/{self.unit}"


_SETT = re.compile(r"\s*([0-9]+(?:[.,][0-9]+)?)\s*(?:/\s*(in|inch|\"|cm|tum))?\s*")


def parse_sett(text: str, *, bare_unit: str = "in") -> Sett:
    """Ends per length as text: ``12.5/in``, ``2/cm``; a bare number is per inch.

    Raises:
        Unreadable: ``sett.unreadable``, or ``sett.range`` outside 1 to 100 ends to the inch.
    """
    match = _SETT.fullmatch(text) if len(text) <= 40 else None
    if match is None:
        raise Unreadable(Problem("sett.unreadable", values={"text": text.strip()[:24]}))
    unit = {"inch": "in", '"': "in", "tum": "in", None: bare_unit}.get(match[2], match[2] or bare_unit)
    sett = Sett(Decimal(match[1].replace(",", ".")), unit)
    if not 1 <= sett.per_inch <= 100:
        raise Unreadable(Problem("sett.range", values={"text": text.strip()[:24]}))
    return sett


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameLoom:
    """A frame with pegs or nails at both ends, warped with one continuous rag strip; no heddles.

    Attributes:
        pegs: pegs on each end.
        spacing: from one peg to the next.
        length: from peg to peg, which is the rug's length.
        bar_places: further lengths, where an end bar can be moved.
        passes_per_peg: strips that each peg carries; two as a rule (common practice).
        turn: strip spent going round a peg.
        tail: strip left at each end of the warp to tie in.
    """

    kind: ClassVar[str] = "frame"
    name: str = ""
    pegs: int = 25
    spacing: Length = Length.of(1, "in")
    length: Length = Length.of("37.5", "in")
    bar_places: tuple[Length, ...] = ()
    passes_per_peg: int = 2
    turn: Length = Length.of(1, "in")
    tail: Length = Length.of(10, "in")

    @property
    def widest(self) -> Length:
        """The widest rug, every peg in use."""
        return self.spacing * self.pegs

    @property
    def lengths(self) -> tuple[Length, ...]:
        """Every length that it can make, shortest first."""
        return tuple(sorted({self.length, *self.bar_places}))


@dataclass(frozen=True, slots=True, kw_only=True)
class ShaftLoom:
    """A shaft loom or rigid heddle loom with a warp of yarn; woven in any length.

    Attributes:
        sett: ends per length in the reed.
        width: the widest that it weaves in the reed.
        draw_in: share by which the web is narrower than in the reed.
        take_up: share of the warp that goes into bending over and under the weft.
        relaxation: share by which the web shortens off tension.
        waste: warp that cannot be woven, at the start and the end of each warp.
        selvedge_ends: extra ends at the two edges together.
        hem: woven or left for each end of a rug, turned in or knotted into a fringe.
        cut_space: warp left between two rugs to cut through.
    """

    kind: ClassVar[str] = "shaft"
    name: str = ""
    sett: Sett = Sett(Decimal(12), "in")
    width: Length = Length.of(36, "in")
    draw_in: float = 0.07
    take_up: float = 0.08
    relaxation: float = 0.05
    waste: Length = Length.of(27, "in")
    selvedge_ends: int = 4
    hem: Length = Length.of(3, "in")
    cut_space: Length = Length(0)

    @property
    def widest(self) -> Length:
        """The widest finished rug, the whole reed in use."""
        return Length(int(self.width.nm * (1 - self.draw_in)))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlankLoom:
    """Pegs standing in a plank, a doubled warp through each, the weft wound round the pegs.

    Attributes:
        pegs: pegs in the plank.
        spacing: from one peg to the next (the pitch of the pegs).
        knot: yarn left at each end of a warp to knot.
    """

    kind: ClassVar[str] = "plank"
    name: str = ""
    pegs: int = 24
    spacing: Length = Length.of(1, "in")
    knot: Length = Length.of(6, "in")

    @property
    def widest(self) -> Length:
        """The widest rug, every peg in use."""
        return self.spacing * self.pegs


Loom = FrameLoom | ShaftLoom | PlankLoom
_USUAL: Final[dict[str, dict[str, Loom]]] = {
    "imperial": {"frame": FrameLoom(), "shaft": ShaftLoom(), "plank": PlankLoom()},
    "metric": {
        "frame": FrameLoom(
            spacing=Length.of("2.5", "cm"),
            length=Length.of(95, "cm"),
            turn=Length.of("2.5", "cm"),
            tail=Length.of(25, "cm"),
        ),
        "shaft": ShaftLoom(
            sett=Sett(Decimal(5), "cm"),
            width=Length.of(90, "cm"),
            waste=Length.of(70, "cm"),
            hem=Length.of(8, "cm"),
        ),
        "plank": PlankLoom(spacing=Length.of("2.5", "cm"), knot=Length.of(15, "cm")),
    },
}


def usual_loom(kind: str, units: str) -> Loom:
    """A loom of a kind, all of it a starting guess, in round figures of the shop's units.

    Args:
        kind: ``frame``, ``shaft`` or ``plank``.
        units: ``imperial`` or ``metric``.
    """
    return _USUAL[units][kind]


@dataclass(frozen=True, slots=True)
class Size:
    """Width and length of a rug."""

    width: Length
    length: Length


@dataclass(frozen=True, slots=True)
class Fit:
    """How a loom makes a rug.

    Attributes:
        size: what the finished rug measures; on pegs its width is a whole number of them.
        panels: 1, or how many equal panels are woven and seamed side by side.
        panel_width: the width of each panel.
        pegs: pegs used for a panel; 0 on a shaft loom.
    """

    size: Size
    panels: int
    panel_width: Length
    pegs: int


CUSTOMARY_SIZES: Final[dict[str, tuple[Size, ...]]] = {
    "imperial": tuple(
        Size(Length.of(width, "in"), Length.of(length, "in"))
        for width, length in ((20, 30), (24, 36), (27, 45), (30, 48), (36, 60), (48, 72), (24, 72), (30, 96), (60, 96))
    ),
    "metric": tuple(
        Size(Length.of(width, "cm"), Length.of(length, "cm"))
        for width, length in ((50, 80), (60, 90), (70, 140), (80, 150), (120, 180), (70, 200), (80, 250), (140, 200))
    ),
}
"""Sizes that customers usually ask for: mats, rugs and runners (common practice)."""


def fit(loom: Loom, asked: Size) -> Fit:
    """How this loom makes a rug of the size asked for.

    A rug wider than the loom is woven in ``ceil(width / widest)`` equal panels. On pegs the width goes
    up to the next whole peg, ``ceil(width / spacing)``.

    Raises:
        CannotMake: ``rug.small``, ``rug.width_large`` or ``rug.length_large`` beyond reason;
            ``loom.length`` when a frame has no such length, its value ``nearest`` holding the sizes that
            it can make.
    """
    _within_reason(asked)
    widest = loom.widest
    if widest.nm <= 0:
        raise CannotMake(Problem("loom.no_width", "loom"))
    panels = -(-asked.width.nm // widest.nm)
    panel = Length(-(-asked.width.nm // panels))
    if isinstance(loom, ShaftLoom):
        return Fit(asked, panels, panel, 0)
    pegs = min(loom.pegs, ceil_count(panel.nm / loom.spacing.nm))
    panel = loom.spacing * pegs
    length = asked.length
    if isinstance(loom, FrameLoom):
        nearest = sorted(loom.lengths, key=lambda own: (abs(own.nm - asked.length.nm), own))
        length = nearest[0]
        if abs(length.nm - asked.length.nm) > TAPE_SLACK.nm:
            sizes = tuple(Size(panel * panels, own) for own in sorted(nearest[:2]))
            raise CannotMake(Problem("loom.length", "rug.length", {"length": asked.length, "nearest": sizes}))
    return Fit(Size(panel * panels, length), panels, panel, pegs)


def _within_reason(asked: Size) -> None:
    problems = []
    for side, value, most in (("width", asked.width, WIDEST), ("length", asked.length, LONGEST)):
        if value < SMALLEST:
            problems.append(Problem("rug.small", f"rug.{side}", {"least": SMALLEST}))
        elif value > most:
            problems.append(Problem(f"rug.{side}_large", f"rug.{side}", {"most": most}))
    if problems:
        raise CannotMake(*problems)


def looms_that_can(looms: tuple[Loom, ...], asked: Size) -> list[tuple[Loom, Fit | CannotMake]]:
    """For each loom, how it makes the rug, or why it cannot; in the order given.

    Where any loom makes the rug in one piece, the page offers that one first; seaming stays possible.
    """
    answers: list[tuple[Loom, Fit | CannotMake]] = []
    for loom in looms:
        try:
            answers.append((loom, fit(loom, asked)))
        except CannotMake as refusal:
            answers.append((loom, refusal))
    return answers
