"""Cloth as the shop knows it: each piece with what it cost, what is left of it, and in what state it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.cloth import USUAL_WEIGHT, Cloth, ClothKind, Fibre, UnitCosts, unit_costs
from shop.core.errors import NotFound, Problem
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.core.spread import Basis
from shop.store import fabric as table
from shop.store.engine import Session
from shop.usecases.given import is_number_of_a_row

SET_ASIDE: Final = "set aside to wash"
READY: Final = "ready"
USED_UP: Final = "used up"
GIVEN_AWAY: Final = "given away"
CLOTH_KINDS: Final = tuple(kind.value for kind in ClothKind)
FIBRES: Final = tuple(fibre.value for fibre in Fibre if fibre is not Fibre.UNKNOWN)
STRIP: Final = Length.of(2, "in")
"""The strip that costs are shown for unless another width is chosen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Something that happened to a piece.

    Attributes:
        id: the movement's number.
        kind: ``brought home``, ``set aside to wash``, ``ready``, ``used up``, ``given away`` or ``reversed``.
        share: of the whole piece, that came or went.
        cost: that came or went with it.
        undone: a later step has undone it.
        can_be_undone: it still holds, and is of a kind that can be undone.
    """

    id: int
    kind: str
    share: Decimal
    cost: Money
    at: datetime
    note: str
    undone: bool
    can_be_undone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCard:
    """A piece of cloth.

    Attributes:
        number: what its label says.
        cloth: the kind of cloth; empty when unknown.
        fibres: each with its share; empty when unknown.
        width, length: usable, hems and selvedges cut off.
        weight: on a scale, of the whole piece; ``None`` when not weighed.
        grams_per_m2: weight per area; ``weight_basis`` says whether weighed, set, or guessed by kind of cloth.
        tears: its tear test; ``None`` when not tried.
        paid: the price on it.
        cost: what the whole piece cost, with its part of discount, tax, washing and trip.
        left: share of the piece still there.
        cost_left: what the rest cost.
        state: ``set aside to wash``, ``ready``, ``used up`` or ``given away``.
        strip: the width of strip that ``costs`` are worked out for.
        place, on: where and when it was brought home.
        steps: what happened to it, oldest first.
    """

    number: int
    haul_id: int
    name: str
    cloth: str
    colour: str
    fibres: tuple[tuple[Fibre, Decimal], ...]
    width: Length
    length: Length
    weight: Weight | None
    grams_per_m2: float
    weight_basis: Basis
    tears: bool | None
    paid: Money
    cost: Money
    left: Decimal
    cost_left: Money
    state: str
    strip: Length
    place: str
    on: date
    steps: tuple[Step, ...]

    @property
    def costs(self) -> UnitCosts:
        """What the piece cost by every measure; worked out when asked for, since most lists show none of it."""
        whole = Cloth(width=self.width, length=self.length, paid=self.cost, grams_per_m2=self.grams_per_m2)
        return unit_costs(whole, self.strip)

    @property
    def fibre(self) -> Fibre:
        """The fibre that there is most of, as the arithmetic of strips wants one."""
        if not self.fibres:
            return Fibre.UNKNOWN
        return max(self.fibres, key=lambda pair: pair[1])[0]

    @property
    def as_cloth(self) -> Cloth:
        """The piece as the arithmetic knows it; ``pieces`` is the share that is left."""
        return Cloth(
            name=self.name,
            colour=self.colour,
            width=self.width,
            length=self.length,
            paid=self.cost,
            pieces=float(self.left),
            grams_per_m2=self.grams_per_m2,
            fibre=self.fibre,
            tears=self.tears,
        )


def cards_in(
    session: Session, pieces: Sequence[table.Piece], *, strip: Length = STRIP
) -> tuple[PieceCard, ...]:
    """The cards of these pieces, as part of another use case; two queries however many there are."""
    moved = table.movements_of(session, [piece.id for piece in pieces])
    hauls = table.hauls_of(session, {piece.haul_id for piece in pieces})
    return tuple(_card(piece, hauls[piece.haul_id], moved[piece.id], strip) for piece in pieces)


def piece_in(session: Session, number: int, *, lock: bool = False) -> table.Piece:
    """The piece of that number, as part of another use case.

    Raises:
        NotFound: ``piece.unknown``.
    """
    row = table.piece_by_number(session, number, lock=lock) if is_number_of_a_row(number) else None
    if row is None:
        raise NotFound(Problem("piece.unknown", values={"number": number}))
    return row


def _card(piece: table.Piece, haul: table.Haul, moved: Sequence[table.Movement], strip: Length) -> PieceCard:
    currency = haul.currency
    cost = Money(sum(one.cost for one in moved if one.kind == table.BROUGHT_HOME), currency)
    grams, basis = _weight_per_area(piece)
    left = sum(one.share for one in moved)
    holding = table.standing(moved)
    fibres = tuple((Fibre(name), Decimal(share)) for name, share in piece.fibres)
    return PieceCard(
        number=piece.number,
        haul_id=piece.haul_id,
        name=piece.name,
        cloth=piece.cloth,
        colour=piece.colour,
        fibres=fibres,
        width=piece.width,
        length=piece.length,
        weight=piece.weight,
        grams_per_m2=grams,
        weight_basis=basis,
        tears=piece.tears,
        paid=Money(piece.paid, currency),
        cost=cost,
        left=Decimal(left) / table.WHOLE,
        cost_left=Money(sum(one.cost for one in moved), currency),
        state=_state(holding, left),
        strip=strip,
        place=haul.place,
        on=haul.on,
        steps=_steps(moved, holding, currency),
    )


def _weight_per_area(piece: table.Piece) -> tuple[float, Basis]:
    """Grams to the square metre, and how they are known."""
    if piece.weight is not None:
        area_m2 = piece.width.metres * piece.length.metres
        return piece.weight.grams / area_m2, Basis.MEASURED
    if piece.grams_per_m2 is not None:
        return float(piece.grams_per_m2), Basis.SETTING
    kind = ClothKind(piece.cloth) if piece.cloth else ClothKind.SHEETING
    return USUAL_WEIGHT[kind], Basis.GUESS


def _state(standing: Sequence[table.Movement], left: int) -> str:
    """The state that a piece's standing movements leave it in."""
    kinds = table.STATE_KINDS if left else table.OUT_KINDS
    return next((one.kind for one in reversed(standing) if one.kind in kinds), SET_ASIDE)


def _steps(
    moved: Sequence[table.Movement], standing: Sequence[table.Movement], currency: str
) -> tuple[Step, ...]:
    holding = {one.id for one in standing}
    return tuple(
        Step(
            id=one.id,
            kind=one.kind,
            share=Decimal(one.share) / table.WHOLE,
            cost=Money(one.cost, currency),
            at=one.at,
            note=one.note,
            undone=one.id not in holding and one.reverses_id is None,
            can_be_undone=one.id in holding and one.kind != table.BROUGHT_HOME,
        )
        for one in moved
    )
