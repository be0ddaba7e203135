"""The ``[[doubt]]`` tables of a described rug: how sure the shop's own rugs are of its numbers."""

from __future__ import annotations

from enum import Enum
from typing import Final

from shop.core.asking import Described, Reader
from shop.core.own_doubt import TOLD, OwnDoubt

WIDEST: Final = 2.0
MOST_RUGS: Final = 1_000_000

Number = Enum("Number", {name: name for name in TOLD})  # type: ignore[misc]
"""The numbers that a doubt may be of, to choose from."""


def doubts_described(reader: Reader, document: Described) -> tuple[OwnDoubt, ...]:
    """The doubts that are described, one for a number; what is wrong with them is noted."""
    tables = document.get("doubt")
    if tables is None:
        return ()
    lone = not isinstance(tables, list)
    count = len(tables) if isinstance(tables, list) else 1
    if count > len(TOLD):
        reader.note("doubt.many", "doubt", most=len(TOLD))
        return ()
    found: dict[str, OwnDoubt] = {}
    for place in range(count):
        at = "doubt" if lone else f"doubt.{place}"
        one = _doubt(reader, at)
        if one.of in found:
            reader.note("doubt.twice", f"{at}.of", name=one.of)
        found[one.of] = one
    return tuple(found.values())


def _doubt(reader: Reader, at: str) -> OwnDoubt:
    if not reader.has(f"{at}.of"):
        reader.note("doubt.of", at, names=TOLD)
    of = reader.choice(f"{at}.of", Number, Number(TOLD[0]), guess=False)
    spread, rug, day = (
        reader.number(f"{at}.{name}", 0.0, 0, WIDEST, guess=False) for name in ("spread", "rug", "day")
    )
    rugs, kind, cloth, quick = (
        reader.count(f"{at}.{name}", 0, 0, MOST_RUGS, guess=False) for name in ("rugs", "kind", "cloth", "quick")
    )
    return OwnDoubt(
        of=str(of.value), spread=spread, rug=rug, day=day, rugs=rugs, kind=kind, cloth=cloth, quick=quick
    )
