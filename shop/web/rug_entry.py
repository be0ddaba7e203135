"""Entering a rug that was made before, or without, a job here; and correcting what is known of one."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final

from flask import Blueprint, Response, redirect, url_for

from shop.core.errors import Refusal
from shop.paper.advice import short_care
from shop.usecases import rug as rugs
from shop.usecases import rug_card
from shop.usecases.rug import RugGiven
from shop.usecases.rug_card import COSTS, RugCard
from shop.web.fields import (
    CheckField,
    ColourField,
    DateField,
    LengthField,
    MoneyField,
    NumberField,
    RevisionField,
    SavingField,
    TextField,
    WeightField,
)
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("rug_entry", __name__, url_prefix="/rugs")

MINUTES: Final = 60
PATTERNS: Final[dict[int, tuple[tuple[int, int], ...]]] = {
    1: ((0, 1),),
    2: ((1, 2), (0, 6), (1, 2)),
    3: ((1, 2), (2, 1), (0, 4), (2, 1), (1, 2)),
}
"""How a rug of so many colours is drawn that nobody drew: (which colour, how broad), the first in its middle."""
BEGUN: Final = ("#2f4470", "#efe6d2", "#9c3b2e")


class RugForm(ShopForm):
    """A rug."""

    name = TextField(mark("What it is called"), where="rug.name")
    made_on = DateField(mark("Done on, or thereabouts"), where="rug.made_on")
    width = LengthField(mark("Width"), where="rug.width")
    length = LengthField(mark("Length"), where="rug.length")
    weight = WeightField(mark("Weight, if weighed"), needed=False, where="rug.weight")
    colour = ColourField(mark("Its main colour"), where="rug.stripes")
    second = ColourField(mark("The colour of its ends"), where="second")
    has_second = CheckField(mark("It has a second colour"))
    third = ColourField(mark("The colour between"), where="third")
    has_third = CheckField(mark("It has a third colour"))
    fibres = TextField(
        mark("Fibre content"),
        needed=False,
        longest=200,
        hint=mark("By weight, the largest first: 80%% cotton, 20%% unknown fibres. Leave it empty where you do not know."),
        where="rug.fibres",
    )
    care = TextField(mark("Care"), needed=False, longest=300, where="rug.care")
    cloth = MoneyField(mark("Cloth"), needed=False, where="rug.cost.cloth")
    warp = MoneyField(mark("Warp"), needed=False, where="rug.cost.warp")
    labour = MoneyField(mark("Labour"), needed=False, where="rug.cost.labour")
    overhead = MoneyField(mark("Overhead"), needed=False, where="rug.cost.overhead")
    bought_in = MoneyField(mark("Bought in"), needed=False, where="rug.cost.bought_in")
    hours = NumberField(mark("Hours of work"), needed=False, most=1000, where="rug.minutes")
    price = MoneyField(mark("Price"), needed=False, where="rug.price")
    note = TextField(mark("A note"), needed=False, lines=2, longest=2000, where="rug.note")
    revision = RevisionField()
    saving = SavingField()

    def given(self, kept: RugCard | None) -> RugGiven:
        """What was given; stripes that this form cannot draw stay as they are."""
        costs = {name: getattr(self, name).data for name in COSTS}
        return RugGiven(
            name=self.name.data,
            note=self.note.data or "",
            made_on=self.made_on.data,
            width=self.width.data,
            length=self.length.data,
            weight=self.weight.data,
            stripes=self._stripes(kept),
            fibres=self.fibres.data or "",
            care=self.care.data or "",
            minutes=round(Decimal(self.hours.data or 0) * MINUTES, 4),
            price=self.price.data,
            **costs,
        )

    def _stripes(self, kept: RugCard | None) -> tuple[tuple[str, Decimal], ...]:
        if kept is not None and colours_of(kept) is None:
            return tuple((colour, Decimal(str(share))) for colour, share in kept.stripes)
        chosen = [self.colour.data]
        if self.has_second.data:
            chosen.append(self.second.data)
        if self.has_third.data:
            chosen.append(self.third.data)
        return tuple((chosen[place], Decimal(broad)) for place, broad in PATTERNS[len(chosen)])


def colours_of(card: RugCard) -> tuple[str, ...] | None:
    """The colours of a rug that is drawn as this form draws; ``None`` for one whose stripes are its own."""
    for pattern in PATTERNS.values():
        places = [place for place, _ in pattern]
        if len(card.stripes) == len(places):
            colours = {place: colour for place, (colour, _) in zip(places, card.stripes, strict=True)}
            if all(colours[place] == colour for place, (colour, _) in zip(places, card.stripes, strict=True)):
                return tuple(colours[place] for place in sorted(colours))
    return None


@page("rug/entry.html")
class EntryPage:
    """A rug to enter, or to correct.

    Attributes:
        number: of the rug; ``None`` for a new one.
        drawn: its colours can be chosen here.
        of_job: its cost is known from its job and stays.
    """

    form: RugForm
    number: int | None
    drawn: bool
    of_job: bool


@room.get("/new")
def new_rug() -> Response:
    """A rug to enter."""
    begun = {
        "made_on": words_now().today(moment()),
        "colour": BEGUN[0],
        "second": BEGUN[1],
        "third": BEGUN[2],
        "care": short_care(words_now()),
    }
    return _page(RugForm(formdata=None, data=begun), None)


@room.post("/new")
def enter() -> Response:
    """Enter it."""
    form = RugForm()
    if form.validate():
        try:
            card = rugs.enter(store_now(), rug=form.given(None), saving=form.saving.data, now=moment())
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("Rug %(number)s is entered."), number=str(card.number))
            return redirect(url_for("rug.show_rug", number=card.number), 303)  # type: ignore[return-value]
    return _page(form, None, status=422)


@room.get("/<int:number>/facts")
def show_facts(number: int) -> Response:
    """What is known of a rug."""
    card = rug_card.rug(store_now(), number=number)
    return _page(RugForm(formdata=None, data=_begun(card)), card)


@room.post("/<int:number>/facts")
def correct(number: int) -> Response:
    """Correct it."""
    card = rug_card.rug(store_now(), number=number)
    form = RugForm()
    if colours_of(card) is None:
        form.colour.problems, form.second.problems, form.third.problems = [], [], []
    if form.validate():
        try:
            rugs.correct(
                store_now(),
                number=number,
                rug=form.given(card),
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("Corrected."))
            return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]
    return _page(form, card, status=422)


def _begun(card: RugCard) -> dict[str, Any]:
    colours = colours_of(card) or (card.colour,)
    costs = {name: getattr(card.cost, name) or None for name in COSTS}
    return {
        "name": card.name,
        "note": card.note,
        "made_on": card.made_on,
        "width": card.size.width,
        "length": card.size.length,
        "weight": card.weight,
        "colour": colours[0],
        "second": (*colours, *BEGUN)[1] if len(colours) > 1 else BEGUN[1],
        "has_second": len(colours) > 1,
        "third": colours[2] if len(colours) > 2 else BEGUN[2],
        "has_third": len(colours) > 2,
        "fibres": card.content["fibres"],
        "care": card.content["care"],
        "hours": round(card.minutes / MINUTES, 2) if card.minutes else None,
        "price": card.price,
        "revision": card.revision,
        **costs,
    }


def _page(form: RugForm, card: RugCard | None, *, status: int = 200) -> Response:
    context = EntryPage(
        form=form,
        number=card.number if card else None,
        drawn=card is None or colours_of(card) is not None,
        of_job=card is not None and card.job is not None,
    )
    return show(context, status=status)
