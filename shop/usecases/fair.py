"""Fairs: planned with what the stall costs and how people pay there, opened for the till, called off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, Problem, Refusal
from shop.core.money import LARGEST_MINOR, Money
from shop.store import fair as table
from shop.store import packing
from shop.store import saving as presses
from shop.store.engine import Store
from shop.store.folding import name_key
from shop.store.numbering import take
from shop.usecases.fair_card import AMOUNTS, FairCard, FairGiven, card_of, fair_in
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.price import pricing_in
from shop.usecases.shop import shop_in

PAGE: Final = 30
LONGEST: Final = 31
"""Days that a fair can last."""
MOST_POINTS: Final = 60
MOST_TAX: Final = Decimal("0.9")
MOST_HOURS: Final = 24 * LONGEST
USUAL_CARD_PERCENT: Final = Decimal("0.02")
USUAL_CARD_SHARE: Final = Decimal("0.6")


@dataclass(frozen=True, slots=True)
class FairPage:
    """A page of fairs, the latest first; ``further`` is where the next page begins, if there is one."""

    fairs: tuple[FairCard, ...]
    further: int | None


def usual(store: Store, *, today: date) -> FairGiven:
    """What a new fair begins with: as the last one was, else the shop's tax and a starting guess for cards."""
    with store.reading() as session:
        shop = shop_in(session)
        last = table.last_one(session)
        if last is not None and last.currency == shop.currency:
            card = card_of(last)
            return FairGiven(
                **{name: getattr(card, name) for name in FairGiven.__slots__ if name not in _ITS_OWN},
                name="", series="", place="", note="", first_on=today, last_on=today,
            )  # fmt: skip
        pricing = pricing_in(session, shop.currency)
    nothing = Money.zero(shop.currency)
    return FairGiven(
        name="",
        first_on=today,
        last_on=today,
        stall=nothing,
        travel=nothing,
        nights=nothing,
        helper=nothing,
        permits=nothing,
        other=nothing,
        card_percent=USUAL_CARD_PERCENT,
        card_fixed=nothing,
        card_share=USUAL_CARD_SHARE,
        hours_stood=Decimal(0),
        hours_travelled=Decimal(0),
        tax_name=pricing.tax_name,
        tax_rate=pricing.tax_rate,
        tax_contained=pricing.tax_included,
        cash_step=nothing,
        price_step=pricing.step or nothing,
        opening_float=nothing,
    )


_ITS_OWN: Final = frozenset({"name", "series", "place", "note", "first_on", "last_on"})


