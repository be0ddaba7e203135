"""Drawing cloth into a job, and what comes of it there: left-overs back to the shelf, waste, what was spoiled."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.amount import Amount, Said, Stuff, parts_of, said
from shop.core.errors import Clash, NotPossible, Problem, Refusal
from shop.core.ledger import Holding, Kind, Place
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.strips import Tool, Way
from shop.core.warp import Yarn
from shop.store import fabric as table
from shop.store import job as job_table
from shop.store import ledger
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.fabric import SET_ASIDE, STRIP, PieceCard, cards_in, piece_in
from shop.usecases.given import Given
from shop.usecases.job import JobCard, card_in, job_in, open_job_in
from shop.usecases.moving import move, shelf_of, today_in

USUAL_WASTE: Final = Decimal("0.05")
"""Cutting waste up to this share of what was drawn is usual (a starting guess) unless the shop sets another."""
ABOUT: Final = (Decimal("0.25"), Decimal("0.5"), Decimal("0.75"))
"""The shares that are offered at a tap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What an amount of a piece comes to, before anything is done.

    Attributes:
        piece: that it is of.
        job: the number of the job in which it lies; ``None`` on the shelf.
        said: the amount in all the ways.
        cost: that goes with it.
        left: what stays of it there, in all the ways, or nothing; ``cost_left`` what that cost.
    """

    piece: PieceCard
    job: int | None
    said: Said
    cost: Money
    left: Said
    cost_left: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What was done.

    Attributes:
        step_id: of the movement, to undo it by; ``None`` when the same press had done it already and it is undone.
        look: what it came to; what is left as it was just after.
    """

    step_id: int
    look: Look
    job: JobCard


def stuff_of(card: PieceCard, left: int | None = None) -> Stuff:
    """A piece as amounts are reckoned from it; ``left`` parts of it, or what lies on the shelf."""
    parts = card.left_parts if left is None else left
    if card.is_yarn:
        weight = card.weight.grams if card.weight else 0.0
        per_kg = card.length.metres / (weight / 1000) if weight else 0.0
        return Stuff(left=parts, yarn=Yarn(card.yarn, per_kg), run=card.length)
    return Stuff(left=parts, cloth=card.as_cloth)


def said_of(stuff: Stuff, parts: int, strip: Length) -> Said:
    """Parts of a piece in all the ways of saying them."""
    return said(stuff, parts, strip=strip)


def look(
    store: Store,
    *,
    number: int,
    amount: Amount,
    strip: Length = STRIP,
    tool: Tool = Tool.ROTARY,
    way: Way = Way.ALONG,
    job: int | None = None,
) -> Look:
    """What an amount of a piece comes to; changes nothing.

    Args:
        store: the shop's database.
        number: of the piece.
        amount: as it is said.
        strip: the width of strip that it is said in.
        tool: what strips are made with.
        way: whether they run along the piece or across it.
        job: the number of a job, for what of the piece lies in it; else what lies on the shelf.

    Raises:
        NotFound: ``piece.unknown``, ``job.unknown``.
        Refusal: ``piece.gone``; all of ``shop.core.amount.parts_of``, at ``amount``.
    """
    with store.reading() as session:
        row = piece_in(session, number)
        card = cards_in(session, [row])[0]
        if job is None:
            return _look(card, shelf_of(row), amount, strip=strip, tool=tool, way=way)
        held = _in_job(session, job_in(session, job), row)
        return _look(card, held, amount, strip=strip, tool=tool, way=way, job=job)


def _look(
    card: PieceCard,
    held: Holding,
    amount: Amount,
    *,
    strip: Length = STRIP,
    tool: Tool = Tool.ROTARY,
    way: Way = Way.ALONG,
    job: int | None = None,
) -> Look:
    if not held.share:
        raise NotPossible(Problem("piece.gone", "amount", {"number": card.number}))
    stuff = stuff_of(card, held.share)
    parts = parts_of(stuff, amount)
    cost = held.cost_of(parts)
    currency = card.cost.currency
    return Look(
        piece=card,
        job=job,
        said=said(stuff, parts, strip=strip, tool=tool, way=way),
        cost=Money(cost, currency),
        left=said(stuff, held.share - parts, strip=strip, tool=tool, way=way),
        cost_left=Money(held.cost - cost, currency),
    )


