"""Where the cost of a rug left its quote: by another price, or by another quantity.

The standard is what the quote allowed, the actual what the making took. Of an input there are three columns,
each rounded once; the variances are the steps between them:

    actual              actual quantity x actual price
    at standard price   actual quantity x standard price
    standard            standard quantity x standard price

    price variance = (actual price - standard price) x actual quantity
    usage variance = (actual quantity - standard quantity) x standard price

Of labour they are called rate and efficiency variance, of overhead by the hour spending and efficiency
variance. A positive one is a cost above the standard. Source: textbooks of cost accounting, standard costs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, exact


class InputKind(Enum):
    """The kinds of cost in a job."""

    CLOTH = "cloth"
    WARP = "warp"
    LABOUR = "labour"
    OVERHEAD = "overhead"
    BOUGHT_IN = "bought_in"


class Direction(Enum):
    """What a difference does to the maker's profit."""

    FAVOURABLE = "favourable"
    UNFAVOURABLE = "unfavourable"
    NONE = "none"

    @classmethod
    def of_cost(cls, variance: Money) -> Direction:
        """Of a cost: positive is a cost above its standard, and unfavourable."""
        return cls.of_earning(-variance)

    @classmethod
    def of_earning(cls, difference: Money) -> Direction:
        """Of earnings: positive is favourable."""
        effect = cls.FAVOURABLE if difference.minor > 0 else cls.UNFAVOURABLE
        return effect if difference else cls.NONE


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """What the quote allowed of an input; what is unknown is ``None``.

    Attributes:
        quantity: in ``unit``, a label such as ``"g"`` or ``"h"``.
        price: amount for a unit, unrounded.
        cost: the line as quoted, where it was rounded with others or agreed as a sum. Beside a quantity it
            goes before the price, which is then ``cost / quantity``.
    """

    quantity: Decimal | float | None
    unit: str
    price: Decimal | None = None
    cost: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Actual:
    """What the making took of an input: so much, measured as in the standard, and what all of it cost."""

    quantity: Decimal | float
    unit: str
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One input, known by a key; no standard means that it was not quoted, no actual that it was not used."""

    key: str
    kind: InputKind
    standard: Standard | None
    actual: Actual | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Variance:
    """The three columns, in exact money, and the steps between them."""

    actual: Money
    at_standard_price: Money
    standard: Money

    @property
    def price(self) -> Money:
        """Price (rate, spending) variance."""
        return self.actual - self.at_standard_price

    @property
    def usage(self) -> Money:
        """Usage (efficiency) variance."""
        return self.at_standard_price - self.standard

    @property
    def total(self) -> Money:
        """``actual - standard``: price and usage variance together, to the coin."""
        return self.actual - self.standard

    def __add__(self, other: Variance) -> Variance:
        return Variance(
            actual=self.actual + other.actual,
            at_standard_price=self.at_standard_price + other.at_standard_price,
            standard=self.standard + other.standard,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Earning:
    """What an hour earns from: price net of fees and contained tax, the costs it pays first, and the time."""

    net: Money
    materials: Money
    overhead: Money
    bought_in: Money
    minutes: float

    @property
    def hourly(self) -> Money:
        """``(net - materials - overhead - bought in) x 60 / minutes``, rounded once.

        Raises:
            NotPossible: ``hourly.no_hours`` for a rug that takes no time.
        """
        if not 0 < self.minutes < math.inf:
            raise NotPossible(Problem("hourly.no_hours", "hours"))
        left = self.net - self.materials - self.overhead - self.bought_in
        return Money.rounded(left.amount * 60 / exact(self.minutes), self.net.currency)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A rug as quoted against the rug as made: each input with its variance, in the order given.

    What an hour was quoted to earn, and what it earned, is ``None`` without a price.
    """

    currency: str
    lines: tuple[tuple[Input, Variance], ...]
    hourly_quoted: Money | None
    hourly_real: Money | None

    def of(self, *kinds: InputKind) -> Variance:
        """The inputs of some kinds together: ``of(CLOTH, WARP)`` is materials."""
        zero = Money.zero(self.currency)
        nothing = Variance(actual=zero, at_standard_price=zero, standard=zero)
        return sum((variance for line, variance in self.lines if line.kind in kinds), start=nothing)

    @property
    def whole(self) -> Variance:
        """All inputs together: its total is actual total - standard total."""
        return self.of(*InputKind)

    @property
    def hourly_difference(self) -> Money | None:
        """``real - quoted``: positive is favourable. ``None`` where one of them is not known."""
        if self.hourly_quoted is None or self.hourly_real is None:
            return None
        return self.hourly_real - self.hourly_quoted


