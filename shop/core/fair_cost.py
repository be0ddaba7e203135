"""What a fair costs before anything is sold, what each rug leaves towards it, and how much must be sold to bear it.

    contribution = what the customer pays - tax - the reader's expected fee - what the rug cost
    expected fee = share of sales paid by card x (percentage of what is paid + fixed fee), rounded once
    break-even in rugs = the fewest whole rugs whose contributions bear the fair's cost
    break-even in takings = fair's cost x takings of all rugs / contributions of all rugs, rounded up to a coin

as in cost-volume-profit analysis (for example Accounting Principles: A Business Perspective, chapter 21). Whether a rug's
cost holds the weaver's wage and overhead, or only what was paid for its stuff, is for the asker to say: with the first
nothing is lost at break-even, with the second no money that is still to be spent.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import accumulate

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, exact, total


def travel_cost(distance: Decimal, rate: Decimal, currency: str, *, ways: int = 2) -> Money:
    """``distance x rate x ways``, rounded once: there and back unless said otherwise.

    Args:
        distance: one way, in the unit that the rate is for.
        rate: amount for a mile or a kilometre, unrounded.
        currency: of the rate.
        ways: how often it is driven.

    Raises:
        NotPossible: ``fair.negative`` for less than nothing.
    """
    if distance < 0 or rate < 0 or ways < 0:
        raise NotPossible(Problem("fair.negative", "travel"))
    return Money.rounded(distance * rate * ways, currency)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardReader:
    """What a card reader keeps.

    Attributes:
        share: of what is paid by card; 0.0175 is 1.75 %.
        fixed: besides, for each payment by card.
        used: the share of sales that are paid by card.

    Raises:
        NotPossible: ``fee.range``, ``fair.card_used``, ``fair.negative``.
    """

    share: Decimal
    fixed: Money
    used: Decimal

    def __post_init__(self) -> None:
        if not 0 <= self.share < 1:
            raise NotPossible(Problem("fee.range", "card.share", {"share": self.share}))
        if not 0 <= self.used <= 1:
            raise NotPossible(Problem("fair.card_used", "card.used", {"share": self.used}))
        if self.fixed.minor < 0:
            raise NotPossible(Problem("fair.negative", "card.fixed"))

    def fee(self, paid: Money) -> Money:
        """What it keeps of one payment by card; nothing of nothing."""
        return paid.share(self.share) + self.fixed if paid else paid

    def expected(self, paid: Money) -> Money:
        """What it keeps of a sale of which nobody knows yet how it is paid, in the mean."""
        if not paid:
            return paid
        return Money.rounded((paid.amount * self.share + self.fixed.amount) * self.used, paid.currency)


@dataclass(frozen=True, slots=True, kw_only=True)
class FairCost:
    """What a fair costs, sold or not.

    Attributes:
        stall: the fee of the stall.
        travel: there and back.
        lodging: all nights.
        helper: who helps, all days.
        permits: licences and permits.
        other: whatever else.
        days: that it lasts.
        hours_stood: at the stall, setting up and taking down too.
        hours_travelled: there and back.

    Raises:
        NotPossible: ``fair.negative`` for each that is below nothing, ``fair.days`` for a fair of no day.
    """

    stall: Money
    travel: Money
    lodging: Money
    helper: Money
    permits: Money
    other: Money
    days: int = 1
    hours_stood: Decimal = Decimal(0)
    hours_travelled: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        hours = {"hours_stood": self.hours_stood, "hours_travelled": self.hours_travelled}
        below = [name for name, line in self.lines if line.minor < 0]
        below += [name for name, each in hours.items() if not (each.is_finite() and each >= 0)]
        problems = [Problem("fair.negative", name) for name in below]
        if self.days < 1:
            problems.append(Problem("fair.days", "days"))
        if problems:
            raise NotPossible(*problems)

    @property
    def lines(self) -> tuple[tuple[str, Money], ...]:
        """Each cost by its name, in the order in which it is told."""
        names = ("stall", "travel", "lodging", "helper", "permits", "other")
        return tuple((name, getattr(self, name)) for name in names)

    @property
    def total(self) -> Money:
        """All of it, the weaver's own hours left out."""
        return total((line for _, line in self.lines), self.stall.currency)

    @property
    def hours(self) -> Decimal:
        """Stood and travelled."""
        return self.hours_stood + self.hours_travelled

    def with_wage(self, wage: Money) -> Money:
        """All of it, and the weaver's own hours at a wage."""
        return self.total + Money.rounded(self.hours * wage.amount, wage.currency)


