"""A rug woven: what was marked, drawn, measured and timed of it, turned into records of the numbers of the trade.

A record is made only of what is over: cutting when the warp is being dressed, cloth and measures when the rug is off the loom.
Where the rug was weighed, take-up and waste are told apart by it; else what was drawn tells them together, and counts half.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from math import fsum, sqrt
from typing import Final

from shop.core.errors import NotPossible
from shop.core.evidence import Evidence, Grade, What
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom
from shop.core.measure import Length
from shop.core.own_figures import edges_of
from shop.core.reckoning import Reckoning
from shop.core.strips import Tool, Way, joins_in, strips_of

CUTTING_OVER: Final = ("warping", "weaving", "finishing", "ready", "handed over")
WARPING_OVER: Final = CUTTING_OVER[1:]
WEAVING_OVER: Final = CUTTING_OVER[2:]
ALL_OVER: Final = CUTTING_OVER[3:]
JOINS_SETTLE: Final = 4
"""Fewer joins are needed for the strip without what they lose; so often that is looked at again."""
ENOUGH_WOVEN: Final = 0.25
"""A rug on the loom tells of its rows when so much of it is woven."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AsPlanned:
    """What of a rug's plan its records are made with; all lengths in metres.

    Attributes:
        tool, way: that strips were made with; ``strip`` their width, ``each`` the length of one, ``join_loss`` lost at a join.
        pieces: strip that a whole piece gives, by the number of the piece.
        rows: of the whole rug; ``panels`` of it; ``row_m`` the width of a row; ``changes`` of cloth in the whole rug.
        woven_m: length woven under tension of one panel; ``length_m`` of the finished rug.
        root_mm: mean over the rows of the root of the strip's solid section, mm.
        grams_per_m: of strip, mean over the rows; ``warp_g`` the weight of the warp.
        rag_m: strip in a rag warp.
        waste: the share of strip that was thought to be lost.
        band_change: minutes for a change of cloth.
        warps, threads: warps dressed, and passes or ends of each; no threads where rugs share the warp.
        edges: to finish.
        reed_m: width in the reed; ``None`` where there is no reed.
    """

    tool: Tool
    way: Way
    strip: Length
    each: float
    join_loss: float
    pieces: Mapping[int, float]
    rows: int
    panels: int
    row_m: float
    changes: int
    woven_m: float
    length_m: float
    root_mm: float
    grams_per_m: float
    warp_g: float
    rag_m: float
    waste: float
    band_change: float
    warps: int
    threads: int
    edges: float
    reed_m: float | None


