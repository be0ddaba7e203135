"""A weaver in a process of her own: draws strip after strip, and says of each whether it was done.

Called as ``python -m tests.processes.drawing URL NAME PIECES DRAWS JOB HOW``; ``HOW`` is ``some`` of any piece, or ``whole``
pieces one after another. Each line of the answer is one press: its token and
``done`` with the step, or the codes of the problems it was refused with.
"""
# ruff: noqa: T201 - it answers by printing

import random
import sys
from datetime import UTC, datetime
from decimal import Decimal

from shop.core.amount import All, Share
from shop.core.errors import Refusal
from shop.store.engine import Store
from shop.usecases import draw

NOW = datetime(2026, 3, 17, 15, 30, tzinfo=UTC)


def main(url, name, pieces, draws, job, how):
    store = Store(url)
    chance = random.Random(name)  # noqa: S311 - which piece is drawn is no secret
    print("ready", flush=True)
    sys.stdin.readline()
    for place in range(int(draws)):
        token = f"{name}-{place:05}-{'x' * 20}"
        number, amount = place % int(pieces) + 1, All()
        if how == "some":
            number, amount = chance.randint(1, int(pieces)), Share(Decimal(chance.randint(1, 20)) / 100)
        try:
            done = draw.draw(store, number=number, job=int(job), amount=amount, saving=token, now=NOW)
        except Refusal as refused:
            said = " ".join(problem.code for problem in refused.problems)
        else:
            said = f"done {done.step_id}"
        print(token, said, flush=True)
    store.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
