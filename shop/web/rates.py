"""Rates: what an hour costs, from the wage wanted and the year's overhead; and what is bought in."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import rates as rates_room
from shop.usecases.rates import RatesGiven
from shop.usecases.rates_sample import StepHour, overhead_guess, rates_sample, wage_guess
from shop.web.pages import page, show
from shop.web.rates_form import LINES, MORE, RatesForm, form_of, sent_form
from shop.web.shell import moment, store_now, tell, words_now
from shop.web.step_names import STEP_NAMES
from shop.words import mark

room = Blueprint("rates", __name__, url_prefix="/rates")


@dataclass(frozen=True, slots=True)
class YearLine:
    """A line of the year's budget, and what it comes to."""

    name: str
    amount: str


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step with pay of its own: its name, what an hour of it costs, and of what that is made."""

    name: str
    hour: str
    made_of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HourComesTo:
    """What an hour costs.

    Attributes:
        lines: of the year's budget; ``budget``: all together, empty without lines.
        division: how the budget is spread over the hours, in figures; empty where it is not.
        wage: of an hour; ``overhead``: that it bears; each with its basis. ``hour``: both.
        steps: those that are paid differently.
        bare: no overhead is counted, though there is some.
    """

    lines: tuple[YearLine, ...]
    budget: str
    division: str
    wage: str
    wage_basis: str
    overhead: str
    overhead_basis: str
    hour: str
    steps: tuple[StepLine, ...]
    bare: bool


@page("rates/rates.html")
class RatesPage:
    """What an hour costs: the form, and beside it what it comes to."""

    form: RatesForm
    comes_to: HourComesTo | None
    unset: str


def comes_to(given: RatesGiven, *, unset: bool = False) -> HourComesTo:
    """What an hour costs, in words; ``unset`` before any rates were kept.

    Raises:
        Refusal: a line that is not possible.
    """
    words = words_now()
    sample = rates_sample(given, currency=words.currency, unset=unset)
    lines = tuple(
        YearLine(line.name or words.say(LINES.get(line.kind, mark("Wear"))), words.money(year))
        for line, year in zip(given.lines, sample.years, strict=True)
    )
    division = ""
    if given.overhead == "budget" and given.productive_hours and sample.overhead is not None:
        division = words.say(
            "%(budget)s ÷ %(hours)s h = %(rate)s an hour",
            budget=sample.budget, hours=given.productive_hours, rate=sample.overhead,
        )  # fmt: skip
    elif given.overhead == "percent" and given.overhead_share is not None and sample.overhead is not None:
        division = words.say(
            "%(share)s of %(wage)s = %(rate)s an hour",
            share=words.percent(given.overhead_share), wage=sample.wage, rate=sample.overhead,
        )  # fmt: skip
    return HourComesTo(
        lines=lines,
        budget=words.money(sample.budget) if lines else "",
        division=division,
        wage=words.money(sample.wage),
        wage_basis=sample.wage_basis.value,
        overhead=words.money(sample.overhead) if sample.overhead is not None else "",
        overhead_basis=sample.overhead_basis.value,
        hour=words.money(sample.hour),
        steps=tuple(_step_line(step) for step in sample.steps),
        bare=given.overhead == "none" and not unset,
    )


def _step_line(step: StepHour) -> StepLine:
    words = words_now()
    made_of = words.say(
        "%(pay)s of pay, %(overhead)s of overhead", pay=step.pay, overhead=step.hour - step.pay
    )
    return StepLine(words.say(STEP_NAMES[step.step]), words.money(step.hour), made_of)


@room.get("/")
def show_rates() -> Response:
    """The page."""
    rates = rates_room.current(store_now())
    unset = not rates.revision
    return _page(form_of(rates), comes_to(rates, unset=unset), unset=unset)


@room.post("/")
def take_rates() -> Response:
    """Change the rates; or only show what they come to, or give more rows."""
    form, act = sent_form(), request.form.get("act")
    if act == MORE:
        form.more_rows()
        return _page(form, None)
    if not form.validate():
        return _page(form, None, status=422)
    found: HourComesTo | None = None
    try:
        given = form.given()
        if act == "look":
            return _page(form, comes_to(given))
        rates_room.change(
            store_now(), rates=given, revision=form.revision.data or 0, saving=form.saving.data, now=moment()
        )
    except Refusal as refusal:
        form.refuse(refusal)
        return _page(form, found, status=422)
    tell(mark("Saved."))
    return redirect(url_for("rates.show_rates"), 303)  # type: ignore[return-value]


def _page(form: RatesForm, found: HourComesTo | None, *, unset: bool = False, status: int = 200) -> Response:
    words = words_now()
    told = ""
    if unset:
        told = words.say(
            "Nothing is set yet: quotes reckon with %(wage)s for an hour’s work and %(overhead)s of overhead, both starting guesses.",
            wage=wage_guess(words.currency), overhead=overhead_guess(words.currency),
        )  # fmt: skip
    return show(RatesPage(form=form, comes_to=found, unset=told), status=status)


