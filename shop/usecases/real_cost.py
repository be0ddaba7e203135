"""What a job's rug really cost: what was drawn for it, the time that was written down, and the rest as it was quoted."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.cost import Overhead, OverheadPerHour, labour_cost, overhead_cost
from shop.core.hours import STEPS
from shop.core.ledger import WHOLE
from shop.core.measure import Weight
from shop.core.money import Money, exact, total
from shop.core.stripes import slices
from shop.store import job as job_table
from shop.store import ledger
from shop.store.engine import Session
from shop.usecases.clock import time_in
from shop.usecases.fabric import PieceCard, cards_in
from shop.usecases.rates import rates_in
from shop.usecases.rates_sample import wage_guess
from shop.usecases.rug import MOST_STRIPES
from shop.usecases.rug_of_job import RugOfJob
from shop.usecases.shop import shop_in

UNDYED: Final = "#e6dac2"


@dataclass(frozen=True, slots=True, kw_only=True)
class RealCost:
    """What a job's rug really cost.

    Attributes:
        cloth, warp: what was drawn for it; warp yarn as it was quoted where none was drawn off a cone.
        labour: time written down at its pay, and for steps without any as quoted; ``minutes`` of both together.
        overhead: by the same time; ``bought_in`` as quoted, or as a rule.
        guessed: no time was written down, or the warp is as quoted.
    """

    cloth: Money
    warp: Money
    labour: Money
    overhead: Money
    bought_in: Money
    minutes: Decimal
    guessed: bool


@dataclass(frozen=True, slots=True)
class Drawn:
    """What of a piece is in the rug: grams without usual waste, and its cost."""

    card: PieceCard
    grams: float
    cost: int


def drawn_for(session: Session, row: job_table.Job) -> list[Drawn]:
    """What was drawn for a job, piece by piece."""
    lies = ledger.cloth_of_job(session, row.id)
    waste = ledger.usual_waste(session, row.id)
    cards = {card.id: card for card in cards_in(session, [piece for _, piece in lies])}
    return [
        Drawn(
            cards[piece.id],
            cards[piece.id].grams * max(0, one.share + one.rug_share - waste.get(piece.id, 0)) / WHOLE,
            one.cost + one.rug_cost,
        )
        for one, piece in lies
    ]


def weight_of(drawn: list[Drawn]) -> Weight | None:
    """What a rug weighs by what was drawn for it; ``None`` where nothing is known to weigh anything."""
    grams = round(sum(one.grams for one in drawn))
    return Weight.of(grams, "g") if grams else None


def stripes_of(planned: RugOfJob | None, drawn: list[Drawn]) -> list[tuple[str, float]]:
    """As it was planned; of a rug that nobody planned a stripe of each cloth, as broad as it is heavy."""
    if planned is not None:
        colours = [use.cloth.colour for use in planned.reckoning.cloths]
        return [(colours[cloth], share) for cloth, share in slices(planned.reckoning.bands, MOST_STRIPES) if share > 0]
    cloths = [(one.card.colour, one.grams) for one in drawn if not one.card.is_yarn and one.grams > 0]
    return cloths[:MOST_STRIPES] or [(UNDYED, 1.0)]


def real_cost(session: Session, row: job_table.Job, planned: RugOfJob | None, drawn: list[Drawn]) -> RealCost:
    """What a job's rug really cost; ``planned`` is how it was quoted, where it was."""
    currency = shop_in(session).currency
    spent = time_in(session, row).spent
    rates = rates_in(session, currency)
    wage = rates.wage if rates.wage is not None else wage_guess(currency)
    pay, minutes = dict(rates.pay), {step: spent[step] for step in STEPS}
    overhead: Overhead = rates.borne or OverheadPerHour(Decimal(0))
    bought_in = total((one for one in (rates.label, rates.mat) if one is not None), currency)
    cones = [one for one in drawn if one.card.is_yarn]
    warp, warp_quoted = Money(sum(one.cost for one in cones), currency), False
    if planned is not None:
        plan, reckoning = planned.reckoning.plan, planned.reckoning
        wage, pay, overhead, bought_in = plan.wage, dict(plan.pay), plan.overhead, reckoning.cost.bought_in
        for step in STEPS:
            if not minutes[step]:
                minutes[step] = round(exact(reckoning.minutes[step].middle), 2)
        if plan.yarn is not None and not cones:
            warp, warp_quoted = reckoning.warp_cost, True
    labour = total((labour_cost(float(minutes[step]), pay.get(step, wage)) for step in STEPS), currency)
    whole = sum(minutes.values(), Decimal(0))
    return RealCost(
        cloth=Money(sum(one.cost for one in drawn if not one.card.is_yarn), currency),
        warp=warp,
        labour=labour,
        overhead=overhead_cost(overhead, float(whole), labour),
        bought_in=bought_in,
        minutes=whole,
        guessed=warp_quoted or not any(spent.values()),
    )
