"""How fast the shop works: minutes for each unit of each step, measured, set, or guessed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from functools import cache
from typing import Final

from shop.core.errors import Clash, Problem
from shop.core.hours import PACES, pace_guess
from shop.core.money import exact
from shop.core.spread import Basis
from shop.store import numbering
from shop.store import pace as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given

LOOM_KINDS: Final = ("frame", "shaft", "plank")
BY_LOOM: Final = tuple(key for key in PACES if key.startswith(("warp_", "weave_", "band_")))
"""Paces that depend on the kind of loom; the others are the same on every loom."""
SLOWEST: Final = 10_000
_SERIES: Final = "pace"


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceGiven:
    """A pace as its owner sets it.

    Attributes:
        loom_kind: ``frame``, ``shaft`` or ``plank``; ``any`` for a pace that does not depend on the loom.
        key: one of ``shop.core.hours.PACES``.
        minutes: ``None`` goes back to the starting guess.
        measured: timed in this shop, rather than set by feeling.
    """

    loom_kind: str
    key: str
    minutes: Decimal | None
    measured: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceLine:
    """A pace, where it comes from, and what the starting guess would be.

    Attributes:
        set_by: who set it; empty for a guess. ``set_at``: when.
    """

    loom_kind: str
    key: str
    minutes: Decimal
    basis: Basis
    guess: Decimal
    set_by: str = ""
    set_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceSheet:
    """Every pace at one moment.

    Attributes:
        lines: the paces.
        revision: goes up each time that paces are set; 0 before the first.
    """

    lines: tuple[PaceLine, ...]
    revision: int


def sheet(store: Store) -> PaceSheet:
    """Every pace, and how often they have been set: what a form for them is filled in from."""
    with store.reading() as session:
        return PaceSheet(lines=paces_in(session), revision=numbering.last(session, _SERIES))


def paces(store: Store) -> tuple[PaceLine, ...]:
    """Every pace: those of the looms kind by kind, then those that are the same on all."""
    with store.reading() as session:
        return paces_in(session)


def paces_in(session: Session) -> tuple[PaceLine, ...]:
    """Every pace, as part of another use case."""
    rows = {(row.loom_kind, row.key): row for row in table.all_paces(session)}
    wanted = [(kind, key) for kind in LOOM_KINDS for key in BY_LOOM]
    wanted += [(table.EVERY_LOOM, key) for key in PACES if key not in BY_LOOM]
    return tuple(_line(kind, key, rows.get((kind, key))) for kind, key in wanted)


def paces_on(lines: tuple[PaceLine, ...], loom_kind: str) -> Mapping[str, PaceLine]:
    """The paces that hold on one kind of loom, by key."""
    return {line.key: line for line in lines if line.loom_kind in (loom_kind, table.EVERY_LOOM)}


@cache
def _guessed(kind: str, key: str) -> PaceLine:
    guess = exact(getattr(pace_guess("frame" if kind == table.EVERY_LOOM else kind), key))
    return PaceLine(loom_kind=kind, key=key, minutes=guess, basis=Basis.GUESS, guess=guess)


def _line(kind: str, key: str, row: table.PaceRow | None) -> PaceLine:
    guessed = _guessed(kind, key)
    if row is None:
        return guessed
    return PaceLine(
        loom_kind=kind,
        key=key,
        minutes=row.minutes,
        basis=Basis(row.basis),
        guess=guessed.guess,
        set_by=row.set_by,
        set_at=row.set_at,
    )


def change(
    store: Store, *, paces: tuple[PaceGiven, ...], revision: int, by: str, saving: str, now: datetime
) -> tuple[PaceLine, ...]:
    """Set paces; those not named stay as they are, and one said anew with the same minutes keeps its date.

    Args:
        store: the shop's database.
        paces: the paces to set or to forget.
        revision: of the sheet that they were set on.
        by: the name of whoever sets them.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        Refusal: with every problem found, at ``pace.frame.weave_per_row`` and so on: ``number.small``,
            ``number.large``, ``number.missing``, ``number.finer``, ``choice.unknown``.
        Clash: ``pace.changed`` when paces have been set since the form was shown.
    """
    given = Given()
    for pace in paces:
        at = f"pace.{pace.loom_kind}.{pace.key}"
        given.choice(at, pace.key, BY_LOOM if pace.loom_kind in LOOM_KINDS else PACES)
        given.choice(at, pace.loom_kind, LOOM_KINDS if pace.key in BY_LOOM else (table.EVERY_LOOM,))
        if pace.minutes is not None:
            given.number(at, pace.minutes, 0, SLOWEST)
    given.done()
    with store.writing() as session:
        if presses.claim(session, act="pace.change", token=saving, given=paces, now=now) is None:
            if numbering.take(session, _SERIES)[0] != revision + 1:
                raise Clash(Problem("pace.changed"))
            for pace in paces:
                _put(session, pace, by=by, now=now)
            presses.settle(session, act="pace.change", token=saving, about=1)
            session.flush()
        return paces_in(session)


def _put(session: Session, pace: PaceGiven, *, by: str, now: datetime) -> None:
    if pace.minutes is None:
        table.forget(session, loom_kind=pace.loom_kind, key=pace.key)
        return
    basis = Basis.MEASURED if pace.measured else Basis.SETTING
    table.put(
        session,
        loom_kind=pace.loom_kind,
        key=pace.key,
        minutes=pace.minutes,
        basis=basis.value,
        by=by,
        now=now,
    )