@dataclass(frozen=True, slots=True, kw_only=True)
class RugBrought:
    """A rug that is taken to the fair.

    Attributes:
        rug: its key or number.
        paid: what a customer pays for it, tax and all.
        tax: of that.
        cost: what the rug cost, by whichever reckoning.
    """

    rug: str
    paid: Money
    tax: Money
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class RugLeaves:
    """What a rug leaves towards the fair's cost when it is sold.

    Attributes:
        rug: which.
        fee: what the card reader keeps, in the mean.
        contribution: what is left.
        ratio: that, as a share of its price before tax; ``None`` for a gift.
    """

    rug: RugBrought
    fee: Money
    contribution: Money
    ratio: Decimal | None


def leaves(rug: RugBrought, card: CardReader) -> RugLeaves:
    """What a rug leaves towards the fair's cost when it is sold."""
    fee = card.expected(rug.paid)
    before_tax = rug.paid - rug.tax
    left = before_tax - fee - rug.cost
    return RugLeaves(
        rug=rug, fee=fee, contribution=left, ratio=left.amount / before_tax.amount if before_tax else None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """How much must be sold for a sum to be borne. ``None`` stands where it never is.

    Attributes:
        to_bear: the fair's cost, and the profit wanted on top of it.
        all_sold: what is left of everything brought, once that is borne.
        takings: what customers must pay, tax and all, if they buy a fair mix of what is brought.
        average: rugs of such a mix; may be more than are brought.
        dearest_first: rugs when those that leave most are sold first: fewer never do.
        cheapest_first: rugs when those that leave least are sold first: so many always do.
    """

    to_bear: Money
    all_sold: Money
    takings: Money | None
    average: int | None
    dearest_first: int | None
    cheapest_first: int | None


def break_even(brought: Sequence[RugLeaves], cost: Money, wanted: Money | None = None) -> BreakEven:
    """How much must be sold to bear the fair's cost, and a profit wanted on top of it.

    Raises:
        NotPossible: ``fair.negative`` for less than nothing to bear.
    """
    to_bear = cost if wanted is None else cost + wanted
    if to_bear.minor < 0:
        raise NotPossible(Problem("fair.negative", "wanted"))
    left = sorted(each.contribution.minor for each in brought)
    together = sum(left)
    paid = sum(each.rug.paid.minor for each in brought)
    pays = together > 0
    return BreakEven(
        to_bear=to_bear,
        all_sold=Money(together, cost.currency) - to_bear,
        takings=Money(_up(to_bear.minor * paid, together), cost.currency) if pays else None,
        average=_up(to_bear.minor * len(left), together) if pays else None,
        dearest_first=_rugs(to_bear.minor, reversed(left)),
        cheapest_first=_rugs(to_bear.minor, left),
    )


def rugs_to_bring(needed: int, share_sold: Decimal | float) -> int:
    """Rugs to bring so that so many are sold, when such a share of what is brought is sold; counted up.

    Raises:
        NotPossible: ``fair.share_sold`` for a share of nothing, or more than all.
    """
    share = exact(share_sold)
    if not 0 < share <= 1:
        raise NotPossible(Problem("fair.share_sold", "share_sold", {"share": share}))
    over, under = share.as_integer_ratio()
    return _up(needed * under, over)


def _up(whole: int, by: int) -> int:
    return -(-whole // by)


def _rugs(to_bear: int, left: Iterable[int]) -> int | None:
    """The first count of rugs, sold in this order, that bears it."""
    sums = accumulate(left, initial=0)
    return next((count for count, borne in enumerate(sums) if borne >= to_bear), None)
