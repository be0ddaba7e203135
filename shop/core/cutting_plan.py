"""Deciding a cutting plan: a mixed-integer programme, solved by HiGHS, wish after wish.

Whole numbers: strips ``x`` of each piece, one way, for each band that it may serve. Yes or no: ``y``, whether a piece is
cut that way, and ``z``, whether a band has any strip. Lengths: ``u``, what a band is short of. With ``n`` strips of length
``l`` out of a piece and a loss ``j`` at each join:

    sum over bands of x <= n y          a piece gives no more than it has
    sum over ways of y <= 1             a piece is cut one way
    z <= sum of x                       a band without strips has no first one
    sum of (l - j) x + j z + u >= need  a band is filled, or is short

The wishes are minimised in turn; each keeps what the ones before it reached. HiGHS proves a bound for each, and the gap
between the plan and the bound is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import highspy
import numpy as np
import numpy.typing as npt

from shop.core.cutting import (
    MOST_BANDS,
    MOST_PIECES,
    WAYS,
    BandToFill,
    Cutting,
    PieceToCut,
    Rules,
    Wish,
    days_young,
    reckoned,
    unrounded_cost,
    wished,
)
from shop.core.errors import Problem, Refusal
from shop.core.strips import Way

Vector = npt.NDArray[np.float64]

SMALL: Final = 1000
"""Whole numbers in a programme up to which it is solved to the very best; beyond, to within ``NEAR``."""
NEAR: Final = 0.01
SLACK: Final = 1e-7
"""A tenth of a micrometre, or of a thousandth of a cent: what a solver's arithmetic may be off by."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One wish, minimised.

    Attributes:
        wish: what was kept small.
        objective: what the plan has of it.
        bound: what no plan can go below, given what the wishes before it reached.
        proven: the solver ended by itself, and was not stopped by the clock.
    """

    wish: Wish
    objective: float
    bound: float
    proven: bool

    @property
    def gap(self) -> float:
        """How far the plan may be from the best, as a share of what it has."""
        if self.objective <= SLACK:
            return 0.0
        return max(0.0, (self.objective - self.bound) / self.objective)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A cutting plan, and how good it is known to be, wish by wish."""

    cutting: Cutting
    stages: tuple[Stage, ...]

    @property
    def gap(self) -> float:
        """The widest gap of any wish."""
        return max((stage.gap for stage in self.stages), default=0.0)


def plan_cutting(
    pieces: Sequence[PieceToCut],
    bands: Sequence[BandToFill],
    rules: Rules,
    *,
    currency: str,
    seconds: float = 20.0,
) -> Plan:
    """The best plan that is found in so many seconds for all wishes together, with its proof.

    Args:
        pieces: that may be cut; every strip of a piece that could serve no band is left alone.
        bands: to be filled.
        rules: how pieces are cut and joined, and what is kept small.
        currency: of all costs.
        seconds: after which the best plan so far is taken.

    Raises:
        Refusal: ``cutting.strip`` for a strip of no width, ``cutting.many`` for too many pieces or bands.
    """
    if rules.strip.nm <= 0:
        raise Refusal(Problem("cutting.strip", "plan.strip"))
    if len(pieces) > MOST_PIECES or len(bands) > MOST_BANDS:
        raise Refusal(Problem("cutting.many", values={"pieces": MOST_PIECES, "bands": MOST_BANDS}))
    wishes = rules.prefer if Wish.SHORT in rules.prefer else (Wish.SHORT, *rules.prefer)
    programme = _Programme(pieces, bands, rules)
    stages: list[Stage] = []
    chosen: dict[tuple[int, int, Way], int] = {}
    last = len(wishes) - 1
    for place, wish in enumerate(wishes):
        found = programme.minimise(wish, seconds=seconds * (0.5 if place < last else 1.0))
        seconds = max(0.2, seconds - found.seconds)
        if found.chosen is not None:
            chosen = found.chosen
        cutting = reckoned(pieces, bands, rules, chosen, currency=currency)
        reached = wished(cutting, pieces, bands, wish, rules)
        stages.append(
            Stage(wish=wish, objective=reached, bound=min(found.bound, reached), proven=found.proven)
        )
        programme.hold(wish, reached)
    return Plan(cutting=cutting, stages=tuple(stages))


