"""Square codes that a phone reads (QR, ISO/IEC 18004), as rows of dark runs to be drawn."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import Final

import segno

from shop.paper.press import Texts

QUIET: Final = 4
"""The white border that the standard asks for, in modules."""
SMALLEST_MODULE: Final = 0.35
"""Millimetres; finer modules run together on a common printer (common practice)."""
LARGEST_MODULE: Final = 0.9
"""Millimetres; beyond this a phone held in the hand reads no better."""


@dataclass(frozen=True, slots=True)
class Code:
    """A code.

    Attributes:
        modules: how many modules it is wide and high, without its border.
        rows: what to draw of each row, as part of an SVG path of one unit to the module, border included.
    """

    modules: int
    rows: tuple[str, ...]

    @property
    def across(self) -> int:
        """Its width in modules, border included."""
        return self.modules + 2 * QUIET

    @property
    def smallest(self) -> float:
        """How wide it must be printed at least to be read, border included, in millimetres."""
        return self.across * SMALLEST_MODULE

    @property
    def largest(self) -> float:
        """How wide it need be printed at most, border included, in millimetres."""
        return self.across * LARGEST_MODULE


EVEN: Final = 0
"""The pattern that is laid over a code made at once: a chequerboard, the most even of the standard's eight."""


@lru_cache(maxsize=4096)
def code_of(address: str, *, at_once: bool = False) -> Code:
    """The code of an address, which survives that an eighth of it is smudged (error level M, or better for nothing).

    Making one takes milliseconds, so each is made once. Nearly all of that goes into trying which of eight patterns to lay
    over it; where hundreds are made at once, one pattern does for all, and every reader reads it as well.
    """
    matrix = segno.make(address, error="m", micro=False, mask=EVEN if at_once else None).matrix
    return Code(len(matrix), tuple(_runs(row, QUIET + y) for y, row in enumerate(matrix)))


def _runs(row: bytes | bytearray, y: int) -> str:
    """The dark runs of a row, each a rectangle."""
    drawn, x = [], QUIET
    for dark, modules in groupby(row):
        width = len(list(modules))
        if dark:
            drawn.append(f"M{x} {y}h{width}v1h-{width}z")
        x += width
    return "".join(drawn)


def code_texts(code: Code, told: str) -> Texts:
    """What a sheet needs to draw a code; ``told`` says what it is for, to those who do not see it."""
    return {"across": code.across, "rows": list(code.rows), "alt": told}
