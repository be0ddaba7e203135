"""The cutting plan of one job or of several at once: what the rugs need, what the shelf gives, what is held for them.

A plan only proposes. Accepted, it holds strips of pieces for the jobs: a reservation, which another job cannot plan on and
which lapses with its job. The ledger moves when the strips are cut.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import Final

from shop.core.cloth import FLAT_SHEETS
from shop.core.colour import difference
from shop.core.cutting import USUAL_WISHES, BandToFill, PieceToCut, Rules, Sheet, ToBuy, Wish, rest_of, to_buy
from shop.core.cutting_plan import Plan, plan_cutting
from shop.core.errors import Problem, Refusal
from shop.core.ledger import WHOLE
from shop.core.measure import Length
from shop.core.money import Money, exact
from shop.core.reckoning import ClothUse
from shop.core.spread import Estimate
from shop.core.strips import Way
from shop.store import fabric as table
from shop.store import fabric_list, ledger, reservation
from shop.store import job as job_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.fabric import READY, PieceCard, cards_in
from shop.usecases.job import OPEN, JobLine, job_in, lines_in
from shop.usecases.rug_of_job import RugOfJob, rug_of
from shop.usecases.shop import shop_in

MOST_JOBS: Final = 12
MOST_PIECES: Final = 600
"""Pieces that a plan looks at: those that the rugs were planned with, and the newest that are ready."""
SECONDS: Final = 4.0
NEAR: Final = 15.0
"""A colour within this CIEDE2000 distance is near: the same family, told apart side by side."""
YARD: Final = Length.of(0.25, "yd")
BOLT: Final = {"imperial": (Length.of(44, "in"), YARD), "metric": (Length.of(112, "cm"), Length.of(10, "cm"))}
"""Cloth as it is sold by length: how wide, and the least that is cut off."""


class Serves(Enum):
    """What may serve a band."""

    NAMED = "named"
    """The piece that the rug was planned with."""
    NEAR = "near"
    """Any piece of nearly the colour."""
    ANY = "any"


@dataclass(frozen=True, slots=True, kw_only=True)
class BandNeed:
    """What one cloth of a job's rug still needs.

    Attributes:
        job: the number of the job; ``band`` the place of the cloth in its rug.
        piece: the number of the piece that it was planned with; ``None`` for cloth still to buy.
        wanted: strip, joined, that is enough in nine rugs of ten.
        have: strip of it that the job holds already: drawn, or ticked as cut.
        need: what is still to find.
        serves: what may serve.
        held_by: names of other jobs that hold some of that piece.
    """

    job: int
    band: int
    name: str
    colour: str
    piece: int | None
    wanted: Length
    have: Length
    need: Length
    serves: Serves
    held_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StripsPlanned:
    """So many strips of a piece for a band of a job, as a plan proposes them."""

    job: int
    band: int
    piece: int
    way: Way
    strips: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A cutting plan to look at.

    Attributes:
        jobs: that it is for, in order.
        bands: what each cloth of each rug needs.
        pieces: that it could choose from.
        rules: by which it cuts.
        plan: what it chose.
        buy: for each band, what would make up for what it is short of; ``None`` where it is not.
        buy_cost: what that costs at what the shelf's cloth cost by area; ``None`` where the shelf is empty.
    """

    jobs: tuple[JobLine, ...]
    bands: tuple[BandNeed, ...]
    pieces: tuple[PieceCard, ...]
    rules: Rules
    plan: Plan
    buy: tuple[ToBuy | None, ...]
    buy_cost: tuple[Money | None, ...]

    @property
    def strips(self) -> tuple[StripsPlanned, ...]:
        """What it proposes, as it is accepted."""
        return tuple(
            StripsPlanned(
                job=self.bands[cut.band].job,
                band=self.bands[cut.band].band,
                piece=self.pieces[cut.piece].number,
                way=cut.way,
                strips=cut.strips,
            )
            for cut in self.plan.cutting.cuts
        )


def jobs_to_plan(store: Store) -> tuple[JobLine, ...]:
    """The jobs under way that know their rug, newest first."""
    with store.reading() as session:
        rows = job_table.newest(session, states=OPEN, below=None, limit=60)
        return lines_in(session, [row for row in rows if row.described is not None])