def relaxed(
    pieces: Sequence[PieceToCut], bands: Sequence[BandToFill], rules: Rules, wish: Wish
) -> float:
    """What no plan can go below, of one wish, with as little as possible short: strips and ways need not be whole.

    Returns:
        the least of it, in the units of ``shop.core.cutting.wished``.
    """
    programme = _Programme(pieces, bands, rules, whole=False)
    least = programme.minimise(Wish.SHORT, seconds=60.0).bound
    if wish is Wish.SHORT:
        return least
    programme.hold(Wish.SHORT, least)
    return programme.minimise(wish, seconds=60.0).bound


@dataclass(frozen=True, slots=True)
class _Found:
    chosen: dict[tuple[int, int, Way], int] | None
    bound: float
    proven: bool
    seconds: float


class _Programme:
    """The programme in HiGHS's own form: columns x, then y, z and u."""

    def __init__(
        self, pieces: Sequence[PieceToCut], bands: Sequence[BandToFill], rules: Rules, *, whole: bool = True
    ) -> None:
        self.pieces, self.bands, self.rules, self.whole = pieces, bands, rules, whole
        serves: dict[int, list[int]] = {}
        for place, band in enumerate(bands):
            for piece in band.pieces:
                serves.setdefault(piece, []).append(place)
        self.cut_ways = [
            (piece, way) for piece in sorted(serves) for way in _ways(pieces[piece], rules)
        ]
        self.strips = [
            (piece, band, way, at) for at, (piece, way) in enumerate(self.cut_ways) for band in serves[piece]
        ]
        self.x, self.y = len(self.strips), len(self.cut_ways)
        self.size = self.x + self.y + 2 * len(bands)
        self.solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
        self.solver.setOptionValue("output_flag", False)  # noqa: FBT003 - HiGHS's own form
        self.solver.setOptionValue("threads", 1)
        self.solver.setOptionValue("mip_abs_gap", SLACK)
        self.solver.setOptionValue("mip_feasibility_tolerance", 1e-9)
        self.solver.setOptionValue("primal_feasibility_tolerance", 1e-9)
        self._columns()
        self._rows()
        self._last: Vector | None = None
        self._cost, self._offset = np.zeros(self.size), 0.0

    def _columns(self) -> None:
        upper = np.empty(self.size)
        for at, (piece, _, way, _) in enumerate(self.strips):
            upper[at] = self.pieces[piece].strips(way, self.rules)
        upper[self.x : self.x + self.y + len(self.bands)] = 1.0
        upper[self._u(0) :] = [band.need.metres for band in self.bands]
        empty = np.empty(0, dtype=np.int32)
        self.solver.addCols(self.size, np.zeros(self.size), np.zeros(self.size), upper, 0, empty, empty, np.empty(0))
        whole = np.arange(self._u(0) if self.whole else 0, dtype=np.int32)
        kinds = np.full(len(whole), highspy.HighsVarType.kInteger)
        self.solver.changeColsIntegrality(len(whole), whole, kinds)

    def _z(self, band: int) -> int:
        return self.x + self.y + band

    def _u(self, band: int) -> int:
        return self.x + self.y + len(self.bands) + band

    def _rows(self) -> None:
        by_way: dict[int, list[int]] = {}
        by_band: dict[int, list[int]] = {}
        for at, (_, band, _, way_at) in enumerate(self.strips):
            by_way.setdefault(way_at, []).append(at)
            by_band.setdefault(band, []).append(at)
        for way_at, columns in by_way.items():
            piece, way = self.cut_ways[way_at]
            has = self.pieces[piece].strips(way, self.rules)
            self._row(-np.inf, 0.0, [*columns, self.x + way_at], [*([1.0] * len(columns)), -float(has)])
        ways_of: dict[int, list[int]] = {}
        for way_at, (piece, _) in enumerate(self.cut_ways):
            ways_of.setdefault(piece, []).append(self.x + way_at)
        for columns in ways_of.values():
            self._row(-np.inf, 1.0, columns, [1.0] * len(columns))
        loss = self.rules.join_loss.metres
        for band, wanted in enumerate(self.bands):
            columns = by_band.get(band, [])
            self._row(0.0, np.inf, [*columns, self._z(band)], [*([1.0] * len(columns)), -1.0])
            lengths = [self._each(at) - loss for at in columns]
            ends = [self._z(band), self._u(band)]
            self._row(wanted.need.metres, np.inf, [*columns, *ends], [*lengths, loss, 1.0])

    def _each(self, at: int) -> float:
        piece, _, way, _ = self.strips[at]
        return self.pieces[piece].each(way).metres

    def _row(self, low: float, high: float, columns: Sequence[int], values: Sequence[float]) -> None:
        where = np.array(columns, dtype=np.int32)
        self.solver.addRow(low, high, len(columns), where, np.array(values, dtype=np.float64))

    def costs(self, wish: Wish) -> Vector:
        """What each column adds to what is kept small."""
        cost = np.zeros(self.size)
        if wish is Wish.SHORT:
            cost[self._u(0) :] = 1.0
        elif wish is Wish.JOINS:
            cost[: self.x] = 1.0
            cost[self._z(0) : self._u(0)] = -1.0
        elif wish is Wish.LEFT_OVER:
            cost[self._u(0) :] = 1.0
            for at, (piece, way) in enumerate(self.cut_ways):
                one = self.pieces[piece]
                cost[self.x + at] = one.each(way).metres * one.strips(way, self.rules)
        elif wish is Wish.AGE:
            days = days_young(self.pieces)
            cost[: self.x] = [self._each(at) * days[self.strips[at][0]] for at in range(self.x)]
        else:
            cost[: self.x] = [
                unrounded_cost(self.pieces[piece], way, self.rules) for piece, _, way, _ in self.strips
            ]
        return cost

    def fixed(self, wish: Wish) -> float:
        """What is kept small, over and above its columns."""
        return -sum(band.need.metres for band in self.bands) if wish is Wish.LEFT_OVER else 0.0

    def minimise(self, wish: Wish, *, seconds: float) -> _Found:
        """Minimise one wish among the plans that are still allowed: near the best, then, in a small one, to the best."""
        self._cost, self._offset = self.costs(wish), self.fixed(wish)
        self.solver.changeColsCost(self.size, np.arange(self.size, dtype=np.int32), self._cost)
        self.solver.changeObjectiveOffset(self._offset)
        found = self._solved(NEAR, seconds)
        rest = min(seconds - found.seconds, seconds / 4)
        if not self.whole or self.x + self.y > SMALL or not found.proven or rest <= 0:
            return found
        better = self._solved(0.0, rest)
        return _Found(
            better.chosen or found.chosen,
            max(found.bound, better.bound),
            proven=True,
            seconds=found.seconds + better.seconds,
        )

    def _solved(self, gap: float, seconds: float) -> _Found:
        """The best that the solver finds in so many seconds, beginning from the plan before."""
        before = self.solver.getRunTime()
        self.solver.setOptionValue("mip_rel_gap", gap)
        self.solver.setOptionValue("time_limit", seconds)
        if self._last is not None and self.whole:
            solution = highspy.HighsSolution()
            solution.col_value = list(self._last)
            self.solver.setSolution(solution)
        self.solver.run()
        if self._last is not None and not self._is_what_it_says():
            self.solver.clearSolver()
            self.solver.run()
        took = max(0.0, self.solver.getRunTime() - before)
        info = self.solver.getInfo()
        bound = float(info.mip_dual_bound if self.whole and self.x else info.objective_function_value)
        bound = max(0.0, bound) if np.isfinite(bound) else 0.0
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return _Found(None, bound, proven=False, seconds=took)
        self._last = np.array(self.solver.getSolution().col_value)
        chosen = {
            (piece, band, way): round(self._last[at]) for at, (piece, band, way, _) in enumerate(self.strips)
        }
        proven = self.solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return _Found(chosen, bound, proven=proven, seconds=took)

    def _is_what_it_says(self) -> bool:
        """Whether the plan that the solver hands back has the objective that it tells.

        Begun from a plan that presolving makes superfluous, HiGHS may hand that plan back with the objective of a better one.
        """
        info = self.solver.getInfo()
        if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
            return True
        values = np.array(self.solver.getSolution().col_value)
        told, found = float(info.objective_function_value), float(self._cost @ values) + self._offset
        return abs(told - found) <= 1e-6 * max(1.0, abs(told))

    def hold(self, wish: Wish, reached: float) -> None:
        """Keep what was reached: no plan after this may have more of it."""
        cost = self.costs(wish)
        columns = np.flatnonzero(cost)
        if len(columns):
            self._row(-np.inf, reached - self.fixed(wish) + SLACK, [int(one) for one in columns], [float(cost[one]) for one in columns])


def _ways(piece: PieceToCut, rules: Rules) -> list[Way]:
    """The ways in which a piece gives any strip; a square is the same both ways."""
    ways = WAYS[:1] if piece.width == piece.length else WAYS
    return [way for way in ways if piece.strips(way, rules)]
