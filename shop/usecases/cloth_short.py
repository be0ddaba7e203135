"""Cloth short: which of the jobs under way lack cloth, of which band, how much, and why.

What a band takes is held against what there is: strip that the job has, strip that is held for it and still on the shelf, and what
else the piece gives that it was planned with. Before it is woven a job wants as much as its cutting plan wants, enough in nine rugs
of ten; on the loom it is told only when it will likely not reach.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from shop.core.cutting import Rules
from shop.core.errors import Refusal
from shop.core.ledger import WHOLE
from shop.core.measure import Length
from shop.core.reckoning import ClothUse
from shop.core.strips import Way
from shop.store import fabric as table
from shop.store import job as job_table
from shop.store import ledger, reservation
from shop.store.engine import Session
from shop.usecases.cutting_plan import FreePiece, InHand, free_in, strip_in_hand, strip_wanted
from shop.usecases.fabric import READY, SET_ASIDE, PieceCard, cards_in
from shop.usecases.rug_of_job import RugOfJob, rug_of

BEFORE_THE_END: Final = ("waiting", "cutting", "warping", "weaving")
"""The states in which a job can still lack cloth."""
ON_THE_LOOM: Final = "weaving"
CRUMB: Final = 1000
"""Parts of a piece, in billionths, that are no cloth but what rounding leaves."""
NOTHING: Final = InHand()


class Why(StrEnum):
    """Why cloth is lacking."""

    GONE = "gone"
    """It was held for the job, and was used up or drawn elsewhere."""
    TO_BUY = "to buy"
    """The rug was planned with cloth that was still to be bought."""
    SHELF = "shelf"
    """Its plan needs more than what is left on the shelf."""
    REACH = "reach"
    """It is on the loom, and the strip will likely not reach."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lack:
    """A cloth of a rug of which there is not enough.

    Attributes:
        band: the place of the cloth in the rug.
        name: of the cloth; empty for cloth that is still to be bought and has no name.
        length: of strip to find, so that it is enough in nine rugs of ten.
    """

    band: int
    name: str
    why: Why
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothShort:
    """A job that lacks cloth; ``woven_on`` where it is on the loom already."""

    job: int
    name: str
    woven_on: bool
    lacks: tuple[Lack, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class There:
    """What there is of one cloth of a rug: metres of strip, and strips.

    Attributes:
        have: the job has it: drawn, or ticked as cut.
        held: held for it, and still on the shelf.
        free: what else the piece gives that it was planned with.
        gone: strips that were held for it and are not there any more.
    """

    have: InHand = NOTHING
    held: InHand = NOTHING
    free: InHand = NOTHING
    gone: int = 0

    def joined(self, loss: Length) -> float:
        """How far all of it reaches once it is joined, metres."""
        parts = (self.have, self.held, self.free)
        return InHand(sum(one.metres for one in parts), sum(one.strips for one in parts)).joined(loss)


def cloth_short(session: Session, rows: Iterable[job_table.Job]) -> tuple[ClothShort, ...]:
    """Which of these jobs lack cloth, as part of another use case.

    A number of queries that does not grow with jobs, pieces or history. Of pieces that several jobs count on without holding
    them, the older job has the first of it.
    """
    rugs = {row: rug for row in rows if row.state in BEFORE_THE_END and (rug := _rug(row)) is not None}
    if not rugs:
        return ()
    shelf = _Shelf(session, rugs)
    found = []
    for row in sorted(rugs, key=lambda row: row.number):
        rug = rugs[row]
        there = shelf.there(row, rug)
        lacks = [lack for band, use in enumerate(rug.reckoning.cloths) if (lack := _lack(row, rug, band, use, there[band]))]
        still = _beside(lacks, shelf.loose(row, rug))
        if still:
            found.append(ClothShort(job=row.number, name=row.name, woven_on=row.state == ON_THE_LOOM, lacks=still))
    return tuple(found)


def _rug(row: job_table.Job) -> RugOfJob | None:
    try:
        return rug_of(row)
    except Refusal:
        return None


def _lack(row: job_table.Job, rug: RugOfJob, band: int, use: ClothUse, there: There) -> Lack | None:
    """What a band lacks; less than a row of it is nothing."""
    on_loom = row.state == ON_THE_LOOM
    wanted = strip_wanted(rug, use)
    reaches = there.joined(rug.reckoning.plan.join_loss)
    a_row = use.weft.middle / max(1, use.rows * rug.reckoning.made.panels)
    if (wanted.middle if on_loom else wanted.high) - reaches <= a_row:
        return None
    if there.gone:
        why = Why.GONE
    elif on_loom:
        why = Why.REACH
    else:
        why = Why.TO_BUY if rug.pieces[band] is None else Why.SHELF
    return Lack(band=band, name=use.cloth.name, why=why, length=Length.of(wanted.high - reaches, "m"))


def _beside(lacks: Sequence[Lack], loose_m: float) -> tuple[Lack, ...]:
    """What still lacks when cloth that was drawn into the job for no band makes up for it, band after band."""
    found = []
    for one in lacks:
        short_m = one.length.metres - loose_m
        loose_m = max(0.0, -short_m)
        if short_m > 0:
            found.append(replace(one, length=Length.of(short_m, "m")))
    return tuple(found)


class _Shelf:
    """All that these jobs have, hold and count on, read at once; what one job counts on is taken off for the next."""

    def __init__(self, session: Session, rugs: Mapping[job_table.Job, RugOfJob]) -> None:
        ids = [row.id for row in rugs]
        self.held: dict[int, list[tuple[reservation.Reservation, table.Piece]]] = {}
        for one, piece in reservation.of_jobs(session, ids):
            self.held.setdefault(one.job_id, []).append((one, piece))
        lies = [(one, piece) for one, piece in ledger.cloth_of_jobs(session, ids) if not piece.yarn]
        named = {number for rug in rugs.values() for number in rug.pieces if number is not None}
        pieces = {piece.id: piece for piece in table.pieces_by_number(session, named) if not piece.yarn}
        pieces |= {piece.id: piece for _, piece in lies}
        cards = {card.id: card for card in cards_in(session, list(pieces.values()))}
        self.drawn: dict[int, list[tuple[ledger.JobCloth, PieceCard]]] = {}
        for lying, piece in lies:
            self.drawn.setdefault(lying.job_id, []).append((lying, cards[piece.id]))
        counted_on = [card for card in cards.values() if card.number in named and card.state in (READY, SET_ASIDE)]
        self.free = {one.card.number: one for one in free_in(session, counted_on, ())}
        self.still = self._still(session)

    def _still(self, session: Session) -> dict[int, int]:
        """Of what is held and not drawn, by its id, the strips that the shelf still gives: first come, first served."""
        left = {piece.id: piece.left for held in self.held.values() for _, piece in held}
        found: dict[int, int] = {}
        for one, _ in reservation.held_of_pieces(session, left):
            given = min(one.share, left[one.piece_id])
            left[one.piece_id] -= given
            found[one.id] = min(one.strips, one.strips * (given + CRUMB) // one.share)
        return found

    def there(self, row: job_table.Job, rug: RugOfJob) -> list[There]:
        """What there is of each cloth of a job's rug."""
        held = self.held.get(row.id, [])
        have = strip_in_hand(held, self.drawn.get(row.id, []), rug)
        found = [There(have=one) for one in have]
        for one, _ in held:
            if one.state == reservation.HELD and one.band < len(found):
                strips = max(0, self.still[one.id] - one.cut)
                before = found[one.band]
                more = InHand(before.held.metres + strips * one.each.metres, before.held.strips + strips)
                gone = before.gone + max(0, one.strips - max(self.still[one.id], one.cut))
                found[one.band] = replace(before, held=more, gone=gone)
        for band, use in enumerate(rug.reckoning.cloths):
            loss = rug.reckoning.plan.join_loss
            short_m = strip_wanted(rug, use).high - found[band].joined(loss)
            if short_m > 0:
                found[band] = replace(found[band], free=self._count_on(rug, rug.pieces[band], short_m))
        return found

    def _count_on(self, rug: RugOfJob, number: int | None, short_m: float) -> InHand:
        """What a piece gives towards so many metres; it is taken off what the next may count on."""
        one = self.free.get(number or 0)
        if one is None:
            return NOTHING
        plan = rug.reckoning.plan
        rules, piece = Rules(strip=plan.strip, join_loss=plan.join_loss), one.to_cut(torn=rug.torn)
        way = max((Way.ALONG, Way.ACROSS), key=lambda way: _reach(piece.strips(way, rules), piece.each(way), plan.join_loss))
        each, most = piece.each(way), piece.strips(way, rules)
        gain = each.metres - plan.join_loss.metres
        strips = min(most, int(short_m // gain) + 1) if gain > 0 else most
        if strips:
            parts = max(0, one.parts - one.sheet.share_of(strips, piece.whole_strips(way, rules)))
            self.free[one.card.number] = FreePiece(card=one.card, sheet=one.sheet, parts=parts)
        return InHand(strips * each.metres, strips)

    def loose(self, row: job_table.Job, rug: RugOfJob) -> float:
        """Metres of strip in cloth that was drawn into the job and that neither its plan nor its quote names."""
        planned = {piece.id for one, piece in self.held.get(row.id, []) if one.state == reservation.DRAWN}
        strip_m = rug.reckoning.plan.strip.metres
        return sum(
            card.as_cloth.area_m2 * (lies.share + lies.rug_share) / WHOLE / strip_m
            for lies, card in self.drawn.get(row.id, [])
            if card.id not in planned and card.number not in rug.pieces
        )


def _reach(strips: int, each: Length, loss: Length) -> float:
    return InHand(strips * each.metres, strips).joined(loss)
