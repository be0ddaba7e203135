"""Fairs side by side over the years: go again or not, and whether ten times the stall's fee is a rule that holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.fair_account import FairAccount
from shop.core.money import Money, total

TIMES: Final = 10
"""A fair should bring ten times its stall's fee, they say (common practice)."""


def times_the_stall(takings: Money, stall: Money) -> Decimal | None:
    """How many times the stall's fee came in; ``None`` for a stall that costs nothing."""
    return takings.amount / stall.amount if stall else None


@dataclass(frozen=True, slots=True, kw_only=True)
class FairYear:
    """A fair in one year.

    Attributes:
        on: its first day.
        name: of the fair.
        account: reckoned up.
    """

    on: date
    name: str
    account: FairAccount

    @property
    def times(self) -> Decimal | None:
        """How many times the stall's fee came in, before tax."""
        return times_the_stall(self.account.before_tax, self.account.stall)


@dataclass(frozen=True, slots=True)
class RuleOfTen:
    """Whether fairs that bring ten times their stall's fee are those that leave something; fairs with a fee alone count.

    Attributes:
        ten_and_gain: brought it, and left something.
        ten_and_loss: brought it, and left nothing or less: the rule promised too much.
        less_and_gain: did not, and left something: the rule asks too much.
        less_and_loss: did not, and left nothing or less.
    """

    ten_and_gain: int
    ten_and_loss: int
    less_and_gain: int
    less_and_loss: int

    @property
    def right(self) -> int:
        """How often the rule was right."""
        return self.ten_and_gain + self.less_and_loss

    @property
    def fairs(self) -> int:
        """How many fairs it was tried on."""
        return self.right + self.ten_and_loss + self.less_and_gain


@dataclass(frozen=True, slots=True, kw_only=True)
class SideBySide:
    """Fairs beside each other.

    Attributes:
        years: the oldest first.
        takings, profit: of all of them, tax left out of the takings.
        hours: stood and travelled, of all of them.
        hour: what an hour at them earned; ``None`` without such hours.
        paid_wage: how many earned the wage wanted for each hour at them.
        best, worst: by what was left.
        rule_of_ten: whether that rule holds here.
    """

    years: tuple[FairYear, ...]
    takings: Money
    profit: Money
    hours: Decimal
    hour: Money | None
    paid_wage: int
    best: FairYear
    worst: FairYear
    rule_of_ten: RuleOfTen


def side_by_side(fairs: Sequence[FairYear], wage: Money) -> SideBySide:
    """Fairs beside each other: one fair over the years, or all that the shop went to.

    Args:
        fairs: at least one.
        wage: wanted for an hour at a fair.

    Raises:
        NotPossible: ``fair.no_years`` for none.
    """
    if not fairs:
        raise NotPossible(Problem("fair.no_years"))
    years = tuple(sorted(fairs, key=lambda one: (one.on, one.name)))
    profit = total((one.account.profit for one in years), wage.currency)
    hours = sum((one.account.hours for one in years), Decimal(0))
    by_profit = sorted(years, key=lambda one: one.account.profit.minor)
    return SideBySide(
        years=years,
        takings=total((one.account.before_tax for one in years), wage.currency),
        profit=profit,
        hours=hours,
        hour=Money.rounded(profit.amount / hours, wage.currency) if hours else None,
        paid_wage=sum(_paid(one.account, wage) for one in years),
        best=by_profit[-1],
        worst=by_profit[0],
        rule_of_ten=_rule_of_ten(years),
    )


def _paid(account: FairAccount, wage: Money) -> bool:
    return account.profit.amount >= account.hours * wage.amount


def _rule_of_ten(years: Sequence[FairYear]) -> RuleOfTen:
    told = [(one.times >= TIMES, one.account.profit.minor > 0) for one in years if one.times is not None]
    return RuleOfTen(
        ten_and_gain=told.count((True, True)),
        ten_and_loss=told.count((True, False)),
        less_and_gain=told.count((False, True)),
        less_and_loss=told.count((False, False)),
    )
