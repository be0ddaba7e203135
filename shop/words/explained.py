"""A reckoning in words: its cost sheet as sections of lines, each line opening to its formula.

The same sheet is shown on the quote page, printed for the weaver, and written by the command.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final

from shop.core.errors import Problem
from shop.core.explain import explain
from shop.core.explanation import Explanation
from shop.core.reckoning import Reckoning
from shop.core.spread import Basis
from shop.words.catalogue import mark
from shop.words.formulas import AFTER_RULE, BASES, FIGURES, FORMULAS, RULES, TERMS
from shop.words.problems import problem_sentence
from shop.words.quantities import written
from shop.words.words import Words


@dataclass(frozen=True, slots=True)
class Input:
    """One term of a formula, in words.

    Attributes:
        name: of the term.
        value: as it was.
        basis: "measured here", "as set", "starting guess", or nothing for a figure worked out above.
        guess: whether it is a starting guess.
    """

    name: str
    value: str
    basis: str
    guess: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One figure of the sheet, in words.

    Attributes:
        key: which figure it is.
        name: its name.
        value: what it came to.
        between: "low to high" of 8 of 10, or nothing where it is not in doubt.
        formula: with the names of its terms.
        figures: the same with their values.
        inputs: the terms one by one, each with where it comes from.
        basis: what the figure rests on.
        guess: whether it rests on a starting guess.
        main: whether it is one of the figures to see at first glance.
    """

    key: str
    name: str
    value: str
    between: str
    formula: str
    figures: str
    inputs: tuple[Input, ...]
    basis: str
    guess: bool
    main: bool


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the sheet."""

    key: str
    title: str
    lines: tuple[Line, ...]


SECTIONS: Final[tuple[tuple[str, str, tuple[str, ...]], ...]] = (
    ("warp", mark("Warp"), ("rug.panels", "warp.", "cost.warp.yarn.")),
    ("weft", mark("Weft"), ("weft.", "rug.weight")),
    ("cloth", mark("Cloth"), ("cloth.",)),
    ("hours", mark("Hours"), ("hours.",)),
    ("cost", mark("What it costs"), ("cost.",)),
    ("price", mark("Price"), ("price.",)),
)
MAIN: Final = frozenset(
    "warp.passes warp.ends warp.length weft.rows weft.length rug.weight cloth.to_cut cloth.pieces hours.total "
    "cost.total price.floor price.cost price.asking price.hourly".split()
)


@dataclass(frozen=True, slots=True)
class _Wording:
    """What a figure says whatever its values are.

    Attributes:
        name: of the figure.
        terms: the names of its terms.
        formula: with those names.
        pattern: the same, to be filled in with values by the keys of the terms.
    """

    name: str
    terms: tuple[str, ...]
    formula: str
    pattern: str


@lru_cache(maxsize=1024)
def _wording(key: str, formula: str, terms: tuple[str, ...], words: Words) -> _Wording:
    """The wording of a figure that came by this formula from these terms; the same for every rug."""
    names = tuple(words.say(TERMS[term.rstrip("0123456789").rstrip("_")]) for term in terms)
    pattern = _pattern(formula, terms, words)
    return _Wording(
        name=words.say(FIGURES[key]),
        terms=names,
        formula=pattern % dict(zip(terms, names, strict=True)),
        pattern=pattern,
    )


def _pattern(formula: str, terms: tuple[str, ...], words: Words) -> str:
    if formula == "cost.bought_in":
        return " + ".join(f"%({term})s" for term in terms)
    if formula == "weft.rows.stripes":
        return " + ".join(f"%({term})s" for term in terms)
    if formula == "weft.pitch.mixed":
        parts = [f"%({share})s ÷ %({pitch})s" for share, pitch in zip(terms[::2], terms[1::2], strict=True)]
        return f"1 ÷ ({' + '.join(parts)})"
    if formula in FORMULAS:
        pattern = words.catalogue.one(FORMULAS[formula])
        return pattern if "width" in terms else pattern.replace("%(width)s", "%(panel_width)s")
    _, _, rule, *contained = formula.split(".")
    wanted = words.catalogue.one(RULES[rule])
    return words.catalogue.one(AFTER_RULE["".join(contained)]).replace("%(rule)s", wanted)


@lru_cache(maxsize=64)
def _bases(words: Words) -> Mapping[Basis | None, str]:
    """How each basis is called; a figure worked out above has none."""
    return {None: "", **{basis: words.say(called) for basis, called in BASES.items()}}


def line_of(explanation: Explanation, words: Words, *, cloth: str = "") -> Line:
    """One figure in words; ``cloth`` names the piece that it is about, where there are several."""
    terms = explanation.terms
    keys = tuple(term.name for term in terms)
    wording = _wording(explanation.key, explanation.formula, keys, words)
    values = [written(term.value, words) for term in terms]
    bases = _bases(words)
    between = ""
    if explanation.low is not None and explanation.high is not None:
        low, high = written(explanation.low, words), written(explanation.high, words)
        between = words.say("%(low)s to %(high)s", low=low, high=high)
    name = wording.name
    basis = explanation.basis
    return Line(
        key=explanation.key,
        name=words.say("%(figure)s, %(cloth)s", figure=name, cloth=cloth) if cloth else name,
        value=written(explanation.result, words),
        between=between,
        formula=wording.formula,
        figures=wording.pattern % dict(zip(keys, values, strict=True)),
        inputs=tuple(
            Input(
                named,
                value,
                "" if term.worked_out else bases[term.basis],
                term.basis is Basis.GUESS and not term.worked_out,
            )
            for named, value, term in zip(wording.terms, values, terms, strict=True)
        ),
        basis=bases[basis],
        guess=basis is Basis.GUESS,
        main=explanation.key in MAIN,
    )


def sheet_in_words(reckoning: Reckoning, words: Words) -> tuple[Section, ...]:
    """The cost sheet, every figure with its formula, in the shop's language and units."""
    names = [use.cloth.name for use in reckoning.cloths]
    lines: dict[str, list[Line]] = {key: [] for key, _, _ in SECTIONS}
    for explanation in explain(reckoning):
        section = _section(explanation.key, explanation.formula)
        cloth = names[explanation.cloth] if explanation.cloth is not None and len(names) > 1 else ""
        lines[section].append(line_of(explanation, words, cloth=cloth))
    return tuple(Section(key, words.say(title), tuple(lines[key])) for key, title, _ in SECTIONS)


@cache
def _section(key: str, formula: str) -> str:
    """The section that a figure stands in."""
    return next(section for section, _, starts in SECTIONS if key.startswith(starts) or formula.startswith(starts))


def warnings_in_words(reckoning: Reckoning, words: Words) -> tuple[str, ...]:
    """What the weaver should know, one sentence each."""
    return tuple(problem_sentence(_readable(problem, words), words) for problem in reckoning.warnings)


def _readable(problem: Problem, words: Words) -> Problem:
    values = dict(problem.values)
    if "metres" in values:
        values["metres"] = words.strip_length(float(str(values["metres"])))
    return Problem(problem.code, problem.where, values)
