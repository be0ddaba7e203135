"""What lies ready to be drawn: a piece, the jobs that take cloth, and the swatches to pick from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.amount import Said, Stuff, said
from shop.core.errors import NotFound, Problem
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.strips import Tool
from shop.store import fabric as fabric_table
from shop.store import fabric_list, ledger
from shop.store import job as job_table
from shop.store.engine import Session, Store
from shop.usecases.draw import stuff_of, usual_waste_in
from shop.usecases.fabric import PieceCard, Step, cards_in, piece_in, step_of
from shop.usecases.given import is_number_of_a_row
from shop.usecases.job import JobLine, job_in, lines_in
from shop.usecases.shop import shop_in

JOBS: Final = 12
"""Open jobs to choose among; there are rarely more on one bench."""
SWATCHES: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A draw that was made: what it came to, and whether it still holds."""

    step: Step
    said: Said


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawBench:
    """A piece to draw from.

    Attributes:
        piece: the piece.
        stuff: the same as amounts are reckoned from it.
        left: what is left of it in all the ways.
        jobs: the jobs that take cloth, newest first.
        job: that which it goes into; ``None`` when there is none.
        done: a draw that was just made.
    """

    piece: PieceCard
    stuff: Stuff
    left: Said
    jobs: tuple[JobLine, ...]
    job: JobLine | None
    done: Done | None


def draw_bench(
    store: Store, *, number: int, job: int | None, strip: Length, tool: Tool = Tool.ROTARY, done: int | None = None
) -> DrawBench:
    """A piece, and the jobs that it can go into.

    Args:
        store: the shop's database.
        number: of the piece.
        job: the number of the job that was drawn into last, if it is known; else the newest one.
        strip: the width of strip to say amounts in.
        tool: what strips are made with.
        done: the movement of a draw that was just made.

    Raises:
        NotFound: ``piece.unknown``.
    """
    with store.reading() as session:
        row = piece_in(session, number)
        card = cards_in(session, [row])[0]
        stuff = stuff_of(card)
        jobs = lines_in(session, _open_jobs(session, job))
        chosen = next((line for line in jobs if line.number == job), jobs[0] if jobs else None)
        return DrawBench(
            piece=card,
            stuff=stuff,
            left=said(stuff, card.left_parts, strip=strip, tool=tool),
            jobs=jobs,
            job=chosen,
            done=_done(session, row, card, strip, done),
        )


def _open_jobs(session: Session, job: int | None) -> list[job_table.Job]:
    """The newest open jobs, and that which was asked for even if it is older."""
    newest = list(job_table.newest(session, states=job_table.OPEN, below=None, limit=JOBS))
    if job is not None and is_number_of_a_row(job) and job not in {row.number for row in newest}:
        asked = job_table.by_number(session, job)
        if asked is not None and asked.state in job_table.OPEN:
            newest.insert(0, asked)
    return newest


def _done(
    session: Session, row: fabric_table.Piece, card: PieceCard, strip: Length, done: int | None
) -> Done | None:
    movement = ledger.movement_by_id(session, done) if done and is_number_of_a_row(done) else None
    if movement is None or movement.piece_id != row.id:
        return None
    undone = bool(ledger.undone_among(session, [movement.id]))
    job = job_table.by_id(session, movement.job_id) if movement.job_id else None
    step = step_of(movement, card.cost.currency, undone=undone, job=job, undid=None)
    whole = stuff_of(card, movement.share)
    return Done(step=step, said=said(whole, movement.share, strip=strip))


@dataclass(frozen=True, slots=True, kw_only=True)
class Swatches:
    """What can be picked: the cloth of the job first, then what is ready, by colour; ``closed`` a job asked for that takes none."""

    job: JobLine | None
    closed: JobLine | None
    of_job: tuple[PieceCard, ...]
    ready: tuple[PieceCard, ...]
    more: bool


def swatches(store: Store, *, job: int | None = None) -> Swatches:
    """The cloth to pick from, for the job that was drawn into last or the newest one."""
    with store.reading() as session:
        jobs = _open_jobs(session, job)
        chosen = next((row for row in jobs if row.number == job), jobs[0] if jobs else None)
        lies = ledger.cloth_of_job(session, chosen.id) if chosen else []
        asked = job_table.by_number(session, job) if job is not None and is_number_of_a_row(job) else None
        closed = asked if asked is not None and asked.state not in job_table.OPEN else None
        mine = [piece for _, piece in lies if piece.left and piece.state == "ready"]
        rows = fabric_list.by_colour(session, limit=SWATCHES + 1)
        known = {piece.id for piece in mine}
        rest = [piece for piece in rows[:SWATCHES] if piece.id not in known]
        cards = cards_in(session, [*mine, *rest])
        return Swatches(
            job=lines_in(session, [chosen])[0] if chosen else None,
            closed=lines_in(session, [closed])[0] if closed else None,
            of_job=cards[: len(mine)],
            ready=cards[len(mine) :],
            more=len(rows) > SWATCHES,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceInJob:
    """What of a piece lies in a job, in all the ways.

    Attributes:
        line: the job; ``piece`` the piece.
        lies: what lies in the job; ``cost`` what it cost; ``waste`` the share of it that was called usual waste.
        usual: the share that may still become usual waste by the shop's rule; ``rule`` the rule.
    """

    line: JobLine
    piece: PieceCard
    stuff: Stuff
    lies: Said
    cost: Money
    waste: Said
    usual: Said
    rule: float


def piece_in_job(store: Store, *, job: int, number: int, strip: Length) -> PieceInJob:
    """What of a piece lies in a job.

    Raises:
        NotFound: ``job.unknown``, ``piece.unknown``, ``job.piece_gone`` when nothing of it does.
    """
    with store.reading() as session:
        row, piece = job_in(session, job), piece_in(session, number)
        held = ledger.job_cloth(session, row.id, piece.id)
        if held is None or not held.share:
            raise NotFound(Problem("job.piece_gone", values={"number": number}))
        card = cards_in(session, [piece])[0]
        stuff = stuff_of(card, held.share)
        wasted = ledger.usual_waste(session, row.id).get(piece.id, 0)
        rule = usual_waste_in(session)
        room = max(0, round(ledger.drawn_into(session, row.id, piece.id) * rule) - wasted)
        return PieceInJob(
            line=lines_in(session, [row])[0],
            piece=card,
            stuff=stuff,
            lies=said(stuff, held.share, strip=strip),
            cost=Money(held.cost, shop_in(session).currency),
            waste=said(stuff, wasted, strip=strip),
            usual=said(stuff, room, strip=strip),
            rule=float(rule),
        )
