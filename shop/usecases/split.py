"""Cutting a piece in two: a new piece with a number of its own, and its share of the cost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.amount import Amount, Area, Run, parts_of
from shop.core.errors import Problem, Refusal
from shop.core.ledger import WHOLE, Kind
from shop.core.measure import Length, Weight
from shop.store import fabric as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import folded
from shop.store.numbering import take
from shop.usecases.draw import stuff_of
from shop.usecases.fabric import READY, PieceCard, cards_in, piece_in
from shop.usecases.given import Given
from shop.usecases.moving import move, shelf_of, today_in

SMALLEST: Final = Length.of(1, "cm")
LARGEST: Final = Length.of(100, "m")
MOST_RUN: Final = Length.of(10_000, "m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Halves:
    """The piece that was cut, and the new one."""

    piece: PieceCard
    new: PieceCard


def split(
    store: Store,
    *,
    number: int,
    length: Length,
    width: Length | None = None,
    name: str = "",
    saving: str,
    now: datetime,
) -> Halves:
    """Cut a piece off another, as large as this; its cost and its weight are its share of the whole.

    Args:
        store: the shop's database.
        number: of the piece that is cut.
        length: of the new piece; of a cone, the run of yarn wound off it.
        width: of the new piece; of a cone, none.
        name: of the new piece; that of the other where none is given.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``piece.gone``, ``split.all`` when nothing would stay, ``split.wide`` when it is wider or longer than the
            piece it is cut from, ``amount.more`` when no so large a piece is left; ``length.small``, ``length.most``,
            ``length.missing``; ``text.long`` or ``text.control`` at ``name``.
    """
    given = Given()
    called = given.line("name", name)
    given.length("length", length, SMALLEST, MOST_RUN)
    if width is not None:
        given.length("width", width, SMALLEST, LARGEST)
    given.done()
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        act = f"piece.split.{row.id}"
        said = {"length": length.nm, "width": width.nm if width else None, "name": called}
        earlier = presses.claim(session, act=act, token=saving, given=said, now=now)
        if earlier is None:
            earlier = _cut(session, row, width, length, called, now).number
            presses.settle(session, act=act, token=saving, about=earlier)
        new = piece_in(session, earlier)
        return Halves(piece=cards_in(session, [row])[0], new=cards_in(session, [new])[0])


def _cut(
    session: Session, row: table.Piece, width: Length | None, length: Length, name: str, now: datetime
) -> table.Piece:
    if not row.left:
        raise Refusal(Problem("piece.gone", values={"number": row.number}))
    amount, width = _amount(row, width, length)
    parts = parts_of(stuff_of(cards_in(session, [row])[0]), amount)
    if parts >= row.left:
        raise Refusal(Problem("split.all", "length"))
    cost = shelf_of(row).cost_of(parts)
    new = table.Piece(
        number=take(session, "piece")[0],
        haul_id=row.haul_id,
        name=name or row.name,
        name_key=folded(name or row.name),
        yarn=row.yarn,
        cloth=row.cloth,
        colour=row.colour,
        shade=row.shade,
        fibres=row.fibres,
        fibre=row.fibre,
        width=width,
        length=length,
        weight=Weight(max(1, row.weight.ng * parts // WHOLE)) if row.weight else None,
        grams_per_m2=row.grams_per_m2,
        tears=row.tears,
        condition=row.condition,
        kept=row.kept,
        paid=0,
        parent_id=row.id,
        came=cost,
        later=0,
        left=0,
        left_cost=0,
        state=row.state,
        revision=1,
    )
    session.add(new)
    session.flush()
    on = today_in(session, now)
    off = move(session, row, Kind.CUT_OFF, share=parts, cost=cost, on=on, now=now, note=f"No. {new.number}")
    move(
        session,
        new,
        Kind.CUT_FROM,
        share=WHOLE,
        cost=cost,
        on=on,
        now=now,
        note=f"No. {row.number}",
        part_of=off,
    )
    move(session, new, Kind.READY if row.state == READY else Kind.SET_ASIDE, on=on, now=now)
    return new


def _amount(row: table.Piece, width: Length | None, length: Length) -> tuple[Amount, Length]:
    if row.yarn:
        return Run(length), Length(0)
    if width is None:
        raise Refusal(Problem("length.missing", "width"))
    sides = sorted((row.width, row.length))
    if min(width, length) > sides[0] or max(width, length) > sides[1]:
        raise Refusal(Problem("split.wide", "width"))
    return Area(Decimal(width.nm * length.nm).scaleb(-18)), width
