"""How each figure of a reckoning came about, in the order of the cost sheet.

A figure is no surer than what it rests on: a term that is itself a figure from further up takes the basis of
that figure, and so on down the sheet.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from shop.core.explain_money import cost_explained, hours_explained, price_explained
from shop.core.explain_stuff import cloth_explained, warp_explained, weft_explained
from shop.core.explanation import Explanation, Term, least_sure
from shop.core.hours import STEPS
from shop.core.reckoning import Reckoning
from shop.core.spread import Basis

COMES_FROM: Final[dict[str, tuple[str, ...]]] = {
    "pegs": ("warp.pegs",),
    "passes": ("warp.passes",),
    "reed_width": ("warp.reed_width",),
    "ends": ("warp.ends",),
    "woven": ("warp.woven",),
    "one": ("warp.one",),
    "warp_length": ("warp.length",),
    "rag_warp": ("warp.length",),
    "warp_weight": ("warp.weight",),
    "section": ("weft.section",),
    "pitch": ("weft.pitch",),
    "rows": ("weft.rows",),
    "weft_length": ("weft.length",),
    "weft_weight": ("weft.area",),
    "strip_of_piece": ("cloth.strip_of_piece",),
    "to_cut": ("cloth.to_cut",),
    "cloth_kg": ("cloth.to_cut",),
    **{step: (f"hours.{step}",) for step in STEPS},
    "minutes": ("hours.total",),
    "cloth_cost": ("cost.cloth",),
    "warp_cost": ("cost.warp",),
    "materials": ("cost.cloth", "cost.warp"),
    "labour": ("cost.labour",),
    "overhead": ("cost.overhead",),
    "cost_total": ("cost.total",),
    "floor": ("price.floor",),
    "asking": ("price.asking",),
    "tax": ("price.tax",),
    "total": ("price.total",),
    "net": ("price.asking", "price.tax", "price.fees"),
}
"""The figures that a term stands for, where it is not an input of its own."""


def explain(reckoning: Reckoning) -> tuple[Explanation, ...]:
    """Every figure of a reckoning, in the order of the cost sheet."""
    figures = (
        *warp_explained(reckoning),
        *weft_explained(reckoning),
        *(found for place in range(len(reckoning.cloths)) for found in cloth_explained(reckoning, place)),
        *hours_explained(reckoning),
        *cost_explained(reckoning),
        *price_explained(reckoning),
    )
    known: dict[str, Basis | None] = {}
    explained = []
    for figure in figures:
        resting = replace(figure, terms=tuple(_resting(term, known) for term in figure.terms))
        known[figure.key] = least_sure((known.get(figure.key), resting.basis))
        explained.append(resting)
    return tuple(explained)


def _resting(term: Term, known: dict[str, Basis | None]) -> Term:
    """The term with the basis of the figures that it comes from."""
    if term.basis is not None or term.name not in COMES_FROM:
        return term
    basis = least_sure(known.get(key) for key in COMES_FROM[term.name])
    return Term(term.name, term.value, basis, worked_out=True)
