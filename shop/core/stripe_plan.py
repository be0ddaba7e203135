"""A stripe plan: bands in the order that the weaver thinks of them, laid out as whole rows that fill the rug.

A band is of one cloth, or of two that take turns pick by pick, or of a family of cloths in the order of a kept number. It
is so many rows, or so long, or such a share of the rug, or whatever is left. The bands of the field may be repeated, or go
on to the end of the rug; borders stand at both ends; the whole may be mirrored about its middle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final

from shop.core.chance import chance_from
from shop.core.errors import NotPossible, Problem
from shop.core.measure import Length, ceil_count
from shop.core.stripes import Band

MOST_BANDS: Final = 40
"""Bands that a plan may name."""
MOST_LAID: Final = 2000
"""Bands that a rug may come to, repeats and all."""
WHERE: Final = "stripe"
TINY: Final = 1e-9
LEAST: Final = 0.5
"""Of a row: a band that is thinner would vanish."""


class By(Enum):
    """How it is said how long a band is."""

    ROWS = "rows"
    LENGTH = "length"
    SHARE = "share"
    REST = "rest"
    """Whatever the others leave, in equal parts where several bands say so."""


class Turn(Enum):
    """How the cloths of a band take turns."""

    ALONE = "alone"
    PICK = "pick"
    """Two cloths, one row of each."""
    CHANCE = "chance"
    """Small bands of a family of cloths, in an order that its number decides, and always the same for one number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BandAsked:
    """A band as it is asked for.

    Attributes:
        cloths: their places in the rug's list: one; two that take turns; a family.
        by: how its length is said.
        amount: whole rows, millimetres of the length to fill, or a share of it as a part of one; 0 for the rest.
        border: it stands at both ends of the rug, the first of the borders outermost.
        turn: how its cloths take turns.
        seed: of an order by chance.
        least, most: rows of one small band in an order by chance.
    """

    cloths: tuple[int, ...]
    by: By
    amount: float = 0.0
    border: bool = False
    turn: Turn = Turn.ALONE
    seed: int = 0
    least: int = 2
    most: int = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class StripePlan:
    """The bands of a rug as they are asked for.

    Attributes:
        bands: from the end that is woven first.
        repeats: how often those that are no border come one after another.
        to_the_end: they come again until the rug is full, the last as far as it goes; ``repeats`` says nothing then.
        mirrored: what is asked for is one half; its last band is the middle, and then it goes back.
    """

    bands: tuple[BandAsked, ...]
    repeats: int = 1
    to_the_end: bool = False
    mirrored: bool = False


@dataclass(slots=True, eq=False)
class _Run:
    """A band on its way to whole rows.

    Attributes:
        cloths: one, or two that take turns.
        rows: of one of its times; not yet whole unless they are fixed.
        times: how often it stands in the rug: twice where it is mirrored or a border.
        fixed: its rows were asked for, and stay.
    """

    cloths: tuple[int, ...]
    rows: float
    times: int
    fixed: bool


def lay_out(plan: StripePlan, pitches: Sequence[float], woven_mm: float) -> tuple[Band, ...]:
    """The bands in weaving order, in whole rows; together they fill the woven length.

    Each band by length, share or rest has its rows counted down or up to a whole number (largest remainder), a band by
    rows has just those; what is mirrored is the same from both ends.

    Args:
        plan: what is asked for.
        pitches: how far a row of each cloth takes up, in millimetres.
        woven_mm: the length to fill.

    Raises:
        NotPossible: ``stripes.none`` without bands; ``stripes.over`` or ``stripes.under`` when they do not fill the
            length, ``stripes.no_rest`` when nothing is left for a band of the rest, ``stripes.many`` for too many,
            ``stripes.endless`` for going on to the end with bands that have no length of their own, ``stripes.no_field``
            for borders alone, ``stripes.border_rest`` for a border of what is left, ``stripes.thin`` for a band that is
            narrower than half a row.
    """
    if not plan.bands:
        raise NotPossible(Problem("stripes.none", WHERE))
    borders = [band for band in plan.bands if band.border]
    field = [band for band in plan.bands if not band.border]
    if not field:
        raise NotPossible(Problem("stripes.no_field", WHERE))
    edge = [_run for band in borders for _run in _runs(band, _length(band, pitches, woven_mm), pitches, 2)]
    edge_mm = _reach(edge, pitches)
    if plan.to_the_end:
        middle = _to_the_end(plan, field, pitches, woven_mm, woven_mm - edge_mm)
    else:
        middle = _repeated(plan, field, pitches, woven_mm, woven_mm - edge_mm)
    runs = _made_whole([*edge, *middle], pitches, woven_mm)
    border, inner = runs[: len(edge)], runs[len(edge) :]
    back = inner[-2::-1] if plan.mirrored else []
    laid = [*border, *inner, *back, *border[::-1]]
    return _bands(laid, pitches)


