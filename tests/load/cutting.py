"""Cutting plans of 60, 300 and 1,000 pieces by 8 bands: seconds, the gap that is proven, and beside it the relaxation alone.

The relaxation is the same programme with every whole number let go; it is what no plan can go below.
"""

from __future__ import annotations

import random
from time import perf_counter

from shop.core.cutting import BandToFill, PieceToCut, Rules, Wish
from shop.core.cutting_plan import plan_cutting, relaxed
from shop.core.measure import Length
from shop.core.money import Money

BANDS = 8
SIZES = (60, 300, 1_000)
AIM_SECONDS, AIM_GAP = 5.0, 0.01


def a_shelf(pieces: int, *, several: bool) -> tuple[list[PieceToCut], list[BandToFill]]:
    """Thrifted pieces of all sizes and prices, and bands that take about a tenth of them; the same each time."""
    chance = random.Random(pieces)  # noqa: S311 - the same shelf each time
    shelf = [
        PieceToCut(
            name=str(number),
            width=Length.of(chance.randint(20, 100), "in"),
            length=Length.of(chance.randint(30, 110), "in"),
            paid=Money(chance.randint(0, 900), "USD"),
            tears=chance.random() < 0.5,
        )
        for number in range(pieces)
    ]
    bands = [
        BandToFill(
            name=str(band),
            need=Length.of(chance.randint(20, 200) * pieces / 60, "m"),
            pieces=frozenset(
                number
                for number in range(pieces)
                if (chance.random() < 0.5 if several else number % BANDS == band)
            ),
        )
        for band in range(BANDS)
    ]
    return shelf, bands


def run(*, turns: int, rows: int) -> None:
    """Tell each size, where a piece may serve one band, and where it may serve several."""
    del turns, rows
    rules = Rules(strip=Length.of(2, "in"), prefer=(Wish.SHORT, Wish.COST))
    for several in (False, True):
        for pieces in SIZES:
            shelf, bands = a_shelf(pieces, several=several)
            begun = perf_counter()
            relaxed(shelf, bands, rules, Wish.COST)
            alone = perf_counter() - begun
            begun = perf_counter()
            plan = plan_cutting(shelf, bands, rules, currency="USD")
            took = perf_counter() - begun
            which = "several bands" if several else "one band"
            good = plan.gap <= AIM_GAP and took <= AIM_SECONDS
            print(
                f"  {pieces:>5,} pieces by {BANDS}, each for {which}: {took:.2f} s, within {plan.gap:.2%} of the best, "
                f"{took / alone:.1f} times the relaxation alone (aim 1 % in 5 s at 1,000: {'met' if good else 'missed'})"
            )
