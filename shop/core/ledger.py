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

from collections.abc import Iterable
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
