"""The chance that a rug is sold at a fair, from what was brought and sold at that price before.

Each band of price has a chance of its own with a Beta prior that leans on the sales at all other prices, and those on a
starting guess; so a band of which little is known behaves like the rest of the table, and a shop without a past like the
guess. The mean of a Beta that saw ``sold`` of ``brought`` and began with ``weight`` rugs of mean ``m`` is

    (sold + weight x m) / (brought + WEIGHT)

(the conjugate prior of a binomial share; for example P. D. Hoff, A First Course in Bayesian Statistical Methods, 2009,
section 3.1).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money
from shop.core.price_points import PriceBand, price_band

GUESS: Final = 0.3
"""The share of what is brought that is sold at a fair: a starting guess."""
WEIGHT: Final = 5.0
"""Rugs that the guess counts for beside the sales at all other prices, and those beside the sales at a price."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """Rugs that were offered at past fairs.

    Attributes:
        price: at which they were.
        brought: how many.
        sold: how many of them.

    Raises:
        NotPossible: ``fair.sold`` for more sold than brought, or less than none.
    """

    price: Money
    brought: int = 1
    sold: int

    def __post_init__(self) -> None:
        if not 0 <= self.sold <= self.brought:
            raise NotPossible(Problem("fair.sold", "sold"))


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleChance:
    """The chance that a rug is sold at a fair.

    Attributes:
        chance: of it.
        doubt: standard deviation of that chance.
        band: prices like its own.
        brought, sold: at such prices, at past fairs.
        guessed: nothing is known of any fair, so it is the starting guess.
    """

    chance: float
    doubt: float
    band: PriceBand
    brought: int
    sold: int
    guessed: bool


def sale_chances(prices: Sequence[Money], past: Iterable[Tried]) -> tuple[SaleChance, ...]:
    """The chance of each rug at its price, in the order given."""
    counts: dict[PriceBand, tuple[int, int]] = {}
    for tried in past:
        band = price_band(tried.price)
        brought, sold = counts.get(band, (0, 0))
        counts[band] = (brought + tried.brought, sold + tried.sold)
    everything = (sum(brought for brought, _ in counts.values()), sum(sold for _, sold in counts.values()))
    known = {band: _chance(band, counts.get(band, (0, 0)), everything) for band in map(price_band, prices)}
    return tuple(known[price_band(price)] for price in prices)


def _chance(band: PriceBand, own: tuple[int, int], everything: tuple[int, int]) -> SaleChance:
    brought, sold = own
    others_brought, others_sold = everything[0] - brought, everything[1] - sold
    mean = (others_sold + WEIGHT * GUESS) / (others_brought + WEIGHT)
    chance = (sold + WEIGHT * mean) / (brought + WEIGHT)
    return SaleChance(
        chance=chance,
        doubt=math.sqrt(chance * (1 - chance) / (brought + WEIGHT + 1)),
        band=band,
        brought=brought,
        sold=sold,
        guessed=not everything[0],
    )
