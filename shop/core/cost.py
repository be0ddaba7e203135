"""What a job costs: cloth that went in, warp, labour, overhead, and what is bought in for it.

The wage in a price is what the maker means to be paid. It is kept apart from the books' value of stock,
which leaves out what an owner pays herself.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, exact, total
from shop.core.spread import Estimate

MINUTES_IN_HOUR = 60


@dataclass(frozen=True, slots=True)
class OverheadPerHour:
    """Overhead borne at so much for each hour of labour (a predetermined rate)."""

    rate: Decimal
    """Amount for an hour, unrounded."""


@dataclass(frozen=True, slots=True)
class OverheadShare:
    """Overhead borne as a share of the labour cost: 0.5 is 50 %."""

    share: Decimal


Overhead = OverheadPerHour | OverheadShare


def wear_per_year(cost: Money, resale: Money, years: Decimal | int) -> Money:
    """Wear of a loom or tool for a year: ``(cost - resale) / years`` (straight-line).

    Raises:
        NotPossible: ``wear.years`` for no years, ``wear.resale`` when it would sell for more than it cost.
    """
    if years <= 0:
        raise NotPossible(Problem("wear.years", "years"))
    if cost < resale:
        raise NotPossible(Problem("wear.resale", "resale"))
    return Money.rounded((cost - resale).amount / Decimal(years), cost.currency)


def overhead_rate(budget: Money, hours: Decimal | int) -> Decimal:
    """The predetermined rate: the year's overhead budget over its productive hours, unrounded.

    Raises:
        NotPossible: ``overhead.no_hours`` when there are none.
    """
    if hours <= 0:
        raise NotPossible(Problem("overhead.no_hours", "productive_hours"))
    return budget.amount / Decimal(hours)


def overhead_share(budget: Money, labour: Money) -> Decimal:
    """Overhead as a share of labour cost: 747,500 over 575,000 is 1.30.

    Raises:
        NotPossible: ``overhead.no_labour`` when there is none.
    """
    if labour.minor <= 0:
        raise NotPossible(Problem("overhead.no_labour"))
    return budget.amount / labour.amount


def under_applied(rate: Decimal, hours: Decimal | int, actual: Money) -> Money:
    """Actual overhead over what the hours applied: positive is under-applied, negative over-applied."""
    return actual - Money.rounded(rate * Decimal(hours), actual.currency)


@dataclass(frozen=True, slots=True, kw_only=True)
class OverheadYear:
    """A year's overhead as it was planned and as it was.

    Attributes:
        budget: planned for the year.
        planned: productive hours planned; ``budget / planned`` was the rate that jobs bore.
        actual: what was really spent.
        worked: productive hours that there really were.

    Raises:
        NotPossible: ``overhead.no_hours`` where none were planned, or none worked.
    """

    budget: Money
    planned: Decimal
    actual: Money
    worked: Decimal

    def __post_init__(self) -> None:
        overhead_rate(self.budget, self.planned)
        overhead_rate(self.actual, self.worked)

    @property
    def rate(self) -> Decimal:
        """What an hour bore."""
        return overhead_rate(self.budget, self.planned)

    @property
    def applied(self) -> Money:
        """What all jobs bore together."""
        return Money.rounded(self.rate * self.worked, self.budget.currency)

    @property
    def under(self) -> Money:
        """Actual over applied: positive is under-applied, negative over-applied."""
        return under_applied(self.rate, self.worked, self.actual)

    @property
    def of_spending(self) -> Money:
        """The part of ``under`` that comes from having spent more than was planned."""
        return self.actual - self.budget

    @property
    def of_hours(self) -> Money:
        """The part of ``under`` that comes from hours that were planned and not worked (the volume variance)."""
        return self.under - self.of_spending

    @property
    def suggested(self) -> Decimal:
        """The rate for a next year like this one: what was really spent over the hours that there really were, unrounded."""
        return overhead_rate(self.actual, self.worked)


def labour_cost(minutes: float, wage: Money) -> Money:
    """``minutes x rate / 60``, rounded once."""
    return Money.rounded(exact(minutes) * wage.amount / MINUTES_IN_HOUR, wage.currency)


def labour_by_step(minutes: Mapping[str, float], wage: Money, pay: Mapping[str, Money]) -> Money:
    """Labour where some steps are paid at a rate of their own: each step's ``minutes x rate / 60``, rounded once."""
    if not pay:
        return labour_cost(math.fsum(minutes.values()), wage)
    paid = sum(
        (exact(taken) * pay.get(step, wage).amount for step, taken in minutes.items()), start=Decimal(0)
    )
    return Money.rounded(paid / MINUTES_IN_HOUR, wage.currency)


def overhead_cost(overhead: Overhead, minutes: float, labour: Money) -> Money:
    """Overhead borne by a job: by its hours, or as a share of its labour."""
    if isinstance(overhead, OverheadShare):
        return labour.share(overhead.share)
    return Money.rounded(exact(minutes) / MINUTES_IN_HOUR * overhead.rate, labour.currency)


@dataclass(frozen=True, slots=True)
class JobCost:
    """The cost of one rug, in exact money; its parts add up to its total.

    Attributes:
        cloth: what was paid for the cloth in the weft, normal waste with it.
        warp: yarn, or the cloth of a rag warp.
        labour: minutes at the wage wanted.
        overhead: the job's part of the year's overhead.
        bought_in: postage, label, mat.
    """

    cloth: Money
    warp: Money
    labour: Money
    overhead: Money
    bought_in: Money

    @property
    def materials(self) -> Money:
        """Cloth and warp."""
        return self.cloth + self.warp

    @property
    def total(self) -> Money:
        """Everything."""
        return self.materials + self.labour + self.overhead + self.bought_in


def job_cost(
    *,
    cloth: Money,
    warp: Money,
    minutes: float,
    wage: Money,
    labour: Money | None = None,
    overhead: Overhead,
    bought_in: Sequence[Money],
) -> JobCost:
    """The cost sheet of a job, each line rounded once.

    Args:
        cloth: what was paid for the cloth.
        warp: what was paid for the warp.
        minutes: all of the work.
        wage: for an hour.
        labour: its cost, where steps are paid differently; else all of it is paid the wage.
        overhead: how the job bears it.
        bought_in: amounts.
    """
    labour = labour_cost(minutes, wage) if labour is None else labour
    return JobCost(
        cloth=cloth,
        warp=warp,
        labour=labour,
        overhead=overhead_cost(overhead, minutes, labour),
        bought_in=total(bought_in, wage.currency),
    )


def money_estimate(per_unit: Decimal | float, amount: Estimate) -> Estimate:
    """An amount in doubt at a known price, as an estimate in units of the currency."""
    return amount.scaled(float(per_unit))
