"""Two hundred tags in one PDF: beside two hundred labels of cloth, and beside a sheet with nothing but its marks."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from time import perf_counter

from shop.paper.codes import code_of
from shop.paper.label_sheets import SHEETS
from shop.paper.tag import SIZES
from tests.load.side_by_side import say_ratio, side_by_side
from tests.paper.a_label import a_label, printed_labels
from tests.paper.a_tag import a_tag, printed_tags

MANY = 200
AIM = 2.0
"""Seconds for two hundred tags that were never printed before."""
RATIO = 1.5
"""Times what as many labels of cloth take, their codes made as well."""


def run(*, turns: int, rows: int) -> None:
    """Time tags that are new each time, so that nothing of them is remembered; ``rows`` is of no meaning here."""
    del rows
    numbers = count(1, MANY)
    printed_tags([], SIZES["small"])

    def tags(key: str) -> Callable[[], object]:
        def made() -> object:
            code_of.cache_clear()
            first = next(numbers)
            some = [a_tag(number, price=f"${number}.00", name=f"Rug {number}") for number in range(first, first + MANY)]
            return printed_tags(some, SIZES[key])

        return made

    def labels() -> object:
        code_of.cache_clear()
        first = next(numbers)
        return printed_labels(
            [a_label(number, name=f"Sheet {number}") for number in range(first, first + MANY)], SHEETS["a4-24"]
        )

    def marks() -> object:
        return printed_tags([a_tag(next(numbers))], SIZES["small"])

    start = perf_counter()
    tags("small")()
    first_of_all = perf_counter() - start
    timed = side_by_side(
        {**{key: tags(key) for key in SIZES}, "labels": labels, "one tag": marks}, turns=max(5, turns // 20), warm=1
    )
    for name, one in timed.items():
        print(f"    {name:8} {one}")
    slowest = max((timed[key] for key in SIZES), key=lambda one: one.median)
    missed = "" if slowest.median < AIM else " - MISSED"
    print(f"    200 new tags, the slowest size: {slowest}; the first of all {first_of_all:.2f} s; aim under {AIM:g} s{missed}")
    say_ratio("what 200 labels of cloth take", slowest, timed["labels"], aim=RATIO)
