"""The till of a fair as the weaver sees it: phones, sales as they come, what is in doubt, the box, what was wished for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from shop.core.loom import Size
from shop.core.measure import Length
from shop.core.money import Money
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.engine import Session, Store
from shop.usecases.given import is_number_of_a_row
from shop.usecases.till_box import Box, box_in
from shop.usecases.till_phone import PhoneLine, fair_in, means_in_order, phone_line

PAGE: Final = 40
MOST: Final = 20
"""Of all else that a till has much of, so much is listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldRug:
    """A rug in a sale; ``said`` the number of the rug that the phone named, where it was another one."""

    place: int
    number: int
    name: str
    size: Size
    asked: Money
    price: Money
    in_doubt: bool
    settled: str
    said: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleLine:
    """A sale.

    Attributes:
        key: of its entry, which is its receipt's private link.
        bargain: what its tags said together, over what it brought.
        undone_at: since when it counts no more; ``undone_why`` in her words.
    """

    number: int
    key: str
    at: datetime
    received_at: datetime
    rugs: tuple[SoldRug, ...]
    asked: Money
    bargain: Money
    tax: Money
    rounding: Money
    total: Money
    means: str
    mail: str
    note: str
    undone_at: datetime | None
    undone_why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WishLine:
    """A rug that somebody wished for; ``done_at`` since when it is seen to."""

    id: int
    name: str
    contact: str
    words: str
    width: Length | None
    length: Length | None
    at: datetime
    done_at: datetime | None


@dataclass(frozen=True, slots=True)
class RefusedLine:
    """A rug that nearly sold."""

    number: int
    name: str
    asked: Money | None
    offered: Money | None
    at: datetime


