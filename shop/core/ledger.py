"""The fabric ledger: every cent that was paid for cloth is at every moment in exactly one place.

A movement takes a share of a piece, and the cost that goes with it, from one place to another: from outside to
the shelf when it comes home, from the shelf into a job when it is drawn, from the job into the finished rug. What
lies in a place is the sum of what came less what went, so what was paid is always what lies on the shelf, in jobs,
in rugs, and what was written off. Costs follow the very piece that they were paid for (specific identification);
of a piece that is used in part, what is drawn costs its share of what the rest cost.

Nothing is edited and nothing is taken out: a mistake is reversed by a second movement that names the first and
goes the opposite way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from shop.core.errors import NotPossible, Problem

WHOLE: Final = 10**9
"""A whole piece, in the parts that a movement counts."""


class Place(StrEnum):
    """Where cloth, and the money that was paid for it, can be."""

    OUTSIDE = "outside"
    SHELF = "shelf"
    JOB = "job"
    RUG = "rug"
    WRITTEN_OFF = "written off"
    ANOTHER_PIECE = "another piece"
    """On the way from a piece that is cut in two to the new one; empty again at the end of that act."""


class Kind(StrEnum):
    """What happened to a piece."""

    BROUGHT_HOME = "brought home"
    LATER_COST = "later cost"
    """Washing or dyeing, paid for after the piece came home."""
    SET_ASIDE = "set aside to wash"
    READY = "ready"
    DRAWN = "drawn"
    GIVEN_BACK = "given back"
    """Left over from a job, back on the shelf."""
    USUAL_WASTE = "usual waste"
    """Waste that every cutting brings: its cost stays in the job, so none moves with it."""
    SPOILED = "spoiled"
    """Waste beyond what is usual: written off."""
    GIVEN_AWAY = "given away"
    CUT_OFF = "cut off"
    """From a piece that is cut in two, what goes over to the new piece."""
    CUT_FROM = "cut from another"
    """The new piece's beginning."""
    WOVEN = "woven"
    REVERSED = "reversed"


ROUTES: Final[dict[Kind, tuple[tuple[Place, Place], ...]]] = {
    Kind.BROUGHT_HOME: ((Place.OUTSIDE, Place.SHELF),),
    Kind.LATER_COST: ((Place.OUTSIDE, Place.SHELF),),
    Kind.SET_ASIDE: ((Place.SHELF, Place.SHELF),),
    Kind.READY: ((Place.SHELF, Place.SHELF),),
    Kind.DRAWN: ((Place.SHELF, Place.JOB),),
    Kind.GIVEN_BACK: ((Place.JOB, Place.SHELF),),
    Kind.USUAL_WASTE: ((Place.JOB, Place.JOB),),
    Kind.SPOILED: ((Place.JOB, Place.WRITTEN_OFF), (Place.SHELF, Place.WRITTEN_OFF)),
    Kind.GIVEN_AWAY: ((Place.SHELF, Place.WRITTEN_OFF),),
    Kind.CUT_OFF: ((Place.SHELF, Place.ANOTHER_PIECE),),
    Kind.CUT_FROM: ((Place.ANOTHER_PIECE, Place.SHELF),),
    Kind.WOVEN: ((Place.JOB, Place.RUG),),
}
"""The ways that each kind of movement can go; a reversal goes one of them backwards."""