def propose(
    store: Store,
    *,
    jobs: Sequence[int],
    serves: Mapping[tuple[int, int], Serves] | None = None,
    prefer: tuple[Wish, ...] = USUAL_WISHES,
    seconds: float = SECONDS,
) -> Proposal:
    """Choose pieces for the rugs of these jobs; nothing is kept.

    Args:
        store: the shop's database.
        jobs: their numbers.
        serves: what may serve a band, by job and place; else the piece that it was planned with, or a near colour.
        prefer: what is kept small, each in turn.
        seconds: after which the best plan so far is taken.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``plan.no_job``, ``plan.many_jobs``, ``job.closed``, ``plan.no_rug`` for a job without a quote,
            ``plan.unlike`` for jobs whose strips are not alike, ``job.unreadable``.
    """
    wanted = list(dict.fromkeys(jobs))
    if not wanted:
        raise Refusal(Problem("plan.no_job"))
    if len(wanted) > MOST_JOBS:
        raise Refusal(Problem("plan.many_jobs", values={"most": MOST_JOBS}))
    with store.reading() as session:
        rows = [job_in(session, number) for number in wanted]
        rugs = [_rug(row) for row in rows]
        rules = _rules(rugs, prefer)
        bands = tuple(
            need
            for row, rug in zip(rows, rugs, strict=True)
            for need in _needs(session, row, rug, serves or {})
        )
        lines = lines_in(session, rows)
        shop = shop_in(session)
        pieces = free_pieces(session, {one.piece for one in bands if one.piece is not None}, {row.id for row in rows})
    to_cut = [one.to_cut(torn=rugs[0].torn) for one in pieces]
    cards = tuple(one.card for one in pieces)
    filled = [BandToFill(name=one.name, need=one.need, pieces=_serving(one, cards)) for one in bands]
    plan = plan_cutting(to_cut, filled, rules, currency=shop.currency, seconds=seconds)
    width, step = BOLT[shop.units]
    buy = tuple(
        to_buy(short, rules, width=width, step=step, sheets=FLAT_SHEETS) if short else None
        for short in plan.cutting.short
    )
    per_m2 = _mean_cost(cards)
    return Proposal(
        jobs=lines,
        bands=bands,
        pieces=cards,
        rules=rules,
        plan=plan,
        buy=buy,
        buy_cost=tuple(
            Money.rounded(per_m2 * one.width.metres * one.length.metres, shop.currency) if one and per_m2 else None
            for one in buy
        ),
    )


def _rug(row: job_table.Job) -> RugOfJob:
    if row.state not in OPEN:
        raise Refusal(Problem("job.closed", values={"number": row.number}))
    rug = rug_of(row)
    if rug is None:
        raise Refusal(Problem("plan.no_rug", values={"number": row.number}))
    return rug


def _rules(rugs: Sequence[RugOfJob], prefer: tuple[Wish, ...]) -> Rules:
    """How all of them are cut.

    Raises:
        Refusal: ``plan.unlike`` when they are not cut alike.
    """
    ways = {(rug.reckoning.plan.strip, rug.reckoning.plan.join_loss, rug.torn) for rug in rugs}
    if len(ways) > 1:
        raise Refusal(Problem("plan.unlike"))
    strip, loss, _ = next(iter(ways))
    return Rules(strip=strip, join_loss=loss, prefer=tuple(dict.fromkeys((Wish.SHORT, *prefer))))


@dataclass(frozen=True, slots=True)
class InHand:
    """Strip that a job has of one band: metres of it end to end, in so many strips."""

    metres: float = 0.0
    strips: float = 0.0

    def joined(self, loss: Length) -> float:
        """How far it reaches once it is joined, metres."""
        return max(0.0, self.metres - max(0.0, self.strips - 1) * loss.metres)


def strip_in_hand(
    row_and_piece: Sequence[tuple[reservation.Reservation, table.Piece]],
    drawn: Sequence[tuple[ledger.JobCloth, PieceCard]],
    rug: RugOfJob,
) -> list[InHand]:
    """The strip that a job has of each band.

    What was drawn of a piece by the plan goes to the bands that it was drawn for, as it was; what was drawn beside any plan
    goes to the band that was planned with that piece, as so many strips of its area. Strips ticked as cut and not yet
    drawn count as well.
    """
    have = [InHand()] * len(rug.pieces)
    planned: dict[int, int] = {}
    for one, piece in row_and_piece:
        if one.state == reservation.DRAWN:
            planned[piece.id] = planned.get(piece.id, 0) + one.share
    lies_of = {card.id: lies.share + lies.rug_share for lies, card in drawn}
    for one, piece in row_and_piece:
        if one.band >= len(have):
            continue
        strips = float(one.cut)
        if one.state == reservation.DRAWN:  # what was given back since is not there any more
            strips = one.strips * min(1.0, lies_of.get(piece.id, 0) / planned[piece.id])
        before = have[one.band]
        have[one.band] = InHand(before.metres + strips * one.each.metres, before.strips + strips)
    strip = rug.reckoning.plan.strip.metres
    for lies, card in drawn:
        beside = lies.share + lies.rug_share - planned.get(card.id, 0)
        if beside > 0 and card.number in rug.pieces:
            band = rug.pieces.index(card.number)
            metres = card.as_cloth.area_m2 * beside / WHOLE / strip
            before = have[band]
            have[band] = InHand(before.metres + metres, before.strips + metres / card.length.metres)
    return have


