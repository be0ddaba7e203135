"""Outlets: shops that have rugs on sale or return, what each keeps of a price, what it has and what it sold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, NotFound, Problem
from shop.core.money import Money
from shop.store import rug as table
from shop.store import rug_list
from shop.store import sale as sale_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.rug_card import RugCard, cards_in
from shop.usecases.shop import shop_in

USUAL_SHARE: Final = Decimal("0.4")
"""What a shop keeps of a price: 30 to 40 % is common practice."""
MOST_SHOWN: Final = 200
SALES_SHOWN: Final = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletGiven:
    """An outlet as it is to be kept; ``share`` is what it keeps of each price, as a part of one."""

    name: str
    contact: str = ""
    note: str = ""
    share: Decimal = USUAL_SHARE


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletCard(OutletGiven):
    """An outlet as it is kept.

    Attributes:
        rugs: how many it has; ``worth`` their prices together.
        closed_at: since when no more is sent to it.
    """

    id: int
    rugs: int
    worth: Money
    closed_at: datetime | None
    revision: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletSale:
    """A sale that an outlet made; ``kept`` is its share of ``total``."""

    number: int
    on: date
    rugs: tuple[RugCard, ...]
    total: Money
    kept: Money
    undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletPage:
    """An outlet with what it has, and the newest of what it sold; the sums are of all that stands."""

    card: OutletCard
    rugs: tuple[RugCard, ...]
    sales: tuple[OutletSale, ...]
    sold: int
    brought: Money
    kept: Money


def keep(
    store: Store, *, outlet: OutletGiven, outlet_id: int | None = None, revision: int = 0, saving: str, now: datetime
) -> OutletCard:
    """Keep an outlet, new or changed.

    Raises:
        NotFound: ``outlet.unknown``.
        Clash: ``outlet.changed`` when it has been changed since the page was shown.
        Refusal: ``text.missing`` and so on at ``outlet.name``; ``number.large`` at ``outlet.share``.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="outlet.keep", token=saving, given=(outlet_id, outlet), now=now)
        if earlier is not None:
            return card_in(session, outlet_in(session, earlier))
        given = Given()
        name = given.line("outlet.name", outlet.name, required=True)
        contact = given.block("outlet.contact", outlet.contact, most=400)
        note = given.block("outlet.note", outlet.note)
        share = given.number("outlet.share", outlet.share, 0, Decimal("0.95"))
        if outlet_id is None:
            row = table.Outlet(created_at=now, closed_at=None, revision=0)
        else:
            row = outlet_in(session, outlet_id, lock=True)
            if row.revision != revision:
                raise Clash(Problem("outlet.changed", values={"name": row.name}))
        given.done()
        row.name, row.contact, row.note, row.share = name, contact, note, share
        row.revision += 1
        session.add(row)
        session.flush()
        presses.settle(session, act="outlet.keep", token=saving, about=row.id)
        return card_in(session, row)


def close(store: Store, *, outlet_id: int, saving: str, now: datetime) -> OutletCard:
    """No more rugs are sent to an outlet.

    Raises:
        NotFound: ``outlet.unknown``.
        Clash: ``outlet.full`` while it has any.
    """
    with store.writing() as session:
        row = outlet_in(session, outlet_id, lock=True)
        if presses.claim(session, act=f"outlet.close.{row.id}", token=saving, given=None, now=now) is None:
            if rug_list.held_by_outlets(session, [row.id]):
                raise Clash(Problem("outlet.full", values={"name": row.name}))
            row.closed_at, row.revision = now, row.revision + 1
        return card_in(session, row)


def open_again(store: Store, *, outlet_id: int, saving: str, now: datetime) -> OutletCard:
    """An outlet takes rugs again.

    Raises:
        NotFound: ``outlet.unknown``.
    """
    with store.writing() as session:
        row = outlet_in(session, outlet_id, lock=True)
        if presses.claim(session, act=f"outlet.open.{row.id}", token=saving, given=None, now=now) is None:
            row.closed_at, row.revision = None, row.revision + 1
        return card_in(session, row)


def outlets(store: Store, *, closed: bool = False) -> tuple[OutletCard, ...]:
    """The outlets that take rugs, or those that no longer do, with how much each has."""
    with store.reading() as session:
        rows = rug_list.outlets(session, closed=closed, limit=MOST_SHOWN)
        held = rug_list.held_by_outlets(session, [row.id for row in rows])
        currency = shop_in(session).currency
        return tuple(_card(row, held.get(row.id, (0, 0)), currency) for row in rows)


def outlet(store: Store, *, outlet_id: int) -> OutletPage:
    """An outlet with what it has and what it sold; a few queries, however much that is.

    Raises:
        NotFound: ``outlet.unknown``.
    """
    with store.reading() as session:
        row = outlet_in(session, outlet_id)
        currency = shop_in(session).currency
        rows = rug_list.newest(session, places=("outlet",), outlet_id=row.id, limit=MOST_SHOWN)
        sold, brought, kept = sale_table.sums_of_outlet(session, row.id)
        return OutletPage(
            card=card_in(session, row),
            rugs=cards_in(session, rows),
            sales=_sales(session, row.id),
            sold=sold,
            brought=Money(brought, currency),
            kept=Money(kept, currency),
        )


def _sales(session: Session, outlet_id: int) -> tuple[OutletSale, ...]:
    found = sale_table.of_outlet(session, outlet_id, limit=SALES_SHOWN)
    lines = sale_table.lines_of(session, [one.id for one in found])
    rugs = {card.id: card for card in cards_in(session, table.by_ids(session, {line.rug_id for line in lines}))}
    return tuple(
        OutletSale(
            number=one.number,
            on=one.on,
            rugs=tuple(rugs[line.rug_id] for line in lines if line.sale_id == one.id),
            total=Money(one.total, one.currency),
            kept=Money(one.outlet_share, one.currency),
            undone=one.undone_at is not None,
        )
        for one in found
    )


def outlet_in(session: Session, outlet_id: int, *, lock: bool = False) -> table.Outlet:
    """The outlet of that id, as part of another use case.

    Raises:
        NotFound: ``outlet.unknown``.
    """
    row = table.outlet_by_id(session, outlet_id, lock=lock) if is_number_of_a_row(outlet_id) else None
    if row is None:
        raise NotFound(Problem("outlet.unknown"))
    return row


def card_in(session: Session, row: table.Outlet) -> OutletCard:
    """An outlet's card, as part of another use case."""
    held = rug_list.held_by_outlets(session, [row.id])
    return _card(row, held.get(row.id, (0, 0)), shop_in(session).currency)


def _card(row: table.Outlet, held: tuple[int, int], currency: str) -> OutletCard:
    return OutletCard(
        id=row.id,
        name=row.name,
        contact=row.contact,
        note=row.note,
        share=row.share,
        rugs=held[0],
        worth=Money(held[1], currency),
        closed_at=row.closed_at,
        revision=row.revision,
    )
