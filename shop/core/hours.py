"""Hours: what each step of a rug takes.

Steps: wash and sort, cut or tear, warp, weave, finish, and the office (the quote, photographs, packing).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Final

from shop.core.spread import Estimate, sure
from shop.core.strips import Tool

STEPS: Final = ("wash", "cut", "warp", "weave", "finish", "office")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How fast the shop works: minutes for each unit of each step. The defaults are starting guesses.

    Attributes:
        wash_per_kg: washing and sorting, for a kilogram of cloth.
        cut_tear_per_m: tearing, for a metre of strip; likewise the rotary cutter and scissors.
        warp_set_up: before the first pass or end.
        warp_per_pass: a pass of rag strip on a frame.
        warp_per_end: measuring, beaming, threading and tying one end (640 ends: 13 1/2 hours).
        weave_per_row: a row, whatever its width.
        weave_per_row_m: more for each metre of a row's width.
        band_change: changing to another cloth.
        finish_set_up: before finishing.
        finish_per_edge: an end of a rug or panel: hem, knots or fringe.
        seam_per_m: sewing panels together, for a metre of seam.
        office: quote, photographs and packing.
    """

    wash_per_kg: float = 20.0
    cut_tear_per_m: float = 0.15
    cut_rotary_per_m: float = 0.35
    cut_scissors_per_m: float = 0.8
    warp_set_up: float = 15.0
    warp_per_pass: float = 0.6
    warp_per_end: float = 1.2
    weave_per_row: float = 0.3
    weave_per_row_m: float = 2.0
    band_change: float = 1.5
    finish_set_up: float = 10.0
    finish_per_edge: float = 15.0
    seam_per_m: float = 20.0
    office: float = 45.0

    def cut_per_m(self, tool: Tool) -> float:
        """Minutes for a metre of strip by one tool."""
        paces = {
            Tool.TEAR: self.cut_tear_per_m,
            Tool.ROTARY: self.cut_rotary_per_m,
            Tool.SCISSORS: self.cut_scissors_per_m,
        }
        return paces[tool]


PACES: Final[tuple[str, ...]] = tuple(field.name for field in fields(Pace))

_BY_LOOM: Final[dict[str, dict[str, float]]] = {
    "frame": {},
    "shaft": {"warp_set_up": 45.0, "weave_per_row": 0.15, "weave_per_row_m": 0.3},
    "plank": {"warp_per_end": 0.8, "weave_per_row": 0.3, "weave_per_row_m": 1.5},
}


def pace_guess(loom_kind: str) -> Pace:
    """The starting guesses for a kind of loom: ``frame``, ``shaft`` or ``plank``.

    A shuttle goes faster than fingers: about 140 rows of rag an hour in a yard-wide shed, against 35 to 40 in a frame.
    """
    return replace(Pace(), **_BY_LOOM[loom_kind])


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What there is to do for one rug.

    Attributes:
        cloth_kg: cloth to wash.
        strip_m: strip to cut, its waste with it.
        tool: what it is cut with.
        warps: warps to set up.
        passes: passes of strip, all panels together.
        ends: ends of yarn to dress.
        rugs_on_warp: rugs that share the warp; one rug bears its part of the warping.
        rows: rows of one panel.
        panels: panels of one rug.
        row_m: the width of a row, in metres.
        band_changes: changes of cloth in one panel.
        length_m: the rug's length, for seams.
        minutes_per_row: doubt about the pace of a row, about a middle of 1.
        minutes_of: the same of whole steps, where the shop's own rugs tell it.
    """

    cloth_kg: Estimate
    strip_m: Estimate
    tool: Tool
    warps: int
    passes: int
    ends: int
    rugs_on_warp: int
    rows: Estimate
    panels: int
    row_m: float
    band_changes: int
    length_m: float
    minutes_per_row: Estimate
    minutes_of: Mapping[str, Estimate] = field(default_factory=dict)


def minutes_by_step(pace: Pace, work: Work, given: Mapping[str, float]) -> dict[str, Estimate]:
    """Minutes of each step for one rug; a step in ``given`` takes what is given there.

    ``weave = rows x (a + b x width) + band changes``; ``warp = set-up + passes or ends``, shared by the
    rugs on it; ``cut`` by the metre of strip; ``wash`` by weight; ``finish = set-up + edges + seams``.
    """
    warp = work.warps * pace.warp_set_up + work.passes * pace.warp_per_pass + work.ends * pace.warp_per_end
    row = pace.weave_per_row + pace.weave_per_row_m * work.row_m
    changes = work.panels * work.band_changes * pace.band_change
    weave = work.rows.scaled(work.panels * row).times(work.minutes_per_row)
    finish = (
        pace.finish_set_up
        + 2 * work.panels * pace.finish_per_edge
        + (work.panels - 1) * work.length_m * pace.seam_per_m
    )
    reckoned = {
        "wash": work.cloth_kg.scaled(pace.wash_per_kg),
        "cut": work.strip_m.scaled(pace.cut_per_m(work.tool)),
        "warp": sure(warp / work.rugs_on_warp),
        "weave": weave.at_middle(weave.middle + changes),
        "finish": sure(finish),
        "office": sure(pace.office),
    }
    reckoned |= {step: reckoned[step].times(doubt) for step, doubt in work.minutes_of.items()}
    return {step: sure(given[step]) if step in given else reckoned[step] for step in STEPS}