def in_hand_in(session: Session, row: job_table.Job, rug: RugOfJob) -> list[InHand]:
    """``strip_in_hand`` of a job, as part of another use case."""
    lies = [(one, piece) for one, piece in ledger.cloth_of_job(session, row.id) if not piece.yarn]
    cards = {card.id: card for card in cards_in(session, [piece for _, piece in lies])}
    return strip_in_hand(reservation.of_job(session, row.id), [(one, cards[piece.id]) for one, piece in lies], rug)


def _needs(
    session: Session, row: job_table.Job, rug: RugOfJob, serves: Mapping[tuple[int, int], Serves]
) -> list[BandNeed]:
    have = in_hand_in(session, row, rug)
    named = table.pieces_by_number(session, {number for number in rug.pieces if number is not None})
    cards: dict[int | None, PieceCard] = {card.number: card for card in cards_in(session, named)}
    found = []
    for band, use in enumerate(rug.reckoning.cloths):
        wanted = Length.of(strip_wanted(rug, use).high, "m")
        has = Length.of(have[band].joined(rug.reckoning.plan.join_loss), "m")
        piece = rug.pieces[band]
        usual = Serves.NEAR if piece is None else Serves.NAMED
        chosen = serves.get((row.number, band), usual)
        found.append(
            BandNeed(
                job=row.number,
                band=band,
                name=use.cloth.name,
                colour=use.cloth.colour,
                piece=piece,
                wanted=wanted,
                have=has,
                need=Length(max(0, wanted.nm - has.nm)),
                serves=usual if chosen is Serves.NAMED and piece is None else chosen,
                held_by=tuple(one.name for one in cards[piece].held if one.job != row.number) if piece in cards else (),
            )
        )
    return found


def strip_wanted(rug: RugOfJob, use: ClothUse) -> Estimate:
    """Strip that a cloth of the rug takes, joined, metres: how many joins it takes is for the plan to say, so none are in it."""
    plan = rug.reckoning.plan
    joins_m = use.joins * plan.join_loss.metres / (1 - plan.waste)
    return use.to_cut.scaled(1 - joins_m / use.to_cut.middle)


