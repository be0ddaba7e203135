"""Round prices: the price points of a fair, and the bands of price by which its sales are told apart."""

from __future__ import annotations

from dataclasses import dataclass

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, round_to_step


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """A price at every step: a step of 10 that ends in 5 is 5, 15, 25 and so on.

    Attributes:
        step: from one price to the next; nothing leaves prices as they are.
        ending: what each price has beyond a whole number of steps; less than a step.
        up: a price goes up to the next one; else to the nearest, half a step up.

    Raises:
        NotPossible: ``points.step`` for a step below nothing, ``points.ending`` for an ending that is not less than the step.
    """

    step: Money
    ending: Money
    up: bool = True

    def __post_init__(self) -> None:
        if self.step.minor < 0:
            raise NotPossible(Problem("points.step", "step"))
        if self.ending.minor < 0 or (self.ending and not self.ending < self.step):
            raise NotPossible(Problem("points.ending", "ending"))

    def at(self, price: Money) -> Money:
        """The price point of a price; never nothing."""
        if not self.step:
            return price
        point = round_to_step(price - self.ending, self.step, up=self.up) + self.ending
        return point if point.minor > 0 else point + self.step


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """Prices from a list, as they stand on the table's sign. Beyond the dearest of them a price stays as it is.

    Attributes:
        prices: rising, each more than nothing.
        up: a price goes up to the next one; else to the nearest, the dearer where two are as near.

    Raises:
        NotPossible: ``points.list`` for a list without a price, or one that does not rise from above nothing.
    """

    prices: tuple[Money, ...]
    up: bool = True

    def __post_init__(self) -> None:
        minors = [price.minor for price in self.prices]
        if not minors or minors[0] <= 0 or minors != sorted(set(minors)):
            raise NotPossible(Problem("points.list", "points"))

    def at(self, price: Money) -> Money:
        """The price point of a price."""
        above = next((point for point in self.prices if price <= point), None)
        if above is None:
            return price
        below = next((point for point in reversed(self.prices) if point <= price), above)
        nearer_below = (price - below) < (above - price)
        return below if nearer_below and not self.up else above


PricePoints = Steps | Listed


def at_least(price: Money, least: Money, points: PricePoints) -> Money:
    """The price point of a price, or the first above it that is not below what it must at least be."""
    point = points.at(price)
    if not point < least:
        return point
    up = Steps(step=points.step, ending=points.ending) if isinstance(points, Steps) else Listed(prices=points.prices)
    return up.at(least)


@dataclass(frozen=True, slots=True, order=True)
class PriceBand:
    """Prices that are told apart from others: from ``least`` up to, but not, ``below``."""

    least: Money
    below: Money


def price_band(price: Money) -> PriceBand:
    """The band in which a price lies: 10 to 20, 20 to 50, 50 to 100, 100 to 200 and so on, in any currency.

    Bands go by 1, 2 and 5, so that each is about twice the one before. A price of nothing lies in a band of its own.

    Raises:
        NotPossible: ``points.negative`` for less than nothing.
    """
    if price.minor < 0:
        raise NotPossible(Problem("points.negative", "price"))
    if not price:
        return PriceBand(price, Money(1, price.currency))
    ten = 10 ** (len(str(price.minor)) - 1)
    lead = price.minor // ten
    low, high = (1, 2) if lead < 2 else (2, 5) if lead < 5 else (5, 10)
    return PriceBand(Money(low * ten, price.currency), Money(high * ten, price.currency))
