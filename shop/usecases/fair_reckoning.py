"""The reckoning after a fair, and fairs side by side: was it worth the drive?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.fair_account import Alike, by_colour, by_price, by_size
from shop.core.fair_years import FairYear, SideBySide, side_by_side, times_the_stall
from shop.core.ladder import Size
from shop.core.money import Money
from shop.core.price_points import PriceBand
from shop.store import fair as table
from shop.store import packing, till_list
from shop.store import saving as presses
from shop.store.engine import Store
from shop.store.folding import name_key
from shop.usecases.fair_card import FairCard, card_of, fair_in
from shop.usecases.fair_record import FairRecord, records_in
from shop.usecases.rates import rates_in
from shop.usecases.rug_card import rugs_in
from shop.usecases.shop import shop_in
from shop.usecases.till_box import box_in
from shop.usecases.whereabouts import unpack_in

MOST_FAIRS: Final = 24
"""Fairs that stand side by side at most, the latest of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoning:
    """A fair reckoned up.

    Attributes:
        record: the fair and all that happened at it.
        sizes, colours, prices: what sold, told apart three ways.
        still_packed: numbers of rugs that are packed for it still.
        times: how many times the stall's fee came in; as a number written out, ``None`` for a stall that cost nothing.
        wage: wanted for an hour.
        box: counted over what must be in it; ``None`` while nobody counted.
    """

    record: FairRecord
    sizes: tuple[Alike[Size], ...]
    colours: tuple[Alike[str], ...]
    prices: tuple[Alike[PriceBand], ...]
    still_packed: tuple[int, ...]
    times: float | None
    wage: Money
    box: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """Fairs side by side.

    Attributes:
        series: the name of those asked for; empty for all.
        cards: the fairs, the oldest first, as the years of ``side`` are.
        side: reckoned up; ``None`` where there is no fair that is over.
        wage: wanted for an hour.
    """

    series: str
    cards: tuple[FairCard, ...]
    side: SideBySide | None
    wage: Money


def reckoning(store: Store, *, number: int) -> Reckoning:
    """A fair reckoned up, as far as it has come.

    Raises:
        NotFound: ``fair.unknown``.
    """
    with store.reading() as session:
        row = fair_in(session, number)
        card = card_of(row)
        record = records_in(session, [card])[0]
        wage = rates_in(session, card.currency).wage or Money.zero(card.currency)
        box = box_in(session, row, till_list.taken_by_means(session, row.id).get("cash", (0, 0))[1]).drawer.difference
        packed = tuple(rug.number for _, rug in packing.packed_for(session, card.id))
    times = times_the_stall(record.account.before_tax, card.stall)
    return Reckoning(
        record=record,
        sizes=by_size(record.rugs),
        colours=by_colour(record.rugs),
        prices=by_price(record.rugs),
        still_packed=packed,
        times=None if times is None else float(times),
        wage=wage,
        box=box,
    )


def beside(store: Store, *, series: str = "") -> Beside:
    """The latest fairs that are over, side by side; those of a series, or all of them."""
    with store.reading() as session:
        currency = shop_in(session).currency
        wage = rates_in(session, currency).wage or Money.zero(currency)
        rows = table.over(session, series_key=name_key(series) if series.strip() else "", limit=MOST_FAIRS)
        cards = [card_of(row) for row in rows if row.currency == currency]
        records = records_in(session, cards)
    return _side(series, records, wage)


def _side(series: str, records: Sequence[FairRecord], wage: Money) -> Beside:
    ordered = sorted(records, key=lambda one: (one.card.first_on, one.card.name, one.card.number))
    years = [FairYear(on=one.card.first_on, name=one.card.name, account=one.account) for one in ordered]
    side = side_by_side(years, wage) if years else None
    return Beside(series=series, cards=tuple(one.card for one in ordered), side=side, wage=wage)


def bring_home(store: Store, *, number: int, saving: str, now: datetime) -> int:
    """Whatever is packed for a fair comes home, and the fair is over; says how many rugs came.

    Raises:
        NotFound: ``fair.unknown``.
    """
    with store.writing() as session:
        fair = fair_in(session, number, lock="change")
        act = f"fair.bring_home.{fair.id}"
        earlier = presses.claim(session, act=act, token=saving, given=None, now=now)
        if earlier is not None:
            return earlier
        if fair.state != "over":
            fair.state, fair.ended_at, fair.revision = "over", now, fair.revision + 1
            session.flush()
        rows = rugs_in(session, [rug.number for _, rug in packing.packed_for(session, fair.id)])
        unpack_in(session, rows, now=now)
        presses.settle(session, act=act, token=saving, about=len(rows))
        return len(rows)