def rows_of_cloths(bands: Sequence[Band], cloths: int) -> list[int]:
    """The rows of each cloth in all bands together; of two that take turns, the first has the odd one."""
    rows = [0] * cloths
    for band in bands:
        if band.second is None:
            rows[band.cloth] += band.rows
        else:
            rows[band.cloth] += (band.rows + 1) // 2
            rows[band.second] += band.rows // 2
    return rows


def _pitch(cloths: Sequence[int], pitches: Sequence[float]) -> float:
    return math.fsum(pitches[one] for one in cloths) / len(cloths)


def _reach(runs: Sequence[_Run], pitches: Sequence[float]) -> float:
    return math.fsum(run.rows * run.times * _pitch(run.cloths, pitches) for run in runs)


def _length(band: BandAsked, pitches: Sequence[float], woven_mm: float) -> float:
    """Millimetres of a band; of one by rows, about so many; of the rest, nothing yet."""
    if band.by is By.ROWS:
        return band.amount * _pitch(band.cloths, pitches)
    if band.by is By.LENGTH:
        return band.amount
    if band.by is By.SHARE:
        return band.amount * woven_mm
    if band.border:
        raise NotPossible(Problem("stripes.border_rest", WHERE))
    return 0.0


def _repeated(
    plan: StripePlan, field: Sequence[BandAsked], pitches: Sequence[float], woven_mm: float, room_mm: float
) -> list[_Run]:
    """The field so many times, what is left shared out to the bands of the rest."""
    if len(field) * plan.repeats > MOST_LAID:
        raise NotPossible(Problem("stripes.many", WHERE, {"most": MOST_LAID}))
    order = list(field) * plan.repeats
    times = [2 if plan.mirrored else 1] * len(order)
    times[-1] = 1
    lengths = [_length(band, pitches, woven_mm) for band in order]
    used = math.fsum(length * count for length, count in zip(lengths, times, strict=True))
    rests = sum(count for band, count in zip(order, times, strict=True) if band.by is By.REST)
    left, row = room_mm - used, max(pitches)
    if left < -max(row, woven_mm / 100):
        raise NotPossible(Problem("stripes.over", WHERE, {"over": Length.of(-left, "mm")}))
    if rests:
        if left < rests * min(pitches) / 2:
            raise NotPossible(Problem("stripes.no_rest", WHERE))
        lengths = [left / rests if band.by is By.REST else mm for band, mm in zip(order, lengths, strict=True)]
    elif left > max(row, woven_mm / 100):
        raise NotPossible(Problem("stripes.under", WHERE, {"under": Length.of(left, "mm")}))
    runs: list[_Run] = []
    for place, (band, length, count) in enumerate(zip(order, lengths, times, strict=True)):
        middle = plan.mirrored and place == len(order) - 1
        runs += _middle(band, length, pitches, place) if middle else _runs(band, length, pitches, count, turn=place)
    return runs


def _middle(band: BandAsked, length: float, pitches: Sequence[float], turn: int) -> list[_Run]:
    """The middle band of what is mirrored; what chance divides it into is mirrored too, its last the very middle."""
    half = replace(band, amount=band.amount / 2) if band.by is By.ROWS else band
    runs = _runs(half, length / 2, pitches, 2, turn=turn)
    runs[-1].rows, runs[-1].times = runs[-1].rows * 2, 1
    return runs


def _to_the_end(
    plan: StripePlan, field: Sequence[BandAsked], pitches: Sequence[float], woven_mm: float, room_mm: float
) -> list[_Run]:
    """The field again and again until the room is full."""
    if any(band.by is By.REST for band in field) or not sum(_length(band, pitches, woven_mm) for band in field):
        raise NotPossible(Problem("stripes.endless", WHERE))
    if room_mm < min(pitches):
        raise NotPossible(Problem("stripes.over", WHERE, {"over": Length.of(min(pitches) - room_mm, "mm")}))
    both = 2 if plan.mirrored else 1
    runs: list[_Run] = []
    left, turn = room_mm, 0
    while True:
        for band in field:
            for run in _runs(band, _length(band, pitches, woven_mm), pitches, both, turn=turn):
                long = _reach([run], pitches)
                pitch = _pitch(run.cloths, pitches)
                if long >= left - pitch / 2 or len(runs) >= MOST_LAID:
                    runs.append(_Run(run.cloths, left / pitch, 1, fixed=False))
                    return runs
                runs.append(run)
                left -= long
            turn += 1


