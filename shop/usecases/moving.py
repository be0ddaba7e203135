"""Moving cloth in the ledger: what every act on a piece has in common.

Each act locks its pieces, asks the core what goes, and writes movements; the day that they count for is today in
the shop, or later if the piece's own record says so.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from shop.core.errors import Clash, NotFound, NotPossible, Problem, Refusal
from shop.core.ledger import ROUTES, STATES, Holding, Kind, Place
from shop.store import fabric as table
from shop.store import ledger, reservation
from shop.store.engine import Session
from shop.store.job import Job
from shop.usecases.fabric import GIVEN_AWAY, SET_ASIDE, SPOILED, USED_UP
from shop.usecases.shop import shop_in

_GONE_AS: Final = {Kind.GIVEN_AWAY: GIVEN_AWAY, Kind.SPOILED: SPOILED}


def today_in(session: Session, now: datetime) -> date:
    """The day that it is in the shop."""
    return now.astimezone(ZoneInfo(shop_in(session).time_zone)).date()


def shelf_of(piece: table.Piece) -> Holding:
    """What of a piece lies on the shelf."""
    return Holding(piece.left, piece.left_cost)


def move(
    session: Session,
    piece: table.Piece,
    kind: Kind,
    *,
    share: int = 0,
    cost: int = 0,
    way: tuple[Place, Place] | None = None,
    job: Job | None = None,
    on: date,
    now: datetime,
    note: str = "",
    part_of: ledger.Movement | None = None,
    reverses: ledger.Movement | None = None,
) -> ledger.Movement:
    """Write one movement of a locked piece down, and bring the piece's state up to date.

    Args:
        session: of the transaction.
        piece: that moves.
        kind: what happens; ``way`` is needed where it can go several ways.
        share: parts of it.
        cost: what goes with them.
        way: from where to where.
        job: that it goes into or comes out of.
        on: the day that it counts for.
        now: when it is written down.
        note: why, or to whom.
        part_of: the first movement of the same act.
        reverses: the movement that this one undoes.
    """
    source, target = way or ROUTES[kind][0]
    movement = ledger.post(
        session,
        piece,
        ledger.Movement(
            kind=kind.value,
            share=share,
            cost=cost,
            source=source.value,
            target=target.value,
            job_id=job.id if job else None,
            on=on,
            at=now,
            note=note,
            part_of_id=(part_of.part_of_id or part_of.id) if part_of else None,
            reverses_id=reverses.id if reverses else None,
        ),
    )
    if kind in (Kind.SET_ASIDE, Kind.READY, Kind.REVERSED) or Place.SHELF in (source, target):
        piece.state = _state(session, piece, kind)
        session.flush()
    return movement


def _state(session: Session, piece: table.Piece, kind: Kind) -> str:
    """The state that a piece is in after a movement."""
    if piece.left and kind in STATES:
        return kind.value
    if piece.left:
        return ledger.last_state(session, piece.id) or SET_ASIDE
    return _GONE_AS.get(kind, USED_UP)


def undo_act(
    session: Session, movement: ledger.Movement, *, job: Job | None, on: date, now: datetime, note: str = ""
) -> None:
    """Undo the whole act that a movement belongs to, its last movement first.

    Args:
        session: of the transaction.
        movement: one of the act's; its piece need not be locked yet.
        job: that it went into or came out of, locked, if any.
        on: the day that it counts for.
        now: when it is written down.
        note: why.

    Raises:
        NotFound: ``step.unknown`` when a piece of it has gone from the shop's record.
        Clash: ``step.undone`` when it has been undone already.
        Refusal: ``step.leaning`` when something later leans on it.
    """
    act = ledger.act_of(session, movement)
    pieces = {piece.id: piece for piece in table.lock_pieces(session, {one.piece_id for one in act})}
    if ledger.undone_among(session, [one.id for one in act]):
        raise Clash(Problem("step.undone"))
    first: ledger.Movement | None = None
    for one in reversed(act):
        piece = pieces.get(one.piece_id)
        if piece is None:
            raise NotFound(Problem("step.unknown"))
        _can_go_back(session, one, piece)
        back = (Place(one.target), Place(one.source))
        undoing = move(
            session,
            piece,
            Kind.REVERSED,
            share=one.share,
            cost=one.cost,
            way=back,
            job=job,
            on=max(on, one.on),
            now=now,
            note=note,
            part_of=first,
            reverses=one,
        )
        if one.kind == Kind.LATER_COST.value:
            piece.later -= one.cost
        first = first or undoing
    session.flush()
    reservation.reopen(session, [one.id for one in act if one.kind == Kind.DRAWN.value])


def _can_go_back(session: Session, one: ledger.Movement, piece: table.Piece) -> None:
    """Whether what the movement brought is still there to be taken back, and where it came from can hold it.

    Raises:
        Refusal: ``step.leaning``.
    """
    if one.source == one.target:
        return
    leans = Refusal(Problem("step.leaning"))
    for place, sign in ((Place(one.target), -1), (Place(one.source), 1)):
        holding = _lies(session, one, piece, place)
        if holding is None:
            continue
        try:
            left = holding.after(sign * one.share, sign * one.cost)
        except NotPossible:
            raise leans from None
        if place is Place.JOB and sign < 0 and left.share < _wasted(session, one):
            raise leans


def _wasted(session: Session, one: ledger.Movement) -> int:
    return ledger.usual_waste(session, one.job_id or 0).get(one.piece_id, 0)


def _lies(session: Session, one: ledger.Movement, piece: table.Piece, place: Place) -> Holding | None:
    if place is Place.SHELF:
        return shelf_of(piece)
    if place in (Place.JOB, Place.RUG) and one.job_id:
        row = ledger.job_cloth(session, one.job_id, piece.id)
        if row is None:
            return Holding()
        return Holding(row.share, row.cost) if place is Place.JOB else Holding(row.rug_share, row.rug_cost)
    return None


