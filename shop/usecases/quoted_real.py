"""Quoted against real: what a rug was to take and what it took, line by line, and what the hour really earned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.account_of_order import Happening
from shop.core.cost import MINUTES_IN_HOUR, OverheadPerHour, labour_cost, overhead_cost
from shop.core.errors import Problem, Refusal
from shop.core.hours import STEPS
from shop.core.loom import FrameLoom
from shop.core.money import Money, exact, split
from shop.core.reckoning import ClothUse
from shop.core.variance import Actual, Comparison, Earning, Input, InputKind, Standard, compare
from shop.store import ledger, order_money, reservation
from shop.store.engine import Store
from shop.store.order_money import OrderEvent
from shop.usecases.clock import time_in
from shop.usecases.fabric import PieceCard, cards_in
from shop.usecases.job import JobLine, job_in, lines_in
from shop.usecases.measuring import Measured, Planned, measured_in, planned_of
from shop.usecases.rug_of_job import RugOfJob, rug_of

GRAMS: Final = "g"
HOURS: Final = "h"
BESIDE: Final = "beside"
"""The key of cloth that was drawn and not quoted."""
WARP: Final = "warp yarn"
"""The key of the warp's yarn; the step of warping has a key of its own."""
CARD: Final = "card"
"""The means of payment that keeps a fee."""


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotedReal:
    """A job's rug as it was quoted beside what it took.

    Attributes:
        line: the job.
        rug: as quoted.
        comparison: every input with its variances.
        names: of the inputs that have names of their own, by key.
        rows_quoted, rows_woven: of the whole rug; as marked at the loom.
        cloth_drawn: grams of the cloth and yarn that were drawn for it.
        planned: the size and weight that it was to have; ``measured`` what it has off the loom, if it was measured.
        timed: whether any time was written down; without it the real hour is not known.
        yarn_not_drawn: warp yarn was quoted and none was drawn; it is then taken to have cost what was quoted.
        before_fees: what the price leaves without the tax in it, and before any fee.
        fee_quoted: what the price rule counts for a card or marketplace; ``fee_real`` the part of it that falls on what was paid by
            card, and all of it while nothing is paid, which ``paid`` tells.
        tips: what was given besides; they are in no hour.
    """

    line: JobLine
    rug: RugOfJob
    comparison: Comparison
    names: dict[str, str]
    rows_quoted: int
    rows_woven: int
    cloth_drawn: float
    planned: Planned
    measured: Measured | None
    timed: bool
    yarn_not_drawn: bool
    before_fees: Money
    fee_quoted: Money
    fee_real: Money
    paid: bool
    tips: Money


def quoted_real(store: Store, *, job: int) -> QuotedReal:
    """A job's rug as quoted against what it took.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``plan.no_rug`` for a job without a quote, ``job.unreadable``.
    """
    with store.reading() as session:
        row = job_in(session, job)
        rug = rug_of(row)
        if rug is None:
            raise Refusal(Problem("plan.no_rug", values={"number": job}))
        lies = ledger.cloth_of_job(session, row.id)
        cards = {card.id: card for card in cards_in(session, [piece for _, piece in lies])}
        drawn = [
            (cards[piece.id], (one.share + one.rug_share) / 10**9, one.cost + one.rug_cost) for one, piece in lies
        ]
        time = time_in(session, row)
        woven = reservation.rows_marked(session, row.id)
        measured = measured_in(session, row)
        events = [one for one in order_money.events_of(session, row.id) if one.undone_at is None]
        line = lines_in(session, [row])[0]
    names: dict[str, str] = {}
    inputs = [*_cloth(rug, drawn, names), *_warp(rug, drawn), *_hours(rug, time.spent), *_bought_in(rug)]
    timed = any(time.spent.values())
    price, by_card = rug.reckoning.price, share_by_card(events)
    fee = price.fees if by_card is None else price.fees.share(by_card)
    before_fees = price.net + price.fees
    return QuotedReal(
        line=line,
        rug=rug,
        comparison=_compared(rug, inputs, float(sum(time.spent.values())), net=before_fees - fee, timed=timed),
        names=names,
        rows_quoted=sum(band.rows for band in rug.reckoning.bands) * rug.reckoning.made.panels,
        rows_woven=woven,
        cloth_drawn=sum(card.grams * share for card, share, _ in drawn),
        planned=planned_of(rug),
        measured=measured,
        timed=timed,
        yarn_not_drawn=_yarn_not_drawn(rug, drawn),
        before_fees=before_fees,
        fee_quoted=price.fees,
        fee_real=fee,
        paid=by_card is not None,
        tips=_come(events, Happening.TIP, price.fees.currency),
    )


