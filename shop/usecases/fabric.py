"""Cloth as the shop knows it: each piece with what it cost, what is left of it, and in what state it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.cloth import USUAL_WEIGHT, Cloth, ClothKind, Fibre, UnitCosts, unit_costs
from shop.core.errors import NotFound, Problem, Refusal
from shop.core.ledger import WHOLE, Holding, Kind, Place
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.core.spread import Basis
from shop.store import fabric as table
from shop.store import job as job_table
from shop.store import ledger, photograph, reservation
from shop.store.engine import Session
from shop.usecases.given import is_number_of_a_row

SET_ASIDE: Final = Kind.SET_ASIDE.value
READY: Final = Kind.READY.value
USED_UP: Final = "used up"
GIVEN_AWAY: Final = Kind.GIVEN_AWAY.value
SPOILED: Final = Kind.SPOILED.value
CONDITIONS: Final = table.CONDITIONS
MOST_STEPS: Final = 500
CLOTH_KINDS: Final = tuple(kind.value for kind in ClothKind)
FIBRES: Final = tuple(fibre.value for fibre in Fibre if fibre is not Fibre.UNKNOWN)
STRIP: Final = Length.of(2, "in")
"""The strip that costs are shown for unless another width is chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Something that happened to a piece.

    Attributes:
        id: the movement's number.
        kind: what happened (``shop.core.ledger.Kind``).
        undoes: of a reversal, the kind of what it undid; else ``None``.
        share: of the whole piece, that came to the shelf (positive), left it (negative), or was moved elsewhere.
        cost: that came or went with it.
        source, target: from where to where.
        job: the number of the job that it went into or came out of; ``job_name`` its name.
        on: the day that it counts for; ``at`` when it was written down.
        undone: a later step has undone it.
        can_be_undone: it still holds, and is of a kind that can be undone.
    """

    id: int
    kind: Kind
    undoes: Kind | None = None
    share: Decimal
    cost: Money
    source: Place
    target: Place
    job: int | None = None
    job_name: str = ""
    on: date
    at: datetime
    note: str
    undone: bool
    can_be_undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """What a job holds of a piece: parts as the ledger counts, in so many strips."""

    job: int
    name: str
    parts: int
    strips: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCard:
    """A piece of cloth, or a cone of warp yarn.

    Attributes:
        number: what its label says.
        yarn: the count of a warp yarn; empty for cloth.
        cloth: the kind of cloth; empty when unknown.
        fibres: each with its share; empty when unknown.
        width, length: usable, hems and selvedges cut off; of yarn, no width, and its run.
        weight: on a scale, of the whole piece; ``None`` when not weighed.
        grams_per_m2: weight per area; ``weight_basis`` says whether weighed, set, or guessed by kind of cloth.
        tears: its tear test; ``None`` when not tried.
        condition: one of ``CONDITIONS``; ``kept``: where it lies.
        paid: the price on it.
        cost: what the whole piece cost, with its part of discount, tax, washing and trip.
        later: what was paid for it since, for washing or dyeing.
        left: share of the piece still there; ``left_parts`` the same in whole parts of the ledger.
        cost_left: what the rest cost.
        state: ``set aside to wash``, ``ready``, ``used up``, ``given away`` or ``spoiled``.
        strip: the width of strip that ``costs`` are worked out for.
        place, on: where and when it was brought home.
        parent: the number of the piece that it was cut from.
        photograph: the digest of its photograph; empty when it has none.
        held: what jobs hold of it by their cutting plans.
        steps: what happened to it, oldest first; only where they were asked for.
    """

    id: int
    number: int
    haul_id: int
    name: str
    yarn: str = ""
    cloth: str
    colour: str
    fibres: tuple[tuple[Fibre, Decimal], ...]
    width: Length
    length: Length
    weight: Weight | None
    grams_per_m2: float
    weight_basis: Basis
    tears: bool | None
    condition: str = ""
    kept: str = ""
    paid: Money
    cost: Money
    later: Money
    left: Decimal
    left_parts: int
    cost_left: Money
    state: str
    strip: Length
    place: str
    on: date
    parent: int | None = None
    photograph: str = ""
    revision: int = 1
    held: tuple[Held, ...] = ()
    steps: tuple[Step, ...] = ()

    @property
    def is_yarn(self) -> bool:
        """Whether it is a cone of warp yarn."""
        return bool(self.yarn)

    @property
    def free_parts(self) -> int:
        """What is left of it and no job holds."""
        return max(0, self.left_parts - sum(one.parts for one in self.held))

    @property
    def cost_in_all(self) -> Money:
        """What it cost with all that was paid for it since."""
        return self.cost + self.later

    @property
    def whole_at_rate(self) -> Money:
        """What a whole piece comes to at the cost of what is left of it; its whole cost when nothing is left."""
        if not self.left_parts or self.left_parts == WHOLE:
            return self.cost_left if self.left_parts else self.cost_in_all
        return Money.rounded(self.cost_left.amount / self.left, self.cost.currency)

    @property
    def grams(self) -> float:
        """The weight of the whole piece, in grams."""
        if self.yarn:
            return self.weight.grams if self.weight else 0.0
        return self.as_cloth.grams

    @property
    def holding(self) -> Holding:
        """What of it lies on the shelf."""
        return Holding(self.left_parts, self.cost_left.minor)

    @property
    def costs(self) -> UnitCosts:
        """What the piece cost by every measure; worked out when asked for, since most lists show none of it."""
        return unit_costs(self.as_cloth, self.strip)

    @property
    def fibre(self) -> Fibre:
        """The fibre that there is most of, as the arithmetic of strips wants one."""
        if not self.fibres:
            return Fibre.UNKNOWN
        return max(self.fibres, key=lambda pair: pair[1])[0]

    @property
    def as_cloth(self) -> Cloth:
        """The piece as the arithmetic knows it; ``pieces`` is the share that is left.

        Raises:
            Refusal: ``piece.yarn`` for a cone of yarn, which has no width.
        """
        if self.yarn:
            raise Refusal(Problem("piece.yarn", values={"number": self.number}))
        return Cloth(
            name=self.name,
            colour=self.colour,
            width=self.width,
            length=self.length,
            paid=self.whole_at_rate,
            pieces=float(self.left),
            grams_per_m2=self.grams_per_m2,
            fibre=self.fibre,
            tears=self.tears,
        )


def cards_in(
    session: Session, pieces: Sequence[table.Piece], *, strip: Length = STRIP, steps: bool = False
) -> tuple[PieceCard, ...]:
    """The cards of these pieces, as part of another use case; four queries however many there are.

    Args:
        session: to read with.
        pieces: of which to make cards.
        strip: the width of strip to show costs for.
        steps: with what happened to each: meant for one piece, since it asks again for each.
    """
    hauls = table.hauls_of(session, {piece.haul_id for piece in pieces})
    parents = table.numbers_of(session, {piece.parent_id for piece in pieces if piece.parent_id})
    pictures = photograph.digests_of(session, [piece.id for piece in pieces])
    held: dict[int, list[Held]] = {}
    for one, job in reservation.held_of_pieces(session, [piece.id for piece in pieces]):
        mine = Held(job=job.number, name=job.name, parts=one.share, strips=one.strips)
        held.setdefault(one.piece_id, []).append(mine)
    return tuple(
        replace(
            _card(piece, hauls[piece.haul_id], strip),
            parent=parents.get(piece.parent_id or 0),
            photograph=pictures.get(piece.id, ""),
            held=tuple(held.get(piece.id, ())),
            steps=_steps(session, piece, hauls[piece.haul_id].currency) if steps else (),
        )
        for piece in pieces
    )


def piece_in(session: Session, number: int, *, lock: bool = False) -> table.Piece:
    """The piece of that number, as part of another use case.

    Raises:
        NotFound: ``piece.unknown``.
    """
    row = table.piece_by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("piece.unknown", values={"number": number}))
    return row


def _card(piece: table.Piece, haul: table.Haul, strip: Length) -> PieceCard:
    currency = haul.currency
    grams, basis = _weight_per_area(piece)
    return PieceCard(
        id=piece.id,
        number=piece.number,
        haul_id=piece.haul_id,
        name=piece.name,
        yarn=piece.yarn,
        cloth=piece.cloth,
        colour=piece.colour,
        fibres=tuple((Fibre(name), Decimal(share)) for name, share in piece.fibres),
        width=piece.width,
        length=piece.length,
        weight=piece.weight,
        grams_per_m2=grams,
        weight_basis=basis,
        tears=piece.tears,
        condition=piece.condition,
        kept=piece.kept,
        paid=Money(piece.paid, currency),
        cost=Money(piece.came, currency),
        later=Money(piece.later, currency),
        left=Decimal(piece.left) / WHOLE,
        left_parts=piece.left,
        cost_left=Money(piece.left_cost, currency),
        state=piece.state,
        strip=strip,
        place=haul.place,
        on=haul.on,
        revision=piece.revision,
    )


def _weight_per_area(piece: table.Piece) -> tuple[float, Basis]:
    """Grams to the square metre, and how they are known; of yarn, which covers nothing, none."""
    if piece.yarn:
        return 0.0, Basis.MEASURED
    if piece.weight is not None:
        area_m2 = piece.width.metres * piece.length.metres
        return piece.weight.grams / area_m2, Basis.MEASURED
    if piece.grams_per_m2 is not None:
        return float(piece.grams_per_m2), Basis.SETTING
    kind = ClothKind(piece.cloth) if piece.cloth else ClothKind.SHEETING
    return USUAL_WEIGHT[kind], Basis.GUESS


def _steps(session: Session, piece: table.Piece, currency: str) -> tuple[Step, ...]:
    moved = ledger.newest_of(session, piece.id, MOST_STEPS)
    jobs = job_table.by_ids(session, {one.job_id for one in moved if one.job_id})
    undone = ledger.undone_among(session, [one.id for one in moved])
    by_id = {one.id: one for one in moved}
    return tuple(
        step_of(
            one,
            currency,
            undone=one.id in undone,
            job=jobs.get(one.job_id or 0),
            undid=by_id.get(one.reverses_id or 0),
        )
        for one in moved
    )


def step_of(
    one: ledger.Movement,
    currency: str,
    *,
    undone: bool,
    job: job_table.Job | None,
    undid: ledger.Movement | None,
) -> Step:
    """A movement as a page shows it, as part of another use case."""
    kind = Kind(one.kind)
    outward = one.source == Place.SHELF.value and one.target != Place.SHELF.value
    sign = -1 if outward else 1
    return Step(
        id=one.id,
        kind=kind,
        undoes=Kind(undid.kind) if undid else None,
        share=Decimal(sign * one.share) / WHOLE,
        cost=Money(sign * one.cost, currency),
        source=Place(one.source),
        target=Place(one.target),
        job=job.number if job else None,
        job_name=job.name if job else "",
        on=one.on,
        at=one.at,
        note=one.note,
        undone=undone,
        can_be_undone=not undone and kind not in FIXED,
    )


FIXED: Final = frozenset({Kind.BROUGHT_HOME, Kind.CUT_FROM, Kind.WOVEN, Kind.REVERSED})
"""What is not undone by itself: a rug is taken up again as a whole, a cut piece is joined where it was cut."""
