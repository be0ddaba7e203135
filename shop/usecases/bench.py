"""The bench: what to do next in a shop that is being set up, and what is waiting in one that works."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from shop.store import fabric_list, quote_list
from shop.store import job as job_table
from shop.store import loom as loom_table
from shop.store import pace as pace_table
from shop.store import price as price_table
from shop.store import rates as rates_table
from shop.store.engine import Session, Store
from shop.usecases.fabric import PieceCard
from shop.usecases.job import OPEN, JobLine
from shop.usecases.job import lines_in as job_lines_in
from shop.usecases.piece import pieces_in
from shop.usecases.quote import QuoteLine, lines_in
from shop.usecases.shop import shop_in

COUNTED: Final = 100
"""Counting stops here: a page says *99 and more*, and stays as quick in a full shop as in an empty one."""
ROWS: Final = 5
LOOKED_AT: Final = 30
"""Jobs under way that are looked at, the newest."""
MOST_ON_LOOMS: Final = 12
ON_A_LOOM: Final = ("weaving", "warping")
"""The states in which a job has a loom to itself."""
IN_ORDER: Final = (*ON_A_LOOM, "finishing", "cutting", "waiting")
"""The states of a job under way as the bench shows them: at a loom, off it, and before it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """A job that takes cloth; ``loom`` the name of the one that its rug was planned for, empty where none was named."""

    line: JobLine
    loom: str

    @property
    def on_loom(self) -> bool:
        """Whether it has that loom to itself."""
        return self.line.state in ON_A_LOOM


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
        jobs: those that are on a loom, and then a few others that take cloth: the furthest on, and of these the newest.
        idle: names of the looms in use that no job is on; none are told while there is no job.
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
    jobs: tuple[UnderWay, ...]
    idle: tuple[str, ...]

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
        looms = loom_table.in_order(session, archived=False)
        jobs, idle = _under_way(session, looms)
        return Bench(
            shop_named=bool(shop_in(session).name),
            looms=len(looms),
            rates_set=rates_table.load(session) is not None,
            price_set=price_table.load(session) is not None,
            paces_set=bool(pace_table.all_paces(session)),
            in_hand=fabric_list.count(session, which="in hand", most=COUNTED),
            to_wash=fabric_list.count(session, which="to wash", most=COUNTED),
            quotes=quote_list.count_newest(session, most=COUNTED),
            waiting_to_wash=pieces_in(session, shown="to wash", limit=ROWS).pieces,
            newest_quotes=lines_in(session, limit=ROWS),
            jobs=jobs,
            idle=idle,
        )


def _under_way(session: Session, looms: Sequence[loom_table.LoomRow]) -> tuple[tuple[UnderWay, ...], tuple[str, ...]]:
    """The jobs that the bench shows, and the looms that none of those looked at is on."""
    rows = job_table.newest(session, states=OPEN, below=None, limit=LOOKED_AT)
    rows = sorted(rows, key=lambda row: IN_ORDER.index(row.state))
    on_loom = [row for row in rows if row.state in ON_A_LOOM]
    others = [row for row in rows if row.state not in ON_A_LOOM]
    shown = [*on_loom[:MOST_ON_LOOMS], *others[:ROWS]]
    taken = {_loom_of(row) for row in on_loom}
    return (
        tuple(UnderWay(line=line, loom=_loom_of(row)) for row, line in zip(shown, job_lines_in(session, shown), strict=True)),
        tuple(loom.name for loom in looms if loom.name not in taken) if rows else (),
    )


def _loom_of(row: job_table.Job) -> str:
    """The name of the loom that the job's rug was planned for; empty where none was named."""
    kept: object = row.described
    for key in ("document", "loom", "name"):
        kept = kept.get(key) if isinstance(kept, Mapping) else None
    return str(kept or "")
