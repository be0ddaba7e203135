"""The reckoning after a fair: what came in, what it cost, what is left, and what an hour of it earned.

    takings  = all payments
    profit   = takings - tax - fees - cost of the rugs sold - cost of the fair
    hour at the fair = profit / hours stood and travelled
    hour in all      = (profit + wage in the rugs sold) / (those hours + the hours woven into the rugs sold)

The cost of a rug holds the weaver's wage for weaving it, so the profit is what is left once that is paid.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, TypeVar

from shop.core.cost import JobCost
from shop.core.fair_cost import FairCost
from shop.core.ladder import RUNGS, Size, size_of
from shop.core.money import Money, exact, total
from shop.core.price_points import PriceBand, price_band

K = TypeVar("K")


@dataclass(frozen=True, slots=True, kw_only=True)
class RugSale:
    """What a rug went for.

    Attributes:
        net: before tax and fees.
        tax: on it or in it.
    """

    net: Money
    tax: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class RugAtFair:
    """A rug that was at a fair, sold or not.

    Attributes:
        rug: its key or number.
        area_m2: its area.
        colour: the plain word for it.
        tag: the price on its tag.
        cost: what it cost.
        minutes: of work in it; ``None`` where nobody knows.
        sale: what it went for; ``None`` where it came home again.
    """

    rug: str
    area_m2: float
    colour: str
    tag: Money
    cost: JobCost
    minutes: float | None
    sale: RugSale | None = None


@dataclass(frozen=True, slots=True)
class Payment:
    """Money that came in, by its means: cash, card, or what else there is."""

    means: str
    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class FairAccount:
    """A fair, reckoned up.

    Attributes:
        brought, sold: rugs.
        by_means: what came in by each means, the most first.
        takings: all of it.
        tax: of that.
        rounding: what rounding of cash added to what was due, or took from it.
        unexplained: what came in over what the rugs sold, their tax and the rounding come to; nothing when all is noted.
        fees: what card readers kept.
        rugs: cost of the rugs sold, wage and overhead too.
        fair: cost of the fair.
        profit: what is left.
        wage_in_rugs: what of the cost of the rugs sold is the weaver's own wage.
        hours: stood and travelled.
        hours_woven: in the rugs sold; ``None`` where nobody knows all of them.
        stall: the stall's fee.
    """

    brought: int
    sold: int
    by_means: tuple[tuple[str, Money], ...]
    takings: Money
    tax: Money
    rounding: Money
    unexplained: Money
    fees: Money
    rugs: Money
    fair: Money
    profit: Money
    wage_in_rugs: Money
    hours: Decimal
    hours_woven: Decimal | None
    stall: Money

    @property
    def before_tax(self) -> Money:
        """What came in, without the tax."""
        return self.takings - self.tax

    @property
    def hour_at_fair(self) -> Money | None:
        """What an hour stood or travelled earned; ``None`` without such hours."""
        return _an_hour(self.profit, self.hours)

    @property
    def hour_in_all(self) -> Money | None:
        """What an hour earned, weaving and fair together; ``None`` where nobody knows the hours."""
        if self.hours_woven is None:
            return None
        return _an_hour(self.profit + self.wage_in_rugs, self.hours + self.hours_woven)


def _an_hour(earned: Money, hours: Decimal) -> Money | None:
    return Money.rounded(earned.amount / hours, earned.currency) if hours else None


def fair_account(
    rugs: Sequence[RugAtFair], payments: Iterable[Payment], *, rounding: Money, fees: Money, cost: FairCost
) -> FairAccount:
    """A fair, reckoned up.

    Args:
        rugs: all that were there.
        payments: all that came in, what was given back taken off.
        rounding: of all cash together.
        fees: that card readers kept.
        cost: of the fair.
    """
    currency = cost.stall.currency
    sold = [(rug, rug.sale) for rug in rugs if rug.sale is not None]
    means: dict[str, Money] = {}
    for payment in payments:
        means[payment.means] = means.get(payment.means, Money.zero(currency)) + payment.amount
    takings = total(means.values(), currency)
    tax = total((sale.tax for _, sale in sold), currency)
    due = total((sale.net for _, sale in sold), currency) + tax
    of_rugs = total((rug.cost.total for rug, _ in sold), currency)
    minutes = [rug.minutes for rug, _ in sold]
    known = [exact(each) for each in minutes if each is not None]
    return FairAccount(
        brought=len(rugs),
        sold=len(sold),
        by_means=tuple(sorted(means.items(), key=lambda one: (-one[1].minor, one[0]))),
        takings=takings,
        tax=tax,
        rounding=rounding,
        unexplained=takings - due - rounding,
        fees=fees,
        rugs=of_rugs,
        fair=cost.total,
        profit=takings - tax - fees - of_rugs - cost.total,
        wage_in_rugs=total((rug.cost.labour for rug, _ in sold), currency),
        hours=cost.hours,
        hours_woven=sum(known, Decimal(0)) / 60 if len(known) == len(minutes) else None,
        stall=cost.stall,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Alike(Generic[K]):
    """Rugs of a kind, at one fair or at several.

    Attributes:
        what: a size, a colour or a band of price.
        brought, sold: rugs.
        takings: what they went for, before tax.
        left: of that, once their own cost is paid.
    """

    what: K
    brought: int
    sold: int
    takings: Money
    left: Money


def _told_apart(rugs: Iterable[RugAtFair], kind: Callable[[RugAtFair], K]) -> list[Alike[K]]:
    kinds: dict[K, list[RugAtFair]] = {}
    for rug in rugs:
        kinds.setdefault(kind(rug), []).append(rug)
    found = []
    for what, members in kinds.items():
        currency = members[0].tag.currency
        takings = total((rug.sale.net for rug in members if rug.sale), currency)
        own_cost = total((rug.cost.total for rug in members if rug.sale), currency)
        sold = sum(rug.sale is not None for rug in members)
        found.append(
            Alike(what=what, brought=len(members), sold=sold, takings=takings, left=takings - own_cost)
        )
    return found


def by_size(rugs: Iterable[RugAtFair], rungs: tuple[float, float] = RUNGS) -> tuple[Alike[Size], ...]:
    """Small, middling and large rugs, those sizes that were there."""
    found = _told_apart(rugs, lambda rug: size_of(rug.area_m2, rungs))
    return tuple(sorted(found, key=lambda one: list(Size).index(one.what)))


def by_colour(rugs: Iterable[RugAtFair]) -> tuple[Alike[str], ...]:
    """Colours, that which brought most first."""
    found = _told_apart(rugs, lambda rug: rug.colour)
    return tuple(sorted(found, key=lambda one: (-one.takings.minor, -one.brought, one.what)))


def by_price(rugs: Iterable[RugAtFair]) -> tuple[Alike[PriceBand], ...]:
    """Bands of the price on the tag, the cheapest first."""
    return tuple(sorted(_told_apart(rugs, lambda rug: price_band(rug.tag)), key=lambda one: one.what))


@dataclass(frozen=True, slots=True, kw_only=True)
class NearlySold:
    """A rug that somebody wanted and did not buy.

    Attributes:
        rug: its key or number.
        times: how often somebody asked for its price and went.
        best: the most that was offered; ``None`` where nobody offered.
    """

    rug: str
    times: int
    best: Money | None


def nearly_sold(asked: Iterable[tuple[str, Money | None]]) -> tuple[NearlySold, ...]:
    """What nearly sold, from a note for each time: the rug, and what was offered if anything. The most asked for first."""
    offers: dict[str, list[Money | None]] = {}
    for rug, offer in asked:
        offers.setdefault(rug, []).append(offer)
    found = [
        NearlySold(rug=rug, times=len(notes), best=max((one for one in notes if one is not None), default=None))
        for rug, notes in offers.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.times, one.rug)))
