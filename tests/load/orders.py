"""The history of orders, the search in it, and an order's pages, at a thousand orders and at a million, on both databases.

``THRIFTLOOM_LOAD_FOLDER`` names a folder where filled shops are kept for the next run; what was filled into PostgreSQL then
stays there too.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from time import perf_counter
from urllib.parse import urlencode

from sqlalchemy import URL, select

from shop.core.measure import Length
from shop.core.money import Money
from shop.store.engine import Store, StoreUnavailable, make_engine
from shop.store.migrate import is_current, migrate
from shop.store.numbering import Counter
from shop.usecases import history
from shop.usecases.history import Sought
from tests.databases import administer, postgresql_server, written
from tests.load.a_full_shop import pages_of, signed_in
from tests.load.many_orders import Filled, fill_with, known_of
from tests.load.many_quotes import ALONE, RARE
from tests.load.order_values import EXTRA_WIDE, LOOMS, SOMEBODY, WIDTHS
from tests.load.side_by_side import side_by_side

AIM = 1.5
FEW = 1_000
KEPT = "THRIFTLOOM_LOAD_FOLDER"
FILLED = "filled for the load"
"""A counter that is put in last, by which a whole shop is known."""


@dataclass(frozen=True, slots=True)
class Look:
    """Something to look for in the history: its name here, what is asked, and whether from half-way down the list on."""

    name: str
    asked: Mapping[str, str] = field(default_factory=dict)
    deep: bool = False


LOOKS = (
    Look("newest"),
    Look("newest, from the middle on", deep=True),
    Look("a customer", {"find": SOMEBODY}),
    Look("a common word", {"find": ALONE[0]}),
    Look("a common word, from the middle on", {"find": ALONE[0]}, deep=True),
    Look("a rare word", {"find": RARE}),
    Look("a rare word and a common one", {"find": f"{RARE} woven"}),
    Look("two words that meet often", {"find": "blue runner"}),
    Look("two words that never meet", {"find": " ".join(ALONE)}),
    Look("the beginning of many words", {"find": "b"}),
    Look("a word that is not there", {"find": "zzz"}),
    Look("a number", {"find": "777"}),
    Look("a loom", {"loom": LOOMS[1]}),
    Look("a loom, from the middle on", {"loom": LOOMS[1]}, deep=True),
    Look("a loom that is hardly used", {"loom": LOOMS[2]}),
    Look("a usual size", {"wide": f"{WIDTHS[1]} in"}),
    Look("a usual size, from the middle on", {"wide": f"{WIDTHS[1]} in"}, deep=True),
    Look("a size that is rare", {"wide": f"{EXTRA_WIDE} in"}),
    Look("a day", {"since": "DAY", "until": "DAY"}),
    Look("up to a day", {"until": "DAY"}),
    Look("from a day on", {"since": "DAY"}),
    Look("under way", {"state": "open"}),
    Look("on the loom", {"state": "weaving"}),
    Look("finished, from the middle on", {"state": "finished"}, deep=True),
    Look("called off", {"state": "called off"}),
    Look("called off, from the middle on", {"state": "called off"}, deep=True),
    Look("a piece of cloth", {"piece": "PIECE"}),
    Look("not paid in full", {"paid": "no"}),
    Look("not paid, from the middle on", {"paid": "no"}, deep=True),
    Look("paid, from the middle on", {"paid": "yes"}, deep=True),
    Look("left a loss", {"most": "0"}),
    Look("left much profit", {"least": "120"}),
    Look("word, loom, size and state", {"find": "blue", "loom": LOOMS[1], "wide": f"{WIDTHS[1]} in", "state": "handed over"}),
    Look("word, dates and paid", {"find": ALONE[1], "until": "DAY", "paid": "yes"}),
)
PAGES = {
    "an order: the job": "/jobs/{job}",
    "an order: its money": "/jobs/{job}/money",
    "an order: its time": "/jobs/{job}/time",
    "an order: quoted and real": "/jobs/{job}/compare",
    "the jobs under way": "/jobs",
}


@dataclass(frozen=True, slots=True)
class Shop:
    """A filled shop: its store, what is known of it, and a way to fetch its pages as the owner."""

    store: Store
    filled: Filled
    page: Callable[[str], None]

    def said(self, look: Look) -> dict[str, str]:
        """What is asked of this shop."""
        own = {"DAY": self.filled.day.isoformat(), "PIECE": str(self.filled.piece)}
        return {name: own.get(value, value) for name, value in look.asked.items()}


def run(*, turns: int, rows: int) -> None:
    """Time the history and an order's pages on SQLite, then on PostgreSQL, each at a thousand orders and at ``rows``."""
    with _folder() as folder:
        _compare("SQLite", lambda many: _in_sqlite(folder, many), turns, rows)
    with postgresql_server() as server:
        _compare("PostgreSQL", lambda many: _in_postgresql(server, many), turns, rows)


