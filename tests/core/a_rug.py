"""Rugs to test with: described in plain words, planned, reckoned, or refused."""

from __future__ import annotations

from copy import deepcopy

from shop.core.described import plan_of
from shop.core.errors import Refusal
from shop.core.reckon import reckon

FRAME = {
    "rug": {"width": "25 in", "length": "37 1/2 in"},
    "loom": {"kind": "frame", "pegs": 25, "spacing": "1 in", "length": "37 1/2 in"},
    "weft": {"strip": "2 in", "cloth_weight": "115 g/m2"},
    "cloth": {"paid": "6.00", "width": "81 in", "length": "96 in"},
}
SHAFT = {
    "rug": {"width": "36 in", "length": "72 in"},
    "loom": {"kind": "shaft", "sett": "12.5/in", "width": "40 in", "yarn": "8/4", "yarn_price": "14.50/lb"},
    "weft": {"strip": "1 in", "cloth_weight": "90 g/m2"},
    "cloth": {"paid": "6.00", "width": "81 in", "length": "96 in"},
}
PLANK = {
    "rug": {"width": "20 in", "length": "30 in"},
    "loom": {"kind": "plank", "pegs": 24, "spacing": "1 in"},
    "weft": {"strip": "1 1/2 in"},
    "cloth": {"paid": "6.00", "width": "81 in", "length": "96 in"},
}
LOOMS = {"frame": FRAME, "shaft": SHAFT, "plank": PLANK}
RULES = {
    "markup": {"markup": 0.35},
    "margin": {"margin": 0.35},
    "trade": {"trade_markup": 0.2},
    "area": {"per_square_foot": "22.00"},
    "hand": {"asking": "175.00"},
}


def described(base=None, **tables):
    """A described rug: a base, with the tables named laid over it. A list of cloths takes the one's place."""
    document = deepcopy(SHAFT if base is None else base)
    for name, table in tables.items():
        if isinstance(table, dict) and isinstance(document.get(name), dict):
            document[name] = {**document[name], **table}
        else:
            document[name] = table
    return document


def a_plan(base=None, **tables):
    return plan_of(described(base, **tables))


def a_reckoning(base=None, **tables):
    return reckon(a_plan(base, **tables))


def attempted(call, *given, **named):
    """What a call gives, and the problems that it refuses with: one of the two is nothing."""
    try:
        return call(*given, **named), ()
    except Refusal as refusal:
        assert refusal.problems, "a refusal without a reason"  # noqa: PT017 - either outcome is one to look at
        return None, refusal.problems


def problems_of(call, *given, **named):
    """(code, where) of every problem that a call refuses with."""
    _, problems = attempted(call, *given, **named)
    return {(problem.code, problem.where) for problem in problems}