@dataclass(frozen=True, slots=True)
class Riddle:
    """An entry that nobody could understand, as it was sent."""

    id: int
    sent: str
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class More:
    """How much there is beyond what is listed."""

    doubtful: int
    riddles: int
    wishes: int
    refused: int
    said: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The till of a fair.

    Attributes:
        doubtful: the sales with a rug that was sold twice, newest first.
        sales: newest first; ``further`` where the next page begins.
        taken: what standing sales brought, by how they were paid: means, how many, how much.
        wishes: those not seen to first; these, ``refused`` and ``riddles`` newest first.
        waiting: how many undoings wait for a sale that has not come yet.
        more: what there is beyond these lists.
    """

    number: int
    name: str
    place: str
    state: str
    currency: str
    tax_contained: bool
    phones: tuple[PhoneLine, ...]
    doubtful: tuple[SaleLine, ...]
    sales: tuple[SaleLine, ...]
    further: int | None
    taken: tuple[tuple[str, int, Money], ...]
    box: Box
    wishes: tuple[WishLine, ...]
    refused: tuple[RefusedLine, ...]
    riddles: tuple[Riddle, ...]
    waiting: int
    more: More


def desk(store: Store, *, fair: int, below: int | None = None, limit: int = PAGE) -> Desk:
    """The till of a fair; in a bounded number of questions to the store, however much was sold.

    Args:
        store: the shop's database.
        fair: its number.
        below: ``further`` of the page before.
        limit: sales on a page.

    Raises:
        NotFound: ``fair.unknown``.
    """
    with store.reading() as session:
        row = fair_in(session, fair)
        found = rows.sales_of(session, row.id, below=below, limit=limit + 1)
        doubtful = rows.doubtful_of(session, row.id, limit=MOST)
        page = found[:limit]
        lines = _sales(session, [*page, *(rows.sales_by_id(session, doubtful) if doubtful else ())])
        by_means = rows.taken_by_means(session, row.id)
        box = box_in(session, row, by_means.get("cash", (0, 0))[1])
        wishes, refused = rows.wishes_of(session, row.id, limit=MOST), rows.refused_of(session, row.id, limit=MOST)
        riddles, counts = rows.entries_to_look_at(session, row.id, limit=MOST), rows.counts_of(session, row.id)
        return Desk(
            number=row.number,
            name=row.name,
            place=row.place,
            state=row.state,
            currency=row.currency,
            tax_contained=row.tax_contained,
            phones=tuple(phone_line(one) for one in rows.phones_of(session, row.id)),
            doubtful=lines[len(page) :],
            sales=lines[: len(page)],
            further=page[-1][0].id if len(found) > limit else None,
            taken=means_in_order(by_means, row.currency),
            box=box,
            wishes=tuple(_wish(one) for one in wishes),
            refused=tuple(_refused(one, rug, row.currency) for one, rug in refused),
            riddles=tuple(Riddle(one.id, str(one.content.get("sent", "")), one.received_at) for one in riddles),
            waiting=counts.waiting,
            more=More(
                doubtful=counts.doubtful - len(doubtful),
                riddles=counts.riddles - len(riddles),
                wishes=counts.wishes - len(wishes),
                refused=counts.refused - len(refused),
                said=box.more,
            ),
        )


def _sales(session: Session, found: Iterable[Any]) -> tuple[SaleLine, ...]:
    sales: Sequence[tuple[table.Sale, str]] = [(sale, key) for sale, key in found]
    lines: dict[int, list[tuple[Any, Any]]] = {sale.id: [] for sale, _ in sales}
    for line, rug in rows.lines_of(session, list(lines)):
        lines[line.sale_id].append((line, rug))
    said = rows.rugs_by_id(session, {line.said_rug_id for of in lines.values() for line, _ in of if line.said_rug_id})
    return tuple(
        _sale(sale, key, lines[sale.id], {rug_id: rug.number for rug_id, rug in said.items()}) for sale, key in sales
    )


def _sale(sale: table.Sale, key: str, lines: list[tuple[Any, Any]], numbers: dict[int, int]) -> SaleLine:
    def money(minor: int) -> Money:
        return Money(minor, sale.currency)

    return SaleLine(
        number=sale.number,
        key=key,
        at=sale.at,
        received_at=sale.received_at,
        rugs=tuple(
            SoldRug(
                place=line.place,
                number=rug.number,
                name=rug.name,
                size=Size(rug.width, rug.length),
                asked=money(line.asked),
                price=money(line.price),
                in_doubt=line.doubt != "",
                settled=line.settled,
                said=numbers.get(line.said_rug_id),
            )
            for line, rug in lines
        ),
        asked=money(sale.asked),
        bargain=money(sale.asked - sum(line.price for line, _ in lines)),
        tax=money(sale.tax),
        rounding=money(sale.rounding),
        total=money(sale.total),
        means=sale.means,
        mail=sale.mail,
        note=sale.note,
        undone_at=sale.undone_at,
        undone_why=sale.undone_why,
    )


def _wish(one: table.Wish) -> WishLine:
    return WishLine(
        id=one.id,
        name=one.name,
        contact=one.contact,
        words=one.words,
        width=one.width,
        length=one.length,
        at=one.at,
        done_at=one.done_at,
    )


def _refused(one: table.Refused, rug: Any, currency: str) -> RefusedLine:
    def money(minor: int | None) -> Money | None:
        return None if minor is None else Money(minor, currency)

    return RefusedLine(rug.number, rug.name, money(one.asked), money(one.offered), one.at)



def wish_of(store: Store, *, wish: int) -> WishLine | None:
    """A wish by its id; ``None`` when there is no such."""
    with store.reading() as session:
        found = session.get(table.Wish, wish) if is_number_of_a_row(wish) else None
        return None if found is None else _wish(found)


def wished_of_quote(store: Store, *, quote: int) -> tuple[str, ...]:
    """What was said at a stall by those for whom a quote was begun, in their words."""
    with store.reading() as session:
        return tuple(rows.words_wished(session, quote)) if is_number_of_a_row(quote) else ()
