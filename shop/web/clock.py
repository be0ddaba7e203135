"""The time of a job: a clock for each step, minutes typed in, and what was reckoned beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.hours import STEPS
from shop.usecases import clock
from shop.web.asked import number_of
from shop.web.fields import ChoiceField, MinutesField, SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.web.step_names import STEP_NAMES
from shop.words import mark

room = Blueprint("clock", __name__, url_prefix="/jobs")


class TimeForm(ShopForm):
    """Minutes that no clock measured."""

    step = ChoiceField(mark("Step"), choices=tuple(STEP_NAMES.items()), where="step")
    minutes = MinutesField(
        mark("Minutes"), least=Decimal("0.01"), most=100_000, where="minutes", hint=mark("170, 2:50 or 2 h 50 min")
    )
    note = TextField(mark("A note"), needed=False, where="note")
    saving = SavingField()


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTime:
    """A step with its time."""

    key: str
    name: str
    spent: str
    planned: str
    runs: bool


@dataclass(frozen=True, slots=True)
class TimeRow:
    """Time that was spent."""

    id: int
    step: str
    when: str
    minutes: str
    how: str
    note: str
    struck: bool


@page("order/time.html")
class TimePage:
    """The time of a job."""

    job: JobRow
    running: str
    since: str
    steps: tuple[StepTime, ...]
    rows: tuple[TimeRow, ...]
    spent: str
    planned: str
    form: TimeForm
    act: PressForm
    takes: bool


@room.get("/<int:number>/time")
def show_time(number: int) -> Response:
    """The time of a job."""
    return _time_page(clock.time_of(store_now(), job=number), TimeForm(formdata=None))


def _time_page(found: clock.JobTime, form: TimeForm, *, status: int = 200) -> Response:
    words = words_now()
    running = found.running
    planned = sum(one.middle for one in found.planned.values())
    context = TimePage(
        job=job_row(found.line),
        running=words.say(STEP_NAMES[running.step]) if running else "",
        since=words.datetime(running.begun_at) if running else "",
        steps=tuple(
            StepTime(
                key=step,
                name=words.say(STEP_NAMES[step]),
                spent=words.duration(float(found.spent[step])),
                planned=words.duration(found.planned[step].middle) if step in found.planned else "",
                runs=running is not None and running.step == step,
            )
            for step in STEPS
        ),
        rows=tuple(
            TimeRow(
                one.id,
                words.say(STEP_NAMES[one.step]),
                words.datetime(one.begun_at),
                words.duration(float(one.minutes)) if one.minutes is not None else "",
                words.say("by the clock") if one.by_clock else words.say("typed"),
                one.note,
                one.struck,
            )
            for one in found.lines
        ),
        spent=words.duration(float(sum(found.spent.values()))),
        planned=words.duration(planned) if planned else "",
        form=form,
        act=PressForm(formdata=None),
        takes=found.line.state not in ("handed over", "called off"),
    )
    return show(context, status=status)


@room.post("/<int:number>/time/clock")
def run_clock(number: int) -> Response:
    """Start the clock on a step, or stop it."""
    step = request.form.get("step", "")
    if step:
        _press(clock.start, number, mark("The clock runs."), step=step)
    else:
        _press(clock.stop, number, mark("The clock is stopped."))
    return redirect(url_for("clock.show_time", number=number), 303)  # type: ignore[return-value]


@room.post("/<int:number>/time")
def type_time(number: int) -> Response:
    """Minutes that no clock measured."""
    form = TimeForm()
    if form.validate():
        try:
            clock.type_in(
                store_now(),
                job=number,
                step=form.step.data,
                minutes=form.minutes.data,
                note=form.note.data or "",
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "job.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Written down."))
            return redirect(url_for("clock.show_time", number=number), 303)  # type: ignore[return-value]
    return _time_page(clock.time_of(store_now(), job=number), form, status=422)


@room.post("/<int:number>/time/struck")
def strike(number: int) -> Response:
    """It was a mistake."""
    entry = number_of(request.form.get("entry", "")) or 0
    _press(clock.strike, number, mark("Struck out. It stays in the record."), entry=entry)
    return redirect(url_for("clock.show_time", number=number), 303)  # type: ignore[return-value]


def _press(act: Callable[..., Any], number: int, told: str, **given: Any) -> None:
    act(store_now(), job=number, saving=pressed(), now=moment(), **given)
    tell(told)
