"""The offers of one quote after another: what each was, and what changed from one to the next.

Everything here is what was kept with an offer when it was given; nothing is reckoned from a quote as it is now.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from shop.core.loom import Size
from shop.core.money import Money

ALIKE: Final = 0.01
"""Shares of the length that differ by no more are the same stripe: rows are whole, so shares shift a little with the length."""


class Part(StrEnum):
    """What of an offer can change; in the order in which it is told."""

    SIZE = "size"
    CLOTH = "cloth"
    STRIPES = "stripes"
    PRICE = "price"
    TAX = "tax"
    TOTAL = "total"
    DEPOSIT = "deposit"
    PROMISED = "promised"
    HOLDS = "holds"


Stripes = tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """An offer as it was given.

    Attributes:
        number: of the quote's offers the first, the second and so on.
        size: of the rug.
        cloths: what it is woven of, as the customer reads it.
        stripes: its bands from one end, each a colour and a share of the length.
        price: asked; ``tax`` on it or in it, ``None`` where that was not kept; ``total`` what the customer pays.
        deposit: asked for; ``None`` for none.
        promised: the day by which the rug is to be ready; ``holds`` the last day that it could be accepted.
    """

    number: int
    size: Size
    cloths: tuple[str, ...]
    stripes: Stripes
    price: Money
    tax: Money | None
    total: Money
    deposit: Money | None
    promised: date | None
    holds: date


def changes(before: Revision, after: Revision) -> frozenset[Part]:
    """What is not the same in two offers."""
    same = {
        Part.SIZE: before.size == after.size,
        Part.CLOTH: sorted(before.cloths) == sorted(after.cloths),
        Part.STRIPES: _alike(joined(before.stripes), joined(after.stripes)),
        Part.PRICE: before.price == after.price,
        Part.TAX: before.tax == after.tax,
        Part.TOTAL: before.total == after.total,
        Part.DEPOSIT: before.deposit == after.deposit,
        Part.PROMISED: before.promised == after.promised,
        Part.HOLDS: before.holds == after.holds,
    }
    return frozenset(part for part, is_same in same.items() if not is_same)


def _alike(before: Stripes, after: Stripes) -> bool:
    if [colour for colour, _ in before] != [colour for colour, _ in after]:
        return False
    return all(abs(one - other) <= ALIKE for (_, one), (_, other) in zip(before, after, strict=True))


def joined(stripes: Sequence[tuple[str, float]]) -> Stripes:
    """Bands as they are seen: those of one colour beside each other are one, and all shares together are the whole."""
    found: list[tuple[str, float]] = []
    whole = sum(share for _, share in stripes if share > 0)
    for colour, share in stripes:
        if share <= 0:
            continue
        if found and found[-1][0] == colour:
            found[-1] = (colour, found[-1][1] + share / whole)
        else:
            found.append((colour, share / whole))
    return tuple(found)


def shares_of_colours(stripes: Sequence[tuple[str, float]]) -> dict[str, float]:
    """How much of the length each colour takes, in the order in which they come."""
    found: dict[str, float] = {}
    for colour, share in joined(stripes):
        found[colour] = found.get(colour, 0.0) + share
    return found
