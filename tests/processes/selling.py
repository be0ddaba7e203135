"""A phone in a process of its own: sends its day to the store again and again, and says what was answered.

Called as ``python -m tests.processes.selling URL NAME SECRET RUG ENTRIES``. Each line of the answer is a key and ``taken`` or
``had``.
"""
# ruff: noqa: T201 - it answers by printing

import random
import sys
from datetime import UTC, datetime

from shop.store.engine import Store
from shop.usecases import till
from tests.a_fair import MANNER, a_sale, an_undo

NOW = datetime(2026, 3, 17, 16, 0, tzinfo=UTC)


def day_of(name, rug, entries):
    """What one phone has to tell: sales of one rug over and over, every third undone; the same for the same name."""
    day = []
    for place in range(entries):
        key = f"{name}{place:06}abcdefghijkl"
        day.append(a_sale(key, rug))
        if place % 3 == 0:
            day.append(an_undo(key))
    return day


def main(url, name, secret, rug, entries):
    store = Store(url)
    day = day_of(name, int(rug), int(entries))
    random.Random(name).shuffle(day)  # noqa: S311 - the order is no secret
    print("ready", flush=True)
    sys.stdin.readline()
    for entry in day:
        for one in till.take(store, secret=secret, sent=[entry], manner=MANNER, now=NOW):
            print(one.key, one.taken.value, flush=True)
    store.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
