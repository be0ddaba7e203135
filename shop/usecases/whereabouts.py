"""Where rugs are: packed for a fair and unpacked, sent to an outlet and taken back, given away; each way is kept.

A rug is in one place. Whoever moves rugs locks them in the order of their ids and reads them anew.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.money import Money
from shop.store import fair as fair_table
from shop.store import packing
from shop.store import rug as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.moving import today_in
from shop.usecases.rug import RugCard, cards_in, rugs_in

TAKES_RUGS = ("planned", "open")
"""The states of a fair for which rugs are packed."""


def go_in(
    session: Session,
    row: table.Rug,
    what: str,
    *,
    place: str,
    fair_id: int | None = None,
    outlet_id: int | None = None,
    sale_id: int | None = None,
    note: str = "",
    on: date,
    now: datetime,
) -> None:
    """A locked rug goes somewhere, and that is kept; as part of another use case.

    Args:
        session: of the transaction.
        row: the rug, locked.
        what: as in ``shop.store.rug.MOVES``.
        place: where it is then, as in ``shop.store.rug.PLACES``.
        fair_id: the fair that it goes to, comes from or is sold at.
        outlet_id: the outlet that it goes to, comes from or is sold by.
        sale_id: the sale that moves it.
        note: in her words.
        on: the day.
        now: the time, zoned.
    """
    stays = place == "fair" or (what == "sold" and fair_id == row.fair_id)
    if row.fair_id is not None and not stays:
        packed = packing.packed_of(session, row.fair_id, row.id)
        fair = session.get(fair_table.Fair, row.fair_id)
        if packed is not None and fair is not None and fair.state == "planned":
            session.delete(packed)  # it was never there, so no chance of a sale is learnt from it
        elif packed is not None and packed.back_at is None:
            packed.back_at = now
    row.place = place
    row.fair_id = fair_id if place == "fair" else None
    row.outlet_id = outlet_id if place == "outlet" else None
    session.add(
        table.RugMove(
            rug_id=row.id, what=what, fair_id=fair_id, outlet_id=outlet_id, sale_id=sale_id, note=note, on=on, at=now
        )
    )
    session.flush()


def pack(store: Store, *, fair: int, rugs: Sequence[tuple[int, Money | None]], saving: str, now: datetime) -> tuple[RugCard, ...]:
    """Pack rugs for a fair, each with what it is to bring there; of one that is packed for it already, the price is set.

    Raises:
        NotFound: ``fair.unknown``, ``rug.unknown``.
        Clash: ``rug.elsewhere``, ``rug.sold`` or ``rug.gone`` for a rug that is not at home.
        Refusal: ``fair.over`` for a fair that is over or called off; ``money.negative`` and so on at ``rug.<number>.price``.
    """
    with store.writing() as session:
        found = fair_table.by_number(session, fair, lock="stay") if is_number_of_a_row(fair) else None
        if found is None:
            raise NotFound(Problem("fair.unknown", values={"number": fair}))
        if presses.claim(session, act=f"rug.pack.{found.id}", token=saving, given=list(rugs), now=now) is None:
            pack_in(session, found, rugs, now=now)
        session.expire_all()
        return cards_in(session, table.by_numbers(session, [number for number, _ in rugs]))


def pack_in(session: Session, fair: fair_table.Fair, rugs: Sequence[tuple[int, Money | None]], *, now: datetime) -> None:
    """Pack rugs for a locked fair, as part of another use case."""
    if fair.state not in TAKES_RUGS:
        raise Refusal(Problem("fair.over", values={"name": fair.name}))
    prices = dict(rugs)
    given = Given()
    for number, price in rugs:
        given.money(f"rug.{number}.price", price, fair.currency)
    given.done()
    on = today_in(session, now)
    for row in rugs_in(session, prices):
        price = prices[row.number]
        minor = None if price is None else price.minor
        packed = packing.packed_of(session, fair.id, row.id)
        if packed is not None and row.fair_id == fair.id:
            packed.price = minor
            continue
        at_home(row)
        if packed is None:
            packed = packing.PackedRug(fair_id=fair.id, rug_id=row.id, price=minor, packed_at=now, back_at=None)
            session.add(packed)
        else:
            packed.price, packed.packed_at, packed.back_at = minor, now, None
        go_in(session, row, "packed", place="fair", fair_id=fair.id, on=on, now=now)


def unpack(store: Store, *, rugs: Collection[int], saving: str, now: datetime) -> tuple[RugCard, ...]:
    """Rugs that were packed for a fair come home, before it or unsold from it.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.not_away``, ``rug.sold`` or ``rug.gone`` for one that is not at a fair.
    """
    return _come_home(store, "rug.unpack", "fair", rugs, saving=saving, now=now)


def unpack_in(session: Session, rows: Sequence[table.Rug], *, now: datetime) -> None:
    """Locked rugs come home from the fair that they are packed for, as part of another use case."""
    on = today_in(session, now)
    for row in rows:
        _away(row, "fair")
        go_in(session, row, "back", place="home", fair_id=row.fair_id, on=on, now=now)


def send(store: Store, *, outlet: int, rugs: Collection[int], note: str = "", saving: str, now: datetime) -> tuple[RugCard, ...]:
    """Send rugs from home to an outlet.

    Raises:
        NotFound: ``outlet.unknown``, ``rug.unknown``.
        Clash: ``outlet.closed``; ``rug.elsewhere``, ``rug.sold`` or ``rug.gone`` for a rug that is not at home.
        Refusal: ``rug.none`` without any rug; ``text.long`` and so on at ``note``.
    """
    given = Given()
    said = given.line("note", note)
    given.done()
    with store.writing() as session:
        found = table.outlet_by_id(session, outlet, lock=True) if is_number_of_a_row(outlet) else None
        if found is None:
            raise NotFound(Problem("outlet.unknown"))
        told = {"rugs": sorted(rugs), "note": said}
        if presses.claim(session, act=f"rug.send.{found.id}", token=saving, given=told, now=now) is None:
            if found.closed_at is not None:
                raise Clash(Problem("outlet.closed", values={"name": found.name}))
            on = today_in(session, now)
            for row in _some(session, rugs):
                at_home(row)
                go_in(session, row, "sent", place="outlet", outlet_id=found.id, note=said, on=on, now=now)
        return cards_in(session, table.by_numbers(session, rugs))


def take_back(store: Store, *, rugs: Collection[int], saving: str, now: datetime) -> tuple[RugCard, ...]:
    """Rugs come home from the outlets that had them.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.not_away``, ``rug.sold`` or ``rug.gone`` for one that is not at an outlet.
        Refusal: ``rug.none`` without any rug.
    """
    return _come_home(store, "rug.take_back", "outlet", rugs, saving=saving, now=now)


def _come_home(
    store: Store, act: str, place: str, rugs: Collection[int], *, saving: str, now: datetime
) -> tuple[RugCard, ...]:
    with store.writing() as session:
        if presses.claim(session, act=act, token=saving, given=sorted(rugs), now=now) is None:
            on = today_in(session, now)
            for row in _some(session, rugs):
                _away(row, place)
                go_in(session, row, "back", place="home", fair_id=row.fair_id, outlet_id=row.outlet_id, on=on, now=now)
        return cards_in(session, table.by_numbers(session, rugs))


def give_away(store: Store, *, number: int, note: str = "", saving: str, now: datetime) -> RugCard:
    """A rug at home is given away, kept for the house, or lost; it is for sale no more.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.elsewhere``, ``rug.sold`` or ``rug.gone``.
        Refusal: ``text.long`` and so on at ``note``.
    """
    given = Given()
    said = given.line("note", note)
    given.done()
    with store.writing() as session:
        (row,) = rugs_in(session, [number])
        if presses.claim(session, act=f"rug.give_away.{row.id}", token=saving, given=said, now=now) is None:
            at_home(row)
            go_in(session, row, "gone", place="gone", note=said, on=today_in(session, now), now=now)
        return cards_in(session, [row])[0]


def found_again(store: Store, *, number: int, saving: str, now: datetime) -> RugCard:
    """A rug that was given away or lost is at home again.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.not_away`` when it is at home, at a fair or with an outlet; ``rug.sold``.
    """
    with store.writing() as session:
        (row,) = rugs_in(session, [number])
        if presses.claim(session, act=f"rug.found_again.{row.id}", token=saving, given=None, now=now) is None:
            if row.place != "gone":
                raise Clash(Problem("rug.sold" if row.place == "sold" else "rug.not_away", values={"number": row.number}))
            go_in(session, row, "back", place="home", on=today_in(session, now), now=now)
        return cards_in(session, [row])[0]


def _some(session: Session, numbers: Collection[int]) -> list[table.Rug]:
    if not numbers:
        raise Refusal(Problem("rug.none", "rugs"))
    return rugs_in(session, numbers)


def at_home(row: table.Rug) -> None:
    """Refuse a locked rug that is not at home.

    Raises:
        Clash: ``rug.elsewhere``, ``rug.sold`` or ``rug.gone``.
    """
    if row.place != "home":
        _gone(row)
        raise Clash(Problem("rug.elsewhere", values={"number": row.number}))


def _away(row: table.Rug, place: str) -> None:
    if row.place != place:
        _gone(row)
        raise Clash(Problem("rug.not_away", values={"number": row.number}))


def _gone(row: table.Rug) -> None:
    if row.place == "sold":
        raise Clash(Problem("rug.sold", values={"number": row.number}))
    if row.place == "gone":
        raise Clash(Problem("rug.gone", values={"number": row.number}))