def share_by_card(events: Sequence[OrderEvent]) -> Decimal | None:
    """The share of what was paid, less what was given back, that came by card; ``None`` while nothing is paid."""
    signs = {Happening.PAYMENT: 1, Happening.REFUND: -1}
    paid = [(one.means, one.amount * signs[Happening(one.what)]) for one in events if one.what in signs]
    whole = sum(amount for _, amount in paid)
    if whole <= 0:
        return None
    by_card = sum(amount for means, amount in paid if means == CARD)
    return Decimal(min(whole, max(0, by_card))) / whole


def _come(events: Sequence[OrderEvent], what: Happening, currency: str) -> Money:
    return Money(sum(one.amount for one in events if one.what == what), currency)


Drawn = list[tuple[PieceCard, float, int]]


def _cloth(rug: RugOfJob, drawn: Drawn, names: dict[str, str]) -> list[Input]:
    """Each cloth of the quote with what was drawn of its piece; whatever else was drawn, together."""
    plan = rug.reckoning.plan
    found, left = [], [one for one in drawn if not one[0].is_yarn]
    for band, use in enumerate(rug.reckoning.cloths):
        mine = [one for one in left if one[0].number == rug.pieces[band]]
        left = [one for one in left if one[0].number != rug.pieces[band]]
        key = f"cloth.{band}"
        names[key] = use.cloth.name
        grams = _grams_quoted(rug, use)
        found.append(
            Input(
                key=key,
                kind=InputKind.CLOTH,
                standard=Standard(quantity=grams, unit=GRAMS, cost=use.cost + use.warp_cost),
                actual=_used(mine, plan.currency),
            )
        )
    if left:
        found.append(Input(key=BESIDE, kind=InputKind.CLOTH, standard=None, actual=_used(left, plan.currency)))
    return found


def _grams_quoted(rug: RugOfJob, use: ClothUse) -> float:
    """What of a cloth was to go in: strip in the weft and in a rag warp, usual waste with it."""
    plan = rug.reckoning.plan
    rag = rug.reckoning.warp.length_m * use.share if isinstance(plan.loom, FrameLoom) else 0.0
    return (use.weft.middle + rag) / (1 - plan.waste) * plan.strip.metres * use.cloth.grams_per_m2


def _used(drawn: Drawn, currency: str) -> Actual | None:
    if not drawn:
        return None
    grams = sum(card.grams * share for card, share, _ in drawn)
    return Actual(quantity=grams, unit=GRAMS, cost=Money(sum(cost for _, _, cost in drawn), currency))


def _warp(rug: RugOfJob, drawn: Drawn) -> list[Input]:
    """Warp yarn: quoted by weight, and what was drawn off cones; as quoted where none was drawn, since no rug does without."""
    cones = [one for one in drawn if one[0].is_yarn]
    if rug.reckoning.plan.yarn is None and not cones:
        return []
    standard = None
    if rug.reckoning.plan.yarn is not None:
        standard = Standard(quantity=rug.reckoning.warp_g.middle, unit=GRAMS, cost=rug.reckoning.warp_cost)
    actual = _used(cones, rug.reckoning.plan.currency)
    if standard is not None and _yarn_not_drawn(rug, drawn):
        actual = Actual(quantity=rug.reckoning.warp_g.middle, unit=GRAMS, cost=rug.reckoning.warp_cost)
    return [Input(key=WARP, kind=InputKind.WARP, standard=standard, actual=actual)]