def _possible(number: Decimal | float | None) -> bool:
    return number is None or (exact(number).is_finite() and number >= 0)


def _problems(line: Input, currency: str) -> Iterator[Problem]:
    """Everything about an input that cannot be."""
    standard, actual = line.standard, line.actual
    if standard and actual and standard.unit != actual.unit:
        units = {"standard": standard.unit, "actual": actual.unit}
        yield Problem("variance.unit", f"{line.key}.unit", units)
    for name, side in (("standard", standard), ("actual", actual)):
        if side and not _possible(side.quantity):
            yield Problem("variance.quantity", f"{line.key}.{name}.quantity", {"quantity": side.quantity})
        if side and side.cost is not None and side.cost < Money.zero(currency):
            yield Problem("variance.cost", f"{line.key}.{name}.cost", {"cost": side.cost})
    if standard and not _possible(standard.price):
        yield Problem("variance.price", f"{line.key}.standard.price", {"price": standard.price})


def variance_of(line: Input, currency: str) -> Variance:
    """The price and the usage variance of one input.

    The price variance is rounded, half-up in the middle column, and the usage variance has the rest.

    - Not in the quote, or there without quantity, price and cost: all is usage.
    - Quoted and not used: all is usage; what was paid nevertheless is price.
    - Standard price zero, or unknown beside a quantity: all is price. A sum without quantity and price: too.
    - Standard quantity zero, or unknown beside a price: a quantity of zero in the formulas.

    Raises:
        NotPossible: ``variance.unit`` where standard and actual are measured differently;
            ``variance.quantity``, ``variance.price``, ``variance.cost`` below nothing or no number;
            ``money.mixed``, ``money.large``.
    """
    if problems := tuple(_problems(line, currency)):
        raise NotPossible(*problems)
    zero = Money.zero(currency)
    quoted = line.standard or Standard(quantity=None, unit="")
    made = line.actual or Actual(quantity=0, unit="", cost=zero)
    allowed, used = exact(quoted.quantity or 0), exact(made.quantity)
    standard = Money.rounded(allowed * (quoted.price or 0), currency) if quoted.cost is None else quoted.cost
    if allowed and (quoted.price is None or quoted.cost is not None):
        middle = Money.rounded(used * standard.amount / allowed, currency)
    elif quoted.price is not None:
        middle = Money.rounded(used * quoted.price, currency)
    elif quoted.cost is not None:
        middle = standard if used or made.cost else zero
    else:
        middle = made.cost
    return Variance(actual=made.cost, at_standard_price=middle, standard=standard)


def compare(
    inputs: Iterable[Input], currency: str, *, quoted: Earning | None = None, real: Earning | None = None
) -> Comparison:
    """The whole comparison: every input quoted or used, and what an hour was to earn and did.

    Raises:
        NotPossible: as ``variance_of``, with the problems of all inputs at once; ``hourly.no_hours``.
    """
    lines = tuple(inputs)
    if problems := [problem for line in lines for problem in _problems(line, currency)]:
        raise NotPossible(*problems)
    return Comparison(
        currency=currency,
        lines=tuple((line, variance_of(line, currency)) for line in lines),
        hourly_quoted=quoted.hourly if quoted else None,
        hourly_real=real.hourly if real else None,
    )
