"""Bringing cloth home: a haul with its pieces, its tax, discount, washing and trip spread over them to the cent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final
from zoneinfo import ZoneInfo

from shop.core.cloth import HEAVIEST, LIGHTEST
from shop.core.colour import shelf_place
from shop.core.errors import NotFound, Problem, Unreadable
from shop.core.ledger import WHOLE, Kind
from shop.core.measure import Length, Weight
from shop.core.money import Money, split, total
from shop.core.warp import parse_yarn
from shop.store import fabric as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.store.folding import folded
from shop.store.numbering import take
from shop.usecases.fabric import (
    CLOTH_KINDS,
    CONDITIONS,
    FIBRES,
    SET_ASIDE,
    STRIP,
    PieceCard,
    cards_in,
)
from shop.usecases.given import Given, is_number_of_a_row
from shop.usecases.moving import move
from shop.usecases.shop import Shop, shop_in

SPREADS: Final = ("price", "weight", "area", "evenly")
MOST_ALIKE: Final = 50
MOST_PIECES: Final = 200
SMALLEST: Final = Length.of(1, "cm")
LARGEST: Final = Length.of(100, "m")
LONGEST_RUN: Final = Length.of(9_000_000, "m")
HEAVIEST_PIECE: Final = Weight.of(100, "kg")


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceGiven:
    """A piece as its owner describes it.

    Attributes:
        name: what the owner calls it.
        width, length: usable, hems and selvedges cut off.
        paid: the price on it, for one.
        cloth: the kind of cloth (``shop.core.cloth.ClothKind``); empty when unknown.
        colour: ``#rrggbb``.
        fibres: each with its share, adding up to 1; empty when unknown.
        weight: on a scale, where weighed.
        grams_per_m2: weight per area, where known without a scale.
        tears: its tear test; ``None`` when not tried.
        condition: one of ``CONDITIONS``; ``kept``: where it is put.
        yarn: of a cone of warp yarn, its count or run, such as ``8/4``; it has a weight, and neither width nor length.
        ready: washed and dried already; else it is set aside to wash.
        count: how many such pieces.
    """

    name: str
    width: Length = Length(0)
    length: Length = Length(0)
    paid: Money
    cloth: str = ""
    colour: str = "#7d8a99"
    fibres: tuple[tuple[str, Decimal], ...] = ()
    weight: Weight | None = None
    grams_per_m2: Decimal | None = None
    tears: bool | None = None
    condition: str = ""
    kept: str = ""
    yarn: str = ""
    ready: bool = False
    count: int = 1

    @property
    def run(self) -> Length:
        """How much yarn is on a cone: its weight by its count, to the millimetre.

        Raises:
            Unreadable: as ``shop.core.warp.parse_yarn``.
        """
        grams = self.weight.grams if self.weight else 0.0
        return Length.of(round(parse_yarn(self.yarn).metres_per_kg * grams), "mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulGiven:
    """A haul as its owner describes it.

    Attributes:
        place: where it was found; ``on`` the day.
        discount: taken off the prices together; always spread by price.
        spread_by: how tax, washing and trip are spread: ``price``, ``weight``, ``area`` or ``evenly``.
    """

    place: str
    on: date
    pieces: tuple[PieceGiven, ...]
    tax: Money | None = None
    discount: Money | None = None
    washing: Money | None = None
    trip: Money | None = None
    spread_by: str = "price"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulCard:
    """A haul brought home.

    Attributes:
        goods: the prices of its pieces together.
        cost: all of it: goods less discount, with tax, washing and trip; what its pieces cost together.
    """

    id: int
    place: str
    on: date
    goods: Money
    tax: Money
    discount: Money
    washing: Money
    trip: Money
    cost: Money
    spread_by: str
    note: str
    pieces: tuple[PieceCard, ...]


def bring_home(store: Store, *, haul: HaulGiven, saving: str, now: datetime) -> HaulCard:
    """Bring a haul home: each piece gets a number, its full cost, and its first movements.

    Raises:
        Refusal: with every problem found, at ``haul.tax``, ``haul.pieces.0.width`` and so on:
            ``text.missing``, ``text.long``, ``text.control``, ``choice.unknown``, ``colour.unreadable``,
            ``length.small``, ``length.most``, ``weight.zero``, ``weight.most``, ``weight.missing`` (to spread
            by it), ``cloth_weight.range``, ``fibre.sum``, ``fibre.twice``, ``money.negative``, ``money.large``,
            ``money.mixed``, ``number.small``, ``number.large``, ``haul.empty``, ``haul.large``,
            ``haul.discount``, ``date.future``.
    """
    with store.writing() as session:
        earlier = presses.claim(session, act="haul.bring_home", token=saving, given=haul, now=now)
        if earlier is not None:
            return card_in(session, _row(session, earlier))
        row = bring_in(session, haul=haul, shop=shop_in(session), now=now)
        presses.settle(session, act="haul.bring_home", token=saving, about=row.id)
        return card_in(session, row)


def bring_in(session: Session, *, haul: HaulGiven, shop: Shop, now: datetime) -> table.Haul:
    """Bring a haul home, as part of another use case.

    Raises:
        Refusal: as ``bring_home``.
    """
    given = Given()
    if haul.on > now.astimezone(ZoneInfo(shop.time_zone)).date():
        given.note("date.future", "haul.on")
    row = looked_over(given, haul, shop.currency)
    row.created_at = now
    given.done()
    _unload(session, row, haul, now)
    return row


def haul(store: Store, *, haul_id: int, strip: Length = STRIP) -> HaulCard:
    """A haul with its pieces.

    Raises:
        NotFound: ``haul.unknown``.
    """
    with store.reading() as session:
        return card_in(session, _row(session, haul_id), strip)


def _row(session: Session, haul_id: int) -> table.Haul:
    row = table.haul_by_id(session, haul_id) if is_number_of_a_row(haul_id) else None
    if row is None:
        raise NotFound(Problem("haul.unknown"))
    return row


def card_in(session: Session, row: table.Haul, strip: Length = STRIP) -> HaulCard:
    """A haul with its pieces, as part of another use case."""

    def money(minor: int) -> Money:
        return Money(minor, row.currency)

    pieces = cards_in(session, table.pieces_of_haul(session, row.id, cut_ones=False), strip=strip)
    return HaulCard(
        id=row.id,
        place=row.place,
        on=row.on,
        goods=total((piece.paid for piece in pieces), row.currency),
        tax=money(row.tax),
        discount=money(row.discount),
        washing=money(row.washing),
        trip=money(row.trip),
        cost=total((piece.cost for piece in pieces), row.currency),
        spread_by=row.spread_by,
        note=row.note,
        pieces=pieces,
    )


def looked_over(given: Given, haul: HaulGiven, currency: str) -> table.Haul:
    """A haul looked over, as part of another use case: its row, and its problems noted."""
    nothing = Money.zero(currency)
    row = table.Haul(
        place=given.line("haul.place", haul.place, required=True),
        on=haul.on,
        tax=given.amount("haul.tax", haul.tax or nothing, currency),
        discount=given.amount("haul.discount", haul.discount or nothing, currency),
        washing=given.amount("haul.washing", haul.washing or nothing, currency),
        trip=given.amount("haul.trip", haul.trip or nothing, currency),
        spread_by=given.choice("haul.spread_by", haul.spread_by, SPREADS),
        currency=currency,
        note=given.block("haul.note", haul.note),
    )
    for place, piece in enumerate(haul.pieces[:MOST_PIECES]):
        _check_piece(given, f"haul.pieces.{place}", piece, currency)
        if haul.spread_by == "area" and piece.yarn:
            given.note("cone.area", "haul.spread_by")
        if haul.spread_by == "weight" and piece.weight is None:
            given.note("weight.missing", f"haul.pieces.{place}.weight")
    count = sum(piece.count for piece in haul.pieces)
    if not haul.pieces:
        given.note("haul.empty", "haul.pieces")
    elif count > MOST_PIECES:
        given.note("haul.large", "haul.pieces", most=MOST_PIECES)
    if row.discount > sum(piece.paid.minor * piece.count for piece in haul.pieces):
        given.note("haul.discount", "haul.discount")
    return row


def _check_piece(given: Given, at: str, piece: PieceGiven, currency: str) -> None:
    given.line(f"{at}.name", piece.name, required=True)
    if piece.cloth:
        given.choice(f"{at}.cloth", piece.cloth, CLOTH_KINDS)
    given.colour(f"{at}.colour", piece.colour)
    if piece.yarn:
        _check_cone(given, at, piece)
    else:
        given.length(f"{at}.width", piece.width, SMALLEST, LARGEST)
        given.length(f"{at}.length", piece.length, SMALLEST, LARGEST)
    given.choice(f"{at}.condition", piece.condition, CONDITIONS)
    given.line(f"{at}.kept", piece.kept)
    given.weight(f"{at}.weight", piece.weight, HEAVIEST_PIECE)
    given.amount(f"{at}.paid", piece.paid, currency)
    given.count(f"{at}.count", piece.count, 1, MOST_ALIKE)
    if piece.grams_per_m2 is not None and not LIGHTEST <= piece.grams_per_m2 <= HEAVIEST:
        given.note("cloth_weight.range", f"{at}.grams_per_m2", least=LIGHTEST, most=HEAVIEST)
    names = [given.choice(f"{at}.fibres", name, FIBRES) for name, _ in piece.fibres]
    if len(set(names)) < len(names):
        given.note("fibre.twice", f"{at}.fibres")
    for _, share in piece.fibres:
        given.number(f"{at}.fibres", share, Decimal("0.001"), 1)
    if piece.fibres and sum(share for _, share in piece.fibres) != 1:
        given.note("fibre.sum", f"{at}.fibres")


def _check_cone(given: Given, at: str, piece: PieceGiven) -> None:
    if piece.weight is None:
        given.note("cone.weight", f"{at}.weight")
    if piece.width or piece.length:
        given.note("cone.size", f"{at}.width")
    try:
        run = piece.run
    except Unreadable as error:
        given.problems.extend(problem.at(f"{at}.yarn") for problem in error.problems)
    else:
        if piece.weight is not None:
            given.length(f"{at}.weight", run, SMALLEST, LONGEST_RUN)


def _unload(session: Session, row: table.Haul, haul: HaulGiven, now: datetime) -> None:
    """Write the haul, its pieces, and the first movements of each."""
    each = [piece for piece in haul.pieces for _ in range(piece.count)]
    numbers = take(session, "piece", len(each))
    costs = landed(row, each)
    pieces = [
        _piece(piece, number, cost) for piece, number, cost in zip(each, numbers, costs, strict=True)
    ]
    row.pieces = pieces
    session.add(row)
    session.flush()
    for piece, given, cost in zip(pieces, each, costs, strict=True):
        state = Kind.READY if given.ready else Kind.SET_ASIDE
        move(session, piece, Kind.BROUGHT_HOME, share=WHOLE, cost=cost.minor, on=row.on, now=now)
        move(session, piece, state, on=row.on, now=now)


def _piece(piece: PieceGiven, number: int, cost: Money) -> table.Piece:
    colour = piece.colour.lower()
    fibres = [[name, f"{share:f}"] for name, share in piece.fibres]
    name = " ".join(piece.name.split())
    return table.Piece(
        number=number,
        name=name,
        name_key=folded(name),
        yarn=" ".join(piece.yarn.split()),
        cloth=piece.cloth,
        colour=colour,
        shade=shelf_place(colour),
        fibres=fibres,
        fibre=max(piece.fibres, key=lambda pair: pair[1])[0] if piece.fibres else "",
        width=piece.width,
        length=piece.run if piece.yarn else piece.length,
        weight=piece.weight,
        grams_per_m2=None if piece.yarn else piece.grams_per_m2,
        tears=piece.tears,
        condition=piece.condition,
        kept=" ".join(piece.kept.split()),
        paid=piece.paid.minor,
        parent_id=None,
        came=cost.minor,
        later=0,
        left=0,
        left_cost=0,
        state=SET_ASIDE,
        revision=1,
    )


def landed(row: table.Haul, pieces: list[PieceGiven]) -> list[Money]:
    """What each piece cost in full: its price less its part of the discount, with its part of the rest."""
    weights: dict[str, list[int]] = {
        "price": [piece.paid.minor for piece in pieces],
        "weight": [piece.weight.ng if piece.weight else 0 for piece in pieces],
        "area": [piece.width.nm * piece.length.nm for piece in pieces],
        "evenly": [1] * len(pieces),
    }
    extras = Money(row.tax + row.washing + row.trip, row.currency)
    more = split(extras, weights[row.spread_by])
    less = split(Money(row.discount, row.currency), weights["price"])
    return [piece.paid + m - off for piece, m, off in zip(pieces, more, less, strict=True)]
