"""The shelf, a job and a draw with 20,000 pieces and 500,000 entries beside the same with 200 and 5,000, on both databases."""

from __future__ import annotations

import tempfile
import uuid
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

from shop.store.engine import Store
from shop.store.migrate import migrate
from shop.usecases.ledger import prove
from tests.databases import administer, postgresql_server, written
from tests.load.a_full_shop import pages_of, signed_in
from tests.load.much_cloth import fill_with
from tests.load.side_by_side import say_ratio, side_by_side

AIM = 1.5
FEW, MANY = 200, 20_000
LOOKS = {
    "the shelf by colour": "/cloth",
    "the shelf, newest first": "/cloth?order=newest",
    "a job": "/jobs/{job}",
    "a draw": "/cloth/pieces/{piece}/draw",
}


@dataclass(frozen=True, slots=True)
class Shop:
    """A filled shop: fetches its pages as the owner; ``job`` and ``piece`` are numbers of ones with entries."""

    page: Callable[[str], None]
    job: int
    piece: int


def run(*, turns: int, rows: int) -> None:
    """Time on SQLite, then on PostgreSQL; ``rows`` is of no meaning here."""
    del rows
    _compare("SQLite", _in_sqlite, turns)
    with postgresql_server() as server:

        @contextmanager
        def in_postgresql() -> Iterator[str]:
            name = f"thriftloom_load_{uuid.uuid4().hex}"
            administer(server, f"CREATE DATABASE {name}")
            try:
                yield written(server.set(database=name))
            finally:
                administer(server, f"DROP DATABASE {name} WITH (FORCE)")

        _compare("PostgreSQL", in_postgresql, turns)


@contextmanager
def _in_sqlite() -> Iterator[str]:
    with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
        yield f"sqlite:///{folder}/shop.sqlite3"


@contextmanager
def _filled(url: str, pieces: int) -> Iterator[Shop]:
    migrate(url)
    store = Store(url)
    try:
        start = perf_counter()
        job = fill_with(store, pieces)
        filled = perf_counter()
        proof = prove(store)
        proved = perf_counter()
        if not proof.holds:
            raise SystemExit(f"The filled shop does not hold: {proof.faults[:3]}")
        print(
            f"    {proof.pieces:,} pieces and {proof.movements:,} entries filled in, in {filled - start:.1f} s; "
            f"proved in {proved - filled:.1f} s"
        )
        with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
            app, _ = pages_of(store, Path(folder))
            client = signed_in(app)

            def page(address: str) -> None:
                answer = client.get(address)
                if answer.status_code != 200:
                    raise SystemExit(f"{address} answered {answer.status_code}.")

            yield Shop(page, job - 1, proof.pieces - 30)
    finally:
        store.close()


def _compare(database: str, a_database: Callable[[], AbstractContextManager[str]], turns: int) -> None:
    print(f"  {database}:")
    with a_database() as small, a_database() as large, _filled(small, FEW) as few, _filled(large, MANY) as many:
        for name, address in LOOKS.items():
            things = {
                "few": _look(few, address),
                "many": _look(many, address),
            }
            timed = side_by_side(things, turns=turns // 2, warm=5)
            print(f"    {name}: {timed['few']} and {timed['many']}")
            say_ratio("as much cloth as ever, beside little", timed["many"], timed["few"], aim=AIM)


def _look(shop: Shop, address: str) -> Callable[[], None]:
    where = address.format(job=shop.job, piece=shop.piece)
    return lambda: shop.page(where)
