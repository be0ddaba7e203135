"""How long it takes to learn ten thousand jobs anew, beside NumPy's least squares over the same rows in the same run."""

from __future__ import annotations

import numpy as np

from shop.core.evidence import What
from shop.core.learning import learn
from tests.core.simulated_shops import SPAN, a_shop, records_of
from tests.load.side_by_side import side_by_side

JOBS = 10_000


def speed() -> None:
    """Print it."""
    shop = a_shop(1902, 3, rugs=JOBS)
    chance = np.random.default_rng(7)
    evidence = [one for place in range(JOBS) for one in records_of(shop, place, chance)]
    chance.shuffle(evidence)
    kinds = sorted({one.kind for one in evidence})
    by_place = [[one for one in evidence if one.what is what] for what in SPAN]
    sheets = [
        (
            np.array([[1.0, one.size, *(one.kind == kind for kind in kinds[1:])] for one in records]),
            np.log([one.value for one in records] if records[0].what is not What.WASTE else [1 - one.value for one in records]),
        )
        for records in by_place
    ]
    found = side_by_side(
        {
            "learn": lambda: learn(evidence, shop.guesses, today=shop.rugs[-1].day),
            "lstsq": lambda: [np.linalg.lstsq(x, y, rcond=None) for x, y in sheets],
        },
        turns=7,
        warm=1,
        often={"lstsq": 10},
    )
    cloths = len({one.cloth for one in evidence})
    print(f"\n  {JOBS:,} jobs, {len(evidence):,} records of {cloths:,} cloths, learned anew: {found['learn']}; aim under a second")
    print(f"    numpy.linalg.lstsq on the same rows, a column a kind and none for the cloths: {found['lstsq']}")
    print(f"    {found['learn'].median / found['lstsq'].median:.1f} times")