STATES: Final = (Kind.SET_ASIDE, Kind.READY)
COMES: Final = (Kind.BROUGHT_HOME, Kind.LATER_COST, Kind.CUT_FROM)
"""What brings a cost to the shelf that no rule of shares makes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """Something that happened to a piece, as it is written down.

    Attributes:
        id: its number; later ones are higher.
        piece: the piece's number in the ledger.
        share: parts of the piece (``WHOLE`` is all of it) that moved.
        cost: that moved with them, in the smallest coin.
        job: the job that it went into or came out of.
        on: the day that it counts for.
        reverses: the movement that it undoes.
        part_of: the first movement of the same act, where an act moves several at once.
    """

    id: int
    piece: int
    kind: Kind
    share: int
    cost: int
    source: Place
    target: Place
    on: date
    job: int | None = None
    reverses: int | None = None
    part_of: int | None = None


@dataclass(frozen=True, slots=True)
class Holding:
    """What lies in one place of one piece.

    Attributes:
        share: parts of the piece.
        cost: what was paid for them, in the smallest coin.
    """

    share: int = 0
    cost: int = 0

    def cost_of(self, share: int) -> int:
        """What so many parts of it cost: their share of its cost, half a coin up; the last parts take the last coin.

        Raises:
            NotPossible: ``ledger.more`` for more than there is, ``ledger.nothing`` for nothing at all.
        """
        if share <= 0:
            raise NotPossible(Problem("ledger.nothing"))
        if share > self.share:
            raise NotPossible(Problem("ledger.more"))
        if share == self.share:
            return self.cost
        return (2 * self.cost * share + self.share) // (2 * self.share)

    def after(self, share: int, cost: int) -> Holding:
        """What lies there once so much has come, or gone where it is negative.

        Raises:
            NotPossible: ``ledger.leaning`` when less than nothing would be left, or when money would be left behind
                without cloth: something later leans on what goes.
        """
        left = Holding(self.share + share, self.cost + cost)
        if left.share < 0 or left.cost < 0 or (left.share == 0 and left.cost):
            raise NotPossible(Problem("ledger.leaning"))
        return left


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the money is, in the smallest coin.

    Attributes:
        paid: for all cloth, with its part of tax, discount, trip, washing and dyeing.
    """

    paid: int = 0
    on_shelf: int = 0
    in_jobs: int = 0
    in_rugs: int = 0
    written_off: int = 0

    @property
    def adds_up(self) -> bool:
        """Whether what was paid is what lies in all the places together."""
        return self.paid == self.on_shelf + self.in_jobs + self.in_rugs + self.written_off


def standing(flows: Iterable[tuple[Place, Place, int]]) -> Standing:
    """Where the money is, from what went from where to where."""
    lies = dict.fromkeys(Place, 0)
    for source, target, cost in flows:
        lies[source] -= cost
        lies[target] += cost
    return Standing(
        paid=-lies[Place.OUTSIDE],
        on_shelf=lies[Place.SHELF],
        in_jobs=lies[Place.JOB],
        in_rugs=lies[Place.RUG],
        written_off=lies[Place.WRITTEN_OFF],
    )


@dataclass(frozen=True, slots=True)
class Fault:
    """A place where the ledger does not hold.

    Attributes:
        table: of the row: ``movement``, ``piece``, ``job_cloth`` or ``haul``; ``id`` its number.
        code: what is wrong with it.
        values: that a sentence about it names.
    """

    table: str
    id: int | str
    code: str
    values: tuple[tuple[str, object], ...] = ()