def draw(
    store: Store,
    *,
    number: int,
    job: int,
    amount: Amount,
    note: str = "",
    saving: str,
    now: datetime,
) -> Drawn:
    """Draw so much of a piece into a job; its cost goes with it.

    Args:
        store: the shop's database.
        number: of the piece.
        job: the number of the job.
        amount: as it is said.
        note: anything to remember.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``piece.unknown``, ``job.unknown``.
        Refusal: ``piece.gone`` when nothing is left, ``piece.to_wash`` while it is set aside, ``job.closed``, and all of
            ``shop.core.amount.parts_of``, at ``amount``; ``text.long`` or ``text.control`` at ``note``.
    """
    given = Given()
    why = given.line("note", note)
    given.done()
    with store.writing() as session:
        row_of_job = job_in(session, job, lock="stay")
        piece = piece_in(session, number, lock=True)
        card = cards_in(session, [piece])[0]
        act = f"draw.{piece.id}"
        said_all = {"job": job, "amount": amount, "note": why}
        earlier = presses.claim(session, act=act, token=saving, given=said_all, now=now)
        if earlier is None:
            open_job_in(session, job)
            if card.left and card.state == SET_ASIDE:
                raise Refusal(Problem("piece.to_wash", "amount", {"number": number}))
            found = _look(card, shelf_of(piece), amount)
            movement = move(
                session,
                piece,
                Kind.DRAWN,
                share=found.said.parts,
                cost=found.cost.minor,
                job=row_of_job,
                on=today_in(session, now),
                now=now,
                note=why,
            )
            presses.settle(session, act=act, token=saving, about=movement.id)
            earlier = movement.id
        return _drawn(session, earlier, piece, row_of_job)


def give_back(
    store: Store, *, number: int, job: int, amount: Amount, note: str = "", saving: str, now: datetime
) -> Drawn:
    """Left over from a job: so much of a piece goes back to the shelf, at its cost.

    Raises:
        As ``draw``; ``amount.waste`` when what would go back became waste before.
    """
    return _out_of_job(store, Kind.GIVEN_BACK, number, job, amount, note, saving, now)


def spoil_in_job(
    store: Store, *, number: int, job: int, amount: Amount, note: str = "", saving: str, now: datetime
) -> Drawn:
    """So much of a piece was spoiled in a job: not usual waste, but written off.

    Raises:
        As ``give_back``.
    """
    return _out_of_job(store, Kind.SPOILED, number, job, amount, note, saving, now)


def waste(
    store: Store, *, number: int, job: int, amount: Amount, note: str = "", saving: str, now: datetime
) -> Drawn:
    """Cut away and thrown out: by the shop's rule, what is usual stays in the job's cost; the rest is written off.

    Usual is a share of what was drawn of the piece into the job (the shop's ``usual_waste``), less what was called usual
    before. Cost accounting calls the one normal and the other abnormal spoilage.

    Raises:
        As ``give_back``.
    """
    return _out_of_job(store, Kind.USUAL_WASTE, number, job, amount, note, saving, now)


def _out_of_job(
    store: Store, kind: Kind, number: int, job: int, amount: Amount, note: str, saving: str, now: datetime
) -> Drawn:
    given = Given()
    why = given.line("note", note)
    given.done()
    with store.writing() as session:
        row = job_in(session, job, lock="stay")
        piece = piece_in(session, number, lock=True)
        act = f"job.{kind.value}.{row.id}"
        said_all = {"piece": number, "amount": amount, "note": why}
        earlier = presses.claim(session, act=act, token=saving, given=said_all, now=now)
        if earlier is None:
            open_job_in(session, job)
            earlier = _moved_out(session, kind, row, piece, amount, why, now).id
            presses.settle(session, act=act, token=saving, about=earlier)
        return _drawn(session, earlier, piece, row)


