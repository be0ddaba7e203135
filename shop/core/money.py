"""Money, exact to its currency's smallest coin.

The one module that makes Decimals out of amounts and rounds them: half-up, once. How many decimals a
currency has comes from ISO 4217 as Babel carries it (0 for yen, 3 for the Kuwaiti dinar).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from functools import cache
from typing import Final

from babel.core import get_global

from shop.core.errors import NotPossible, Problem, Unreadable
from shop.core.measure import parse_number

LARGEST_MINOR: Final = 10**15
"""An amount beyond this many of the smallest coin is taken for a slip of the hand."""
_MOST_DIGITS: Final = 18
"""Whole smallest coins that a figure may have before it is refused: what a store can keep of it."""


@cache
def decimals_of(currency: str) -> int:
    """How many decimals a currency has: 2 for ``USD``, 0 for ``JPY``, 3 for ``KWD``.

    Raises:
        NotPossible: ``money.currency`` when no such currency is known.
    """
    if currency not in _known_currencies():
        raise NotPossible(Problem("money.currency", values={"currency": currency}))
    digits: dict[str, tuple[int, ...]] = get_global("currency_fractions")  # type: ignore[assignment]
    return digits.get(currency, digits["DEFAULT"])[0]


@cache
def _known_currencies() -> frozenset[str]:
    return frozenset(get_global("all_currencies"))


@cache
def step_of(currency: str) -> Decimal:
    """The smallest coin of a currency as an amount: ``0.01``, ``1`` or ``0.001``."""
    return Decimal(1).scaleb(-decimals_of(currency))


@dataclass(frozen=True, slots=True)
class Money:
    """An exact amount, in whole smallest coins (minor units), with its ISO 4217 currency."""

    minor: int
    currency: str

    @classmethod
    def of(cls, amount: Decimal | int | str, currency: str) -> Money:
        """An amount that must already be exact.

        Raises:
            NotPossible: ``money.finer`` when it is finer than the smallest coin.
        """
        scaled = Decimal(amount).scaleb(decimals_of(currency))
        if scaled != scaled.to_integral_value():
            raise NotPossible(Problem("money.finer", values={"currency": currency}))
        return cls(int(scaled), currency)

    @classmethod
    def rounded(cls, amount: Decimal | float, currency: str) -> Money:
        """An amount out of a formula, rounded half-up (away from zero at the half) to the smallest coin.

        Raises:
            NotPossible: ``money.large`` when it has more digits than can be kept, or is no number.
        """
        exact = amount if isinstance(amount, Decimal) else Decimal(repr(amount))
        scaled = exact.scaleb(decimals_of(currency))
        if not scaled.is_finite() or (scaled and scaled.adjusted() >= _MOST_DIGITS):
            raise NotPossible(Problem("money.large"))
        return cls(int(scaled.quantize(Decimal(1), rounding=ROUND_HALF_UP)), currency)

    @classmethod
    def zero(cls, currency: str) -> Money:
        """Nothing, in a currency."""
        return cls(0, currency)

    @property
    def amount(self) -> Decimal:
        """The amount as a Decimal with the currency's own decimals: ``Decimal("12.50")``."""
        return Decimal(self.minor).scaleb(-decimals_of(self.currency))

    def plain(self) -> str:
        """For programs: ``"12.50"``, ``"1800"``, ``"1.250"``."""
        return f"{self.amount:f}"

    def _same(self, other: Money) -> None:
        if other.currency != self.currency:
            raise NotPossible(Problem("money.mixed", values={"one": self.currency, "other": other.currency}))

    def __add__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.minor + other.minor, self.currency)

    def __sub__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.minor - other.minor, self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)

    def __mul__(self, times: int) -> Money:
        return Money(self.minor * times, self.currency)

    def __lt__(self, other: Money) -> bool:
        self._same(other)
        return self.minor < other.minor

    def __le__(self, other: Money) -> bool:
        self._same(other)
        return self.minor <= other.minor

    def __bool__(self) -> bool:
        return self.minor != 0

    def share(self, part: Decimal | float) -> Money:
        """A share of it (``0.5`` is half), rounded half-up."""
        return Money.rounded(self.amount * exact(part), self.currency)


