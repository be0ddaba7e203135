"""“Will it reach?” on a phone: how far the weaving has come, what strip is left, and what that means."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response, request, url_for

from shop.core.errors import Problem, Refusal
from shop.core.measure import Length, parse_length
from shop.core.reach import Verdict
from shop.usecases import reach as reaches
from shop.usecases.reach import Answer, ReachAsked, StripLeft
from shop.web.cutting_plan import how_many
from shop.web.fields import LengthField, NumberField, WeightField
from shop.web.forms import ShopForm
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.shell import store_now, words_now
from shop.words import Words, mark

room = Blueprint("reach", __name__, url_prefix="/jobs")

HOPELESS: Final = 0.1
"""The chance below which it is said that a cloth will not reach, however early it is: the rule of the core is for the
warning, which waits for what is woven, and would leave the words at odds with the figure beside them."""
VERDICTS: Final[dict[Verdict, str]] = {
    Verdict.REACHES: mark("It will reach."),
    Verdict.CLOSE: mark("It is close. Look again further on."),
    Verdict.SHORT: mark("It will not reach."),
}


class StripField(LengthField):
    """A length of strip: a bare number is in yards or metres, as strip is told everywhere."""

    def read(self, text: str) -> Length:
        """The length."""
        words = words_now()
        return parse_length(text, decimal_mark=words.decimal_mark, bare_unit="m" if words.units == "metric" else "yd")


class LeftForm(ShopForm):
    """What is left of one cloth: a length, a weight, or bobbins."""

    class Meta(ShopForm.Meta):
        """It changes nothing, so nothing has to guard it."""

        csrf = False

    length = StripField(mark("Strip left, its length"), needed=False)
    weight = WeightField(mark("or its weight"), needed=False)
    bobbins = NumberField(mark("or bobbins"), needed=False, most=10_000)
    each = StripField(mark("Strip on a bobbin"), needed=False)
    cut = StripField(
        mark("Cut in all"), needed=False, hint=mark("Left empty: what the job’s own record says. Without the rag warp.")
    )

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether each entry could be read, and one way of measuring is said and no more."""
        readable = super().validate(extra_validators)
        said = [field for field in (self.length, self.weight, self.bobbins) if field.data is not None]
        if len(said) > 1:
            self.refuse(Problem("reach.twice", said[-1].where))
        if self.bobbins.data and self.each.data is None and not self.each.errors:
            self.refuse(Problem("length.missing", self.each.where))
            return False
        return readable and len(said) < 2

    def left(self) -> StripLeft | None:
        """What is said to be left; ``None`` where nothing is."""
        cut = self.cut.data
        if self.length.data is not None:
            return StripLeft(length=self.length.data, cut=cut)
        if self.weight.data is not None:
            return StripLeft(weight=self.weight.data, cut=cut)
        if self.bobbins.data is not None and (self.each.data is not None or not self.bobbins.data):
            return StripLeft(bobbins=float(self.bobbins.data), each=self.each.data, cut=cut)
        return None


class ReachForm(ShopForm):
    """How far it has come, and what is left of each cloth."""

    class Meta(ShopForm.Meta):
        """It changes nothing, so nothing has to guard it."""

        csrf = False

    rows = NumberField(mark("Rows woven"), whole=True, least=0, most=1_000_000, needed=False, where="rows")
    woven = LengthField(
        mark("or the length woven"), needed=False, where="woven", least=Length(0), hint=mark("As it lies on the loom, under tension.")
    )

    def __init__(self, formdata: Mapping[str, Any] | None, cloths: int) -> None:
        """As sent, or fresh, with a part for each cloth."""
        super().__init__(formdata)
        self.cloths = [LeftForm(formdata, prefix=f"left-{place}-") for place in range(cloths)]

    def every_field(self) -> Any:
        """All fields, those of the cloths too."""
        yield from super().every_field()
        for one in self.cloths:
            yield from one.every_field()

    def validate(self, extra_validators: Mapping[str, Any] | None = None) -> bool:
        """Whether each entry could be read."""
        return all([super().validate(extra_validators), *(one.validate() for one in self.cloths)])


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothAsked:
    """A cloth of the rug, with its part of the form."""

    name: str
    colour: str
    form: LeftForm
    recorded: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerShown:
    """What is said of a cloth.

    Attributes:
        verdict: in a sentence; ``kind`` the same in a word of ours.
        chance: how sure.
        facts: (what, how much).
        remedies: what can be done.
    """

    name: str
    colour: str
    kind: str
    verdict: str
    chance: str
    facts: tuple[tuple[str, str], ...]
    remedies: tuple[tuple[str, str], ...]


