"""What an hour, a pace and a price rule come to, before they are kept: shown beside their forms.

Nothing is read or kept here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.cost import JobCost, overhead_rate
from shop.core.errors import Problem, Refusal
from shop.core.keys import money_guess
from shop.core.loom import FrameLoom, Loom, Size, fit
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT, Length
from shop.core.money import Money, decimals_of, total
from shop.core.price import Price, PriceBy, margin_of, price_of, with_margin, with_markup
from shop.core.spread import Basis
from shop.usecases.loom_sample import LONG, warp_on
from shop.usecases.pace import PaceLine
from shop.usecases.price import Pricing
from shop.usecases.rates import RatesGiven, year_of

WIDE: Final = {"imperial": Length.of(24, "in"), "metric": Length.of(60, "cm")}
SIX_SQUARE_FEET: Final = 6 * SQUARE_METRES_PER_SQUARE_FOOT


def wage_guess(currency: str) -> Money:
    """The starting guess for an hour's wage."""
    return money_guess("wage", currency)


def overhead_guess(currency: str) -> Money:
    """The starting guess for the overhead that an hour bears."""
    return money_guess("overhead", currency)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepHour:
    """What an hour of a step costs that has pay of its own: the pay, and with the overhead that it bears."""

    step: str
    pay: Money
    hour: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class RatesSample:
    """What an hour costs.

    Attributes:
        years: what each line comes to in a year, in the order of the lines.
        budget: all of them together.
        wage: of an hour; the starting guess where ``wage_basis`` says so.
        overhead: borne by an hour; ``None`` where it cannot be told. ``overhead_basis``: whose figure.
        steps: an hour of each step that is not paid the wage.
        hour: wage and overhead together.
    """

    years: tuple[Money, ...]
    budget: Money
    wage: Money
    wage_basis: Basis
    overhead: Money | None
    overhead_basis: Basis
    hour: Money
    steps: tuple[StepHour, ...]


def rates_sample(given: RatesGiven, *, currency: str, unset: bool = False) -> RatesSample:
    """What an hour costs at these rates; ``unset`` before any were kept, when overhead is a starting guess too.

    Raises:
        Refusal: a line of wear that is not possible, at ``rates.lines.0.years`` and so on.
    """
    years, problems = [], []
    for place, line in enumerate(given.lines):
        paid = "cost" if line.kind == "loom_wear" else "per_year"
        if getattr(line, paid) is None:
            problems.append(Problem("money.missing", f"rates.lines.{place}.{paid}"))
            continue
        try:
            years.append(year_of(line, currency))
        except Refusal as refusal:
            problems += [problem.at(f"rates.lines.{place}.{problem.where}") for problem in refusal.problems]
    if given.overhead == "budget" and not given.productive_hours:
        problems.append(Problem("overhead.no_hours", "rates.productive_hours"))
    if given.overhead == "percent" and given.overhead_share is None:
        problems.append(Problem("share.missing", "rates.overhead_share"))
    if problems:
        raise Refusal(*problems)
    budget, wage = total(years, currency), given.wage if given.wage is not None else wage_guess(currency)

    def overhead_on(pay: Money) -> Money | None:
        if unset:
            return overhead_guess(currency)
        if given.overhead == "budget" and given.productive_hours:
            return Money.rounded(overhead_rate(budget, given.productive_hours), currency)
        if given.overhead == "percent" and given.overhead_share is not None:
            return pay.share(given.overhead_share)
        return Money.zero(currency) if given.overhead == "none" else None

    def with_overhead(pay: Money) -> Money:
        return pay + (overhead_on(pay) or Money.zero(currency))

    return RatesSample(
        years=tuple(years),
        budget=budget,
        wage=wage,
        wage_basis=Basis.GUESS if given.wage is None else Basis.SETTING,
        overhead=overhead_on(wage),
        overhead_basis=Basis.GUESS if unset else Basis.SETTING,
        hour=with_overhead(wage),
        steps=tuple(StepHour(step=step, pay=pay, hour=with_overhead(pay)) for step, pay in given.pay),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceSample:
    """What the paces of a loom come to on a rug two feet (60 cm) wide, or as wide as the loom is.

    Attributes:
        width: of that rug.
        row: minutes for a row; ``rows``: rows in an hour, none where a row takes no time.
        warp: minutes to put its warp on, for this rug alone.
    """

    width: Length
    row: float
    rows: float | None
    warp: float


def pace_sample(paces: Mapping[str, PaceLine], loom: Loom, *, units: str) -> PaceSample:
    """What these paces come to on this loom; their minutes are for metres, passes, ends.

    Raises:
        CannotMake: the loom is too small for any rug.
    """
    length = loom.length if isinstance(loom, FrameLoom) else LONG[units]
    made = fit(loom, Size(min(WIDE[units], loom.widest), length))
    warp = warp_on(loom, made)
    minutes = {key: float(line.minutes) for key, line in paces.items()}
    row = minutes["weave_per_row"] + minutes["weave_per_row_m"] * made.panel_width.metres
    dressing = warp.passes * minutes["warp_per_pass"] + warp.ends * minutes["warp_per_end"]
    return PaceSample(
        width=made.size.width,
        row=row,
        rows=60 / row if row else None,
        warp=minutes["warp_set_up"] + dressing,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceSample:
    """What a rule makes of a cost.

    Attributes:
        cost: of the rug; ``price``: what becomes of it.
        as_markup: the share taken as a markup, and the price wanted by it.
        as_margin: the share taken as a margin, and the price wanted by it; ``None`` from 100 % on.
        other: what the share is in the other's terms: a markup's margin, or a margin's markup.
    """

    cost: Money
    price: Price
    as_markup: Money
    as_margin: Money | None
    other: Decimal | None


def round_cost(currency: str) -> Money:
    """A round cost to show a rule on: a hundred, or ten thousand in a currency without decimals."""
    return Money.of(100 if decimals_of(currency) else 10_000, currency)


_PLACES: Final = {"price.markup": "price.share", "price.margin": "price.share", "price.fee_percent": "price.fee_share"}


def price_sample(pricing: Pricing, cost: Money) -> PriceSample:
    """What the rule makes of a rug that costs so much and measures two feet by three.

    Raises:
        Refusal: figures that contradict one another, at ``price.share`` and so on.
    """
    nothing = Money.zero(pricing.currency)
    job = JobCost(cloth=nothing, warp=nothing, labour=cost, overhead=nothing, bought_in=nothing)
    try:
        price = price_of(pricing.rule, job, SIX_SQUARE_FEET)
    except Refusal as refusal:
        raise Refusal(*(p.at(_PLACES.get(p.where, p.where)) for p in refusal.problems)) from None
    share, below = pricing.share, pricing.share < 1
    other = margin_of(share) if pricing.by != PriceBy.MARGIN.value else share / (1 - share)
    return PriceSample(
        cost=cost,
        price=price,
        as_markup=Money.rounded(with_markup(cost, share), cost.currency),
        as_margin=Money.rounded(with_margin(cost, share), cost.currency) if below else None,
        other=other,
    )
