"""Finished rugs for sale: entered by hand, corrected, priced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

from shop.core.errors import Clash, Problem
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.store import rug as table
from shop.store import rug_list
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.numbering import take
from shop.usecases.given import Given
from shop.usecases.moving import today_in
from shop.usecases.rug_card import COSTS, RugCard, card_in, rug_in
from shop.usecases.shop import shop_in

MOST_STRIPES: Final = 400
SMALLEST: Final = Length.of(2, "in")
LARGEST: Final = Length.of(30, "m")
HEAVIEST: Final = Weight.of(200, "kg")
MOST_MINUTES: Final = 60 * 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class RugGiven:
    """A rug as it is entered by hand.

    Attributes:
        name: what it is called.
        made_on: the day it was done, or thereabouts.
        weight: where it was weighed.
        stripes: (colour, share of the length) from one end to the other; the shares are weights, whatever they add up to.
        fibres, care: as they are to stand on its tag; empty where nobody knows.
        cloth, warp, labour, overhead, bought_in: what it is thought to have cost; not for a rug of a job, whose cost is known.
        minutes: of work in it.
        price: what it is to bring; ``None`` before anybody decided.
    """

    name: str
    note: str = ""
    made_on: date
    width: Length
    length: Length
    weight: Weight | None = None
    stripes: tuple[tuple[str, Decimal], ...]
    fibres: str = ""
    care: str = ""
    cloth: Money | None = None
    warp: Money | None = None
    labour: Money | None = None
    overhead: Money | None = None
    bought_in: Money | None = None
    minutes: Decimal = Decimal(0)
    price: Money | None = None


def enter(store: Store, *, rug: RugGiven, saving: str, now: datetime) -> RugCard:
    """Enter a rug that was made before, or without, a job here; its cost is an estimate.

    Raises:
        Refusal: with every problem found, at ``rug.name``, ``rug.width``, ``rug.cost.cloth`` and so on.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="rug.enter", token=saving, given=rug, now=now)
        if earlier is not None:
            return card_in(session, rug_in(session, earlier))
        row = table.Rug(
            job_id=None, guessed=True, place="home", fair_id=None, outlet_id=None, currency=shop_in(session).currency,
            created_at=now, revision=1,
        )  # fmt: skip
        _put(session, row, rug, now)
        add_in(session, row, price=rug.price, now=now)
        presses.settle(session, act="rug.enter", token=saving, about=row.number)
        return card_in(session, row)


def add_in(session: Session, row: table.Rug, *, price: Money | None, now: datetime) -> None:
    """A new rug comes home, with a number and its first price; as part of another use case."""
    row.number = take(session, "rug")[0]
    row.price = None
    session.add(row)
    session.flush()
    session.add(
        table.RugMove(
            rug_id=row.id, what="came", fair_id=None, outlet_id=None, sale_id=None, note="", on=row.made_on, at=now
        )
    )
    price_in(session, row, price=price, now=now)
    session.flush()


def correct(store: Store, *, number: int, rug: RugGiven, revision: int, saving: str, now: datetime) -> RugCard:
    """Correct what is known of a rug, its price too; of a rug of a job the cost and the minutes stay.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.changed`` when it has been changed since the page was shown.
        Refusal: as ``enter``.
    """
    with store.writing() as session:
        row = rug_in(session, number, lock=True)
        if presses.claim(session, act=f"rug.correct.{row.id}", token=saving, given=rug, now=now) is None:
            _unchanged(row, revision)
            _put(session, row, rug, now)
            price_in(session, row, price=rug.price, now=now)
            row.revision += 1
            session.flush()
        return card_in(session, row)


def set_price(store: Store, *, number: int, price: Money | None, revision: int, saving: str, now: datetime) -> RugCard:
    """What a rug is to bring; ``None`` leaves it open. What it was before is kept.

    Raises:
        NotFound: ``rug.unknown``.
        Clash: ``rug.changed`` when it has been changed since the page was shown.
        Refusal: ``money.negative`` and so on at ``rug.price``.
    """
    with store.writing() as session:
        row = rug_in(session, number, lock=True)
        if presses.claim(session, act=f"rug.price.{row.id}", token=saving, given=price, now=now) is None:
            _unchanged(row, revision)
            given = Given()
            given.money("rug.price", price, row.currency)
            given.done()
            price_in(session, row, price=price, now=now)
            row.revision += 1
            session.flush()
        return card_in(session, row)


def price_in(session: Session, row: table.Rug, *, price: Money | None, now: datetime) -> None:
    """Give a locked or new rug a price, and keep that it was given; as part of another use case."""
    minor = None if price is None else price.minor
    if minor != row.price:
        row.price = minor
        session.add(table.RugPrice(rug_id=row.id, price=minor, at=now))


def _unchanged(row: table.Rug, revision: int) -> None:
    if row.revision != revision:
        raise Clash(Problem("rug.changed", values={"number": row.number}))


def _put(session: Session, row: table.Rug, rug: RugGiven, now: datetime) -> None:
    given = Given()
    row.name = given.line("rug.name", rug.name, required=True)
    row.note = given.block("rug.note", rug.note)
    row.width = given.length("rug.width", rug.width, SMALLEST, LARGEST)
    row.length = given.length("rug.length", rug.length, SMALLEST, LARGEST)
    row.weight = given.weight("rug.weight", rug.weight, HEAVIEST)
    row.content = {
        "fibres": given.line("rug.fibres", rug.fibres, most=200),
        "care": given.line("rug.care", rug.care, most=300),
    }
    if rug.made_on > today_in(session, now):
        given.note("date.future", "rug.made_on")
    row.made_on = rug.made_on
    stripes = [(given.colour("rug.stripes", colour), share) for colour, share in rug.stripes[:MOST_STRIPES] if share > 0]
    if not stripes:
        given.note("colour.unreadable", "rug.stripes", text="")
    costs = {name: given.money(f"rug.cost.{name}", getattr(rug, name), row.currency) or 0 for name in COSTS}
    minutes = given.number("rug.minutes", rug.minutes, 0, MOST_MINUTES)
    given.money("rug.price", rug.price, row.currency)
    given.done()
    stripes_in(row, stripes)
    if row.job_id is None:
        for name, minor in costs.items():
            setattr(row, name, minor)
        row.minutes = minutes
    row.search_text = rug_list.search_text(row.name, row.note)


def stripes_in(row: table.Rug, stripes: Sequence[tuple[str, Decimal | float]]) -> None:
    """Draw a rug as these stripes; the colour that covers most of it stands for it."""
    whole = sum(float(share) for _, share in stripes)
    merged: list[list[Any]] = []
    for colour, share in stripes:
        if merged and merged[-1][0] == colour:
            merged[-1][1] += float(share) / whole
        else:
            merged.append([colour, float(share) / whole])
    covers: dict[str, float] = {}
    for colour, share in merged:
        covers[colour] = covers.get(colour, 0.0) + share
    row.stripes = [[colour, round(share, 6)] for colour, share in merged]
    row.colour = max(covers, key=lambda colour: covers[colour])
