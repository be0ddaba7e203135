"""The list of quotes and the search in it, at a thousand quotes and at a million, on both databases."""

from __future__ import annotations

import tempfile
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from urllib.parse import urlencode

from shop.store.engine import Store
from shop.store.migrate import migrate
from shop.usecases import quote
from tests.databases import administer, postgresql_server, written
from tests.load.a_full_shop import pages_of, signed_in
from tests.load.many_quotes import ALONE, RARE, fill_with
from tests.load.side_by_side import side_by_side

AIM = 1.5
FEW = 1_000


@dataclass(frozen=True, slots=True)
class Look:
    """Something to look for in the list: its name here, the words, and whether from half-way down the list on."""

    name: str
    words: str
    from_the_middle: bool = False


LOOKS = (
    Look("newest", ""),
    Look("newest, from the middle on", "", from_the_middle=True),
    Look("a rare word", RARE),
    Look("a common word", ALONE[0]),
    Look("a common word, from the middle on", ALONE[0], from_the_middle=True),
    Look("the beginning of several words", "b"),
    Look("two words that meet often", "blue hall"),
    Look("a rare word and a common one", f"{RARE} woven"),
    Look("two common words that never meet", " ".join(ALONE)),
    Look("three words, the last only begun", "ada blue ki"),
    Look("a number", "777"),
    Look("a word that is not there", "zzz"),
)


@dataclass(frozen=True, slots=True)
class Shop:
    """A filled shop: its store, and a way to fetch its pages as the owner."""

    store: Store
    page: Callable[[str], None]


def run(*, turns: int, rows: int) -> None:
    """Time the list on SQLite, then on PostgreSQL, each at a thousand quotes and at ``rows``."""
    _compare("SQLite", _in_sqlite, turns, rows)
    with postgresql_server() as server:

        @contextmanager
        def in_postgresql() -> Iterator[str]:
            name = f"thriftloom_load_{uuid.uuid4().hex}"
            administer(server, f"CREATE DATABASE {name}")
            try:
                yield written(server.set(database=name))
            finally:
                administer(server, f"DROP DATABASE {name} WITH (FORCE)")

        _compare("PostgreSQL", in_postgresql, turns, rows)


@contextmanager
def _in_sqlite() -> Iterator[str]:
    with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
        yield f"sqlite:///{folder}/shop.sqlite3"


@contextmanager
def _filled(url: str, rows: int) -> Iterator[Shop]:
    migrate(url)
    store = Store(url)
    start = perf_counter()
    fill_with(store, rows)
    print(f"    {rows:,} quotes filled in, in {perf_counter() - start:.0f} s")
    try:
        with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
            app, _ = pages_of(store, Path(folder))
            client = signed_in(app)

            def page(find: str) -> None:
                answer = client.get(f"/quotes?{find}")
                if answer.status_code != 200:
                    raise SystemExit(f"The list answered {answer.status_code}.")

            yield Shop(store, page)
    finally:
        store.close()


def _compare(database: str, a_database: Callable[[], contextmanager[str]], turns: int, rows: int) -> None:
    print(f"  {database}:")
    with (
        a_database() as small,
        a_database() as large,
        _filled(small, FEW) as few,
        _filled(large, rows) as many,
    ):
        print(f"    {'':34}{'the page':>34}{'the use case alone':>34}")
        for look in LOOKS:
            page = _ratio(few, many, look, _page, turns)
            alone = _ratio(few, many, look, _use_case, turns)
            print(f"    {look.name:34}{page:>34}{alone:>34}")


def _page(shop: Shop, words: str, after: str) -> None:
    shop.page(urlencode({"find": words, "after": after}))


def _use_case(shop: Shop, words: str, after: str) -> None:
    quote.quotes(shop.store, words=words, after=after)


def _ratio(few: Shop, many: Shop, look: Look, take: Callable[[Shop, str, str], None], turns: int) -> str:
    after_few, after_many = (_middle(shop) if look.from_the_middle else "" for shop in (few, many))
    things = {
        "few": lambda: take(few, look.words, after_few),
        "many": lambda: take(many, look.words, after_many),
    }
    timed = side_by_side(things, turns=turns // 2, warm=5)
    times = timed["many"].median / timed["few"].median
    ends = " and ".join(f"{timed[name].median * 1e3:.2f}" for name in ("few", "many"))
    return f"{ends} ms: {times:.2f} times{'' if times <= AIM else ' MISSED'}"


def _middle(shop: Shop) -> str:
    """Where a page begins half-way down the list."""
    newest = quote.quotes(shop.store, limit=1).quotes[0].number
    place = quote.quotes(shop.store, words=str(newest // 2), limit=1).quotes[0]
    return f"{round(place.updated_at.timestamp() * 1_000_000)}-{place.number}"
