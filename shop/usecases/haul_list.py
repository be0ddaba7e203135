"""Looking through the hauls, and at how a haul's tax, washing, trip and discount fell on its pieces."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from shop.core.errors import NotFound, Problem
from shop.core.money import Money, split
from shop.store import haul_list
from shop.store.engine import Store
from shop.usecases.fabric import PieceCard
from shop.usecases.given import is_number_of_a_row
from shop.usecases.haul import HaulCard

PAGE: Final = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulLine:
    """A haul in the list.

    Attributes:
        id: its number, for addresses.
        place, on: where and when.
        pieces: how many it brought home.
        cost: what they cost together, everything spread over them.
    """

    id: int
    place: str
    on: date
    pieces: int
    cost: Money


@dataclass(frozen=True, slots=True)
class HaulPage:
    """A page of hauls, newest day first; ``further`` says where the next begins, empty at the end."""

    hauls: tuple[HaulLine, ...]
    further: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecePart:
    """What one piece bears of its haul.

    Attributes:
        piece: the piece.
        less: its part of the discount.
        more: its part of tax, washing and trip.
    """

    piece: PieceCard
    less: Money
    more: Money


def hauls(store: Store, *, after: str = "", limit: int = PAGE) -> HaulPage:
    """Look through the hauls.

    Args:
        store: the shop's database.
        after: ``further`` of the page before.
        limit: hauls on a page.

    Raises:
        NotFound: ``page.unknown``.
    """
    place = _place(after) if after else None
    with store.reading() as session:
        rows = haul_list.newest(session, after=place, limit=limit + 1)
        page = rows[:limit]
        home = haul_list.came_home(session, [row.id for row in page])
        lines = tuple(
            HaulLine(
                id=row.id,
                place=row.place,
                on=row.on,
                pieces=home[row.id][0],
                cost=Money(home[row.id][1], row.currency),
            )
            for row in page
        )
    further = f"{lines[-1].on.isoformat()}.{lines[-1].id}" if len(rows) > limit else ""
    return HaulPage(lines, further)


def spread_of(haul: HaulCard) -> tuple[PiecePart, ...]:
    """Each piece's part of its haul; together they are the haul's own sums, to the last coin."""
    off = split(haul.discount, [piece.paid.minor for piece in haul.pieces])
    return tuple(
        PiecePart(piece=piece, less=less, more=piece.cost - piece.paid + less)
        for piece, less in zip(haul.pieces, off, strict=True)
    )


def _place(after: str) -> tuple[date, int]:
    day, _, number = after.partition(".")
    try:
        on = date.fromisoformat(day)
    except ValueError:
        raise NotFound(Problem("page.unknown")) from None
    if not (number.isascii() and number.isdigit() and len(number) < 20 and is_number_of_a_row(int(number))):
        raise NotFound(Problem("page.unknown"))
    return on, int(number)
