"""The history of orders: every job with what became of it, searched and carried out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any, Final
from zoneinfo import ZoneInfo

from shop.core.loom import Size
from shop.core.measure import Length
from shop.core.money import Money
from shop.store import history as table
from shop.store import job as job_table
from shop.store import ledger
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.store.history_entry import is_paid, named, sums_of
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.loom import looms_in
from shop.usecases.shop import shop_in

PAGE: Final = 30
MOST_ROWS: Final = 10_000
"""Orders that are carried out at once."""
AT_ONCE: Final = 500
LONGEST_SEARCH: Final = 200
MOST_WORDS: Final = 6
FIRST_DAY: Final = date(1900, 1, 1)
LAST_DAY: Final = date(9000, 1, 1)
LARGEST: Final = Length.of(1000, "m")
STATES: Final[dict[str, tuple[str, ...]]] = {
    "open": job_table.OPEN,
    "finished": ("ready", "handed over"),
    **{state: (state,) for state in job_table.STATES},
}
"""What can be asked for by its state, with the states of a job that stand for it: several at once, or each by itself."""
PAID: Final[dict[str, bool]] = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """What is looked for; what is left empty asks nothing.

    Attributes:
        words: beginnings of words of customer or rug, or the number of a job or of its quote.
        state: one of ``STATES``.
        begun_from: begun on that day or later; ``begun_to`` on that day or before.
        loom: the name of the loom that its quote was reckoned on.
        width: at least so wide; ``length`` at least so long.
        piece: the number of a piece of cloth that went into it.
        paid: one of ``PAID``: whether all that was due has been paid.
        left_least: handed over, and left at least so much over its cloth; ``left_most`` at most.
        profit_least: handed over with at least so much of profit; ``profit_most`` at most.
    """

    words: str = ""
    state: str = ""
    begun_from: date | None = None
    begun_to: date | None = None
    loom: str = ""
    width: Length | None = None
    length: Length | None = None
    piece: int | None = None
    paid: str = ""
    left_least: Money | None = None
    left_most: Money | None = None
    profit_least: Money | None = None
    profit_most: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderLine:
    """An order as it stands in the history.

    Attributes:
        number: of its job.
        customer: as known now, or as named in its quote; empty where nobody is.
        state: as in ``shop.store.job.STATES``.
        quote: the number of the quote that it came of.
        size: as agreed on; ``loom`` that it was reckoned on, ``agreed`` what it was to cost, tax and all.
        came_to: when it was handed over or cancelled, what that came to.
        received: what was paid and not given back, without tips.
        paid: all that was due has been paid; ``None`` where nothing is known to be due.
        cost: of the cloth in it, or in its rug.
        left_over: of a rug that was handed over, what it came to less the cost of its cloth.
        profit: of such a rug, what was left once tax, fees, stuff, wage and overhead were paid; ``None`` where nobody reckoned it.
    """

    number: int
    name: str
    customer: str
    state: str
    begun_at: datetime
    ended_at: datetime | None
    quote: int | None
    size: Size | None
    loom: str
    agreed: Money | None
    came_to: Money | None
    received: Money
    paid: bool | None
    cost: Money
    left_over: Money | None
    profit: Money | None


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """A page of orders, newest first; a search may bring fewer than a full page and yet have ``further`` to look.

    ``further`` is the number of the job after which the next page begins.
    """

    orders: tuple[OrderLine, ...]
    further: int | None


def history(store: Store, *, sought: Sought | None = None, below: int | None = None, limit: int = PAGE) -> HistoryPage:
    """Look through the orders.

    Args:
        store: the shop's database.
        sought: what is looked for; all of them where nothing is.
        below: ``further`` of the page before; what is no job's number begins anew.
        limit: orders on a page.

    Raises:
        Refusal: ``choice.unknown`` at ``state`` or ``paid``.
    """
    with store.reading() as session:
        asked = _asked(session, sought or Sought())
        begin = below if below is not None and is_number_of_a_row(below) else None
        found = table.find(session, asked, below=begin, limit=limit)
        return HistoryPage(tuple(_lines(session, found)), found.further)


def all_of(store: Store, *, sought: Sought | None = None, most: int = MOST_ROWS) -> tuple[OrderLine, ...]:
    """The newest orders that are looked for, so many of them, as they stand at one moment.

    Raises:
        Refusal: as ``history``.
    """
    lines: list[OrderLine] = []
    with store.reading() as session:
        asked = _asked(session, sought or Sought())
        below: int | None = None
        while len(lines) < most:
            found = table.find(session, asked, below=below, limit=min(AT_ONCE, most - len(lines)))
            lines += _lines(session, found)
            below = found.further
            if below is None:
                break
    return tuple(lines)


def loom_names(store: Store) -> tuple[str, ...]:
    """The names of the looms that can be asked for: those in use, then those put away."""
    with store.reading() as session:
        cards = (*looms_in(session), *looms_in(session, archived=True))
        return tuple(dict.fromkeys(card.loom.name for card in cards if card.loom.name))


def _asked(session: Session, sought: Sought) -> table.Sought:
    given = Given()
    if sought.state:
        given.choice("state", sought.state, STATES)
    if sought.paid:
        given.choice("paid", sought.paid, PAID)
    given.done()
    zone = ZoneInfo(shop_in(session).time_zone)
    after = sought.begun_to + timedelta(days=1) if sought.begun_to and sought.begun_to < LAST_DAY else None
    piece = sought.piece
    return table.Sought(
        words=words_of(sought.words[:LONGEST_SEARCH])[:MOST_WORDS],
        states=STATES.get(sought.state, ()),
        since=_begin_of(sought.begun_from, zone),
        until=_begin_of(after, zone),
        loom=sought.loom,
        width=min(sought.width, LARGEST) if sought.width is not None else None,
        length=min(sought.length, LARGEST) if sought.length is not None else None,
        piece=piece if piece is None or is_number_of_a_row(piece) else 0,
        paid=PAID.get(sought.paid),
        left_least=sought.left_least.minor if sought.left_least is not None else None,
        left_most=sought.left_most.minor if sought.left_most is not None else None,
        profit_least=sought.profit_least.minor if sought.profit_least is not None else None,
        profit_most=sought.profit_most.minor if sought.profit_most is not None else None,
    )


def _begin_of(day: date | None, zone: ZoneInfo) -> datetime | None:
    """When a day begins in the shop; of days before all orders or after them, the nearest that a clock can tell."""
    if day is None:
        return None
    return datetime.combine(min(max(day, FIRST_DAY), LAST_DAY), time.min, zone)


def _lines(session: Session, found: table.Found) -> Iterator[OrderLine]:
    """Orders as lines; three queries however many there are."""
    rows = table.rows_of(session, found.ids)
    if not rows:
        return
    costs = ledger.costs_of_jobs(session, found.ids)
    sums = sums_of(session, found.ids)
    currency = shop_in(session).currency
    for row in rows:
        net, came_to = sums.get(row.id, (0, None))
        _, in_job, in_rug = costs.get(row.id, (0, 0, 0))
        yield _line(row, currency, net=net, came_to=came_to, cost=in_job + in_rug)


def _line(row: Any, currency: str, *, net: int, came_to: int | None, cost: int) -> OrderLine:
    return OrderLine(
        number=row.number,
        name=row.name,
        customer=named(row),
        state=row.state,
        begun_at=row.begun_at,
        ended_at=row.ended_at,
        quote=row.quote,
        size=Size(row.width, row.length) if row.width is not None else None,
        loom=row.loom,
        agreed=Money(row.agreed, row.currency) if row.agreed is not None else None,
        came_to=Money(came_to, currency) if came_to is not None else None,
        received=Money(net, currency),
        paid=is_paid(state=row.state, agreed=row.agreed, came_to=came_to, net=net),
        cost=Money(cost, currency),
        left_over=Money(row.left_over, currency) if row.left_over is not None else None,
        profit=Money(row.profit, currency) if row.profit is not None else None,
    )
