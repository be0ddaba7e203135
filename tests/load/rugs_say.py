"""The quote page of a shop that has woven many rugs, beside the same page that hears nothing of them; and what a saved act costs."""

from __future__ import annotations

import tempfile
from datetime import timedelta
from pathlib import Path
from time import perf_counter
from unittest.mock import patch

from shop.core.evidence import What
from shop.core.measure import Length
from shop.core.money import exact
from shop.core.quick import Told
from shop.store.engine import Store
from shop.store.migrate import migrate
from shop.usecases import quick_measure
from shop.usecases.given import fresh_token
from shop.usecases.quick_measure import MeasureGiven
from shop.usecases.rugs_say import rugs_say
from tests.builders import a_planned_job
from tests.load.a_full_shop import NOW, fill, pages_of, signed_in
from tests.load.side_by_side import say_ratio, side_by_side
from tests.usecases.woven_rugs import STRAYS, woven

AIM = 1.2
RUGS = 200
PAGE = "/quotes/new"
READY = [number for number in range(1, 21) if (number - 1) % 3]
"""Pieces of the full shop that need no wash."""


def run(*, turns: int, rows: int) -> None:
    """Time the quote page; ``rows`` is of no meaning here."""
    del rows
    with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
        url = f"sqlite:///{folder}/shop.sqlite3"
        migrate(url)
        store = Store(url)
        fill(store)
        for place in range(RUGS):
            on, piece = NOW + timedelta(days=place), READY[place % len(READY)]
            woven(store, on, a_planned_job(store, on, piece, loom_id=1), stray=STRAYS[place % 8], piece=piece, share=0.02)
        app, _ = pages_of(store, Path(folder))
        client = signed_in(app)

        def deaf() -> object:
            with patch("shop.usecases.workroom.rugs_say_in", return_value=None):
                return client.get(PAGE)

        timed = side_by_side({"with": lambda: client.get(PAGE), "without": deaf}, turns=turns, warm=10)
        print(f"  the quote page of a shop with {RUGS} woven rugs: {timed['with']}; without their word {timed['without']}")
        say_ratio("the same page without", timed["with"], timed["without"], aim=AIM)
        begun = perf_counter()
        for place in range(10):
            measure(store, place)
            rugs_say(store)
        spent = (perf_counter() - begun) / 10
        print(f"  after something was saved: {1000 * spent:.0f} ms to read and learn all anew, once")
        store.close()


def measure(store: Store, place: int) -> None:
    """A quick measurement, so that all has to be looked at again."""
    told = Told(minutes=exact(4.0 + place), first=Length.of(10, "m"))
    given = MeasureGiven(what=What.CUT.value, on="rotary", told=told)
    quick_measure.add(store, given=given, saving=fresh_token(), now=NOW)