def exact(number: Decimal | float) -> Decimal:
    """A share or rate as the decimal that it was written as: 0.1 is one tenth exactly."""
    return number if isinstance(number, Decimal) else Decimal(repr(number))


def total(amounts: Iterable[Money], currency: str) -> Money:
    """The sum; nothing sums to zero of the currency."""
    result = Money.zero(currency)
    for amount in amounts:
        result = result + amount
    return result


def allocate(whole: int, weights: Sequence[Decimal | int | float]) -> list[int]:
    """Share out whole units in proportion to weights, by largest remainder (Hamilton's method).

    Each share is the floor or the ceiling of its exact part, and the shares add up to ``whole``. Ties go
    to the earlier part. A negative whole mirrors the shares of its opposite. Weights that are all zero
    share evenly.

    Raises:
        NotPossible: ``share.none`` when there are no parts, ``share.negative`` for a negative weight.
    """
    if not weights:
        raise NotPossible(Problem("share.none"))
    if whole < 0:
        return [-part for part in allocate(-whole, weights)]
    parts = [exact(weight) for weight in weights]
    if min(parts) < 0:
        raise NotPossible(Problem("share.negative"))
    if not any(parts):
        parts = [Decimal(1)] * len(parts)
    scale = 10 ** max(0, *(-int(part.as_tuple().exponent) for part in parts))
    counts = [int(part * scale) for part in parts]
    everything = sum(counts)
    floors = [whole * count // everything for count in counts]
    missing = whole - sum(floors)
    by_remainder = sorted(range(len(counts)), key=lambda i: (-(whole * counts[i] % everything), i))
    for index in by_remainder[:missing]:
        floors[index] += 1
    return floors


def split(money: Money, weights: Sequence[Decimal | int | float]) -> list[Money]:
    """Money shared out in proportion to weights, adding up to the last coin."""
    return [Money(part, money.currency) for part in allocate(money.minor, weights)]


def round_to_step(money: Money, step: Money, *, up: bool = True) -> Money:
    """A price brought to the shop's price steps: up to the next one, or to the nearest (half up).

    A step of nothing leaves the price as it is.
    """
    money._same(step)  # noqa: SLF001 - the same class's own check
    if step.minor <= 0:
        return money
    steps = Decimal(money.minor) / step.minor
    whole = steps.quantize(Decimal(1), rounding=ROUND_CEILING if up else ROUND_HALF_UP)
    return Money(int(whole) * step.minor, money.currency)


def parse_money(text: str, currency: str, *, decimal_mark: str = ".") -> Money:
    """An amount as typed: ``12.50``, ``1 200``, ``1,200.00`` where the comma sets thousands apart.

    A currency sign or code beside the number is dropped.

    Raises:
        Unreadable: ``money.missing``, ``money.unreadable``, ``money.finer``, ``money.negative``,
            ``money.large``, ``number.mark`` or ``text.long``.
    """
    bare = text.replace(currency, "").replace(currency.lower(), "").strip().strip("$€£¥₩₹").strip()
    if bare.lower().endswith("kr"):
        bare = bare[:-2].strip()
    try:
        amount = parse_number(bare, decimal_mark=decimal_mark, grouped=True)
    except Unreadable as error:
        problem = error.problems[0]
        code = problem.code.replace("number.missing", "money.missing")
        code = code.replace("number.unreadable", "money.unreadable")
        raise Unreadable(Problem(code, values=problem.values)) from None
    if amount < 0:
        raise Unreadable(Problem("money.negative", values={"text": text.strip()[:24]}))
    scaled = amount.scaleb(decimals_of(currency))
    if scaled > LARGEST_MINOR:
        raise Unreadable(Problem("money.large"))
    if scaled != scaled.to_integral_value():
        values = {"text": text.strip()[:24], "decimals": decimals_of(currency), "currency": currency}
        raise Unreadable(Problem("money.finer", values=values))
    return Money(int(scaled), currency)
