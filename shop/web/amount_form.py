"""How much: the form by which an amount of a piece is said, and amounts in words."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.amount import All, Amount, Area, Run, Said, Scale, Share, Strips, Stuff, Weighed
from shop.core.errors import Problem, Refusal
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT, Length
from shop.core.money import Money, exact
from shop.core.strips import Tool
from shop.web.fields import (
    ChoiceField,
    LengthField,
    NumberField,
    SavingField,
    ShareField,
    TextField,
    WeightField,
)
from shop.web.forms import ShopForm
from shop.web.shell import words_now
from shop.words import Words, mark

TAPS: Final[dict[str, tuple[str, Decimal]]] = {
    "all": (mark("All that is left"), Decimal(1)),
    "three-quarters": (mark("Three quarters"), Decimal("0.75")),
    "half": (mark("About half"), Decimal("0.5")),
    "quarter": (mark("A quarter"), Decimal("0.25")),
}
"""Amounts that are said with one tap."""
OF_CLOTH: Final = ("strips", "weighed", "scale", "area", "share")
OF_YARN: Final = ("run", "weighed", "scale", "share")
FIELDS: Final[dict[str, tuple[str, ...]]] = {
    "strips": ("count", "each", "strip", "tool"),
    "area": ("area",),
    "weighed": ("weight",),
    "scale": ("before", "after"),
    "share": ("part",),
    "run": ("run",),
}
"""The fields that each way of saying an amount reads."""


class AmountForm(ShopForm):
    """So much of a piece, said one way or another; only the fields of the way that was pressed are read."""

    count = NumberField(mark("Strips"), least=1, most=10_000, whole=True, where="amount")
    each = LengthField(mark("Each as long as"), where="each")
    strip = LengthField(mark("Width of a strip"), where="strip")
    tool = ChoiceField(
        mark("Strips are"),
        choices=((Tool.ROTARY.value, mark("Cut")), (Tool.TEAR.value, mark("Torn"))),
    )
    area = NumberField(mark("Area"), most=100_000)
    weight = WeightField(mark("What was taken weighs"))
    before = WeightField(mark("The rest weighed before"))
    after = WeightField(mark("It weighs now"))
    part = ShareField(mark("Of what is left"))
    run = LengthField(mark("Length off the cone"))
    note = TextField(mark("A note"), needed=False, where="note")
    saving = SavingField()

    def amount(self, how: str) -> Amount | None:
        """The amount that was said; ``None`` when a field of it has to be looked at again.

        Args:
            how: a tap (``TAPS``) or a way (``FIELDS``).

        Raises:
            Refusal: ``saving.token`` when the form came damaged; ``amount.way`` for a way that there is not.
        """
        if self.saving.problems:
            raise Refusal(*self.saving.problems)
        if how not in TAPS and how not in FIELDS:
            raise Refusal(Problem("amount.way"))
        read = (*FIELDS.get(how, ()), "note")
        self.validate()
        for field in self:
            if field.name not in read:
                field.errors = []
        if any(getattr(self, name).errors for name in read):
            return None
        if how in TAPS:
            return All() if how == "all" else Share(TAPS[how][1])
        return self._said(how)

    def _said(self, how: str) -> Amount:
        if how == "strips":
            return Strips(self.count.data, self.each.data, self.strip.data, Tool(self.tool.data))
        if how == "area":
            foot = exact(SQUARE_METRES_PER_SQUARE_FOOT) if words_now().units == "imperial" else Decimal(1)
            return Area(Decimal(self.area.data) * foot)
        if how == "weighed":
            return Weighed(self.weight.data)
        if how == "scale":
            return Scale(self.before.data, self.after.data)
        return Run(self.run.data) if how == "run" else Share(self.part.data)

    def put_beside(self, how: str, refusal: Refusal) -> None:
        """Put what is wrong with the amount beside the first field of the way it was said."""
        first = FIELDS.get(how, ("",))[0]
        moved = [
            Problem(problem.code, getattr(self, first).where if problem.where == "amount" and first else problem.where, problem.values)
            for problem in refusal.problems
        ]
        self.refuse(Refusal(*moved))


def area_unit() -> str:
    """The unit in which an area is typed."""
    words = words_now()
    return words.say("sq ft") if words.units == "imperial" else words.say("m²")


def begun(stuff: Stuff, strip: Length) -> AmountForm:
    """The form as it begins: strips as long as the piece, in the shop's usual width."""
    data: dict[str, object] = {"strip": strip, "tool": Tool.ROTARY.value}
    if stuff.cloth is not None:
        data["each"] = stuff.cloth.length
        if stuff.cloth.tears:
            data["tool"] = Tool.TEAR.value
    return AmountForm(formdata=None, data=data)


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidShown:
    """An amount in words, all the ways of saying it; ``line`` the chief ones, ``cost`` what goes with it."""

    head: str
    line: str
    ways: tuple[tuple[str, str], ...]
    cost: str


def said_shown(said: Said, stuff: Stuff, cost: Money, strip: Length) -> SaidShown:
    """An amount in the shop's words."""
    words = words_now()
    ways = [(words.say("Of the whole piece"), words.percent(said.of_whole))]
    if stuff.cloth is not None:
        ways += [
            (words.say("Strip %(strip)s wide", strip=strip), words.strip_length(said.strip_m)),
            (words.say("Strips as long as the piece"), words.number(said.strips, 1, trimmed=True)),
            (words.say("Area"), words.area(said.square_metres)),
        ]
    else:
        ways.append((words.say("Yarn"), words.strip_length(said.strip_m)))
    ways.append((words.say("Weight"), words.weight(said.grams)))
    line = " · ".join((words.strip_length(said.strip_m), words.weight(said.grams)))
    return SaidShown(head=_head(said, words), line=line, ways=tuple(ways), cost=words.money(cost))


def _head(said: Said, words: Words) -> str:
    return words.say("all of it") if said.of_whole > 0.999999 else words.percent(said.of_whole)
