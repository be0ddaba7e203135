"""Bringing cloth home from a file: a table of pieces is looked over first, and comes home whole or not at all.

A table is known again by what its cells say, whatever kind of file it came in, and comes home once. Where there is a haul
of the same place and day already, as when rows were added to an old table, somebody must say that this is other cloth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import count, takewhile
from typing import Final
from zoneinfo import ZoneInfo

from shop.core.errors import Clash, Problem, Refusal
from shop.core.measure import Length, Weight
from shop.core.money import Money, total
from shop.store import fabric as table
from shop.store import haul_list
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import folded
from shop.usecases.file_cells import PLAIN, Vocabulary, text_of
from shop.usecases.file_rows import BadCell, Gathered, Row, RowReader
from shop.usecases.given import Given
from shop.usecases.haul import bring_in, landed, looked_over
from shop.usecases.shop import Shop, shop_in

ACT: Final = "cloth.from_file"


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceSeen:
    """A row's piece as it would come home.

    Attributes:
        row: its row in the file.
        width, length: nothing for a cone of yarn, whose count is ``yarn``.
        paid: the price of one; ``count`` how many alike.
        ready: washed already; else it is set aside to wash.
        cost: of all of them, everything spread over them.
    """

    row: int
    name: str
    colour: str
    width: Length
    length: Length
    weight: Weight | None
    yarn: str
    paid: Money
    count: int
    ready: bool
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulSeen:
    """A haul that would come home.

    Attributes:
        place, on: where and when.
        cost: of all its pieces.
        already: a haul of the same place and day that is home; ``None`` where there is none.
    """

    place: str
    on: date
    pieces: tuple[PieceSeen, ...]
    cost: Money
    already: int | None

    @property
    def count(self) -> int:
        """How many pieces."""
        return sum(piece.count for piece in self.pieces)


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulBefore:
    """A haul that the same table brought home before."""

    id: int
    place: str
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """What a file would bring home; nothing is changed.

    Attributes:
        hauls: that would come, in the order of the file; none while anything is wrong, or when it came before.
        bad: what is wrong, row by row; nothing comes home while there is any.
        unknown: columns that mean nothing here, and are passed over.
        before: what the same table brought home before.
        seen: stands for what would come home, down to the last figure; to be handed back with the yes to it.
    """

    hauls: tuple[HaulSeen, ...]
    bad: tuple[BadCell, ...]
    unknown: tuple[str, ...]
    before: tuple[HaulBefore, ...]
    seen: str

    @property
    def pieces(self) -> int:
        """Pieces that would come home."""
        return sum(haul.count for haul in self.hauls)


def preview(store: Store, *, rows: Sequence[Row], now: datetime, vocabulary: Vocabulary = PLAIN) -> Preview:
    """Look a table over.

    Args:
        store: the shop's database.
        rows: the cells, the headings first.
        now: the time, zoned.
        vocabulary: the words it may be written in besides the plain English ones.
    """
    with store.reading() as session:
        before = _came_before(session, _token(rows))
        shop = shop_in(session)
        reader = _reader(shop, now, vocabulary)
        gathered = reader.read(rows)
        home = _home_already(session, gathered)
        to_come = () if reader.bad or before else tuple(gathered)
        return Preview(
            hauls=tuple(_haul_seen(one, shop.currency, home.get(_key(one))) for one in to_come),
            bad=() if before else tuple(reader.bad),
            unknown=tuple(reader.unknown),
            before=before,
            seen=_seen(gathered),
        )


def bring_home_from(
    store: Store,
    *,
    rows: Sequence[Row],
    seen: str,
    other_cloth: bool = False,
    now: datetime,
    vocabulary: Vocabulary = PLAIN,
) -> tuple[int, ...]:
    """Bring home all that a table names, or nothing; the same table twice is one act.

    Args:
        store: the shop's database.
        rows: the cells, the headings first.
        seen: of the preview that was said yes to.
        other_cloth: it is said that this is other cloth than hauls of the same place and day brought.
        now: the time, zoned.
        vocabulary: as for the preview.

    Returns:
        the ids of the hauls, in the order of the table.

    Raises:
        Refusal: ``sheet.bad`` when anything is wrong with any row, which ``preview`` names; ``sheet.already`` at ``other``
            when a haul of the same place and day is home and nobody said that this is other cloth.
        Clash: ``sheet.changed`` when other than what was seen would come home, because the shop's settings have changed.
    """
    token = _token(rows)
    with store.writing() as session:
        if presses.claim(session, act=ACT, token=token, given=token, now=now) is not None:
            return tuple(one.id for one in _came_before(session, token))
        shop = shop_in(session)
        reader = _reader(shop, now, vocabulary)
        gathered = reader.read(rows)
        if reader.bad:
            raise Refusal(Problem("sheet.bad", "file"))
        if _seen(gathered) != seen:
            raise Clash(Problem("sheet.changed", "file"))
        if _home_already(session, gathered) and not other_cloth:
            raise Refusal(Problem("sheet.already", "other"))
        hauls = [bring_in(session, haul=one.given(), shop=shop, now=now).id for one in gathered]
        _note(session, token, hauls, now)
        return tuple(hauls)


def _token(rows: Sequence[Row]) -> str:
    """By which a table is known again: what its cells say, wherever in the file."""
    return presses.digest_of([[text_of(cell) for cell in cells] for _, cells in rows])


def _reader(shop: Shop, now: datetime, vocabulary: Vocabulary) -> RowReader:
    return RowReader(shop, now.astimezone(ZoneInfo(shop.time_zone)).date(), vocabulary)


def _seen(gathered: Sequence[Gathered]) -> str:
    return presses.digest_of([one.given() for one in gathered])


def _token_of(token: str, place: int) -> str:
    """The table's token for its first haul; for each further one a token of its own."""
    return f"{token[:48]}-{place}" if place else token