def _yarn_not_drawn(rug: RugOfJob, drawn: Drawn) -> bool:
    return rug.reckoning.plan.yarn is not None and not any(one[0].is_yarn for one in drawn)


def _hours(rug: RugOfJob, spent: dict[str, Decimal]) -> list[Input]:
    """Labour step by step at its rate of pay, and the overhead that goes with the hours or the labour."""
    plan, minutes = rug.reckoning.plan, rug.reckoning.minutes
    found = []
    labour = Money.zero(plan.currency)
    rates = {step: plan.pay.get(step, plan.wage) for step in STEPS}
    shares = _by_step(rug.reckoning.cost.labour, {step: minutes[step].middle * float(rates[step].amount) for step in STEPS})
    for step in STEPS:
        rate = rates[step]
        cost = labour_cost(float(spent[step]), rate)
        labour = labour + cost
        found.append(
            Input(
                key=step,
                kind=InputKind.LABOUR,
                standard=Standard(quantity=exact(minutes[step].middle) / MINUTES_IN_HOUR, unit=HOURS, cost=shares[step]),
                actual=Actual(quantity=spent[step] / MINUTES_IN_HOUR, unit=HOURS, cost=cost),
            )
        )
    total = float(sum(spent.values()))
    quoted_hours = exact(rug.reckoning.minutes_total.middle) / MINUTES_IN_HOUR
    rate_of = plan.overhead.rate if isinstance(plan.overhead, OverheadPerHour) else None
    found.append(
        Input(
            key="overhead",
            kind=InputKind.OVERHEAD,
            standard=Standard(quantity=quoted_hours, unit=HOURS, price=rate_of, cost=rug.reckoning.cost.overhead),
            actual=Actual(quantity=exact(total) / MINUTES_IN_HOUR, unit=HOURS, cost=overhead_cost(plan.overhead, total, labour)),
        )
    )
    return found


def _by_step(labour: Money, worth: dict[str, float]) -> dict[str, Money]:
    """What was quoted for labour, shared out over the steps to the coin."""
    if not any(worth.values()):
        return dict.fromkeys(worth, Money.zero(labour.currency))
    return dict(zip(worth, split(labour, list(worth.values())), strict=True))


def _bought_in(rug: RugOfJob) -> list[Input]:
    """Things bought in: taken to have cost what was quoted."""
    cost = rug.reckoning.cost.bought_in
    if not cost:
        return []
    return [
        Input(
            key="bought_in",
            kind=InputKind.BOUGHT_IN,
            standard=Standard(quantity=1, unit="", cost=cost),
            actual=Actual(quantity=1, unit="", cost=cost),
        )
    ]


def _compared(rug: RugOfJob, inputs: list[Input], minutes: float, *, net: Money, timed: bool) -> Comparison:
    """The comparison, with what an hour was to earn, and what it earned where time was written down."""
    reckoning, currency = rug.reckoning, rug.reckoning.plan.currency
    plain = compare(inputs, currency)

    def earning(side: str, spent: float, net: Money) -> Earning:
        return Earning(
            net=net,
            materials=getattr(plain.of(InputKind.CLOTH, InputKind.WARP), side),
            overhead=getattr(plain.of(InputKind.OVERHEAD), side),
            bought_in=getattr(plain.of(InputKind.BOUGHT_IN), side),
            minutes=spent,
        )

    quoted = earning("standard", reckoning.minutes_total.middle, reckoning.price.net) if reckoning.minutes_total.middle else None
    real = earning("actual", minutes, net) if timed else None
    return compare(inputs, currency, quoted=quoted, real=real)