def _moved_out(
    session: Session,
    kind: Kind,
    row: job_table.Job,
    piece: table.Piece,
    amount: Amount,
    why: str,
    now: datetime,
) -> ledger.Movement:
    held = _in_job(session, row, piece)
    wasted = ledger.usual_waste(session, row.id).get(piece.id, 0)
    sound = held.share - wasted
    if not held.share:
        raise NotPossible(Problem("job.piece_gone", "amount", {"number": piece.number}))
    if not sound:
        raise NotPossible(Problem("amount.waste", "amount"))
    parts = parts_of(stuff_of(cards_in(session, [piece])[0], sound), amount)
    on = today_in(session, now)
    if kind is not Kind.USUAL_WASTE:
        way = (Place.JOB, Place.SHELF if kind is Kind.GIVEN_BACK else Place.WRITTEN_OFF)
        return move(
            session,
            piece,
            kind,
            share=parts,
            cost=held.cost_of(parts),
            way=way,
            job=row,
            on=on,
            now=now,
            note=why,
        )
    room = max(0, round(ledger.drawn_into(session, row.id, piece.id) * usual_waste_in(session)) - wasted)
    usual, beyond = min(parts, room), max(0, parts - room)
    first: ledger.Movement | None = None
    if usual:
        first = move(session, piece, Kind.USUAL_WASTE, share=usual, job=row, on=on, now=now, note=why)
    if beyond:
        spoiled = move(
            session,
            piece,
            Kind.SPOILED,
            share=beyond,
            cost=held.cost_of(beyond),
            way=(Place.JOB, Place.WRITTEN_OFF),
            job=row,
            on=on,
            now=now,
            note=why,
            part_of=first,
        )
        first = first or spoiled
    if first is None:
        raise NotPossible(Problem("amount.none", "amount"))
    return first


def usual_waste_in(session: Session) -> Decimal:
    """The share of what is drawn that the shop takes for usual waste, as part of another use case."""
    row = ledger.habits(session)
    return USUAL_WASTE if row is None else row.usual_waste


def _in_job(session: Session, row: job_table.Job, piece: table.Piece) -> Holding:
    lies = ledger.job_cloth(session, row.id, piece.id)
    return Holding(lies.share, lies.cost) if lies else Holding()


def _drawn(session: Session, step_id: int, piece: table.Piece, row: job_table.Job) -> Drawn:
    session.flush()
    movement = ledger.movement_by_id(session, step_id)
    if movement is None:
        raise Clash(Problem("step.unknown"))
    card = cards_in(session, [piece])[0]
    held = shelf_of(piece)
    stuff = stuff_of(card, held.share or movement.share)
    session.expire_all()
    return Drawn(
        step_id=step_id,
        look=Look(
            piece=card,
            job=row.number,
            said=said(stuff, movement.share, strip=STRIP),
            cost=Money(movement.cost, card.cost.currency),
            left=said(stuff, held.share, strip=STRIP),
            cost_left=card.cost_left,
        ),
        job=card_in(session, row),
    )


def spoil(
    store: Store, *, number: int, amount: Amount, note: str, saving: str, now: datetime
) -> PieceCard:
    """So much of a piece on the shelf is good for nothing: moths, mould, a stain; its cost is written off.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``piece.gone``; all of ``shop.core.amount.parts_of``; ``text.missing`` and so on at ``note``.
    """
    given = Given()
    why = given.line("note", note, required=True)
    given.done()
    with store.writing() as session:
        piece = piece_in(session, number, lock=True)
        act = f"piece.spoil.{piece.id}"
        said_all = {"amount": amount, "note": why}
        if presses.claim(session, act=act, token=saving, given=said_all, now=now) is None:
            found = _look(cards_in(session, [piece])[0], shelf_of(piece), amount)
            move(
                session,
                piece,
                Kind.SPOILED,
                share=found.said.parts,
                cost=found.cost.minor,
                way=(Place.SHELF, Place.WRITTEN_OFF),
                on=today_in(session, now),
                now=now,
                note=why,
            )
        return cards_in(session, [piece])[0]
