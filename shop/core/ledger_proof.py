"""Proving the fabric ledger: its movements are played again, oldest first, and each is held to what it may do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shop.core.errors import NotPossible
from shop.core.ledger import COMES, ROUTES, STATES, WHOLE, Holding, Kind, Movement, Place, Standing, standing


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