def keep(
    store: Store, *, fair: FairGiven, number: int | None = None, revision: int = 0, saving: str, now: datetime
) -> FairCard:
    """Keep a fair, new or changed. One that is over can still be put right: its hours and costs are known best after it.

    Raises:
        NotFound: ``fair.unknown``.
        Clash: ``fair.changed`` when it was changed since the page was shown.
        Refusal: with every problem found, at ``fair.name``, ``fair.stall`` and so on; ``fair.backwards`` at ``fair.last_on``.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="fair.keep", token=saving, given=(number, fair), now=now)
        if earlier is not None:
            return card_of(fair_in(session, earlier))
        if number is None:
            currency = shop_in(session).currency
            row = table.Fair(state="planned", currency=currency, counted=None, created_at=now, ended_at=None, revision=0)
        else:
            row = fair_in(session, number, lock="change")
            if row.revision != revision or row.state == "called off":
                raise Clash(Problem("fair.changed", values={"number": number}))
        _put(row, fair)
        if number is None:
            row.number = take(session, "fair")[0]
            session.add(row)
        session.flush()
        presses.settle(session, act="fair.keep", token=saving, about=row.number)
        return card_of(row)


def _put(row: table.Fair, fair: FairGiven) -> None:
    given = Given()
    row.name = given.line("fair.name", fair.name, required=True)
    row.series = given.line("fair.series", fair.series) or row.name
    row.series_key = name_key(row.series)
    row.place = given.line("fair.place", fair.place)
    row.note = given.block("fair.note", fair.note)
    if fair.last_on < fair.first_on:
        given.note("fair.backwards", "fair.last_on")
    elif (fair.last_on - fair.first_on).days >= LONGEST:
        given.note("fair.long", "fair.last_on", most=LONGEST)
    for name in AMOUNTS:
        setattr(row, name, given.amount(f"fair.{name}", getattr(fair, name), row.currency))
    row.card_percent = given.number("fair.card_percent", fair.card_percent, 0, Decimal("0.5"))
    row.card_share = given.number("fair.card_share", fair.card_share, 0, 1)
    row.hours_stood = given.number("fair.hours_stood", fair.hours_stood, 0, MOST_HOURS)
    row.hours_travelled = given.number("fair.hours_travelled", fair.hours_travelled, 0, MOST_HOURS)
    row.tax_name = given.line("fair.tax_name", fair.tax_name, most=40)
    row.tax_rate = given.number("fair.tax_rate", fair.tax_rate, 0, MOST_TAX)
    row.price_points = _points(given, fair, row.currency)
    given.done()
    row.first_on, row.last_on, row.tax_contained = fair.first_on, fair.last_on, fair.tax_contained
    row.revision += 1


def _points(given: Given, fair: FairGiven, currency: str) -> dict[str, object]:
    step = given.amount("fair.price_step", fair.price_step, currency)
    points = [given.amount("fair.price_points", point, currency) for point in fair.price_points]
    if len(points) > MOST_POINTS:
        given.note("fair.points", "fair.price_points", most=MOST_POINTS)
    if any(not 0 < point <= LARGEST_MINOR for point in points):
        given.note("fair.point", "fair.price_points")
    return {"step": step, "points": sorted(set(points))}


def fair(store: Store, *, number: int) -> FairCard:
    """A fair.

    Raises:
        NotFound: ``fair.unknown``.
    """
    with store.reading() as session:
        return card_of(fair_in(session, number))


def fairs(store: Store, *, below: int | None = None, limit: int = PAGE) -> FairPage:
    """The fairs, the latest first; ``below`` is ``further`` of the page before."""
    with store.reading() as session:
        last = table.by_number(session, below) if below is not None and is_number_of_a_row(below) else None
        found = table.newest(session, below=(last.first_on, last.id) if last else None, limit=limit + 1)
        page = found[:limit]
        return FairPage(tuple(card_of(row) for row in page), page[-1].number if len(found) > limit else None)


def series(store: Store) -> tuple[str, ...]:
    """The names under which fairs stand side by side, the last used first."""
    with store.reading() as session:
        return tuple(table.series_names(session))


def open_till(store: Store, *, number: int, saving: str, now: datetime) -> FairCard:
    """The fair begins: its till takes sales.

    Raises:
        NotFound: ``fair.unknown``.
        Clash: ``fair.state`` when it was called off.
    """
    return _to(store, "open", ("planned", "over"), number=number, saving=saving, now=now)


def end(store: Store, *, number: int, saving: str, now: datetime) -> FairCard:
    """The fair is over. What a phone still sends is taken all the same.

    Raises:
        NotFound: ``fair.unknown``.
        Clash: ``fair.state`` when it was called off.
    """
    return _to(store, "over", ("planned", "open"), number=number, saving=saving, now=now)


def call_off(store: Store, *, number: int, saving: str, now: datetime) -> FairCard:
    """The fair does not take place; rugs packed for it must be unpacked before.

    Raises:
        NotFound: ``fair.unknown``.
        Clash: ``fair.state`` unless it is planned.
        Refusal: ``fair.packed`` while rugs are packed for it.
    """
    return _to(store, "called off", ("planned",), number=number, saving=saving, now=now)


def _to(store: Store, state: str, whence: tuple[str, ...], *, number: int, saving: str, now: datetime) -> FairCard:
    with store.writing() as session:
        row = fair_in(session, number, lock="change")
        if presses.claim(session, act=f"fair.{state}.{row.id}", token=saving, given=None, now=now) is None:
            if row.state not in whence:
                raise Clash(Problem("fair.state", values={"number": number}))
            if state == "called off" and packing.any_packed(session, row.id):
                raise Refusal(Problem("fair.packed", values={"number": number}))
            row.state, row.revision = state, row.revision + 1
            row.ended_at = now if state in ("over", "called off") else None
            session.flush()
        return card_of(row)
