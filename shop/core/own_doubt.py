"""The doubt that the shop's own rugs leave about a number of the trade, as a plan carries it: how large, and which rugs say so.

What is not known of the loom and the cloth is shared by every rug to come; how one rug strays from the next is its own; and
what all steps of one rug have in common is the weaver's day.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shop.core.spread import Doubts

OF_THE_RUG: Final = ".rug"
"""Ends the name of a doubt that each rug has for itself: ``weft.packing.rug``."""
PACE_OF_THE_RUG: Final = "hours.pace" + OF_THE_RUG
"""What all steps of one rug have in common: the weaver's day."""
TOLD: Final = (
    "weft.packing",
    "weft.take_up",
    "weft.waste",
    "hours.pace.weave_per_row",
    "hours.pace.cut_per_m",
    "hours.pace.warp",
    "hours.pace.finish",
)
"""The numbers of which a plan may carry a doubt of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnDoubt:
    """The doubt about one number, as log standard deviations, and the rugs that it rests on.

    Attributes:
        of: the number, one of ``TOLD``.
        spread: what is not known of the loom, the kind and the cloth.
        rug: how one rug strays from the next.
        day: how all steps of one rug stray together.
        rugs: on that loom; ``kind`` of them of the kind of cloth, ``cloth`` of the very cloth.
        quick: quick measurements on that loom.
    """

    of: str
    spread: float
    rug: float
    day: float = 0.0
    rugs: int = 0
    kind: int = 0
    cloth: int = 0
    quick: int = 0

    @property
    def doubts(self) -> Doubts:
        """The same as the sources of an estimate."""
        parts = {self.of: self.spread, self.of + OF_THE_RUG: self.rug, PACE_OF_THE_RUG: self.day}
        return tuple(sorted((name, sigma) for name, sigma in parts.items() if sigma))
