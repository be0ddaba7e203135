"""The bench: what to do next in a shop that is being set up, and what is waiting in one that works."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.store import fabric_list, quote_list
from shop.store import loom as loom_table
from shop.store import pace as pace_table
from shop.store import price as price_table
from shop.store import rates as rates_table
from shop.store.engine import Store
from shop.usecases.fabric import PieceCard
from shop.usecases.job import JobLine, jobs_in
from shop.usecases.piece import pieces_in
from shop.usecases.quote import QuoteLine, lines_in
from shop.usecases.shop import shop_in

COUNTED: Final = 100
"""Counting stops here: a page says *99 and more*, and stays as quick in a full shop as in an empty one."""
ROWS: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """What lies on the bench.

    Attributes:
        shop_named: the shop has a name to put on a quote.
        looms: how many are in use.
        rates_set: wage or overhead have been set; ``price_set``, the price rule; ``paces_set``, any pace.
        in_hand: pieces of cloth with something left, counted to ``COUNTED``; ``to_wash`` likewise.
        quotes: counted likewise.
        waiting_to_wash: the newest pieces set aside to wash.
        newest_quotes: the newest quotes.
        jobs: the newest jobs that take cloth.
    """

    shop_named: bool
    looms: int
    rates_set: bool
    price_set: bool
    paces_set: bool
    in_hand: int
    to_wash: int
    quotes: int
    waiting_to_wash: tuple[PieceCard, ...]
    newest_quotes: tuple[QuoteLine, ...]
    jobs: tuple[JobLine, ...]

    @property
    def steps(self) -> tuple[tuple[str, bool], ...]:
        """What setting up a shop takes, in order, and whether each is done."""
        return (
            ("shop", self.shop_named),
            ("loom", bool(self.looms)),
            ("rates", self.rates_set),
            ("price", self.price_set),
            ("fabric", bool(self.in_hand)),
            ("quote", bool(self.quotes)),
        )

    @property
    def next_step(self) -> str | None:
        """The first of those steps that is not done; ``None`` when the shop is set up."""
        return next((name for name, done in self.steps if not done), None)


def bench(store: Store) -> Bench:
    """Look over the bench, in a number of queries that does not grow with the shop."""
    with store.reading() as session:
        return Bench(
            shop_named=bool(shop_in(session).name),
            looms=len(loom_table.in_order(session, archived=False)),
            rates_set=rates_table.load(session) is not None,
            price_set=price_table.load(session) is not None,
            paces_set=bool(pace_table.all_paces(session)),
            in_hand=fabric_list.count(session, which="in hand", most=COUNTED),
            to_wash=fabric_list.count(session, which="to wash", most=COUNTED),
            quotes=quote_list.count_newest(session, most=COUNTED),
            waiting_to_wash=pieces_in(session, shown="to wash", limit=ROWS).pieces,
            newest_quotes=lines_in(session, limit=ROWS),
            jobs=jobs_in(session, limit=ROWS).jobs,
        )
