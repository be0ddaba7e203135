"""What to measure next: the one quick measurement that would lessen the doubt in a planned rug's cost most."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.evidence import What
from shop.core.next_measurement import Measurement, gains
from shop.usecases.describing import kinds_in
from shop.usecases.own_figures import rug_for
from shop.usecases.planning import Planned, loom_for

WORTH_IT: Final = 0.03
"""A measurement that spares less of the spread is not worth the telling."""
_QUICKLY: Final = (What.PACKING, What.TAKE_UP, What.WASTE, What.ROW, What.CUT)
"""Numbers that are quickly measured at the loom or the table."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """The measurement that is worth most: what it tells, on which loom or by which tool, and the share of the spread it spares."""

    what: What
    on: str
    kind: str
    cloth: str
    spared: float


def worth_measuring(plan: Planned) -> Worth | None:
    """What to measure now for the sake of a planned rug; ``None`` where nothing would help."""
    if plan.reckoning is None or plan.room.says is None:
        return None
    card = loom_for(plan.answers, plan.chosen.loom_id)
    rug = rug_for(plan.room.paces, plan.chosen, card, kinds_in(plan.room))
    if rug is None:
        return None
    learned = plan.room.says.learned
    asked = {what: rug.question(what) for what in _QUICKLY}
    told = {what: question for what, question in asked.items() if (what, question.on) in learned.guesses}
    if "rows_per_inch" in plan.document.get("weft", {}):  # type: ignore[operator]
        told.pop(What.PACKING, None)
    found = gains(
        learned,
        plan.reckoning.cost_total,
        {what.value: question for what, question in told.items()},
        [Measurement(question=question) for question in told.values()],
    )
    best = next(iter(found), None)
    if best is None or best.spared < WORTH_IT:
        return None
    question = best.measurement.question
    return Worth(what=question.what, on=question.on, kind=question.kind, cloth=question.cloth, spared=best.spared)
