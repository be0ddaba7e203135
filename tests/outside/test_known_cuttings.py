"""Cutting plans against instances whose best is known.

The 0-1 knapsack instances P01 to P03, P06 and P07 (P01: D. Kreher and D. Stinson, "Combinatorial Algorithms", 1998; all of
them stand in J. Burkardt's collection of knapsack data), from memory; each is solved here by counting as well. Packing
the most profit into a knapsack is leaving the least profit out: the pieces that are cut are those that stay outside.
"""

import pytest

from shop.core.cutting import BandToFill, PieceToCut, Rules, Wish
from shop.core.cutting_plan import plan_cutting
from shop.core.measure import Length
from shop.core.money import Money

KNAPSACKS = {
    "P01": (165, "23 31 29 44 53 38 63 85 89 82", "92 57 49 68 60 43 67 84 87 72", 309),
    "P02": (26, "12 7 11 8 9", "24 13 23 15 16", 51),
    "P03": (190, "56 59 80 64 75 17", "50 50 64 46 50 5", 150),
    "P06": (170, "41 50 49 59 55 57 60", "442 525 511 593 546 564 617", 1735),
    "P07": (
        750,
        "70 73 77 80 82 87 90 94 98 106 110 113 115 118 120",
        "135 139 149 150 156 163 173 184 192 201 210 214 221 229 240",
        1458,
    ),
}


def most_profit(capacity, weights, profits):
    """By counting over capacities."""
    best = [0] * (capacity + 1)
    for weight, profit in zip(weights, profits, strict=True):
        for room in range(capacity, weight - 1, -1):
            best[room] = max(best[room], best[room - weight] + profit)
    return best[capacity]


@pytest.mark.parametrize("name", KNAPSACKS)
def test_knapsacks_with_a_known_best(name):
    """Each item is a piece that gives a single strip as long as the item is heavy; a strip is wider than any is long."""
    capacity, told_weights, told_profits, published = KNAPSACKS[name]
    weights, profits = ([int(one) for one in told.split()] for told in (told_weights, told_profits))
    assert most_profit(capacity, weights, profits) == published
    wide = Length.of(1000, "cm")
    pieces = [
        PieceToCut(name=str(place), width=wide, length=Length.of(weight, "cm"), paid=Money(profit, "USD"))
        for place, (weight, profit) in enumerate(zip(weights, profits, strict=True))
    ]
    outside = Length.of(sum(weights) - capacity, "cm")
    band = BandToFill(name="outside", need=outside, pieces=frozenset(range(len(pieces))))
    rules = Rules(strip=wide, join_loss=Length(0), prefer=(Wish.SHORT, Wish.COST))
    plan = plan_cutting(pieces, [band], rules, currency="USD")
    assert plan.cutting.short == (Length(0),)
    assert plan.cutting.cost.minor == sum(profits) - published
    assert plan.gap == pytest.approx(0, abs=1e-6)


def test_an_assignment_with_a_known_best():
    """Three bands, three sheets that each may serve some: of the six ways only one fills all (by hand)."""
    strip = Length.of(2, "in")
    pieces = [
        PieceToCut(name=name, width=strip, length=Length.of(1.5, "in"), paid=Money(paid, "USD"))
        for name, paid in (("a", 5), ("b", 7), ("c", 4))
    ]
    bands = [
        BandToFill(name=str(place), need=Length.of(1, "in"), pieces=frozenset(who))
        for place, who in enumerate(({0, 1}, {0}, {1, 2}))
    ]
    plan = plan_cutting(pieces, bands, Rules(strip=strip), currency="USD")
    assert {(cut.band, cut.piece) for cut in plan.cutting.cuts} == {(0, 1), (1, 0), (2, 2)}
