"""Will it reach? Asked of a job at any time: how far the weaving has come, how much strip is left."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from shop.core.colour import difference
from shop.core.cutting import Rules
from shop.core.errors import Problem, Refusal
from shop.core.loom import FrameLoom
from shop.core.measure import Length, Weight
from shop.core.reach import ClothOnLoom, Measured, Reach, reach
from shop.core.reckoning import ClothUse, Reckoning
from shop.core.spread import Estimate
from shop.core.stripes import rows_of_cloths_until
from shop.core.strips import Way
from shop.store.engine import Session, Store
from shop.usecases.cutting_plan import NEAR, FreePiece, free_pieces
from shop.usecases.fabric import PieceCard
from shop.usecases.job import JobLine, job_in
from shop.usecases.job_card import JobCardSheet, card_in
from shop.usecases.rug_of_job import RugOfJob

COMFORT: Final = 0.15
"""A weft can be laid so much straighter without the rug showing it much (common practice): the most that is advised."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripLeft:
    """How much strip of a cloth is left, as it was measured.

    Attributes:
        length: of it; ``weight`` of it; ``bobbins`` of so much each: one of the three.
        cut: strip that was cut for it in all; ``None`` to go by the job's own record.
    """

    length: Length | None = None
    weight: Weight | None = None
    bobbins: float | None = None
    each: Length | None = None
    cut: Length | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """A piece on the shelf that would make up for what is missing: so many of its strips."""

    piece: PieceCard
    strips: int
    way: Way


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What is said of one cloth of the rug.

    Attributes:
        band: the place of the cloth.
        rows, done: of it in the whole rug.
        reach: what is said.
        left_m: metres of strip left, as told.
        runs_out: the row of the rug at which it is likely to end; ``None`` where it reaches as likely as not.
        shorten: by how much shorter the rug reaches in nine rugs of ten; nothing where it does.
        looser: the share of strip to save on each row left, where that is little enough to try.
        spare: cloth on the shelf that would do.
    """

    band: int
    name: str
    colour: str
    rows: float
    done: float
    reach: Reach
    left_m: float
    runs_out: int | None
    shorten: Length
    looser: float | None
    spare: Spare | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReachAsked:
    """What there is to ask of a job.

    Attributes:
        card: the job's.
        cut: metres of strip that its record says were cut for the rows of each cloth; ``None`` where it has none.
    """

    card: JobCardSheet
    cut: tuple[float | None, ...]

    @property
    def line(self) -> JobLine:
        """The job."""
        return self.card.line


def begin(store: Store, *, job: int) -> ReachAsked:
    """What is known before anything is asked.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``plan.no_rug`` for a job without a quote, ``job.unreadable``.
    """
    with store.reading() as session:
        return _begun(session, job)


def _begun(session: Session, job: int) -> ReachAsked:
    card = card_in(session, job_in(session, job))
    if card.rug is None:
        raise Refusal(Problem("plan.no_rug", values={"number": job}))
    return ReachAsked(card=card, cut=_cut_for_rows(card.rug, card.have))


def _cut_for_rows(rug: RugOfJob, have: Sequence[float]) -> tuple[float | None, ...]:
    """Of the strip that the job has, what the warp does not take."""
    found = []
    for use, metres in zip(rug.reckoning.cloths, have, strict=True):
        warp_m = rug.reckoning.warp.length_m * use.share if isinstance(rug.reckoning.plan.loom, FrameLoom) else 0.0
        found.append(metres - warp_m if metres > warp_m else None)
    return tuple(found)


def ask(
    store: Store,
    *,
    job: int,
    rows: int | None = None,
    woven: Length | None = None,
    left: Mapping[int, StripLeft],
) -> tuple[Answer, ...]:
    """Whether the strip of each cloth reaches; nothing is kept.

    Args:
        store: the shop's database.
        job: the number of the job.
        rows: woven, all panels counted together; or
        woven: the length woven, under tension, of all panels together; with neither, what the card has marked.
        left: strip left by the place of the cloth; a cloth that is not named has what was cut for it.

    Raises:
        NotFound: ``job.unknown``.
        Refusal: ``plan.no_rug``, ``rows.range`` at ``rows``, ``length.most`` at ``woven`` beyond the rug; ``reach.nothing``
            when nothing is said to be left; ``reach.done``, ``reach.left`` at ``left.`` and the place.
    """
    with store.reading() as session:
        asked = _begun(session, job)
        rug = asked.card.rug
        if rug is None:
            raise Refusal(Problem("plan.no_rug", values={"number": job}))
        row = job_in(session, job)
        named = {number for number in rug.pieces if number is not None}
        pieces = free_pieces(session, named, {row.id})
    reckoning = rug.reckoning
    whole = asked.card.whole
    if woven is not None:
        full = reckoning.warp.woven * reckoning.made.panels
        if woven > full:
            raise Refusal(Problem("length.most", "woven", {"most": full}))
        at = whole * woven.nm / full.nm
    else:
        at = float(asked.card.woven if rows is None else rows)
        if not 0 <= at <= whole:
            raise Refusal(Problem("rows.range", "rows", {"most": whole}))
    if not left:
        raise Refusal(Problem("reach.nothing", "left.0"))
    done = _rows_by_cloth(reckoning, at)
    of_cloth = _rows_by_cloth(reckoning, whole)
    cloths, bands = [], []
    for band, use in enumerate(reckoning.cloths):
        said, cut = left.get(band), asked.cut[band]
        if said is None and cut is None:
            continue
        metres, how = _measured(said, use, reckoning) if said is not None else (cut or 0.0, Measured.LENGTH)
        own = said.cut.metres if said is not None and said.cut is not None else cut
        if said is None and done[band] > 0:
            continue  # what is left of a cloth already woven with cannot be known unsaid
        bands.append((band, metres))
        cloths.append(
            ClothOnLoom(
                rate=_rate(use, reckoning, by_length=woven is not None),
                rows=of_cloth[band],
                done=done[band],
                cut=own,
                left=metres,
                measured=how,
            )
        )
    try:
        found = reach(cloths)
    except Refusal as refusal:
        at_band = [problem.at(f"left.{bands[int(problem.where.split('.')[1])][0]}") for problem in refusal.problems]
        raise Refusal(*at_band) from None
    return tuple(
        _answer(rug, band, at, cloth, said, metres, pieces)
        for (band, metres), cloth, said in zip(bands, cloths, found, strict=True)
    )


def _rate(use: ClothUse, reckoning: Reckoning, *, by_length: bool) -> Estimate:
    """Metres of strip that a row takes. Where rows are counted, how tightly they pack is no doubt any more."""
    rate = use.weft.scaled(1 / (use.rows * reckoning.made.panels))
    if by_length:
        return rate
    return replace(rate, doubts=tuple(one for one in rate.doubts if not one[0].startswith("weft.packing")))


def _rows_by_cloth(reckoning: Reckoning, at: float) -> list[float]:
    """Rows of each cloth among the first so many of the rug, panel after panel."""
    in_panel = sum(band.rows for band in reckoning.bands)
    cloths = len(reckoning.cloths)
    panels, rest = divmod(at, in_panel)
    whole = rows_of_cloths_until(reckoning.bands, cloths, in_panel)
    part = rows_of_cloths_until(reckoning.bands, cloths, rest)
    return [full * panels + some for full, some in zip(whole, part, strict=True)]


def _measured(said: StripLeft, use: ClothUse, reckoning: Reckoning) -> tuple[float, Measured]:
    """Metres of strip left, and how that is known."""
    if said.length is not None:
        return said.length.metres, Measured.LENGTH
    if said.weight is not None:
        return said.weight.grams / (use.cloth.grams_per_m2 * reckoning.plan.strip.metres), Measured.WEIGHT
    each = said.each.metres if said.each is not None else 0.0
    return (said.bobbins or 0.0) * each, Measured.BOBBINS


def _answer(
    rug: RugOfJob, band: int, at: float, cloth: ClothOnLoom, said: Reach, left_m: float, pieces: Sequence[FreePiece]
) -> Answer:
    use = rug.reckoning.cloths[band]
    likely = cloth.done + left_m / said.rate.middle
    return Answer(
        band=band,
        name=use.cloth.name,
        colour=use.cloth.colour,
        rows=cloth.rows,
        done=cloth.done,
        reach=said,
        left_m=left_m,
        runs_out=None if likely >= cloth.rows else max(math.ceil(at), _row_of_rug(rug.reckoning, band, likely)),
        shorten=_shorter(rug.reckoning, use, said.rows_short),
        looser=said.looser if 0 < said.looser <= COMFORT else None,
        spare=_spare(rug, use, said.short, pieces) if said.short else None,
    )


def _shorter(reckoning: Reckoning, use: ClothUse, rows: int) -> Length:
    """By how much the finished rug is shorter without so many rows of a cloth, shared over its panels."""
    off_tension = reckoning.made.size.length.millimetres / reckoning.warp.woven.millimetres
    return Length.of(rows * use.pitch.middle * off_tension / reckoning.made.panels, "mm")


def _row_of_rug(reckoning: Reckoning, band: int, rows: float) -> int:
    """The row of the rug in which the cloth has so many rows."""
    low, high = 0, sum(one.rows for one in reckoning.bands) * reckoning.made.panels
    while low < high:
        middle = (low + high) // 2
        if _rows_by_cloth(reckoning, middle)[band] < math.floor(rows):
            low = middle + 1
        else:
            high = middle
    return low


def _spare(rug: RugOfJob, use: ClothUse, short_m: float, pieces: Sequence[FreePiece]) -> Spare | None:
    """The piece nearest in colour that gives what is missing, in as few strips as it can."""
    plan = rug.reckoning.plan
    rules, loss = Rules(strip=plan.strip, join_loss=plan.join_loss), plan.join_loss.metres
    apart = {one.card.id: difference(use.cloth.colour, one.card.colour) for one in pieces}
    for one in sorted(pieces, key=lambda one: apart[one.card.id]):
        if apart[one.card.id] > NEAR:
            return None
        piece = one.to_cut(torn=rug.torn)
        for way in sorted((Way.ALONG, Way.ACROSS), key=lambda way: -piece.each(way).metres):
            each = piece.each(way).metres - loss
            strips = math.ceil(short_m / each) if each > 0 else 0
            if 0 < strips <= piece.strips(way, rules):
                return Spare(piece=one.card, strips=strips, way=way)
    return None
