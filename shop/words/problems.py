"""Problems as sentences. Each code that the core, the use cases and the pages give has its sentence here.

A sentence says what is wrong and what would be understood. ``%(name)s`` stands for a value of the problem.
"""

from __future__ import annotations

from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING

from shop.words.cutting_sentences import CUTTING
from shop.words.described_sentences import DESCRIBED, WARNINGS
from shop.words.fair_sentences import FAIR
from shop.words.house_sentences import HOUSE
from shop.words.label_sentences import LABELS
from shop.words.learning_sentences import LEARNING
from shop.words.ledger_sentences import LEDGER
from shop.words.offer_sentences import OFFERS
from shop.words.photograph_sentences import PHOTOGRAPH
from shop.words.plan_sentences import PLANS
from shop.words.problem_sentences import SENTENCES
from shop.words.record_sentences import RECORD
from shop.words.room_sentences import ROOMS
from shop.words.rug_sentences import RUGS
from shop.words.sheet_sentences import SHEET
from shop.words.stall_sentences import STALL
from shop.words.stripe_sentences import STRIPES
from shop.words.till_sentences import TILL

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shop.core.errors import Problem
    from shop.words.words import Words

SHARES = frozenset({"share", "rate", "percent"})
"""Values by these names are shares of one, and shown as per cent."""

_ROOMS = (
    CUTTING,
    DESCRIBED,
    WARNINGS,
    FAIR,
    HOUSE,
    LABELS,
    LEARNING,
    LEDGER,
    OFFERS,
    PHOTOGRAPH,
    PLANS,
    SENTENCES,
    RECORD,
    ROOMS,
    RUGS,
    SHEET,
    STALL,
    STRIPES,
    TILL,
)
PROBLEMS = MappingProxyType({code: sentence for room in _ROOMS for code, sentence in room.items()})
"""The sentence of every code."""


def problem_sentence(problem: Problem, words: Words) -> str:
    """The sentence about one problem, in the shop's language."""
    values: dict[str, object] = {**_examples(words), **problem.values}
    for name in SHARES & problem.values.keys():
        share = problem.values[name]
        if isinstance(share, int | float | Decimal):
            values[name] = words.percent(share)
    if "number" in problem.values:
        values["number"] = str(problem.values["number"])  # a quote's number is a name, not a figure
    metres = problem.values.get("metres")
    if isinstance(metres, int | float):
        values["metres"] = words.strip_length(metres)
    if values.get("name") == "":
        values["name"] = words.say("this cloth")
    return words.say(PROBLEMS[problem.code], **values)


def problem_sentences(problems: Iterable[Problem], words: Words) -> list[str]:
    """A sentence for each, in order, none twice."""
    return list(dict.fromkeys(problem_sentence(problem, words) for problem in problems))


def _examples(words: Words) -> dict[str, str]:
    """What a person could have typed instead, written as this shop writes."""
    mark = words.decimal_mark
    return {
        "example_number": f"12{mark}5",
        "example_money": f"12{mark}50",
        "example_metres": f"1{mark}5 m",
        "mark": mark,
    }
