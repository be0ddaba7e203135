"""The rug that a job is for: as the quote that it was begun from described it on that day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from shop.core.described import plan_of
from shop.core.errors import Problem, Refusal
from shop.core.reckon import reckon
from shop.core.reckoning import Reckoning
from shop.core.strips import Tool
from shop.store import job as job_table
from shop.usecases.chosen import read_back


@dataclass(frozen=True, slots=True, kw_only=True)
class RugOfJob:
    """What a job is to become.

    Attributes:
        reckoning: all that it comes to.
        pieces: for each of its cloths the number of the piece that it was planned with; ``None`` for cloth still to buy.
    """

    reckoning: Reckoning
    pieces: tuple[int | None, ...]

    @property
    def torn(self) -> bool:
        """Its strips are torn, where the cloth tears."""
        return self.reckoning.plan.tool is Tool.TEAR


def rug_of(row: job_table.Job) -> RugOfJob | None:
    """The rug of a job; ``None`` where it was begun without a quote.

    Raises:
        Refusal: ``job.unreadable`` when what it was reckoned from can no longer be read.
    """
    if row.described is None:
        return None
    try:
        kept = cast("Mapping[str, object]", row.described)
        reckoning = reckon(plan_of(cast("Mapping[str, object]", kept["document"])))
        chosen = read_back(cast("Mapping[str, object]", kept["chosen"]), reckoning.plan.currency)
    except (KeyError, TypeError, ValueError, Refusal):
        raise Refusal(Problem("job.unreadable", values={"number": row.number})) from None
    named = [number for number, _ in chosen.pieces]
    cloths = len(reckoning.cloths)
    return RugOfJob(
        reckoning=reckoning, pieces=tuple(named[place] if place < len(named) else None for place in range(cloths))
    )
