"""Fairs: the list, the plan of each, and its page with the doors to all that is done for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import fair as fairs
from shop.usecases import fair_table as tables
from shop.usecases.fair_card import COSTS, FairCard
from shop.web.asked import number_of
from shop.web.fair_form import FairForm, form_of
from shop.web.forms import PressForm, pressed
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("fair", __name__, url_prefix="/fairs")

STATES: Final = {
    "planned": mark("planned"),
    "open": mark("on now"),
    "over": mark("over"),
    "called off": mark("called off"),
}
COST_NAMES: Final = {
    "stall": mark("Stall"),
    "travel": mark("Travel"),
    "nights": mark("Nights"),
    "helper": mark("A helper"),
    "permits": mark("Permits"),
    "other": mark("Anything else"),
}


@dataclass(frozen=True, slots=True)
class FairRow:
    """A fair in the list."""

    address: str
    name: str
    number: int
    state: str
    place: str
    days: str
    costs: str


@page("fair/list.html")
class FairsPage:
    """The fairs, the latest first."""

    rows: tuple[FairRow, ...]
    further: str


@page("fair/plan.html")
class FairPlanPage:
    """The form of a fair; ``number`` is ``None`` for a new one."""

    number: int | None
    name: str
    form: FairForm
    series: tuple[str, ...]
    guess: bool
    like_last: bool
    back: str


@dataclass(frozen=True, slots=True)
class Line:
    """A line of what a fair costs."""

    name: str
    amount: str


@page("fair/fair.html")
class FairPage:
    """A fair: its days, what it costs whatever is sold, and what can be done for it."""

    number: int
    name: str
    place: str
    note: str
    days: str
    state: str
    state_name: str
    costs: tuple[Line, ...]
    total: str
    hours: str
    card: str
    tax: str
    packed: int
    early: str
    act: PressForm


def days_of(card: FairCard) -> str:
    """The days of a fair, in words."""
    words = words_now()
    first = words.date(card.first_on, "medium")
    if card.last_on == card.first_on:
        return first
    return words.say("%(first)s to %(last)s", first=first, last=words.date(card.last_on, "medium"))


@room.get("")
def show_fairs() -> Response:
    """The fairs."""
    words = words_now()
    found = fairs.fairs(store_now(), below=number_of(request.args.get("below", "")))
    rows = tuple(
        FairRow(
            address=url_for("fair.show_fair", number=one.number),
            name=one.name,
            number=one.number,
            state=words.say(STATES[one.state]),
            place=one.place,
            days=days_of(one),
            costs=words.money(one.costs),
        )
        for one in found.fairs
    )
    further = url_for("fair.show_fairs", below=found.further) if found.further else ""
    return show(FairsPage(rows=rows, further=further))


@room.get("/new")
def new_fair() -> Response:
    """A new fair: what is usual is filled in."""
    begun = fairs.usual(store_now(), today=words_now().today(moment()))
    return _form(None, form_of(begun), guess=not begun.stall, like_last=bool(begun.stall))


@room.post("/new")
def keep_new() -> Response:
    """Keep a new fair."""
    return _keep(None)


@room.get("/<int:number>/plan")
def show_plan(number: int) -> Response:
    """The form of a fair."""
    card = fairs.fair(store_now(), number=number)
    return _form(card, form_of(card))


@room.post("/<int:number>/plan")
def keep_plan(number: int) -> Response:
    """Keep a fair as changed."""
    return _keep(number)


def _keep(number: int | None) -> Response:
    form = FairForm()
    if form.validate():
        try:
            card = fairs.keep(
                store_now(),
                fair=form.given(),
                number=number,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "fair.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("%(name)s is kept."), name=card.name)
            return redirect(url_for("fair.show_fair", number=card.number), 303)  # type: ignore[return-value]
    return _form(None if number is None else fairs.fair(store_now(), number=number), form, status=422)


def _form(card: FairCard | None, form: FairForm, *, guess: bool = False, like_last: bool = False, status: int = 200) -> Response:
    context = FairPlanPage(
        number=card.number if card else None,
        name=card.name if card else "",
        form=form,
        series=fairs.series(store_now()),
        guess=guess,
        like_last=like_last,
        back=url_for("fair.show_fair", number=card.number) if card else url_for("fair.show_fairs"),
    )
    return show(context, status=status)


@room.get("/<int:number>")
def show_fair(number: int) -> Response:
    """A fair."""
    card, words = fairs.fair(store_now(), number=number), words_now()
    return show(
        FairPage(
            number=number,
            name=card.name,
            place=card.place,
            note=card.note,
            days=days_of(card),
            state=card.state,
            state_name=words.say(STATES[card.state]),
            costs=tuple(
                Line(words.say(COST_NAMES[name]), words.money(getattr(card, name))) for name in COSTS if getattr(card, name)
            ),
            total=words.money(card.costs),
            hours=words.duration(float(card.hours * 60)) if card.hours else "",
            card=_card(card),
            tax=_tax(card),
            early=_early(card),
            packed=len(tables.packed(store_now(), number=number)),
            act=PressForm(formdata=None),
        )
    )


def _early(card: FairCard) -> str:
    """A fair that is planned for another day: that it is, before its till is opened by mistake."""
    words, today = words_now(), words_now().today(moment())
    if card.state != "planned" or card.first_on <= today <= card.last_on:
        return ""
    return words.say("Today is not one of its days: %(days)s.", days=days_of(card))


def _card(card: FairCard) -> str:
    words = words_now()
    if not card.card_percent and not card.card_fixed:
        return words.say("nothing")
    return words.say(
        "%(percent)s of each sale by card, and %(fixed)s", percent=words.percent(card.card_percent, 2), fixed=words.money(card.card_fixed)
    )


def _tax(card: FairCard) -> str:
    words = words_now()
    if not card.tax_rate:
        return words.say("none")
    rate = words.percent(card.tax_rate, 3)
    named = f"{card.tax_name} {rate}".strip()
    if card.tax_contained:
        return words.say("%(tax)s, in the price", tax=named)
    return words.say("%(tax)s, on top of the price", tax=named)


def _moved(number: int, act: Callable[..., FairCard], sentence: str) -> Response:
    card = act(store_now(), number=number, saving=pressed(), now=moment())
    tell(sentence, name=card.name)
    return redirect(url_for("fair.show_fair", number=number), 303)  # type: ignore[return-value]


@room.post("/<int:number>/opened")
def open_fair(number: int) -> Response:
    """The fair begins."""
    return _moved(number, fairs.open_till, mark("%(name)s is on: the till takes sales."))


@room.post("/<int:number>/over")
def end_fair(number: int) -> Response:
    """The fair is over."""
    return _moved(number, fairs.end, mark("%(name)s is over."))


@room.post("/<int:number>/called-off")
def call_off(number: int) -> Response:
    """The fair does not take place."""
    return _moved(number, fairs.call_off, mark("%(name)s is called off."))
