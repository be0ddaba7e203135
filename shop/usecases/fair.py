"""Fairs: planned with what the stall costs and how people pay there, opened for the till, called off."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.money import LARGEST_MINOR, Money, total
from shop.store import fair as table
from shop.store import packing
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import name_key
from shop.store.numbering import take
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.price import pricing_in
from shop.usecases.shop import shop_in

PAGE: Final = 30
LONGEST: Final = 31
"""Days that a fair can last."""
MOST_POINTS: Final = 60
MOST_HOURS: Final = 24 * LONGEST
COSTS: Final = ("stall", "travel", "nights", "helper", "permits", "other")
"""What a stall costs whatever is sold, in the order in which it is asked."""
USUAL_CARD_PERCENT: Final = Decimal("0.02")
USUAL_CARD_SHARE: Final = Decimal("0.6")


@dataclass(frozen=True, slots=True, kw_only=True)
class FairGiven:
    """A fair as it is to be kept.

    Attributes:
        series: the name under which its years stand side by side; its own where none is given.
        stall, travel, nights, helper, permits, other: what it costs, whatever is sold.
        card_percent, card_fixed: what the card reader takes of each sale by card.
        card_share: of the takings that are thought to be paid by card.
        tax_rate: of the place, as a part of one; ``tax_contained`` in the price, or on top of it.
        cash_step: what a cash total is rounded to; nought for none.
        price_step: what prices there end in steps of; nought for none. ``price_points`` the round prices themselves, if set.
        opening_float: in the box at the start.
    """

    name: str
    series: str = ""
    place: str = ""
    note: str = ""
    first_on: date
    last_on: date
    stall: Money
    travel: Money
    nights: Money
    helper: Money
    permits: Money
    other: Money
    card_percent: Decimal
    card_fixed: Money
    card_share: Decimal
    hours_stood: Decimal
    hours_travelled: Decimal
    tax_name: str = ""
    tax_rate: Decimal = Decimal(0)
    tax_contained: bool = False
    cash_step: Money
    price_step: Money
    price_points: tuple[Money, ...] = ()
    opening_float: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class FairCard(FairGiven):
    """A fair as it is kept.

    Attributes:
        state: as in ``shop.store.fair.STATES``.
        counted: the cash in the box at the end; ``None`` before it was counted.
    """

    id: int
    number: int
    state: str
    currency: str
    counted: Money | None
    created_at: datetime
    ended_at: datetime | None
    revision: int

    @property
    def costs(self) -> Money:
        """All that it costs, whatever is sold."""
        return total((getattr(self, name) for name in COSTS), self.currency)

    @property
    def days(self) -> int:
        """How many days it lasts."""
        return (self.last_on - self.first_on).days + 1

    @property
    def hours(self) -> Decimal:
        """Hers, stood and travelled."""
        return self.hours_stood + self.hours_travelled


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
    for name in (*COSTS, "card_fixed", "cash_step", "opening_float"):
        setattr(row, name, given.amount(f"fair.{name}", getattr(fair, name), row.currency))
    row.card_percent = given.number("fair.card_percent", fair.card_percent, 0, Decimal("0.5"))
    row.card_share = given.number("fair.card_share", fair.card_share, 0, 1)
    row.hours_stood = given.number("fair.hours_stood", fair.hours_stood, 0, MOST_HOURS)
    row.hours_travelled = given.number("fair.hours_travelled", fair.hours_travelled, 0, MOST_HOURS)
    row.tax_name = given.line("fair.tax_name", fair.tax_name, most=40)
    row.tax_rate = given.number("fair.tax_rate", fair.tax_rate, 0, 1)
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


def fair_in(session: Session, number: int, *, lock: str = "") -> table.Fair:
    """The fair of that number, as part of another use case; ``lock`` as in ``shop.store.fair.by_number``.

    Raises:
        NotFound: ``fair.unknown``.
    """
    row = table.by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("fair.unknown", values={"number": number}))
    return row


def card_of(row: table.Fair) -> FairCard:
    """A fair's card, as part of another use case."""

    def money(minor: int) -> Money:
        return Money(minor, row.currency)

    return FairCard(
        id=row.id,
        number=row.number,
        name=row.name,
        series=row.series,
        place=row.place,
        note=row.note,
        first_on=row.first_on,
        last_on=row.last_on,
        state=row.state,
        currency=row.currency,
        **{name: money(getattr(row, name)) for name in (*COSTS, "card_fixed", "cash_step", "opening_float")},
        card_percent=row.card_percent,
        card_share=row.card_share,
        hours_stood=row.hours_stood,
        hours_travelled=row.hours_travelled,
        tax_name=row.tax_name,
        tax_rate=row.tax_rate,
        tax_contained=row.tax_contained,
        price_step=money(row.price_points["step"]),
        price_points=tuple(money(point) for point in row.price_points["points"]),
        counted=None if row.counted is None else money(row.counted),
        created_at=row.created_at,
        ended_at=row.ended_at,
        revision=row.revision,
    )


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