class Replay:
    """The ledger as it stands after the movements that were played, oldest first; says what does not hold."""

    def __init__(self) -> None:
        self.shelf: dict[int, Holding] = {}
        self.jobs: dict[tuple[int, int], Holding] = {}
        """By job and piece."""
        self.rugs: dict[tuple[int, int], Holding] = {}
        self.came: dict[int, int] = {}
        """By piece: what it cost when it came home, or was cut from another."""
        self.later: dict[int, int] = {}
        self.state: dict[int, Kind] = {}
        self.movements = 0
        self._flows: dict[tuple[Place, Place], int] = {}
        self._seen: dict[int, Movement] = {}
        self._undone: set[int] = set()
        self._states: dict[int, list[int]] = {}
        self._between: dict[int, int] = {}

    @property
    def standing(self) -> Standing:
        """Where the money is."""
        return standing((source, target, cost) for (source, target), cost in self._flows.items())

    def play(self, movement: Movement) -> Iterator[Fault]:
        """Play one movement; gives what is wrong with it."""
        self.movements += 1
        self._seen[movement.id] = movement
        yield from self._wrong_in_itself(movement)
        way = (movement.source, movement.target)
        self._flows[way] = self._flows.get(way, 0) + movement.cost
        first = movement.part_of or movement.id
        if Place.ANOTHER_PIECE in way:
            signed = movement.cost if movement.target is Place.ANOTHER_PIECE else -movement.cost
            self._between[first] = self._between.get(first, 0) + signed
        yield from self._moved(movement)
        self._remember(movement)

    def finish(self) -> Iterator[Fault]:
        """What is wrong once all have been played: acts that are not whole."""
        for first, cost in self._between.items():
            if cost:
                yield Fault("movement", first, "ledger.half_cut")

    def _wrong_in_itself(self, one: Movement) -> Iterator[Fault]:
        if one.share < 0 or one.cost < 0:
            yield Fault("movement", one.id, "ledger.negative")
        needs_job = Place.JOB in (one.source, one.target) or Place.RUG in (one.source, one.target)
        if needs_job is (one.job is None):
            yield Fault("movement", one.id, "ledger.job")
        if one.kind is not Kind.REVERSED:
            if (one.source, one.target) not in ROUTES[one.kind] or one.reverses is not None:
                yield Fault("movement", one.id, "ledger.route")
            return
        named = self._seen.get(one.reverses or 0)
        if named is None or named.kind is Kind.REVERSED or named.id == one.id:
            yield Fault("movement", one.id, "ledger.unpaired")
        elif named.id in self._undone:
            yield Fault("movement", one.id, "ledger.twice", (("named", named.id),))
        elif (one.piece, one.job, one.share, one.cost, one.source, one.target) != (
            named.piece,
            named.job,
            named.share,
            named.cost,
            named.target,
            named.source,
        ):
            yield Fault("movement", one.id, "ledger.differs", (("named", named.id),))

    def _moved(self, one: Movement) -> Iterator[Fault]:
        if one.source is one.target:
            if one.cost or (one.share and one.source is not Place.JOB):
                yield Fault("movement", one.id, "ledger.route")
            return
        if one.kind in COMES:
            if one.share != (0 if one.kind is Kind.LATER_COST else WHOLE):
                yield Fault("movement", one.id, "ledger.whole")
        elif one.kind is not Kind.REVERSED and self._is_unfair(one):
            yield Fault("movement", one.id, "ledger.unfair", (("piece", one.piece),))
        try:
            self._shift(one, one.source, -1)
            self._shift(one, one.target, 1)
        except NotPossible:
            yield Fault("movement", one.id, "ledger.below", (("piece", one.piece),))

    def _is_unfair(self, one: Movement) -> bool:
        """Whether another cost goes with it than its share of what lies where it comes from."""
        if one.source is Place.SHELF:
            held = self.shelf.get(one.piece, Holding())
        else:
            held = self.jobs.get((one.job or 0, one.piece), Holding())
        return one.share <= 0 or (one.share <= held.share and one.cost != held.cost_of(one.share))

    def _shift(self, one: Movement, place: Place, sign: int) -> None:
        """Take it out of a place, or put it into one."""
        if place is Place.SHELF:
            self.shelf[one.piece] = self.shelf.get(one.piece, Holding()).after(sign * one.share, sign * one.cost)
        elif place in (Place.JOB, Place.RUG):
            lies = self.jobs if place is Place.JOB else self.rugs
            key = (one.job or 0, one.piece)
            lies[key] = lies.get(key, Holding()).after(sign * one.share, sign * one.cost)

    def _remember(self, one: Movement) -> None:
        named = self._seen.get(one.reverses or 0)
        if one.kind is Kind.REVERSED and named is not None:
            self._undone.add(named.id)
        what, sign = (one, 1) if one.kind is not Kind.REVERSED else (named or one, -1)
        if one.kind in (Kind.BROUGHT_HOME, Kind.CUT_FROM):
            self.came[one.piece] = one.cost
        elif what.kind is Kind.LATER_COST:
            self.later[one.piece] = self.later.get(one.piece, 0) + sign * one.cost
        elif what.kind in STATES:
            states = self._states.setdefault(one.piece, [])
            if sign > 0:
                states.append(one.id)
            elif what.id in states:
                states.remove(what.id)
            self.state[one.piece] = self._seen[states[-1]].kind if states else Kind.SET_ASIDE
