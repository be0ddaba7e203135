"""Quick measurements of the shop: written down, listed, struck out; never edited."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.cloth import DENSITY, USUAL_WEIGHT, ClothKind, Fibre
from shop.core.errors import Clash, NotFound, Problem, Refusal
from shop.core.evidence import Evidence, Grade, What
from shop.core.loom import ShaftLoom
from shop.core.measure import Length
from shop.core.quick import Told, comes_to
from shop.core.strips import Tool
from shop.core.weft import solid_section_mm2
from shop.store import learning as table
from shop.store import loom as loom_table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.fabric import CLOTH_KINDS, PieceCard, cards_in, piece_in
from shop.usecases.given import Given, is_number_of_a_row

LONGEST: Final = Length.of(10_000, "m")
MOST: Final = Decimal(1_000_000)
PLACES: Final = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureGiven:
    """A measurement as it is told.

    Attributes:
        what: the number that it tells, a ``What`` by its name.
        on: the loom by its number, or the tool.
        told: what was counted.
        kind: of cloth; empty where it does not matter or is not known.
        piece: the number of the piece of cloth, where it is one of the shelf.
    """

    what: str
    on: str
    told: Told
    kind: str = ""
    piece: int | None = None


def add(store: Store, *, given: MeasureGiven, saving: str, now: datetime) -> int:
    """Write a measurement down, for today; gives its id.

    Raises:
        Refusal: with every problem: ``choice.unknown`` at ``what``, ``on`` or ``kind``; ``quick.missing``, ``quick.longer``,
            ``number.large``, ``length.most`` at the field; ``evidence.value`` for what cannot be.
        NotFound: ``loom.unknown``, ``piece.unknown``.
    """
    look = Given()
    look.choice("what", given.what, [what.value for what in What])
    if given.kind:
        look.choice("kind", given.kind, CLOTH_KINDS)
    told = given.told
    for name, number in (("count", told.count), ("minutes", told.minutes)):
        if number is not None:
            look.number(name, number, 0, MOST)
    for name, length in (("first", told.first), ("second", told.second)):
        if length is not None:
            look.length(name, length, Length(0), LONGEST)
    look.done()
    what = What(given.what)
    with store.writing() as session:
        earlier = presses.claim(session, act="quick.add", token=saving, given=given, now=now)
        if earlier is not None:
            return earlier
        piece = _piece(session, given.piece) if what.is_of_cloth else None
        kind = (piece.cloth if piece else given.kind) if what.is_of_cloth else ""
        value, size = comes_to(what, told, _section(told, piece, kind) if what is What.PACKING and told.second else 1.0)
        Evidence(what=what, value=value, on=given.on, size=size, day=now.date(), source="new", grade=Grade.QUICK)
        row = table.QuickMeasure(
            what=what.value,
            loom_id=None if what is What.CUT else _loom(session, given.on, what),
            tool=_tool(given.on) if what is What.CUT else "",
            told=_written_down(told),
            value=round(Decimal(repr(value)), PLACES),
            size=round(Decimal(repr(size)), PLACES),
            kind=kind,
            piece_id=piece.id if piece else None,
            on=now.date(),
            at=now,
            struck_at=None,
        )
        session.add(row)
        session.flush()
        presses.settle(session, act="quick.add", token=saving, about=row.id)
        return row.id


def _piece(session: Session, number: int | None) -> PieceCard | None:
    if number is None:
        return None
    card = cards_in(session, [piece_in(session, number)])[0]
    if card.is_yarn:
        raise Refusal(Problem("piece.yarn", "piece", {"number": number}))
    return card


def _section(told: Told, piece: PieceCard | None, kind: str) -> float:
    """The solid section of the strips: of that piece, or of cloth of its kind as it usually is."""
    strip_mm = told.second.millimetres if told.second else 0.0
    if piece is not None:
        return solid_section_mm2(strip_mm, piece.grams_per_m2, DENSITY[piece.fibre])
    usual = ClothKind(kind) if kind else ClothKind.SHEETING
    return solid_section_mm2(strip_mm, USUAL_WEIGHT[usual], DENSITY[Fibre.UNKNOWN])


def _loom(session: Session, on: str, what: What) -> int:
    row = loom_table.by_id(session, int(on)) if on.isascii() and on.isdigit() and is_number_of_a_row(int(on)) else None
    if row is None:
        raise NotFound(Problem("loom.unknown", "on"))
    if what in (What.DRAW_IN, What.RELAXATION) and not isinstance(loom_table.loom_of(row), ShaftLoom):
        raise Refusal(Problem("choice.unknown", "what", {"text": what.value}))
    return row.id


def _tool(on: str) -> str:
    if on not in [tool.value for tool in Tool]:
        raise Refusal(Problem("choice.unknown", "on", {"text": on[:24]}))
    return on


def _written_down(told: Told) -> dict[str, object]:
    """What was told, as plain values: lengths in whole nanometres, numbers as text."""
    found: dict[str, object] = {}
    for name in ("count", "minutes"):
        number = getattr(told, name)
        if number is not None:
            found[name] = str(number)
    for name in ("first", "second"):
        length = getattr(told, name)
        if length is not None:
            found[name] = length.nm
    return found


def strike(store: Store, *, measurement: int, saving: str, now: datetime) -> None:
    """Strike out a measurement that was a mistake; it stays in the record and counts no more.

    Raises:
        NotFound: ``quick.unknown``.
        Clash: ``quick.struck`` when it is struck out already.
    """
    with store.writing() as session:
        if presses.claim(session, act=f"quick.strike.{measurement}", token=saving, given=None, now=now) is None:
            found = table.measurement_by_id(session, measurement) if is_number_of_a_row(measurement) else None
            if found is None:
                raise NotFound(Problem("quick.unknown"))
            if found.struck_at is not None:
                raise Clash(Problem("quick.struck"))
            found.struck_at = now
