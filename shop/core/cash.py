"""Cash: what it is rounded to where small coins are gone, and which notes and coins make a sum.

Only what is paid in cash is rounded, and only the whole of it, after tax: never a price, a line or the tax. Whatever is
paid by card stays as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.money import Money, round_to_step

CASH_STEPS: Final[Mapping[str, tuple[str, int]]] = MappingProxyType(
    {
        "SE": ("SEK", 100),  # lag 1970:1029, section 2
        "CH": ("CHF", 5),  # Unicode CLDR
        "CA": ("CAD", 5),  # Canada Revenue Agency, GI-131
        # From memory:
        "LI": ("CHF", 5),
        "NO": ("NOK", 100),
        "DK": ("DKK", 50),
        "FI": ("EUR", 5),
        "NL": ("EUR", 5),
        "BE": ("EUR", 5),
        "IE": ("EUR", 5),
        "IT": ("EUR", 5),
        "SK": ("EUR", 5),
        "EE": ("EUR", 5),
        "LT": ("EUR", 5),
        "CZ": ("CZK", 100),
        "HU": ("HUF", 500),
        "AU": ("AUD", 5),
    }
)
"""By country: its currency, and the step in smallest coins to which a sum in cash goes, half a step up.

A country that is not named here does not round, or leaves a part of the rule to the seller, as New Zealand does with the
half of its ten cents. Some of those named leave it to the seller whether to round at all; so a shop may set another step.
"""

TENDER: Final[Mapping[str, tuple[int, ...]]] = MappingProxyType(
    {
        "AUD": (100_00, 50_00, 20_00, 10_00, 5_00, 2_00, 1_00, 50, 20, 10, 5),
        "CAD": (100_00, 50_00, 20_00, 10_00, 5_00, 2_00, 1_00, 25, 10, 5),
        "CHF": (1000_00, 200_00, 100_00, 50_00, 20_00, 10_00, 5_00, 2_00, 1_00, 50, 20, 10, 5),
        "DKK": (500_00, 200_00, 100_00, 50_00, 20_00, 10_00, 5_00, 2_00, 1_00, 50),
        "EUR": (200_00, 100_00, 50_00, 20_00, 10_00, 5_00, 2_00, 1_00, 50, 20, 10, 5, 2, 1),
        "GBP": (50_00, 20_00, 10_00, 5_00, 2_00, 1_00, 50, 20, 10, 5, 2, 1),
        "NOK": (1000_00, 500_00, 200_00, 100_00, 50_00, 20_00, 10_00, 5_00, 1_00),
        "SEK": (1000_00, 500_00, 200_00, 100_00, 50_00, 20_00, 10_00, 5_00, 2_00, 1_00),
        "USD": (100_00, 50_00, 20_00, 10_00, 5_00, 1_00, 25, 10, 5, 1),
    }
)
"""Notes and coins that are given as change, in smallest coins, the largest first: from memory.

Each of these systems is canonical: taking the largest that fits, again and again, needs the fewest pieces.
"""
MOST_PIECES: Final = 999
"""Pieces of one kind in a drawer; more of them is a slip of the hand."""

Pieces = tuple[tuple[Money, int], ...]
"""Notes and coins by their worth, the largest first, each with how many."""


def cash_step(country: str, currency: str) -> Money:
    """The step to which a sum in cash goes in a country; nothing where it is not rounded, or in a foreign currency."""
    known, step = CASH_STEPS.get(country.upper(), ("", 0))
    return Money(step if known == currency else 0, currency)


def in_cash(total: Money, step: Money) -> Money:
    """A sum as it is paid in cash: the nearest step, half a step up; 19.50 is 20 and 5.97 is 5.95."""
    return round_to_step(total, step, up=False)


def worth(pieces: Mapping[int, int], currency: str) -> Money:
    """What notes and coins come to that were counted: how many of each worth in smallest coins.

    Raises:
        NotPossible: ``cash.pieces`` for a piece of no worth, or for fewer than none or more than 999 of a kind.
    """
    if any(piece <= 0 or not 0 <= count <= MOST_PIECES for piece, count in pieces.items()):
        raise NotPossible(Problem("cash.pieces", "pieces", {"most": MOST_PIECES}))
    return Money(sum(piece * count for piece, count in pieces.items()), currency)


def change(amount: Money) -> Pieces | None:
    """The fewest notes and coins of its currency that make a sum; ``None`` where they cannot, or are not known.

    Raises:
        NotPossible: ``cash.negative`` for less than nothing.
    """
    _not_negative(amount)
    left, given = amount.minor, []
    for piece in TENDER.get(amount.currency, ()):
        count, left = divmod(left, piece)
        if count:
            given.append((Money(piece, amount.currency), count))
    return None if left else tuple(given)


def change_from(amount: Money, drawer: Mapping[int, int]) -> Pieces | None:
    """The fewest of the notes and coins in a drawer that make a sum; ``None`` where they cannot make it.

    The largest that fits is not always right: 0.30 out of one quarter and three dimes is three dimes. So all sums that the
    larger pieces can leave are followed, each with the fewest pieces that leave it (dynamic programming), as far as the
    smaller ones can still make up for them.

    Args:
        amount: to give.
        drawer: how many there are of each worth in smallest coins.

    Raises:
        NotPossible: ``cash.negative`` for less than nothing, ``cash.pieces`` as ``worth``.
    """
    _not_negative(amount)
    beneath = worth(drawer, amount.currency).minor
    usual = change(amount)
    known = set(drawer) <= set(TENDER.get(amount.currency, ()))
    if known and usual is not None and all(count <= drawer.get(piece.minor, 0) for piece, count in usual):
        return usual
    layers: list[dict[int, tuple[int, int]]] = [{amount.minor: (0, 0)}]
    kinds = sorted((piece for piece, count in drawer.items() if count), reverse=True)
    for piece in kinds:
        beneath -= piece * drawer[piece]
        left: dict[int, tuple[int, int]] = {}
        for rest, (used, _) in layers[-1].items():
            most = min(drawer[piece], rest // piece)
            least = max(0, (rest - beneath + piece - 1) // piece)
            for count in range(most, least - 1, -1):
                after = rest - count * piece
                if after not in left or left[after][0] > used + count:
                    left[after] = (used + count, count)
        layers.append(left)
    if 0 not in layers[-1]:
        return None
    given, rest = [], 0
    for piece, left in zip(reversed(kinds), reversed(layers[1:]), strict=True):
        count = left[rest][1]
        rest += count * piece
        if count:
            given.append((Money(piece, amount.currency), count))
    return tuple(reversed(given))


def _not_negative(amount: Money) -> None:
    if amount.minor < 0:
        raise NotPossible(Problem("cash.negative", "amount"))
