"""What the shop's own rugs say: learned anew from all that was seen, whenever anything was saved since.

What was learned is remembered with a mark of how the shop stood then. It is what learning it again would give, to the last
bit, so that remembering it changes nothing but the time it takes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final
from weakref import WeakKeyDictionary

from shop.core.evidence import Guess
from shop.core.hours import PACES, Pace
from shop.core.learning import Learned, Place, learn
from shop.core.own_figures import guesses_for
from shop.core.weft import CUTTING_WASTE, packing_guess, take_up_guess
from shop.store import learning as table
from shop.store.engine import Session, Store
from shop.usecases.evidence_of_jobs import MOST_JOBS, Seen, seen_in
from shop.usecases.loom import LoomCard, looms_in
from shop.usecases.pace import PaceLine, paces_in, paces_on

NEVER: Final = date(2000, 1, 1)
HALF_LIFE: Final = None
"""The weaver's pace stays as it is, unless the shop has set how long it holds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RugsSay:
    """What the rugs say.

    Attributes:
        seen: every record, those set aside too.
        learned: from those that count.
        looms: of the shop, in use first.
        half_life: days after which a record of the weaver's pace counts half; ``None`` for never.
        revision: of that setting.
    """

    seen: Seen
    learned: Learned
    looms: tuple[LoomCard, ...]
    half_life: int | None
    revision: int

    def loom(self, on: str) -> LoomCard | None:
        """The loom that records call so; ``None`` where it is a tool."""
        return next((card for card in self.looms if str(card.id) == on), None)


_known: WeakKeyDictionary[object, tuple[object, RugsSay]] = WeakKeyDictionary()
"""For each database: how it stood, and what its rugs said then."""


def rugs_say(store: Store) -> RugsSay:
    """What the shop's rugs say."""
    with store.reading() as session:
        return rugs_say_in(session)


def rugs_say_in(session: Session) -> RugsSay:
    """What the shop's rugs say, as part of another use case that changes nothing."""
    standing, bind = table.standing_of(session, limit=MOST_JOBS), session.get_bind()
    known = _known.get(bind)
    if known is not None and known[0] == standing:
        return known[1]
    found = _said(session, known[1] if known else None)
    _known[bind] = (standing, found)
    return found


def _said(session: Session, before: RugsSay | None) -> RugsSay:
    looms = (*looms_in(session), *looms_in(session, archived=True))
    guesses = starting_from(looms, paces_in(session))
    habit = table.habit(session)
    half_life = habit.half_life if habit else HALF_LIFE
    seen = seen_in(session, looms)
    alike = (
        before is not None
        and before.seen.records == seen.records
        and before.learned.guesses == guesses
        and before.half_life == half_life
    )
    if before is not None and alike:
        learned = before.learned
    else:
        today = max((one.day for one in seen.records), default=NEVER)
        learned = learn(seen.records, guesses, today=today, half_life=half_life)
    return RugsSay(seen=seen, learned=learned, looms=looms, half_life=half_life, revision=habit.revision if habit else 0)


def starting_from(looms: tuple[LoomCard, ...], paces: tuple[PaceLine, ...]) -> Mapping[Place, Guess]:
    """Where learning starts from: what the shop has set, or the starting guesses."""
    found: dict[Place, Guess] = {}
    for card in looms:
        loom = card.loom
        found |= guesses_for(
            loom,
            name=str(card.id),
            packing=float(card.packing) if card.packing is not None else packing_guess(loom),
            take_up=float(card.weft_take_up) if card.weft_take_up is not None else take_up_guess(loom),
            waste=CUTTING_WASTE,
            pace=pace_as_set(paces, loom.kind),
        )
    return found


def pace_as_set(paces: tuple[PaceLine, ...], kind: str) -> Pace:
    """The shop's pace on a kind of loom, as it was set or is guessed."""
    lines = paces_on(paces, kind)
    return Pace(**{key: float(lines[key].minutes) for key in PACES})
