"""So much of a piece, as it is said at the loom: all of it, about half, six strips, a square yard, or by the scale.

Every way of saying it comes down to parts of the piece as the ledger counts them, and goes back up into all the other
ways, so that the weaver sees at once whether she said what she meant.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from shop.core.cloth import Cloth
from shop.core.errors import NotPossible, Problem
from shop.core.ledger import WHOLE
from shop.core.measure import Length, Weight
from shop.core.strips import FRAY, Tool, Way
from shop.core.warp import Yarn

SQUARE_NM: Final = 10**18
"""Square nanometres in a square metre."""
_NEARLY: Final = 1000
"""A millionth of a piece, in parts: what is nearer to all that is left than this is all of it."""
MOST_STRIPS: Final = 10_000


@dataclass(frozen=True, slots=True)
class All:
    """All that is left."""


@dataclass(frozen=True, slots=True)
class Share:
    """A share of what is left: ``Decimal("0.5")`` is half of it."""

    share: Decimal


@dataclass(frozen=True, slots=True)
class Strips:
    """So many strips, each of such a length.

    Attributes:
        count: how many.
        each: the length of one.
        strip: its width.
        tool: torn strips fray, so each takes that much more of the cloth.
    """

    count: int
    each: Length
    strip: Length
    tool: Tool = Tool.ROTARY


@dataclass(frozen=True, slots=True)
class Area:
    """So much of the cloth, laid flat, in square metres."""

    square_metres: Decimal


@dataclass(frozen=True, slots=True)
class Weighed:
    """What was taken, on the scale."""

    weight: Weight


@dataclass(frozen=True, slots=True)
class Scale:
    """What was left of the piece on the scale before, and after."""

    before: Weight
    after: Weight


@dataclass(frozen=True, slots=True)
class Run:
    """So much yarn off the cone."""

    length: Length


Amount = All | Share | Strips | Area | Weighed | Scale | Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Stuff:
    """What is drawn from: a piece of cloth or a cone of yarn, and how much of it lies there.

    Attributes:
        left: parts of the piece (``shop.core.ledger.WHOLE`` is all of it) that lie there.
        cloth: of a piece of cloth, as it was when it was whole.
        yarn: of a cone; ``run`` how much was on it when it was whole.
    """

    left: int
    cloth: Cloth | None = None
    yarn: Yarn | None = None
    run: Length = Length(0)

    @property
    def grams(self) -> float:
        """The weight of the whole piece, in grams."""
        if self.cloth is not None:
            return self.cloth.grams
        return self.yarn.grams(self.run.metres) if self.yarn is not None else 0.0


def parts_of(stuff: Stuff, amount: Amount) -> int:
    """Parts of the piece that an amount comes to: never more than lie there, never none.

    A strip takes ``strip width + 2 x fray`` of the cloth's width when it is torn. By weight, a piece is as heavy as it
    is known to be; by the scale before and after, only their ratio counts, so it needs no such knowledge.

    Args:
        stuff: that is drawn from.
        amount: as it was said.

    Raises:
        NotPossible: ``amount.none`` for nothing, ``amount.more`` for more than lies there (``share`` of the piece lies
            there, ``asked`` was asked for), ``amount.share`` outside 0 to 1, ``amount.scale`` when it weighs more after
            than before, ``amount.cloth`` and ``amount.yarn`` for a way of saying it that does not fit the stuff.
    """
    if stuff.left <= 0:
        raise NotPossible(Problem("amount.gone"))
    exact = _exact(stuff, amount)
    if exact <= 0:
        raise NotPossible(Problem("amount.none", "amount"))
    parts = round(exact)
    if parts > stuff.left + _NEARLY:
        values = {"share": stuff.left / WHOLE, "percent": float(exact) / WHOLE}
        raise NotPossible(Problem("amount.more", "amount", values))
    if parts >= stuff.left - _NEARLY:
        return stuff.left
    return max(1, parts)


def _exact(stuff: Stuff, amount: Amount) -> Fraction:
    """Parts of the piece, before they are made whole."""
    left = Fraction(stuff.left)
    if isinstance(amount, All):
        return left
    if isinstance(amount, Share):
        if not 0 <= amount.share <= 1:
            raise NotPossible(Problem("amount.share", "amount"))
        return left * Fraction(amount.share)
    if isinstance(amount, Scale):
        if amount.after > amount.before:
            raise NotPossible(Problem("amount.scale", "amount"))
        return left * Fraction(amount.before.ng - amount.after.ng, amount.before.ng) if amount.before.ng else left * 0
    if isinstance(amount, Weighed):
        return Fraction(amount.weight.ng) / (Fraction(stuff.grams) * 10**9) * WHOLE
    if isinstance(amount, Run):
        if stuff.cloth is not None:
            raise NotPossible(Problem("amount.cloth", "amount"))
        return Fraction(amount.length.nm, stuff.run.nm) * WHOLE
    if stuff.cloth is None:
        raise NotPossible(Problem("amount.yarn", "amount"))
    whole = Fraction(stuff.cloth.width.nm * stuff.cloth.length.nm)
    return _area(amount) / whole * WHOLE


def _area(amount: Strips | Area) -> Fraction:
    """Square nanometres."""
    if isinstance(amount, Area):
        return Fraction(amount.square_metres) * SQUARE_NM
    pitch = amount.strip + FRAY * 2 if amount.tool is Tool.TEAR else amount.strip
    return Fraction(amount.count * amount.each.nm * pitch.nm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """So much of a piece, said in every way at once.

    Attributes:
        parts: of the piece, as the ledger counts.
        of_left: share of what lies there; ``of_whole`` of the piece as it came home.
        square_metres: of cloth.
        grams: by what the piece is known to weigh.
        strip_m: metres of strip that width, by area: ``area / (strip width + 2 x fray when torn)``; of yarn, metres of it.
        strips: that many strips as long as the piece, or as it is wide, whichever ``way`` says; of yarn, none.
    """

    parts: int
    of_left: float
    of_whole: float
    square_metres: float
    grams: float
    strip_m: float
    strips: float


def said(stuff: Stuff, parts: int, *, strip: Length, tool: Tool = Tool.ROTARY, way: Way = Way.ALONG) -> Said:
    """Parts of a piece in every way of saying them."""
    whole = parts / WHOLE
    area = length = count = 0.0
    if stuff.cloth is not None:
        area = stuff.cloth.area_m2 * whole
        pitch = strip + FRAY * 2 if tool is Tool.TEAR else strip
        length = area / pitch.metres
        each = stuff.cloth.width if way is Way.ACROSS else stuff.cloth.length
        count = length / each.metres
    else:
        length = stuff.run.metres * whole
    return Said(
        parts=parts,
        of_left=parts / stuff.left if stuff.left else 0.0,
        of_whole=whole,
        square_metres=area,
        grams=stuff.grams * whole,
        strip_m=length,
        strips=count,
    )