def as_planned(reckoning: Reckoning, pieces: tuple[int | None, ...]) -> AsPlanned:
    """What of a reckoning the records of its rug are made with.

    Args:
        reckoning: of the rug as it was agreed on.
        pieces: for each of its cloths the number of the piece that it was planned with.
    """
    plan, made, warp, uses = reckoning.plan, reckoning.made, reckoning.warp, reckoning.cloths
    in_panel = sum(use.rows for use in uses)
    loom = plan.loom
    shared = isinstance(loom, ShaftLoom) and plan.rugs_on_warp > 1
    return AsPlanned(
        tool=plan.tool,
        way=plan.way,
        strip=plan.strip,
        each=min(use.cut.each.metres for use in uses),
        join_loss=plan.join_loss.metres,
        pieces={number: use.cut.total.metres for number, use in zip(pieces, uses, strict=True) if number is not None},
        rows=in_panel * made.panels,
        panels=made.panels,
        row_m=made.panel_width.metres,
        changes=(len(reckoning.bands) - 1) * made.panels,
        woven_m=warp.woven.metres,
        length_m=made.size.length.metres,
        root_mm=fsum(use.rows * sqrt(use.section_mm2) for use in uses) / in_panel,
        grams_per_m=fsum(use.rows * use.cloth.grams_per_m2 for use in uses) / in_panel * plan.strip.metres,
        warp_g=reckoning.warp_g.middle,
        rag_m=warp.length_m if isinstance(loom, FrameLoom) else 0.0,
        waste=plan.waste,
        band_change=plan.pace.band_change,
        warps=made.panels if isinstance(loom, FrameLoom | PlankLoom) else 1,
        threads=0 if shared else warp.passes or warp.ends,
        edges=edges_of(made.panels, made.size.length.metres, plan.pace),
        reed_m=warp.reed_width.metres if isinstance(loom, ShaftLoom) else None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """Cloth that lies in a rug: a piece by its number, its kind and size, and the share of it."""

    piece: int
    kind: str
    width: Length
    length: Length
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Woven:
    """What happened to a rug.

    Attributes:
        source: what its records are called by.
        on: the loom by its name in the records.
        day: it was done, or begun.
        state: of its job.
        rows: marked as woven.
        drawn: cloth in it.
        minutes: spent by step.
        width, length, grams: of the finished rug; ``None`` where it was not measured or weighed.
    """

    source: str
    on: str
    day: date
    state: str
    rows: int
    drawn: tuple[Drawn, ...] = ()
    minutes: Mapping[str, float] = field(default_factory=dict)
    width: float | None = None
    length: float | None = None
    grams: float | None = None


def records_of(woven: Woven, plan: AsPlanned) -> tuple[Evidence, ...]:
    """Everything that a rug tells; what cannot be is left out, since it is a slip and no rug."""
    strip_m = {one.piece: _strip(one, plan) * one.share for one in woven.drawn}
    main = max(woven.drawn, key=lambda one: (strip_m[one.piece], -one.piece), default=None)
    kind, cloth = (main.kind, str(main.piece)) if main is not None else ("", "")
    given = {"day": woven.day, "source": woven.source}
    stuff = {"on": woven.on, "kind": kind, "cloth": cloth, **given}
    drawn_m = fsum(strip_m.values())
    found = [
        *_rows(woven, plan, stuff),
        *_off_the_loom(woven, plan, stuff, drawn_m),
        *_steps(woven, plan, {"kind": kind, "cloth": cloth, **given}, drawn_m),
    ]
    return tuple(one for one in found if one is not None)


def _strip(one: Drawn, plan: AsPlanned) -> float:
    """Strip that the whole piece gives."""
    if one.piece in plan.pieces:
        return plan.pieces[one.piece]
    try:
        return strips_of(one.width, one.length, plan.strip, plan.way, plan.tool).total.metres
    except NotPossible:
        return one.width.metres * one.length.metres / plan.strip.metres


def _seen(what: What, value: float, given: Mapping[str, object], **more: object) -> Evidence | None:
    """A record, if it can be one."""
    if what.is_pace and value <= 0:
        return None
    try:
        return Evidence(what=what, value=value, **given, **more)  # type: ignore[arg-type]
    except NotPossible:
        return None


def _rows(woven: Woven, plan: AsPlanned, stuff: Mapping[str, object]) -> list[Evidence | None]:
    """Minutes of a row: of a rug that is woven, or of one that is well begun."""
    minutes = woven.minutes.get("weave", 0.0)
    done = woven.state in WEAVING_OVER
    rows = woven.rows or (plan.rows if done else 0)
    if not minutes or woven.state not in WARPING_OVER or rows < ENOUGH_WOVEN * plan.rows:
        return []
    changes = plan.changes * min(1.0, rows / plan.rows) * plan.band_change
    grade = Grade.WHOLE if done and woven.rows else Grade.PARTIAL
    return [_seen(What.ROW, (minutes - changes) / rows, stuff, size=plan.row_m, grade=grade)]


def _off_the_loom(
    woven: Woven, plan: AsPlanned, stuff: Mapping[str, object], drawn_m: float
) -> list[Evidence | None]:
    """What the finished rug's measures tell: packing, draw-in, take-up and waste."""
    if woven.state not in WEAVING_OVER:
        return []
    found: list[Evidence | None] = []
    if woven.length and woven.rows:
        pitch_mm = 1000 * woven.length * plan.woven_m / plan.length_m * plan.panels / woven.rows
        found.append(_seen(What.PACKING, pitch_mm / plan.root_mm, stuff))
    if woven.width and plan.reed_m:
        bare = {name: value for name, value in stuff.items() if name not in ("kind", "cloth")}
        found.append(_seen(What.DRAW_IN, 1 - woven.width / plan.panels / plan.reed_m, bare))
    rows = woven.rows or plan.rows
    row_m = woven.width / plan.panels if woven.width else plan.row_m
    if woven.grams and plan.grams_per_m:
        weft = (woven.grams - plan.warp_g) / plan.grams_per_m
        grade = Grade.WHOLE if woven.rows else Grade.PARTIAL
        found.append(_take_up(weft, rows * row_m, plan, stuff, grade))
        if drawn_m:
            found.append(_seen(What.WASTE, 1 - (weft + plan.rag_m) / drawn_m, stuff))
    elif drawn_m:
        weft = drawn_m * (1 - plan.waste) - plan.rag_m
        found.append(_take_up(weft, rows * row_m, plan, stuff, Grade.PARTIAL))
    return found


def _take_up(
    weft: float, straight: float, plan: AsPlanned, stuff: Mapping[str, object], grade: Grade
) -> Evidence | None:
    """Strip in the rows over their straight length, what was lost at joins taken off."""
    if weft <= 0 or plan.each <= plan.join_loss:
        return None
    in_rows = weft
    for _ in range(JOINS_SETTLE):
        in_rows = weft - joins_in(in_rows, plan.each, plan.join_loss) * plan.join_loss
    return _seen(What.TAKE_UP, in_rows / straight, stuff, grade=grade)


def _steps(woven: Woven, plan: AsPlanned, given: Mapping[str, object], drawn_m: float) -> list[Evidence | None]:
    """Minutes of cutting, warping and finishing."""
    found: list[Evidence | None] = []
    cut, warp, finish = (woven.minutes.get(step, 0.0) for step in ("cut", "warp", "finish"))
    if cut and drawn_m and woven.state in CUTTING_OVER:
        found.append(_seen(What.CUT, cut / drawn_m, given, on=plan.tool.value))
    alike = {"day": woven.day, "source": woven.source, "on": woven.on}
    if warp and plan.threads and woven.state in WARPING_OVER:
        found.append(_seen(What.WARP, warp / plan.warps, alike, size=float(plan.threads)))
    if finish and woven.state in ALL_OVER:
        found.append(_seen(What.FINISH, finish, alike, size=plan.edges))
    return found
