"""How each figure of a reckoning came about, in the order of the cost sheet."""

from __future__ import annotations

from shop.core.explain_money import cost_explained, hours_explained, price_explained
from shop.core.explain_stuff import cloth_explained, warp_explained, weft_explained
from shop.core.explanation import Explanation
from shop.core.reckoning import Reckoning


def explain(reckoning: Reckoning) -> tuple[Explanation, ...]:
    """Every figure of a reckoning, in the order of the cost sheet."""
    return (
        *warp_explained(reckoning),
        *weft_explained(reckoning),
        *(found for place in range(len(reckoning.cloths)) for found in cloth_explained(reckoning, place)),
        *hours_explained(reckoning),
        *cost_explained(reckoning),
        *price_explained(reckoning),
    )
