"""The job card: what to cut, how to warp, how many rows of what, and how far all of that has come."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal
from shop.core.ledger import Kind
from shop.core.measure import Length
from shop.core.stripes import Band
from shop.core.strips import Way
from shop.store import fabric as table
from shop.store import job as job_table
from shop.store import reservation
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.cutting_plan import in_hand_in
from shop.usecases.fabric import SET_ASIDE, PieceCard, cards_in
from shop.usecases.given import is_number_of_a_row
from shop.usecases.job import JobLine, job_in, lines_in, open_job_in
from shop.usecases.moving import move, shelf_of, today_in
from shop.usecases.rug_of_job import RugOfJob, rug_of

CRUMB: Final = 1000
"""Parts of a piece, in billionths, that are no cloth but what rounding leaves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLine:
    """Strips of a piece to cut for a band.

    Attributes:
        id: of the reservation.
        band: the place of the cloth in the rug; ``band_name`` what it is called there.
        strips: planned; ``cut`` how many are ticked.
        strip, each: how wide and how long.
        drawn: they are in the job; ``step`` is the movement that brought them.
    """

    id: int
    piece: PieceCard
    band: int
    band_name: str
    way: Way
    torn: bool
    strip: Length
    each: Length
    strips: int
    cut: int
    drawn: bool
    step: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RowsLine:
    """A band of rows on the card.

    Attributes:
        band: as it is woven.
        before: rows of the rug below it; ``until`` rows once it is woven.
        done: how many of its rows are woven.
    """

    band: Band
    before: int
    until: int
    done: int


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCardSheet:
    """A job card.

    Attributes:
        rug: what the job is to become; ``None`` where it was begun without a quote.
        cuts: what its plan has it cut, by band.
        rows: the bands of all panels in weaving order.
        woven: rows marked as woven, of ``whole`` in all panels together.
        have: metres of strip in hand by band, unjoined.
    """

    line: JobLine
    note: str
    rug: RugOfJob | None
    cuts: tuple[CutLine, ...]
    rows: tuple[RowsLine, ...]
    woven: int
    whole: int
    have: tuple[float, ...]

    @property
    def now(self) -> RowsLine | None:
        """The band at the loom: the first that is not woven to its end."""
        return next((one for one in self.rows if one.done < one.until - one.before), None)


def card(store: Store, *, number: int) -> JobCardSheet:
    """The card of a job.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.unreadable``.
    """
    with store.reading() as session:
        return card_in(session, job_in(session, number))


def card_in(session: Session, row: job_table.Job) -> JobCardSheet:
    """The card of a job, as part of another use case; a fixed number of queries."""
    rug = rug_of(row)
    held = reservation.of_job(session, row.id)
    cards = {one.id: one for one in cards_in(session, list({piece.id: piece for _, piece in held}.values()))}
    woven = reservation.rows_marked(session, row.id)
    rows = rows_of(rug, woven) if rug else ()
    return JobCardSheet(
        line=lines_in(session, [row])[0],
        note=row.note,
        rug=rug,
        cuts=tuple(
            CutLine(
                id=one.id,
                piece=cards[piece.id],
                band=one.band,
                band_name=rug.reckoning.cloths[one.band].cloth.name if rug and one.band < len(rug.pieces) else "",
                way=Way(one.way),
                torn=one.torn,
                strip=one.strip,
                each=one.each,
                strips=one.strips,
                cut=one.cut,
                drawn=one.state == reservation.DRAWN,
                step=one.movement_id,
            )
            for one, piece in held
        ),
        rows=rows,
        woven=min(woven, rows[-1].until) if rows else woven,
        whole=rows[-1].until if rows else 0,
        have=tuple(one.metres for one in in_hand_in(session, row, rug)) if rug else (),
    )


def rows_of(rug: RugOfJob, woven: int) -> tuple[RowsLine, ...]:
    """The bands of all panels, with a running total, and how much of each is woven."""
    found: list[RowsLine] = []
    at = 0
    for _ in range(rug.reckoning.made.panels):
        for band in rug.reckoning.bands:
            done = min(band.rows, max(0, woven - at))
            found.append(RowsLine(band=band, before=at, until=at + band.rows, done=done))
            at += band.rows
    return tuple(found)


def _held(session: Session, row: job_table.Job, cut: int) -> tuple[reservation.Reservation, table.Piece]:
    """What the job holds, its piece locked.

    Raises:
        NotFound: ``cut.unknown``.
    """
    one = reservation.by_id(session, cut) if is_number_of_a_row(cut) else None
    if one is None or one.job_id != row.id or one.state == reservation.LAPSED:
        raise NotFound(Problem("cut.unknown"))
    (piece,) = table.lock_pieces(session, [one.piece_id])
    session.refresh(one)
    return one, piece