@contextmanager
def _folder() -> Iterator[Path]:
    kept = os.environ.get(KEPT)
    if kept:
        Path(kept).mkdir(parents=True, exist_ok=True)
        yield Path(kept)
        return
    with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
        yield Path(folder)


@contextmanager
def _in_sqlite(folder: Path, rows: int) -> Iterator[str]:
    file = folder / f"orders-{rows}.sqlite3"
    url = f"sqlite:///{file}"
    if not _is_filled(url):
        for one in folder.glob(f"{file.name}*"):
            one.unlink()
    yield url


@contextmanager
def _in_postgresql(server: URL, rows: int) -> Iterator[str]:
    url = server.set(database=f"thriftloom_load_orders_{rows}")
    drop = f"DROP DATABASE IF EXISTS {url.database} WITH (FORCE)"
    if not _is_filled(written(url)):
        administer(server, drop, f"CREATE DATABASE {url.database}")
    try:
        yield written(url)
    finally:
        if not os.environ.get(KEPT):
            administer(server, drop)


def _is_filled(url: str) -> bool:
    """Whether an earlier run left a whole shop there, of this version."""
    try:
        if not is_current(url):
            return False
    except StoreUnavailable:
        return False
    engine = make_engine(url)
    try:
        with engine.connect() as connection:
            return connection.execute(select(Counter.last).where(Counter.series == FILLED)).first() is not None
    finally:
        engine.dispose()


@contextmanager
def _filled(url: str, rows: int) -> Iterator[Shop]:
    ready = _is_filled(url)
    migrate(url)
    store = Store(url)
    start = perf_counter()
    try:
        filled = known_of(store, rows) if ready else fill_with(store, rows)
        if not ready:
            with store.writing() as session:
                session.add(Counter(series=FILLED, last=rows))
        how = "kept from an earlier run" if ready else f"filled in, in {perf_counter() - start:.0f} s"
        print(f"    {rows:,} orders {how}", flush=True)
        with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
            app, _ = pages_of(store, Path(folder))
            client = signed_in(app)

            def page(address: str) -> None:
                answer = client.get(address)
                if answer.status_code != 200:
                    raise SystemExit(f"{address} answered {answer.status_code}.")

            yield Shop(store, filled, page)
    finally:
        store.close()


def _compare(
    database: str, a_database: Callable[[int], AbstractContextManager[str]], turns: int, rows: int
) -> None:
    print(f"  {database}:")
    with (
        a_database(FEW) as small,
        a_database(rows) as large,
        _filled(small, FEW) as few,
        _filled(large, rows) as many,
    ):
        print(f"    {'':34}{'the page':>34}{'the use case alone':>34}")
        for look in LOOKS:
            page = _ratio(_page(few, look), _page(many, look), turns)
            alone = _ratio(_use_case(few, look), _use_case(many, look), turns)
            print(f"    {look.name:34}{page:>34}{alone:>34}", flush=True)
        for name, address in PAGES.items():
            ratio = _ratio(*(_order(shop, address) for shop in (few, many)), turns)
            print(f"    {name:34}{ratio:>34}", flush=True)


def _page(shop: Shop, look: Look) -> Callable[[], None]:
    below = {"below": str(shop.filled.middle)} if look.deep else {}
    address = f"/jobs/history?{urlencode({**shop.said(look), **below})}"
    return lambda: shop.page(address)


def _use_case(shop: Shop, look: Look) -> Callable[[], object]:
    below = shop.filled.middle if look.deep else None
    said = shop.said(look)
    day = {name: date.fromisoformat(said[name]) if name in said else None for name in ("since", "until")}
    sought = Sought(
        words=said.get("find", ""),
        state=said.get("state", ""),
        begun_from=day["since"],
        begun_to=day["until"],
        loom=said.get("loom", ""),
        width=Length.of(int(said["wide"].removesuffix(" in")), "in") if "wide" in said else None,
        piece=int(said["piece"]) if "piece" in said else None,
        paid=said.get("paid", ""),
        profit_least=Money.of(said["least"], "USD") if "least" in said else None,
        profit_most=Money.of(said["most"], "USD") if "most" in said else None,
    )
    return lambda: history.history(shop.store, sought=sought, below=below)


def _order(shop: Shop, address: str) -> Callable[[], None]:
    where = address.format(job=shop.filled.middle)
    return lambda: shop.page(where)


def _ratio(few: Callable[[], object], many: Callable[[], object], turns: int) -> str:
    timed = side_by_side({"few": few, "many": many}, turns=turns // 2, warm=5)
    times = timed["many"].median / timed["few"].median
    ends = " and ".join(f"{timed[name].median * 1e3:.2f}" for name in ("few", "many"))
    return f"{ends} ms: {times:.2f} times{'' if times <= AIM else ' MISSED'}"