def _runs(band: BandAsked, length: float, pitches: Sequence[float], times: int, turn: int = 0) -> list[_Run]:
    """A band as what is woven without a change: itself, or the small bands that chance divides it into."""
    fixed = band.by is By.ROWS
    if band.turn is not Turn.CHANCE or len(band.cloths) == 1:
        rows = band.amount if fixed else length / _pitch(band.cloths, pitches)
        if rows < LEAST:
            raise NotPossible(Problem("stripes.thin", WHERE, {"row": Length.of(_pitch(band.cloths, pitches), "mm")}))
        return [_Run(band.cloths, rows, times, fixed)]
    runs: list[_Run] = []
    chance = chance_from(band.seed + turn * 7919)
    before, left = -1, band.amount if fixed else length
    while left > 0:
        others = [one for one in dict.fromkeys(band.cloths) if one != before] or [before]
        before = others[next(chance) % len(others)]
        rows = band.least + next(chance) % (max(band.most, band.least) - band.least + 1)
        pitch = 1.0 if fixed else pitches[before]
        if rows * pitch >= left - max(band.least, 1) * pitch / 2 or len(runs) >= MOST_LAID:
            runs.append(_Run((before,), left / pitch, times, fixed))
            break
        runs.append(_Run((before,), float(rows), times, fixed=True))
        left -= rows * pitch
    return runs


def _made_whole(runs: Sequence[_Run], pitches: Sequence[float], woven_mm: float) -> list[_Run]:
    """The same in whole rows: the bands that are not fixed take the rug's other rows, by largest remainder.

    A run that stands twice takes two rows at a time, so where only such are left an odd row is added or, where a single
    run took one up, given back.
    """
    loose = [run for run in runs if not run.fixed]
    total = math.fsum(run.rows * run.times for run in loose)
    if total:  # what the bands lack or overrun by a row or a hundredth is borne by those that can give
        give = (woven_mm - _reach(runs, pitches)) / _reach(loose, pitches)
        if give < -0.5:
            raise NotPossible(Problem("stripes.no_rest", WHERE))
        for run in loose:
            run.rows *= 1 + give
        total = math.fsum(run.rows * run.times for run in loose)
    whole = {run: math.floor(run.rows + TINY) for run in loose}
    raised: set[_Run] = set()
    missing = ceil_count(total) - sum(whole[run] * run.times for run in loose)
    by_remainder = sorted((run for run in loose if run.rows - whole[run] > TINY), key=lambda run: whole[run] - run.rows)
    for run in by_remainder:
        if run.times <= missing:
            whole[run] += 1
            missing -= run.times
            raised.add(run)
    pair = next((run for run in by_remainder if run.times > 1 and run not in raised), None)
    if missing > 0 and pair is not None:
        whole[pair] += 1
        single = next((run for run in reversed(by_remainder) if run.times == 1 and run in raised), None)
        if single is not None:
            whole[single] -= 1
    return [
        _Run(run.cloths, float(round(run.rows) if run.fixed else whole[run]), run.times, fixed=True)
        for run in runs
    ]


def _bands(runs: Sequence[_Run], pitches: Sequence[float]) -> tuple[Band, ...]:
    """Runs in weaving order as bands, neighbours of one cloth as one, those without a row left out."""
    reach = [run.rows * _pitch(run.cloths, pitches) for run in runs]
    whole = math.fsum(reach)
    found: list[Band] = []
    for run, mm in zip(runs, reach, strict=True):
        if not run.rows:
            continue
        second = run.cloths[1] if len(run.cloths) > 1 else None
        share = mm / whole
        if found and second is None and found[-1].second is None and found[-1].cloth == run.cloths[0]:
            before = found.pop()
            found.append(Band(before.cloth, before.rows + int(run.rows), before.share + share))
        else:
            found.append(Band(run.cloths[0], int(run.rows), share, second))
    return tuple(found)
