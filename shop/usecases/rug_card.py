"""Finished rugs as they are kept: looked up, looked through, and as cards for pages and papers."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from shop.core.cost import JobCost
from shop.core.errors import NotFound, Problem
from shop.core.loom import Size
from shop.core.measure import Weight
from shop.core.money import Money
from shop.store import job as job_table
from shop.store import rug as table
from shop.store import rug_list
from shop.store import sale as sale_table
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.usecases.given import Given, is_number_of_a_row

PAGE: Final = 30
LONGEST_SEARCH: Final = 200
MOST_WORDS: Final = 6
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
        brought: what it was sold for, once it is sold; the tax that came on top is not in it.
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
    brought: Money | None
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

    @property
    def cost_known(self) -> bool:
        """Whether anything was written down of what it cost, in money or in time; else it is not nothing, but not known."""
        return bool(self.cost.total or self.minutes)


@dataclass(frozen=True, slots=True)
class RugPage:
    """A page of rugs, newest first; ``further`` is where the next page begins, if there is one."""

    rugs: tuple[RugCard, ...]
    further: int | None


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
    """Rugs as cards, as part of another use case; five queries at most however many there are."""
    outlets, fairs = rug_list.places_named(session, rows)
    photographs = table.digests_of(session, [row.id for row in rows])
    job_ids = {row.job_id for row in rows if row.job_id}
    jobs = job_table.by_ids(session, job_ids) if job_ids else {}
    brought = sale_table.brought_by(session, [row.id for row in rows if row.place == "sold"])
    return tuple(_card(row, outlets, fairs, photographs, jobs, brought) for row in rows)


def _card(
    row: table.Rug,
    outlets: Mapping[int, str],
    fairs: Mapping[int, tuple[int, str]],
    photographs: Mapping[int, str],
    jobs: Mapping[int, job_table.Job],
    brought: Mapping[int, Money],
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
        brought=brought.get(row.id),
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
