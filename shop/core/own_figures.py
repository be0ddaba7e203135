"""The shop's own figures for one rug: what its rugs have taught, in the form in which a plan takes packing, take-up, waste and pace.

A plan has a number for each, and a doubt under the number's name. Here are both, from the shop's own rugs where there are any
and else as they were set or guessed: the numbers as a line of minutes or a share, the doubts as an ``Estimate`` about one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from shop.core.evidence import Guess, What
from shop.core.hours import Pace
from shop.core.learning import Learned, Place
from shop.core.loom import Loom, ShaftLoom
from shop.core.own_rugs import Answer, Question, answer
from shop.core.spread import Basis, Estimate
from shop.core.strips import Tool

OF_LOOM: Final = (What.PACKING, What.TAKE_UP, What.WASTE, What.DRAW_IN, What.RELAXATION, What.ROW, What.WARP, What.FINISH)


def guesses_for(loom: Loom, *, name: str, packing: float, take_up: float, waste: float, pace: Pace) -> dict[Place, Guess]:
    """Where learning starts from on one loom: what the shop has set, or the starting guesses.

    Args:
        loom: with its draw-in and relaxation, where it has them.
        name: what its records call it.
        packing: k.
        take_up: m.
        waste: the share of the strip cut that is lost.
        pace: minutes of each unit of work on a loom of its kind.
    """
    found: dict[Place, Guess] = {
        (What.PACKING, name): Guess(packing),
        (What.TAKE_UP, name): Guess(take_up),
        (What.WASTE, name): Guess(waste),
        (What.ROW, name): Guess(pace.weave_per_row, pace.weave_per_row_m),
        (What.WARP, name): Guess(pace.warp_set_up, _per_thread(loom, pace)),
        (What.FINISH, name): Guess(pace.finish_set_up, pace.finish_per_edge),
    }
    if isinstance(loom, ShaftLoom):
        found[What.DRAW_IN, name] = Guess(loom.draw_in)
        found[What.RELAXATION, name] = Guess(loom.relaxation)
    for tool in Tool:
        found[What.CUT, tool.value] = Guess(pace.cut_per_m(tool))
    return found


def _per_thread(loom: Loom, pace: Pace) -> float:
    return pace.warp_per_pass if loom.kind == "frame" else pace.warp_per_end


def edges_of(panels: int, length_m: float, pace: Pace) -> float:
    """What there is to finish, in edges: two of each panel, and the seams for as many as they are guessed to take."""
    seams = (panels - 1) * length_m * pace.seam_per_m
    return 2 * panels + (seams / pace.finish_per_edge if pace.finish_per_edge else 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForRug:
    """The rug that figures are wanted for.

    Attributes:
        on: the loom by its name in the records.
        loom: the loom.
        tool: that strips are made with.
        kind, cloth: the cloth that most of it is of; both may be unknown.
        row_m: width of a row, metres.
        threads: passes or ends of its warp.
        edges: to finish, as ``edges_of``.
    """

    on: str
    loom: Loom
    tool: Tool
    kind: str = ""
    cloth: str = ""
    row_m: float
    threads: float
    edges: float

    def question(self, what: What) -> Question:
        """What is asked of the shop's rugs."""
        size = {What.ROW: self.row_m, What.WARP: self.threads, What.FINISH: self.edges}.get(what, 1.0)
        on = self.tool.value if what is What.CUT else self.on
        return Question(what=what, on=on, kind=self.kind, cloth=self.cloth, size=size)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnFigures:
    """The shop's own figures for a rug.

    Attributes:
        answers: of each number that has a starting guess, with low, high and sources.
        pace: the shop's pace with everything learned in its place.
    """

    answers: Mapping[What, Answer]
    pace: Pace

    @property
    def learned(self) -> tuple[str, ...]:
        """Names of the numbers that rest on the shop's own rugs, for a plan's ``measured``."""
        return tuple(sorted(what.value for what, one in self.answers.items() if one.basis is Basis.MEASURED))

    def about_one(self, what: What) -> Estimate:
        """The doubt of a number, about a middle of 1: the outcome is so many times what the number says.

        Of a share it is the doubt of what it makes of the whole, ``1 / (1 - share)``.
        """
        return self.answers[what].estimate.at_middle(1.0)

def own_figures(learned: Learned, rug: ForRug, pace: Pace) -> OwnFigures:
    """The shop's own figures for a rug.

    Args:
        learned: from its records, by guesses of ``guesses_for``.
        rug: the rug.
        pace: the shop's pace for a loom of that kind, of which whatever was not learned is kept.
    """
    asked = [(what, rug.question(what)) for what in (*OF_LOOM, What.CUT)]
    answers = {what: answer(learned, question) for what, question in asked if (what, question.on) in learned.guesses}
    return OwnFigures(answers=MappingProxyType(answers), pace=_paced(learned, rug, pace, answers))


def line_of(learned: Learned, found: Answer) -> tuple[float, float]:
    """The fixed and the growing part of a number, whose line passes through the answer at its size."""
    place = (found.question.what, found.question.on)
    guess, lesson = learned.guesses[place], learned.lessons.get(place)
    if lesson is None:
        return guess.fixed, guess.growing
    fixed, growing = lesson.parts
    times = found.middle / (fixed + growing * found.question.size)
    return fixed * times, growing * times


def _paced(learned: Learned, rug: ForRug, pace: Pace, answers: Mapping[What, Answer]) -> Pace:
    changed: dict[str, float] = {}
    for what, found in answers.items():
        if not what.is_pace or found.basis is not Basis.MEASURED:
            continue
        fixed, growing = line_of(learned, found)
        if what is What.ROW:
            changed |= {"weave_per_row": fixed, "weave_per_row_m": growing}
        elif what is What.CUT:
            changed |= {f"cut_{rug.tool.value}_per_m": fixed}
        elif what is What.WARP:
            each = "warp_per_pass" if rug.loom.kind == "frame" else "warp_per_end"
            changed |= {"warp_set_up": fixed, each: growing}
        else:
            seams = growing / pace.finish_per_edge if pace.finish_per_edge else 1.0
            changed |= {"finish_set_up": fixed, "finish_per_edge": growing, "seam_per_m": pace.seam_per_m * seams}
    return replace(pace, **changed)
