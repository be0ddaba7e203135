"""Washing and dyeing paid for later: spread over what is left of a haul, as entries of their own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal
from shop.core.ledger import Kind
from shop.core.money import Money, allocate
from shop.store import fabric as table
from shop.store import ledger
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.haul import HaulCard, card_in
from shop.usecases.moving import move, today_in, undo_act

MOST_SHOWN: Final = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class LaterCost:
    """A cost that was paid for a haul later.

    Attributes:
        step_id: by which it is undone.
        parts: what each piece bears of it, by number.
        undone: it was a mistake.
    """

    step_id: int
    note: str
    on: date
    cost: Money
    parts: tuple[tuple[int, Money], ...]
    undone: bool


def later_costs(store: Store, *, haul_id: int) -> tuple[LaterCost, ...]:
    """What was paid for a haul later, newest first.

    Raises:
        NotFound: ``haul.unknown``.
    """
    with store.reading() as session:
        row = table.haul_by_id(session, haul_id) if is_number_of_a_row(haul_id) else None
        if row is None:
            raise NotFound(Problem("haul.unknown"))
        return _later_costs(session, row)


def _later_costs(session: Session, row: table.Haul) -> tuple[LaterCost, ...]:
    acts: dict[int, list[tuple[ledger.Movement, int]]] = {}
    for movement, number in ledger.later_costs_of(session, row.id):
        acts.setdefault(movement.part_of_id or movement.id, []).append((movement, number))
    undone = ledger.undone_among(session, list(acts))
    return tuple(
        LaterCost(
            step_id=first,
            note=act[0][0].note,
            on=act[0][0].on,
            cost=Money(sum(one.cost for one, _ in act), row.currency),
            parts=tuple((number, Money(one.cost, row.currency)) for one, number in act),
            undone=first in undone,
        )
        for first, act in sorted(acts.items(), reverse=True)[:MOST_SHOWN]
    )


def add_cost(
    store: Store, *, haul_id: int, cost: Money, note: str, saving: str, now: datetime
) -> HaulCard:
    """Washing, dye, or whatever else was paid for a haul since: spread over what is left of its pieces.

    It is spread as the haul's own washing was: by price, weight or area, each in proportion to what is left of the piece,
    or evenly over the pieces of which something is left; exact to the cent.

    Args:
        store: the shop's database.
        haul_id: the haul.
        cost: what was paid.
        note: for what.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``haul.unknown``.
        Refusal: ``haul.gone`` when nothing is left of it; ``money.zero``, ``money.large``, ``money.mixed`` or ``money.negative``
            at ``cost``; ``text.missing`` and so on at ``note``.
    """
    with store.writing() as session:
        row = table.haul_by_id(session, haul_id) if is_number_of_a_row(haul_id) else None
        if row is None:
            raise NotFound(Problem("haul.unknown"))
        act = f"haul.add_cost.{row.id}"
        said = {"cost": cost, "note": note}
        if presses.claim(session, act=act, token=saving, given=said, now=now) is None:
            given = Given()
            why = given.line("note", note, required=True)
            minor = given.amount("cost", cost, row.currency)
            if minor == 0:
                given.note("money.zero", "cost")
            given.done()
            _spread(session, row, minor, why, now)
        return card_in(session, row)


def _spread(session: Session, row: table.Haul, minor: int, note: str, now: datetime) -> None:
    pieces = [piece for piece in table.lock_pieces_of_haul(session, row.id) if piece.left]
    if not pieces:
        raise Refusal(Problem("haul.gone"))
    on = max(today_in(session, now), row.on)
    first: ledger.Movement | None = None
    for piece, cost in zip(pieces, allocate(minor, _weights(row.spread_by, pieces)), strict=True):
        if cost:
            piece.later += cost
            added = move(
                session, piece, Kind.LATER_COST, cost=cost, on=on, now=now, note=note, part_of=first
            )
            first = first or added


def _weights(spread_by: str, pieces: Sequence[table.Piece]) -> list[int]:
    """In proportion to what is left of each; by price, to what the rest of each has cost."""
    if spread_by == "weight" and all(piece.weight for piece in pieces):
        return [piece.left * (piece.weight.ng if piece.weight else 0) for piece in pieces]
    if spread_by == "area" and not any(piece.yarn for piece in pieces):
        return [piece.left * piece.width.nm * piece.length.nm for piece in pieces]
    if spread_by == "evenly":
        return [1] * len(pieces)
    return [piece.left_cost for piece in pieces]


def undo_cost(store: Store, *, haul_id: int, step_id: int, saving: str, now: datetime) -> HaulCard:
    """It was a mistake: the whole cost is undone on all the pieces.

    Raises:
        NotFound: ``haul.unknown``, ``step.unknown``.
        Clash: ``step.undone``.
        Refusal: ``step.leaning`` when a piece has been used so far that its part of the cost has gone with it.
    """
    with store.writing() as session:
        row = table.haul_by_id(session, haul_id) if is_number_of_a_row(haul_id) else None
        if row is None:
            raise NotFound(Problem("haul.unknown"))
        act = f"haul.undo_cost.{row.id}.{step_id}"
        if presses.claim(session, act=act, token=saving, given=None, now=now) is None:
            step = ledger.movement_by_id(session, step_id) if is_number_of_a_row(step_id) else None
            ours = {piece.id for piece in table.pieces_of_haul(session, row.id)}
            if step is None or step.piece_id not in ours or step.kind != Kind.LATER_COST.value:
                raise NotFound(Problem("step.unknown"))
            undo_act(session, step, job=None, on=today_in(session, now), now=now)
        return card_in(session, row)
