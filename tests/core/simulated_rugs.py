"""Rugs whose truth is known, woven row by row, to see what “will it reach?” says of them on the way.

``python -m tests.load reach`` prints its figures.
"""

import math
from dataclasses import dataclass

import numpy as np

from shop.core.reach import ERROR, ClothOnLoom, Measured, Verdict, reach
from shop.core.spread import Estimate

LOOKS = (0.2, 0.4, 0.6, 0.75, 0.88)
"""When the weaver asks: shares of the rug's rows; the last before the last tenth."""
FIELDS = {
    "as thought": {},
    "looser than thought": {"bias": 0.25},
    "firmer than thought": {"bias": -0.25},
    "rows unlike one another": {"row": 0.15},
    "cloths unlike one another": {"own": 0.12},
}
"""Truths that the arithmetic knows nothing of: the shop's own rate a quarter off, rows and cloths less alike than it thinks."""


@dataclass
class Tally:
    """How many rugs ran out and were told so in time, and how many had enough and were told they had not."""

    out: int = 0
    told: int = 0
    enough: int = 0
    wolf: int = 0

    @property
    def told_share(self):
        return self.told / max(1, self.out)

    @property
    def wolf_share(self):
        return self.wolf / max(1, self.enough)


def simulate(rugs, seed, *, bias=0.0, row=0.08, own=0.05, stock=0.12):
    """Weave so many rugs of one to three cloths.

    Args:
        rugs: how many.
        seed: of the chance.
        bias: log of the true rate over the estimate's, on the whole.
        row, own: how unlike rows and cloths are.
        stock: log standard deviation of strip cut over strip that is really needed.
    """
    chance = np.random.default_rng(seed)
    tally = Tally()
    for _ in range(rugs):
        told = out = False
        measured = list(Measured)[chance.integers(3)]
        shared = chance.normal(bias, 0.2)
        cloths = []
        for _ in range(chance.integers(1, 4)):
            rows = int(chance.integers(40, 300))
            guess = chance.uniform(0.5, 3.0)
            true = guess * math.exp(shared + chance.normal(0, own))
            takes = true * np.exp(chance.normal(0, row, rows))
            has = takes.sum() * math.exp(chance.normal(0, stock))
            cloths.append((rows, guess, takes, has, has * math.exp(chance.normal(0, 0.02))))
            out = out or takes.sum() > has
        for look in LOOKS:
            asked, empty = [], False
            for rows, guess, takes, has, cut in cloths:
                done = round(rows * look)
                left = has - takes[:done].sum()
                if left <= 0:
                    empty = True
                    break
                seen = left * math.exp(chance.normal(0, ERROR[measured]))
                asked.append(
                    ClothOnLoom(
                        rate=Estimate(guess, (("take_up", 0.2),)), rows=rows, done=done, cut=cut,
                        left=min(seen, cut), measured=measured,
                    )
                )  # fmt: skip
            if empty:
                break
            told = told or any(one.verdict is Verdict.SHORT for one in reach(asked))
        if out:
            tally.out += 1
            tally.told += told
        else:
            tally.enough += 1
            tally.wolf += told
    return tally