@dataclass(frozen=True, slots=True, kw_only=True)
class FreePiece:
    """A piece that may be cut.

    Attributes:
        card: the piece.
        sheet: what stays of it once all that plans cut off it is off.
        parts: that are free to be planned on.
    """

    card: PieceCard
    sheet: Sheet
    parts: int

    def to_cut(self, *, torn: bool) -> PieceToCut:
        """The piece as the cutting plan knows it: the sheet that stays, with its part of the cost."""
        share = self.sheet.parts / WHOLE
        return PieceToCut(
            name=self.card.name,
            width=self.sheet.width,
            length=self.sheet.length,
            paid=Money.rounded(self.card.whole_at_rate.amount * exact(share), self.card.cost.currency),
            colour=self.card.colour,
            tears=torn and self.card.tears is True,
            bought=self.card.on,
            left=min(WHOLE, self.parts * WHOLE // self.sheet.parts),
        )


def free_pieces(session: Session, named: Collection[int], jobs: Collection[int]) -> list[FreePiece]:
    """Cloth that may be cut for the jobs of these ids, as part of another use case.

    Args:
        session: to read with.
        named: numbers of pieces to look at besides the newest that are ready.
        jobs: what they hold already, and have not begun to cut, is free for them.
    """
    newest = fabric_list.newest(session, which="ready", words=(), below=None, limit=MOST_PIECES, cloth_only=True)
    there = {row.number for row in newest}
    also = [row for row in table.pieces_by_number(session, set(named) - there) if row.left and row.state == READY]
    return free_in(session, cards_in(session, [*newest, *also]), jobs)


def free_in(session: Session, cards: Sequence[PieceCard], jobs: Collection[int]) -> list[FreePiece]:
    """What may be cut of these pieces for the jobs of these ids; two queries however many pieces there are."""
    sheets = _sheets(session, cards, jobs)
    taken = reservation.held_shares(session, [card.id for card in cards], but=jobs)
    found = (
        FreePiece(card=card, sheet=sheets[card.id], parts=max(0, card.left_parts - taken.get(card.id, 0)))
        for card in cards
    )
    return [one for one in found if one.parts and one.sheet.parts]


def _sheets(session: Session, rows: Sequence[table.Piece | PieceCard], jobs: Collection[int]) -> dict[int, Sheet]:
    """The sheet that stays of each piece, by its id."""
    cuts = reservation.cuts_of_pieces(session, [row.id for row in rows], but=jobs)
    return {
        row.id: rest_of(row.width, row.length, [(Way(way), share) for way, share in cuts.get(row.id, ())]) for row in rows
    }


def _serving(need: BandNeed, cards: Sequence[PieceCard]) -> frozenset[int]:
    """The places of the pieces that may serve a band."""
    if need.serves is Serves.ANY:
        return frozenset(range(len(cards)))
    if need.serves is Serves.NEAR:
        near = (place for place, card in enumerate(cards) if difference(need.colour, card.colour) <= NEAR)
        return frozenset(near) | {place for place, card in enumerate(cards) if card.number == need.piece}
    return frozenset(place for place, card in enumerate(cards) if card.number == need.piece)


def _mean_cost(cards: Sequence[PieceCard]) -> float:
    """What a square metre on the shelf cost, over all that is there."""
    area = sum(card.as_cloth.area_m2 * float(card.left) for card in cards)
    return float(sum(card.cost_left.amount for card in cards)) / area if area else 0.0


def accept(store: Store, *, jobs: Sequence[int], strips: Sequence[StripsPlanned], saving: str, now: datetime) -> int:
    """Hold the strips of a plan for its jobs, in place of what they held before; strips ticked as cut stay.

    Args:
        store: the shop's database.
        jobs: the numbers of all jobs that the plan is for.
        strips: what it proposes.
        saving: the form's token.
        now: the time, zoned.

    Returns:
        how many pieces are held.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``job.closed``, ``plan.no_rug``, ``plan.nothing`` for a plan without strips, ``plan.taken`` when a piece no
            longer gives them, ``plan.stranger`` for strips that no such rug or piece knows.
    """
    wanted = tuple(sorted(set(jobs)))
    with store.writing() as session:
        given = {"jobs": wanted, "strips": tuple(strips)}
        if presses.claim(session, act="plan.accept", token=saving, given=given, now=now) is not None:
            return len({one.piece for one in strips})
        if not strips:
            raise Refusal(Problem("plan.nothing"))
        rows = {number: job_in(session, number, lock="stay") for number in wanted}
        rugs = {number: _rug(row) for number, row in rows.items()}
        for row in rows.values():
            reservation.lapse(session, row.id, begun_too=False)
        ids = {row.id for row in table.pieces_by_number(session, {one.piece for one in strips})}
        locked = {row.number: row for row in table.lock_pieces(session, ids)}
        sheets = _sheets(session, list(locked.values()), ())
        taken = reservation.held_shares(session, ids)
        for one in strips:
            holder, rug, piece = rows.get(one.job), rugs.get(one.job), locked.get(one.piece)
            if holder is None or rug is None or piece is None or piece.yarn or not 0 <= one.band < len(rug.pieces):
                raise Refusal(Problem("plan.stranger"))
            torn, strip, sheet = rug.torn and piece.tears is True, rug.reckoning.plan.strip, sheets[piece.id]
            share = sheet.share_of(one.strips, _whole_strips(sheet, one.way, strip, torn=torn))
            taken[piece.id] = taken.get(piece.id, 0) + share
            if not share or piece.state != READY or taken[piece.id] > piece.left:
                raise Refusal(Problem("plan.taken", values={"name": piece.name, "number": piece.number}))
            session.add(
                reservation.Reservation(
                    job_id=holder.id,
                    piece_id=piece.id,
                    band=one.band,
                    way=one.way.value,
                    torn=torn,
                    strip=strip,
                    each=sheet.width if one.way is Way.ACROSS else sheet.length,
                    strips=one.strips,
                    cut=0,
                    share=share,
                    state=reservation.HELD,
                    movement_id=None,
                    at=now,
                )
            )
        presses.settle(session, act="plan.accept", token=saving, about=len(locked))
        return len(locked)


def _whole_strips(sheet: Sheet, way: Way, strip: Length, *, torn: bool) -> int:
    """How many strips a sheet gives one way."""
    piece = PieceToCut(name="", width=sheet.width, length=sheet.length, paid=Money(0, "USD"), tears=torn)
    return piece.whole_strips(way, Rules(strip=strip))
