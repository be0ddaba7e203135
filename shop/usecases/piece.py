"""What is done with pieces of cloth: looking through them, washing, giving away, undoing a mistake."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal
from shop.core.ledger import WHOLE, Kind
from shop.core.measure import Length
from shop.core.money import Money
from shop.store import fabric_list, ledger
from shop.store import job as job_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.usecases.fabric import FIXED, STRIP, PieceCard, cards_in, piece_in
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.moving import move, shelf_of, today_in, undo_act
from shop.usecases.shop import shop_in

SHOWN: Final = fabric_list.SHOWN
PAGE: Final = 30
NARROWEST: Final = Length.of(1, "mm")
WIDEST: Final = Length.of(1, "m")


@dataclass(frozen=True, slots=True)
class PiecePage:
    """A page of pieces, newest first; ``further`` is where the next page begins, if there is one."""

    pieces: tuple[PieceCard, ...]
    further: int | None


def pieces(
    store: Store,
    *,
    shown: str = "in hand",
    words: str = "",
    strip: Length = STRIP,
    below: int | None = None,
    limit: int = PAGE,
) -> PiecePage:
    """Look through the cloth.

    Args:
        store: the shop's database.
        shown: ``in hand``, ``to wash``, ``ready``, ``gone`` or ``all``.
        words: that the name must hold.
        strip: the width of strip to show costs for.
        below: ``further`` of the page before.
        limit: pieces on a page.

    Raises:
        Refusal: ``choice.unknown``; ``length.small`` or ``length.most`` at ``strip``.
    """
    given = Given()
    given.choice("shown", shown, SHOWN)
    given.length("strip", strip, NARROWEST, WIDEST)
    given.done()
    with store.reading() as session:
        return pieces_in(session, shown=shown, words=words, strip=strip, below=below, limit=limit)


def pieces_in(
    session: Session,
    *,
    shown: str = "in hand",
    words: str = "",
    strip: Length = STRIP,
    below: int | None = None,
    limit: int = PAGE,
    cloth_only: bool = False,
) -> PiecePage:
    """A page of pieces, as part of another use case; with cones of yarn or without."""
    if below is not None and not is_number_of_a_row(below):
        below = None
    rows = fabric_list.newest(session, which=shown, words=words_of(words), below=below, limit=limit + 1, cloth_only=cloth_only)
    page = rows[:limit]
    further = page[-1].number if len(rows) > limit else None
    return PiecePage(cards_in(session, page, strip=strip), further)


def piece(store: Store, *, number: int, strip: Length = STRIP) -> PieceCard:
    """One piece, with all that happened to it.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``length.small`` or ``length.most`` at ``strip``.
    """
    given = Given()
    given.length("strip", strip, NARROWEST, WIDEST)
    given.done()
    with store.reading() as session:
        return cards_in(session, [piece_in(session, number)], strip=strip, steps=True)[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class InJob:
    """What of a piece is in a job, or in its rug when it is ``woven``."""

    number: int
    name: str
    share: Decimal
    cost: Money
    woven: bool


def jobs_of(store: Store, *, number: int) -> tuple[InJob, ...]:
    """The jobs and rugs that some of a piece went into, newest first.

    Raises:
        NotFound: ``piece.unknown``.
    """
    with store.reading() as session:
        row = piece_in(session, number)
        currency = shop_in(session).currency
        return tuple(
            InJob(
                number=job.number,
                name=job.name,
                share=Decimal(lies.share + lies.rug_share) / WHOLE,
                cost=Money(lies.cost + lies.rug_cost, currency),
                woven=lies.rug_share > 0,
            )
            for lies, job in ledger.jobs_of_piece(session, row.id)
        )


def mark_ready(store: Store, *, number: int, saving: str, now: datetime) -> PieceCard:
    """It has been washed and dried."""
    return _set_state(store, number, Kind.READY, saving, now)


def set_aside(store: Store, *, number: int, saving: str, now: datetime) -> PieceCard:
    """It has to be washed, or washed again, before it joins the rest."""
    return _set_state(store, number, Kind.SET_ASIDE, saving, now)


def _set_state(store: Store, number: int, state: Kind, saving: str, now: datetime) -> PieceCard:
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        act = f"piece.{state.value}.{row.id}"
        if presses.claim(session, act=act, token=saving, given=None, now=now) is None:
            if not row.left:
                raise Refusal(Problem("piece.gone", values={"number": number}))
            if row.state != state.value:
                move(session, row, state, on=today_in(session, now), now=now)
        return cards_in(session, [row], steps=True)[0]


def give_away(store: Store, *, number: int, note: str = "", saving: str, now: datetime) -> PieceCard:
    """All that is left of it leaves the shop unsold; its cost is written off.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``piece.gone`` when nothing is left; ``text.long`` or ``text.control`` at ``note``.
    """
    given = Given()
    reason = given.line("note", note)
    given.done()
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        act = f"piece.give_away.{row.id}"
        if presses.claim(session, act=act, token=saving, given=reason, now=now) is None:
            held = shelf_of(row)
            if not held.share:
                raise Refusal(Problem("piece.gone", values={"number": number}))
            on = today_in(session, now)
            move(
                session, row, Kind.GIVEN_AWAY, share=held.share, cost=held.cost, on=on, now=now, note=reason
            )
        return cards_in(session, [row], steps=True)[0]


def undo(store: Store, *, number: int, step_id: int, saving: str, now: datetime) -> PieceCard:
    """Undo a step, and with it the whole act that it belongs to, by movements that name it; all stay in the record.

    Raises:
        NotFound: ``piece.unknown``, ``step.unknown``.
        Clash: ``step.undone`` when it has been undone already.
        Refusal: ``step.fixed`` for coming home, for going into a rug, and for the undoing of another; ``step.leaning`` when
            something later leans on it; ``step.job`` when its job takes no more cloth.
    """
    with store.writing() as session:
        row = piece_in(session, number)  # locked with all that the act moved, in one order, so that two can undo at once
        step = ledger.movement_by_id(session, step_id) if is_number_of_a_row(step_id) else None
        if step is None or step.piece_id != row.id:
            raise NotFound(Problem("step.unknown"))
        job = job_table.by_id(session, step.job_id, lock="stay") if step.job_id else None
        act = f"piece.undo.{row.id}.{step_id}"
        if presses.claim(session, act=act, token=saving, given=None, now=now) is None:
            if Kind(step.kind) in FIXED:
                raise Refusal(Problem("step.fixed"))
            if job is not None and job.state not in job_table.OPEN:
                raise Refusal(Problem("step.job", values={"number": job.number}))
            undo_act(session, step, job=job, on=today_in(session, now), now=now)
        session.flush()
        return cards_in(session, [row], steps=True)[0]
