"""The papers of a quote: how long a PDF takes, the first and the others."""

from __future__ import annotations

import tempfile
from pathlib import Path
from time import perf_counter

from shop.store.engine import Store
from shop.store.migrate import migrate
from tests.load.a_full_shop import fill as fill_shop
from tests.load.a_full_shop import hidden_fields, pages_of, signed_in
from tests.load.pages import ASKED_FOR
from tests.load.side_by_side import side_by_side

AIM = 0.1


def run(*, turns: int, rows: int) -> None:
    """Time the papers of one quote; ``rows`` is of no meaning here."""
    del rows
    with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
        url = f"sqlite:///{folder}/shop.sqlite3"
        migrate(url)
        store = Store(url)
        fill_shop(store)
        app, _ = pages_of(store, Path(folder))
        client = signed_in(app)
        hidden = hidden_fields(client.get("/quotes/new").get_data(as_text=True))
        asked = {
            **hidden,
            **ASKED_FOR,
            "width": "25 in",
            "customer_name": "Ines Okafor",
            "title": "Hall rug",
            "act": "save",
        }
        saved = client.post("/quotes/new", data=asked)
        if saved.status_code != 303:
            raise SystemExit(f"The quote could not be saved: {saved.status_code}.")

        def fetch(paper: str) -> bytes:
            answer = client.get(f"{saved.headers['Location']}/{paper}")
            if not answer.data.startswith(b"%PDF"):
                raise SystemExit(f"No paper: {answer.status_code}.")
            return answer.data

        papers = ("quote.pdf", "cost-sheet.pdf")
        first = {}
        for paper in papers:
            start = perf_counter()
            fetch(paper)
            first[paper] = perf_counter() - start
        timed = side_by_side(
            {paper: lambda paper=paper: fetch(paper) for paper in papers}, turns=max(10, turns // 4)
        )
        for paper, one in timed.items():
            missed = "" if one.median < AIM else " - MISSED"
            print(
                f"    {paper:16} {one}; the first of all {first[paper] * 1e3:.0f} ms; aim under {AIM * 1e3:.0f} ms{missed}"
            )
        store.close()
