"""How a shop writes an amount, as facts: for a page that writes amounts itself because it has no signal to ask."""

from __future__ import annotations

import re
from dataclasses import dataclass

from shop.core.money import Money, decimals_of
from shop.words.words import Words

_PROBE = 123_456_789_012
"""Twelve figures show how thousands are set apart, in India too."""


@dataclass(frozen=True, slots=True)
class MoneyManner:
    """What stands before and after an amount, its decimal mark, and how its thousands are set apart.

    Attributes:
        sizes: of the groups of figures from the right; the last goes on.
        decimals: of the currency.
    """

    before: str
    after: str
    mark: str
    group: str
    sizes: tuple[int, ...]
    decimals: int


def money_manner(words: Words, currency: str) -> MoneyManner:
    """How amounts of a currency are written, read off one that is written out."""
    decimals = decimals_of(currency)
    text = words.money(Money(_PROBE * 10**decimals, currency))
    found = re.search(r"\d(?:.*\d)?", text)
    if found is None:  # no locale writes an amount without figures
        raise ValueError(text)
    whole = found[0]
    mark = words.decimal_mark
    if decimals:
        mark = whole[-decimals - 1]
        whole = whole[: -decimals - 1]
    groups = re.split(r"\D+", whole)
    signs = re.findall(r"\D+", whole)
    return MoneyManner(
        before=text[: found.start()],
        after=text[found.end() :],
        mark=mark,
        group=signs[0] if signs else "",
        sizes=tuple(len(group) for group in groups[:0:-1])[:2] or (3,),
        decimals=decimals,
    )