def _note(session: Session, token: str, hauls: Sequence[int], now: datetime) -> None:
    """Note every haul that a table brought, each as a press, so that all of them are found again."""
    for place, haul_id in enumerate(hauls):
        if place:
            presses.claim(session, act=ACT, token=_token_of(token, place), given=token, now=now)
        presses.settle(session, act=ACT, token=_token_of(token, place), about=haul_id)


def _came_before(session: Session, token: str) -> tuple[HaulBefore, ...]:
    noted = (presses.about(session, act=ACT, token=_token_of(token, place)) for place in count())
    ids = [haul_id for haul_id in takewhile(lambda about: about is not None, noted) if haul_id]
    hauls = table.hauls_of(session, set(ids)) if ids else {}
    return tuple(HaulBefore(id=one, place=hauls[one].place, on=hauls[one].on) for one in ids)


def _key(one: Gathered | table.Haul) -> tuple[str, date]:
    return folded(one.place), one.on


def _home_already(session: Session, gathered: Sequence[Gathered]) -> dict[tuple[str, date], int]:
    """The newest haul that is home, of each place and day that the table names."""
    wanted = {_key(one) for one in gathered}
    hauls = haul_list.of_days(session, {on for _, on in wanted}) if wanted else ()
    return {_key(haul): haul.id for haul in hauls if _key(haul) in wanted}


def _haul_seen(one: Gathered, currency: str, already: int | None) -> HaulSeen:
    costs = iter(landed(looked_over(Given(), one.given(), currency), [p for p in one.pieces for _ in range(p.count)]))
    pieces = tuple(
        PieceSeen(
            row=row,
            name=piece.name,
            colour=piece.colour,
            width=piece.width,
            length=piece.length,
            weight=piece.weight,
            yarn=piece.yarn,
            paid=piece.paid,
            count=piece.count,
            ready=piece.ready,
            cost=total((next(costs) for _ in range(piece.count)), currency),
        )
        for row, piece in zip(one.rows, one.pieces, strict=True)
    )
    cost = total((piece.cost for piece in pieces), currency)
    return HaulSeen(place=one.place, on=one.on, pieces=pieces, cost=cost, already=already)