def tick(store: Store, *, job: int, cut: int, strips: int, saving: str, now: datetime) -> JobCardSheet:
    """So many strips of a piece are cut now; fewer than before where a tick was a mistake.

    Args:
        store: the shop's database.
        job: the number of the job.
        cut: the line of its card.
        strips: ticked from now on.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``, ``cut.unknown``.
        Refusal: ``job.closed``, ``cut.range`` beyond what is planned, ``cut.drawn`` when they are in the job already.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"cut.tick.{row.id}.{cut}", token=saving, given=strips, now=now) is None:
            open_job_in(session, job)
            one, _ = _held(session, row, cut)
            if one.state == reservation.DRAWN:
                raise Refusal(Problem("cut.drawn"))
            if not 0 <= strips <= one.strips:
                raise Refusal(Problem("cut.range", "strips", {"most": one.strips}))
            one.cut = strips
            _go_on_to(row, "cutting")
        session.flush()
        return card_in(session, row)


def draw_cut(store: Store, *, job: int, cut: int, strips: int, saving: str, now: datetime) -> JobCardSheet:
    """The strips that were really cut of a piece go into the job; of fewer than planned, the others stay held.

    The cost that goes with them is their part of all the strips that the piece gives, so that offcuts are borne by them.

    Args:
        store: the shop's database.
        job: the number of the job.
        cut: the line of its card.
        strips: cut in truth, more or fewer than planned.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``, ``cut.unknown``.
        Refusal: ``job.closed``, ``cut.drawn``, ``cut.none`` for no strips, ``cut.beyond`` for more than the piece still
            gives, ``piece.to_wash``.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        act = f"cut.draw.{row.id}.{cut}"
        if presses.claim(session, act=act, token=saving, given=strips, now=now) is None:
            open_job_in(session, job)
            one, piece = _held(session, row, cut)
            if one.state == reservation.DRAWN:
                raise Refusal(Problem("cut.drawn"))
            if strips < 1:
                raise Refusal(Problem("cut.none", "strips"))
            if piece.left and piece.state == SET_ASIDE:
                raise Refusal(Problem("piece.to_wash", values={"number": piece.number}))
            held = shelf_of(piece)
            share = one.share * strips // one.strips
            if 0 < abs(held.share - share) < CRUMB:
                share = held.share
            if not share or share > held.share:
                most = held.share * one.strips // one.share
                raise Refusal(Problem("cut.beyond", "strips", {"name": piece.name, "most": most}))
            movement = move(
                session,
                piece,
                Kind.DRAWN,
                share=share,
                cost=held.cost_of(share),
                job=row,
                on=today_in(session, now),
                now=now,
            )
            if strips < one.strips:
                session.add(_rest_of(one, strips, share))
            one.state, one.movement_id, one.share = reservation.DRAWN, movement.id, share
            one.strips = one.cut = strips
            _go_on_to(row, "cutting")
            presses.settle(session, act=act, token=saving, about=movement.id)
        session.flush()
        session.expire_all()
        return card_in(session, row)


def _rest_of(one: reservation.Reservation, strips: int, share: int) -> reservation.Reservation:
    """What is still held when fewer strips than planned go into the job: the others."""
    return reservation.Reservation(
        job_id=one.job_id,
        piece_id=one.piece_id,
        band=one.band,
        way=one.way,
        torn=one.torn,
        strip=one.strip,
        each=one.each,
        strips=one.strips - strips,
        cut=max(0, one.cut - strips),
        share=max(1, one.share - share),
        state=reservation.HELD,
        movement_id=None,
        at=one.at,
    )


def give_up(store: Store, *, job: int, cut: int, saving: str, now: datetime) -> JobCardSheet:
    """A piece is not to be cut for the job after all; what was held of it is free.

    Raises:
        NotFound: ``job.unknown``, ``cut.unknown``.
        Refusal: ``cut.drawn``.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"cut.give_up.{row.id}.{cut}", token=saving, given=None, now=now) is None:
            one, _ = _held(session, row, cut)
            if one.state == reservation.DRAWN:
                raise Refusal(Problem("cut.drawn"))
            one.state = reservation.LAPSED
        session.flush()
        return card_in(session, row)


def mark_rows(store: Store, *, job: int, rows: int, saving: str, now: datetime) -> JobCardSheet:
    """So many rows of the rug are woven, all panels counted together.

    Args:
        store: the shop's database.
        job: the number of the job.
        rows: from the beginning of the first panel.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.closed``, ``rows.range`` below nothing or beyond the rug, ``plan.no_rug`` for a job without a quote.
    """
    with store.writing() as session:
        row = job_in(session, job, lock="change")
        if presses.claim(session, act=f"rows.mark.{row.id}", token=saving, given=rows, now=now) is None:
            open_job_in(session, job)
            rug = rug_of(row)
            if rug is None:
                raise Refusal(Problem("plan.no_rug", values={"number": job}))
            whole = sum(band.rows for band in rug.reckoning.bands) * rug.reckoning.made.panels
            if not 0 <= rows <= whole:
                raise Refusal(Problem("rows.range", "rows", {"most": whole}))
            if reservation.rows_marked(session, row.id) != rows:
                session.add(reservation.LoomMark(job_id=row.id, rows=rows, at=now))
                if rows:
                    _go_on_to(row, "weaving")
        session.flush()
        return card_in(session, row)


_STAGES: Final = job_table.OPEN


def _go_on_to(row: job_table.Job, stage: str) -> None:
    """What is done tells the stage that a job is in; never back."""
    if _STAGES.index(stage) > _STAGES.index(row.state):
        row.state, row.revision = stage, row.revision + 1


