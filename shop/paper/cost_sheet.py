"""The cost sheet, for the weaver alone: every figure with its formula, its doubt and its origin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from shop.core.spread import Basis
from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words
from shop.words.explained import Line, Section
from shop.words.formulas import BASES


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """A figure, in finished text.

    Attributes:
        name: what it is.
        value: the figure, with its unit; the middle where it is an estimate.
        formula: how it comes about, with its values; may be empty.
        basis: where it comes from; ``None`` for a figure that follows from others.
        between: "low to high", between which 8 of 10 outcomes lie; empty where it is known.
        is_main: whether to see it at first glance.
        is_total: whether it sums up the lines above.
    """

    name: str
    value: str
    formula: str = ""
    basis: Basis | None = None
    between: str = ""
    is_main: bool = False
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class SheetSection:
    """Lines that belong together under a heading: warp, weft, hours, cost, price."""

    heading: str
    lines: tuple[SheetLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """All that a cost sheet says.

    Attributes:
        number: of the quote that it belongs to; may be empty.
        day: the date on it.
        shop: whose it is.
        title: what the rug is called.
        facts: (label, text) pairs beside the title, such as size and loom.
        sections: the figures.
        notes: cautions and warnings of the plan.
    """

    number: str = ""
    day: date
    shop: ShopHead
    title: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    sections: tuple[SheetSection, ...] = ()
    notes: tuple[str, ...] = ()


def sections_of(sections: Sequence[Section], words: Words) -> tuple[SheetSection, ...]:
    """The sections of a reckoning in words, as they stand on the sheet; those without a line are left out."""
    bases = {words.say(name): basis for basis, name in BASES.items()}
    return tuple(
        SheetSection(section.title, tuple(_from_words(line, bases) for line in section.lines))
        for section in sections
        if section.lines
    )


def _from_words(line: Line, bases: Mapping[str, Basis]) -> SheetLine:
    formula = line.figures if line.figures == line.formula else f"{line.formula} = {line.figures}"
    return SheetLine(
        name=line.name,
        value=line.value,
        formula=formula,
        basis=bases.get(line.basis),
        between=line.between,
        is_main=line.main,
        is_total=line.key.endswith(".total"),
    )


def cost_sheet_pdf(sheet: CostSheet, words: Words) -> bytes:
    """The cost sheet as a PDF, over as many pages as it takes; each repeats the heads of its columns."""
    return printed("cost_sheet", cost_sheet_texts(sheet, words), day=sheet.day, note=missing_note(words))


def cost_sheet_texts(sheet: CostSheet, words: Words) -> Texts:
    """Everything that stands on the sheet, as finished text."""
    say = words.say
    title = say("Cost sheet, for the shop only")
    if sheet.number:
        title = say("Cost sheet of quote %(number)s, for the shop only", number=sheet.number)
    facts = [(say("Quote"), sheet.number)] if sheet.number else []
    facts += [(say("Date"), words.date(sheet.day)), *sheet.facts]
    uncertain = any(line.between for section in sheet.sections for line in section.lines)
    legend = say(
        "Where a figure is not known for sure, it is the middle: as many rugs come out above as below."
    )
    return {
        **sheet_texts(sheet.shop, words, title=title, foot=title),
        "private": say("For the shop only"),
        "private_why": say("Costs and wages; not for the customer."),
        "heading": say("Cost sheet"),
        "name": sheet.title,
        "facts": [{"label": label, "value": value} for label, value in facts],
        "legend": legend if uncertain else "",
        "bases": {basis.value: say(name) for basis, name in BASES.items()},
        "columns": [say("Figure"), say("Comes to"), say("8 of 10 between"), say("Where from")],
        "sections": [
            {"heading": section.heading, "lines": [_line(line) for line in section.lines]}
            for section in sheet.sections
        ],
        "notes_heading": say("Please mind"),
        "notes": list(sheet.notes),
    }


def _line(line: SheetLine) -> Texts:
    return {
        "name": line.name,
        "formula": line.formula,
        "value": line.value,
        "between": line.between,
        "basis": line.basis.value if line.basis else None,
        "main": line.is_main or line.is_total,
        "total": line.is_total,
    }
