"""What is done with pieces of cloth: looking through them, washing, giving away, undoing a mistake."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.measure import Length
from shop.store import fabric as table
from shop.store import fabric_list
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import words_of
from shop.usecases.fabric import GIVEN_AWAY, READY, SET_ASIDE, STRIP, PieceCard, cards_in, piece_in
from shop.usecases.given import Given, is_number_of_a_row

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
) -> PiecePage:
    """A page of pieces, as part of another use case."""
    if below is not None and not is_number_of_a_row(below):
        below = None
    rows = fabric_list.newest(session, which=shown, words=words_of(words), below=below, limit=limit + 1)
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
        return cards_in(session, [piece_in(session, number)], strip=strip)[0]


def mark_ready(store: Store, *, number: int, saving: str, now: datetime) -> PieceCard:
    """It has been washed and dried."""
    return _set_state(store, number, READY, saving, now)


def set_aside(store: Store, *, number: int, saving: str, now: datetime) -> PieceCard:
    """It has to be washed, or washed again, before it joins the rest."""
    return _set_state(store, number, SET_ASIDE, saving, now)


def _set_state(store: Store, number: int, state: str, saving: str, now: datetime) -> PieceCard:
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        card = cards_in(session, [row])[0]
        if presses.claim(session, act=f"piece.{state}.{row.id}", token=saving, given=None, now=now) is None:
            if not card.left:
                raise Refusal(Problem("piece.gone", values={"number": number}))
            if card.state != state:
                session.add(table.Movement(piece_id=row.id, kind=state, share=0, cost=0, at=now, note=""))
                session.flush()
        return cards_in(session, [row])[0]


def give_away(store: Store, *, number: int, note: str = "", saving: str, now: datetime) -> PieceCard:
    """All that is left of it leaves the shop unsold; its cost goes with it.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``piece.gone`` when nothing is left; ``text.long`` or ``text.control`` at ``note``.
    """
    given = Given()
    reason = given.line("note", note)
    given.done()
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        card = cards_in(session, [row])[0]
        if presses.claim(session, act=f"piece.give_away.{row.id}", token=saving, given=reason, now=now) is None:
            if not card.left:
                raise Refusal(Problem("piece.gone", values={"number": number}))
            share, cost = -int(card.left * table.WHOLE), -card.cost_left.minor
            gone = table.Movement(
                piece_id=row.id, kind=GIVEN_AWAY, share=share, cost=cost, at=now, note=reason
            )
            session.add(gone)
            session.flush()
        return cards_in(session, [row])[0]


def undo(store: Store, *, number: int, step_id: int, saving: str, now: datetime) -> PieceCard:
    """Undo a step by a second one that names it; both stay in the piece's history.

    Raises:
        NotFound: ``piece.unknown``, ``step.unknown``.
        Clash: ``step.undone`` when it has been undone already.
        Refusal: ``step.fixed`` for coming home, and for the undoing of another.
    """
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        if presses.claim(session, act=f"piece.undo.{row.id}.{step_id}", token=saving, given=None, now=now) is None:
            step = table.movement_by_id(session, step_id) if is_number_of_a_row(step_id) else None
            if step is None or step.piece_id != row.id:
                raise NotFound(Problem("step.unknown"))
            shown = next(one for one in cards_in(session, [row])[0].steps if one.id == step_id)
            if shown.undone:
                raise Clash(Problem("step.undone"))
            if not shown.can_be_undone:
                raise Refusal(Problem("step.fixed"))
            back = table.Movement(
                piece_id=row.id,
                kind=table.REVERSED,
                share=-step.share,
                cost=-step.cost,
                at=now,
                reverses_id=step.id,
                note="",
            )
            session.add(back)
            session.flush()
        return cards_in(session, [row])[0]
