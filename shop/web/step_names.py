"""The steps of the work on a rug, in the shop's words."""

from __future__ import annotations

from typing import Final

from shop.words import mark

STEP_NAMES: Final[dict[str, str]] = {
    "wash": mark("Wash and sort"),
    "cut": mark("Cut or tear"),
    "warp": mark("Warp the loom"),
    "weave": mark("Weave"),
    "finish": mark("Finish"),
    "office": mark("Office: quote, photographs, packing"),
}
