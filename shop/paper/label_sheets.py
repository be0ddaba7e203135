"""Sheets of labels: how big the labels are, how many there are, and where on the paper each one lies.

Most are sold ready cut; the plain ones are any paper, to be cut along marks. Their measures are what such sheets
commonly have, told from memory: a weaver lays a printed sheet on the labels and looks, before using them.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.words import Words, mark
from shop.words.locales import prefers_letter

PAPERS: Final[dict[str, tuple[Fraction, Fraction]]] = {
    "a4": (Fraction(210), Fraction(297)),
    "us-letter": (Fraction("215.9"), Fraction("279.4")),
}
"""Width and height of a paper, in millimetres: ISO 216, and 8 1/2 by 11 in."""
PAPER_NAMES: Final[dict[str, str]] = {"a4": mark("A4"), "us-letter": mark("Letter")}
MM_PER_UNIT: Final[dict[str, Fraction]] = {"mm": Fraction(1), "in": Fraction("25.4")}


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """A sheet of labels, measured in millimetres or in inches as its paper is.

    Attributes:
        key: by which it is chosen.
        paper: ``a4`` or ``us-letter``.
        unit: of all its measures: ``mm`` or ``in``.
        across, down: how many labels there are in a row and in a column.
        width, height: of one label.
        left, top: from the paper's corner to the first label.
        step_across, step_down: from the beginning of a label to that of the next.
        to_cut: plain paper, to be cut along marks.
    """

    key: str
    paper: str
    unit: str
    across: int
    down: int
    width: Fraction
    height: Fraction
    left: Fraction
    top: Fraction
    step_across: Fraction
    step_down: Fraction
    to_cut: bool

    @property
    def count(self) -> int:
        """How many labels are on a sheet."""
        return self.across * self.down

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the paper, in millimetres."""
        width, height = PAPERS[self.paper]
        return float(width), float(height)

    def millimetres(self, measure: Fraction) -> float:
        """One of its measures in millimetres."""
        return float(measure * MM_PER_UNIT[self.unit])

    def corner(self, place: int) -> tuple[float, float]:
        """Where a label begins, in millimetres from the paper's upper left corner; 0 is the first, then row by row."""
        row, column = divmod(place, self.across)
        return (
            self.millimetres(self.left + column * self.step_across),
            self.millimetres(self.top + row * self.step_down),
        )


def _sheet(
    paper: str,
    grid: tuple[int, int],
    label: tuple[str, str],
    corner: tuple[str, str],
    step: tuple[str, str] | None = None,
) -> LabelSheet:
    """A sheet from its measures as they are written; labels to be cut lie edge to edge, so they need no step."""
    width, height = map(Fraction, label)
    across, down = map(Fraction, step or label)
    return LabelSheet(
        key=f"{paper.removeprefix('us-')}-{grid[0] * grid[1]}",
        paper=paper,
        unit="mm" if paper == "a4" else "in",
        across=grid[0],
        down=grid[1],
        width=width,
        height=height,
        left=Fraction(corner[0]),
        top=Fraction(corner[1]),
        step_across=across,
        step_down=down,
        to_cut=step is None,
    )


_ALL: Final = (
    _sheet("a4", (3, 8), ("63.5", "33.9"), ("7.25", "12.9"), ("66", "33.9")),
    _sheet("a4", (3, 7), ("63.5", "38.1"), ("7.25", "15.15"), ("66", "38.1")),
    _sheet("a4", (5, 13), ("38.1", "21.2"), ("4.75", "10.7"), ("40.6", "21.2")),
    _sheet("a4", (2, 4), ("99.1", "67.7"), ("4.65", "13.1"), ("101.6", "67.7")),
    _sheet("a4", (3, 6), ("60", "45"), ("15", "13.5")),
    _sheet("us-letter", (3, 10), ("21/8", "1"), ("3/16", "1/2"), ("11/4", "1")),
    _sheet("us-letter", (2, 5), ("4", "2"), ("5/32", "1/2"), ("67/16", "2")),
    _sheet("us-letter", (2, 3), ("4", "10/3"), ("5/32", "1/2"), ("67/16", "10/3")),
    _sheet("us-letter", (3, 5), ("5/2", "2"), ("1/2", "1/2")),
)
SHEETS: Final[dict[str, LabelSheet]] = {sheet.key: sheet for sheet in _ALL}
"""Every sheet of labels, by its key; of each paper the most usual first, the plain one last."""


def usual_sheet(words: Words) -> LabelSheet:
    """The sheet that a shop of this country begins with."""
    return SHEETS["letter-30" if prefers_letter(words.locale) else "a4-24"]


def offered_sheets(words: Words) -> tuple[LabelSheet, ...]:
    """Every sheet, those of the country's own paper first."""
    own = usual_sheet(words).paper
    return tuple(sorted(_ALL, key=lambda sheet: sheet.paper != own))


def sheet_name(sheet: LabelSheet, words: Words) -> str:
    """What a sheet is called: ``24 labels of 63.5 × 33.9 mm on A4``, ``30 labels of 2 5/8 × 1 in on Letter``."""
    values = {
        "n": words.number(sheet.count),
        "size": _size(sheet, words),
        "paper": words.say(PAPER_NAMES[sheet.paper]),
    }
    if sheet.to_cut:
        return words.say("%(n)s labels of %(size)s on plain %(paper)s, to cut", **values)
    return words.say("%(n)s labels of %(size)s on %(paper)s", **values)


def _size(sheet: LabelSheet, words: Words) -> str:
    """The size of a label in its own unit, whatever the shop's: it is what stands on the box."""
    if sheet.unit == "in":
        width, height = (_inches(measure) for measure in (sheet.width, sheet.height))
        return words.say("%(width)s × %(height)s in", width=width, height=height)
    width, height = (words.number(float(each), 1, trimmed=True) for each in (sheet.width, sheet.height))
    return words.say("%(width)s × %(height)s mm", width=width, height=height)


def _inches(measure: Fraction) -> str:
    whole, rest = divmod(measure, 1)
    return " ".join(str(part) for part in (whole, rest) if part)
