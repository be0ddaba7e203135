"""What an explanation of a figure is: the formula that was used, with the values that went in.

An explanation names a formula and the terms in it; it holds no words. ``shop.words.formulas`` writes the
formula out, once with the names of the terms and once with their values. Each input says whether it was
measured in this shop, is the shop's setting, or is a starting guess.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from shop.core.measure import Length
from shop.core.money import Money
from shop.core.reckoning import Reckoning
from shop.core.spread import Basis, Estimate


@dataclass(frozen=True, slots=True)
class Quantity:
    """A plain number with its unit.

    Attributes:
        value: the number.
        unit: ``mm m m2 mm2 g kg min share count whole per_m g_per_m2 g_per_cm3 m_per_kg``, a pace in minutes as
            ``min_each min_per_m min_per_kg``, or ``ratio`` for a number without a unit. A ``whole`` number is
            counted up where it stands for an end of an estimate.
    """

    value: float
    unit: str


Shown = Quantity | Length | Money


@dataclass(frozen=True, slots=True)
class Term:
    """One input of a formula.

    Attributes:
        name: which input, e.g. ``"take_up"``.
        value: what it was.
        basis: where it comes from, or the least sure of what it rests on; ``None`` for what follows from the loom
            or the size alone.
        worked_out: whether it is a figure from further up.
    """

    name: str
    value: Shown
    basis: Basis | None = None
    worked_out: bool = False


@dataclass(frozen=True, slots=True)
class Explanation:
    """One figure explained.

    Attributes:
        key: which figure, e.g. ``"weft.rows"``.
        formula: which formula it came by, e.g. ``"weft.rows.counted"``.
        terms: its inputs, in the order of the formula.
        result: what it came to, at the middle.
        low: the low end of 8 of 10; ``None`` where the figure is not in doubt.
        high: the high end.
        cloth: the place of the cloth that it is about; ``None`` for the whole rug.
    """

    key: str
    formula: str
    terms: tuple[Term, ...]
    result: Shown
    low: Shown | None = None
    high: Shown | None = None
    cloth: int | None = None

    @property
    def basis(self) -> Basis | None:
        """The least sure of its inputs: a guess anywhere makes the figure rest on a guess."""
        return least_sure(term.basis for term in self.terms)


def least_sure(bases: Iterable[Basis | None]) -> Basis | None:
    """The least sure of several; ``None`` when there are none."""
    found = set(bases)
    return next((basis for basis in (Basis.GUESS, Basis.SETTING, Basis.MEASURED) if basis in found), None)


def estimated(
    key: str, formula: str, unit: str, estimate: Estimate, *terms: Term, cloth: int | None = None
) -> Explanation:
    """An explanation of an estimate, with its two ends where it is in doubt."""
    in_doubt = not estimate.is_sure
    return Explanation(
        key,
        formula,
        terms,
        Quantity(estimate.middle, unit),
        Quantity(estimate.low, unit) if in_doubt else None,
        Quantity(estimate.high, unit) if in_doubt else None,
        cloth,
    )


class Terms:
    """Makes terms of a plan's numbers, with their basis."""

    def __init__(self, reckoning: Reckoning) -> None:
        self._plan = reckoning.plan

    def set(self, name: str, path: str, value: float | Decimal | Length | Money, unit: str = "ratio") -> Term:
        """A number of the plan, by the path at which it is described."""
        shown = value if isinstance(value, Length | Money) else Quantity(float(value), unit)
        return Term(name, shown, self._plan.basis(path))

    def cloth(self, name: str, place: int, key: str, value: float | Length | Money, unit: str = "ratio") -> Term:
        """A number of one cloth, which may be said in its own table or once for all."""
        paths = (f"cloth.{place}.{key}", f"cloth.{key}", f"weft.{key}")
        bases = {self._plan.basis(path) for path in paths}
        basis = next((b for b in (Basis.MEASURED, Basis.GUESS) if b in bases), Basis.SETTING)
        shown = value if isinstance(value, Length | Money) else Quantity(float(value), unit)
        return Term(name, shown, basis)


def count(name: str, value: float) -> Term:
    """A count that was itself worked out."""
    return Term(name, Quantity(value, "count"))
