"""Finished rugs for sale: entered by hand, corrected, priced; and how each stands in a list."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

from shop.core.cost import JobCost
from shop.core.errors import Clash, NotFound, Problem
from shop.core.loom import Size
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.store import job as job_table
from shop.store import rug as table
from shop.store import rug_list
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.store.numbering import take
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.moving import today_in
from shop.usecases.shop import shop_in

PAGE: Final = 30
LONGEST_SEARCH: Final = 200
MOST_WORDS: Final = 6
MOST_STRIPES: Final = 400
SMALLEST: Final = Length.of(2, "in")
LARGEST: Final = Length.of(30, "m")
HEAVIEST: Final = Weight.of(200, "kg")
MOST_MINUTES: Final = 60 * 1000
CONTENT: Final = ("fibres", "care")
"""What is told of a rug on its tag, as finished text: its fibre content, and how to care for it."""
COSTS: Final = ("cloth", "warp", "labour", "overhead", "bought_in")
SHOWN: Final[dict[str, tuple[str, ...]]] = {
    "for sale": ("home", "fair", "outlet"),
    "home": ("home",),
    "fair": ("fair",),
    "outlet": ("outlet",),
    "sold": ("sold",),
    "gone": ("gone",),
}
"""What of the rugs is shown, with the places that stand for it."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class RugCard:
    """A rug as it is kept.

    Attributes:
        number: what it is called by.
        job: the number of the job that it was woven as; ``None`` for one entered by hand.
        stripes: (colour, share), adding up to one.
        colour: the one that stands for it.
        content: of ``CONTENT``.
        cost: what it cost, ``guessed`` where that is an estimate and no record.
        minutes: of work in it.
        place: where it is, as in ``shop.store.rug.PLACES``; ``where`` the name of the fair or the outlet.
        fair: the number of the fair that it is packed for; ``outlet`` the id of the outlet that has it.
        photograph: the digest of its photograph; empty where it has none.
    """

    id: int
    number: int
    job: int | None
    name: str
    note: str
    made_on: date
    size: Size
    weight: Weight | None
    stripes: tuple[tuple[str, float], ...]
    colour: str
    content: Mapping[str, str]
    cost: JobCost
    minutes: Decimal
    guessed: bool
    price: Money | None
    place: str
    where: str
    fair: int | None
    outlet: int | None
    photograph: str
    revision: int

    @property
    def for_sale(self) -> bool:
        """Whether it is still to be sold."""
        return self.place in SHOWN["for sale"]


@dataclass(frozen=True, slots=True)
class RugPage:
    """A page of rugs, newest first; ``further`` is where the next page begins, if there is one."""

    rugs: tuple[RugCard, ...]
    further: int | None


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


def rug(store: Store, *, number: int) -> RugCard:
    """A rug.

    Raises:
        NotFound: ``rug.unknown``.
    """
    with store.reading() as session:
        return card_in(session, rug_in(session, number))


def rugs(
    store: Store, *, shown: str = "for sale", find: str = "", outlet: int | None = None, below: int | None = None, limit: int = PAGE
) -> RugPage:
    """Look through the rugs.

    Args:
        store: the shop's database.
        shown: one of ``SHOWN``.
        find: beginnings of words of name or note, or a number; all of them.
        outlet: only those that this outlet has.
        below: ``further`` of the page before.
        limit: rugs on a page.

    Raises:
        Refusal: ``choice.unknown``.
    """
    given = Given()
    given.choice("shown", shown, SHOWN)
    given.done()
    begin = below if below is not None and is_number_of_a_row(below) else None
    with store.reading() as session:
        rows = rug_list.newest(
            session,
            places=SHOWN[shown],
            words=words_of(find[:LONGEST_SEARCH])[:MOST_WORDS],
            outlet_id=outlet,
            below=begin,
            limit=limit + 1,
        )
        page = rows[:limit]
        return RugPage(cards_in(session, page), page[-1].number if len(rows) > limit else None)


def rug_in(session: Session, number: int, *, lock: bool = False) -> table.Rug:
    """The rug of that number, as part of another use case; locked, it is read anew.

    Raises:
        NotFound: ``rug.unknown``.
    """
    row = table.by_number(session, number) if is_number_of_a_row(number) else None
    if row is not None and lock:
        row = next(iter(table.locked(session, [row.id])), None)
    if row is None:
        raise NotFound(Problem("rug.unknown", values={"number": number}))
    return row


def rugs_in(session: Session, numbers: Collection[int]) -> list[table.Rug]:
    """The rugs of these numbers, locked in the order of their ids and read anew; as part of another use case.

    Raises:
        NotFound: ``rug.unknown`` for the first that is not there.
    """
    known = {row.number: row.id for row in table.by_numbers(session, [n for n in numbers if is_number_of_a_row(n)])}
    for number in numbers:
        if number not in known:
            raise NotFound(Problem("rug.unknown", values={"number": number}))
    return list(table.locked(session, known.values()))


def card_in(session: Session, row: table.Rug) -> RugCard:
    """A rug's card, as part of another use case."""
    return cards_in(session, [row])[0]


def cards_in(session: Session, rows: Sequence[table.Rug]) -> tuple[RugCard, ...]:
    """Rugs as cards, as part of another use case; four queries at most however many there are."""
    outlets, fairs = rug_list.places_named(session, rows)
    photographs = table.digests_of(session, [row.id for row in rows])
    job_ids = {row.job_id for row in rows if row.job_id}
    jobs = job_table.by_ids(session, job_ids) if job_ids else {}
    return tuple(_card(row, outlets, fairs, photographs, jobs) for row in rows)


def _card(
    row: table.Rug,
    outlets: Mapping[int, str],
    fairs: Mapping[int, tuple[int, str]],
    photographs: Mapping[int, str],
    jobs: Mapping[int, job_table.Job],
) -> RugCard:
    fair = fairs.get(row.fair_id or 0)
    return RugCard(
        id=row.id,
        number=row.number,
        job=jobs[row.job_id].number if row.job_id else None,
        name=row.name,
        note=row.note,
        made_on=row.made_on,
        size=Size(row.width, row.length),
        weight=row.weight,
        stripes=tuple((str(colour), float(share)) for colour, share in row.stripes),
        colour=row.colour,
        content={name: str(row.content.get(name, "")) for name in CONTENT},
        cost=cost_of(row),
        minutes=row.minutes,
        guessed=row.guessed,
        price=None if row.price is None else Money(row.price, row.currency),
        place=row.place,
        where=fair[1] if fair else outlets.get(row.outlet_id or 0, ""),
        fair=fair[0] if fair else None,
        outlet=row.outlet_id,
        photograph=photographs.get(row.id, ""),
        revision=row.revision,
    )


def cost_of(row: table.Rug) -> JobCost:
    """What a rug cost, as the arithmetic knows it."""
    return JobCost(*(Money(getattr(row, name), row.currency) for name in COSTS))