@page("card/reach.html")
class ReachPage:
    """Will it reach?"""

    job: JobRow
    form: ReachForm
    cloths: tuple[ClothAsked, ...]
    unit: str
    answers: tuple[AnswerShown, ...]


@room.get("/<int:number>/reach")
def show_reach(number: int) -> Response:
    """Ask, and be answered; nothing is kept."""
    words = words_now()
    asked = reaches.begin(store_now(), job=number)
    rug = asked.card.rug
    cloths = len(rug.reckoning.cloths) if rug else 0
    if not request.args:
        form = ReachForm(None, cloths)
        form.rows.data = asked.card.woven
        return _page(asked, form, (), words)
    form = ReachForm(request.args, cloths)
    answers: tuple[Answer, ...] = ()
    if form.validate():
        left = {place: said for place, one in enumerate(form.cloths) if (said := one.left()) is not None}
        try:
            answers = reaches.ask(store_now(), job=number, rows=form.rows.data, woven=form.woven.data, left=left)
        except Refusal as refusal:
            for problem in refusal.problems:
                form.refuse(problem.at(f"{problem.where}.length") if problem.where.startswith("left.") else problem)
    return _page(asked, form, answers, words, status=422 if form.mistakes() else 200)


def _page(
    asked: ReachAsked, form: ReachForm, answers: tuple[Answer, ...], words: Words, *, status: int = 200
) -> Response:
    rug = asked.card.rug
    uses = rug.reckoning.cloths if rug else ()
    context = ReachPage(
        job=job_row(asked.line),
        form=form,
        cloths=tuple(
            ClothAsked(
                name=use.cloth.name or words.say("cloth still to be bought"),
                colour=use.cloth.colour,
                form=one,
                recorded=words.strip_length(cut) if cut is not None else "",
            )
            for use, one, cut in zip(uses, form.cloths, asked.cut, strict=True)
        ),
        unit=words.say("metres") if words.units == "metric" else words.say("yards"),
        answers=tuple(_answer(one, words) for one in answers),
    )
    return show(context, status=status)


def _answer(one: Answer, words: Words) -> AnswerShown:
    said, say = one.reach, words.say
    needed = said.needed
    facts = [
        (say("Left"), words.strip_length(one.left_m)),
        (
            say("The rest takes"),
            say("%(middle)s; 8 of 10 between %(low)s and %(high)s", middle=words.strip_length(needed.middle),
                low=words.strip_length(needed.low), high=words.strip_length(needed.high)),
        ),
        (say("A row takes"), words.strip_length(said.rate.middle)),
        (say("Rows of it left"), words.number(one.rows - one.done, 0)),
    ]  # fmt: skip
    if one.runs_out is not None:
        facts.append((say("Likely to end"), say("about row %(row)s", row=words.number(one.runs_out))))
    remedies: list[tuple[str, str]] = []
    if said.rows_short:
        if one.spare is not None:
            strips = how_many(one.spare.strips, one.spare.way, words)
            remedies.append(
                (
                    say("Cut %(name)s, No. %(number)s: %(strips)s more.", name=one.spare.piece.name,
                        number=str(one.spare.piece.number), strips=strips),
                    url_for("draw.show_draw", number=one.spare.piece.number),
                )
            )  # fmt: skip
        else:
            remedies.append((say("Find %(length)s more of it; no piece on the shelf is near in colour and long enough.",
                             length=words.strip_length(said.short)), ""))  # fmt: skip
        remedies.append(
            (
                words.say_n(
                    "Or leave out %(n)s row of it: the rug is %(length)s shorter.",
                    "Or leave out %(n)s rows of it: the rug is %(length)s shorter.",
                    said.rows_short,
                    length=one.shorten,
                ),
                "",
            )
        )
        if one.looser is not None:
            remedies.append(
                (say("Or lay the weft straighter on the rows left, with %(share)s less strip in each.", share=words.percent(one.looser)), "")
            )
    verdict = Verdict.SHORT if said.chance < HOPELESS else said.verdict
    return AnswerShown(
        name=one.name or say("cloth still to be bought"),
        colour=one.colour,
        kind=verdict.value,
        verdict=say(VERDICTS[verdict]),
        chance=say("It reaches in %(chance)s of such rugs.", chance=words.percent(_seen(said.chance), 0)),
        facts=tuple(facts),
        remedies=tuple(remedies),
    )


def _seen(chance: float) -> float:
    """A chance as it is told: never as if it were certain."""
    return min(0.99, max(0.01, chance))
