"""A plain book of the fabric ledger, kept beside it: fractions of pieces and whole cents, in the simplest way there is.

It knows nothing of the shop's tables. It is told what was done and what the shop said went with it, and says where
everything must be.
"""

from collections import defaultdict
from fractions import Fraction
from math import floor


class Book:
    """What lies where, by place: ``shelf``, a job's number, ``("rug", job)``, or ``gone``."""

    def __init__(self):
        self.paid = 0
        self.cost = defaultdict(lambda: defaultdict(int))
        self.parts = defaultdict(lambda: defaultdict(Fraction))
        self.days = []

    def come(self, piece, cost, parts=Fraction(1)):
        self.paid += cost
        self.cost["shelf"][piece] += cost
        self.parts["shelf"][piece] += parts

    def fair(self, piece, source, parts):
        """What so much of what lies there costs: its share, half a cent up; the last of it takes the last cent."""
        held, cost = self.parts[source][piece], self.cost[source][piece]
        return cost if parts == held else floor(cost * parts / held + Fraction(1, 2))

    def move(self, piece, source, target, parts, cost):
        for place, sign in ((source, -1), (target, 1)):
            self.cost[place][piece] += sign * cost
            self.parts[place][piece] += sign * parts
            assert self.cost[place][piece] >= 0, (place, piece)
            assert self.parts[place][piece] >= 0, (place, piece)
            assert self.parts[place][piece] or not self.cost[place][piece], "a cent without cloth"

    def cut(self, piece, new, parts, cost):
        self.cost["shelf"][piece] -= cost
        self.parts["shelf"][piece] -= parts
        self.cost["shelf"][new] += cost
        self.parts["shelf"][new] += 1

    def joined(self, piece, new, parts, cost):
        self.cut(piece, new, -parts, -cost)
        self.parts["shelf"][new] -= 2
        assert self.parts["shelf"][new] == 0

    def in_place(self, wanted):
        """The cents in a kind of place: ``shelf``, ``jobs``, ``rugs`` or ``gone``."""
        total = 0
        for place, pieces in self.cost.items():
            kind = {"shelf": "shelf", "gone": "gone"}.get(place, "rugs" if isinstance(place, tuple) else "jobs")
            if kind == wanted:
                total += sum(pieces.values())
        return total

    def sums(self):
        return (self.paid, *(self.in_place(kind) for kind in ("shelf", "jobs", "rugs", "gone")))
