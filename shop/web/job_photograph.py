"""The photographs of a job's rug: put up, looked at one by one, said something about, chosen, taken away."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, redirect, url_for
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import NotFound, Problem, Refusal
from shop.usecases import job_photograph as photographs
from shop.usecases.job_photograph import MOST, JobPhotographs
from shop.web.fields import SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.photograph import PhotographField, jpeg, tell_largest
from shop.web.record_shown import PhotographRow, photograph_rows
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("job_photograph", __name__, url_prefix="/jobs/<int:number>/photographs")
room.register_error_handler(RequestEntityTooLarge, tell_largest)


class PhotographForm(ShopForm):
    """A photograph to put up."""

    photograph = PhotographField(mark("A photograph"))
    words = TextField(mark("A few words about it"), needed=False, where="words")
    saving = SavingField()


class WordsForm(ShopForm):
    """What is said of a photograph."""

    words = TextField(mark("A few words about it"), needed=False, where="words")
    saving = SavingField()


@page("job/photographs.html")
class PhotographsPage:
    """The photographs of a job, oldest first; ``room_left`` is how many more may come."""

    job: JobRow
    photographs: tuple[PhotographRow, ...]
    form: PhotographForm
    most: int
    room_left: int


@page("job/photograph.html")
class PhotographPage:
    """One photograph, large; ``before`` and ``after`` are the addresses of those beside it."""

    job: JobRow
    photograph: PhotographRow
    width: int
    height: int
    place: int
    of: int
    before: str
    after: str
    form: WordsForm
    act: PressForm


@room.get("")
def show_photographs(number: int) -> Response:
    """The photographs of a job, and the form for another."""
    return _photographs(number, PhotographForm(formdata=None))


def _photographs(number: int, form: PhotographForm, *, status: int = 200) -> Response:
    found = photographs.photographs(store_now(), job=number)
    context = PhotographsPage(
        job=job_row(found.line),
        photographs=photograph_rows(number, found.line.name, found.photographs),
        form=form,
        most=MOST,
        room_left=MOST - len(found.photographs),
    )
    return show(context, status=status)


@room.post("")
def put_up(number: int) -> Response:
    """Put a photograph up."""
    form = PhotographForm()
    if form.validate():
        try:
            photographs.put_up(
                store_now(),
                job=number,
                content=form.photograph.data,
                words=form.words.data or "",
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "job.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("The photograph is up. Where and when it was taken is not kept."))
            return redirect(url_for("job_photograph.show_photographs", number=number), 303)  # type: ignore[return-value]
    return _photographs(number, form, status=422)


@room.get("/<int:photograph>")
def show_photograph(number: int, photograph: int) -> Response:
    """One photograph, large."""
    return _photograph(photographs.photographs(store_now(), job=number), photograph, None)


def _photograph(found: JobPhotographs, photograph: int, form: WordsForm | None, *, status: int = 200) -> Response:
    number, lines = found.line.number, found.photographs
    at = next((place for place, one in enumerate(lines) if one.id == photograph), None)
    if at is None:
        raise NotFound(Problem("photograph.unknown"))
    rows = photograph_rows(number, found.line.name, lines)
    context = PhotographPage(
        job=job_row(found.line),
        photograph=rows[at],
        width=lines[at].width,
        height=lines[at].height,
        place=at + 1,
        of=len(rows),
        before=rows[at - 1].address if at else "",
        after=rows[at + 1].address if at + 1 < len(rows) else "",
        form=form or WordsForm(formdata=None, data={"words": lines[at].words}),
        act=PressForm(formdata=None),
    )
    return show(context, status=status)


@room.post("/<int:photograph>")
def reword(number: int, photograph: int) -> Response:
    """Say something else about it."""
    form = WordsForm()
    if form.validate():
        try:
            photographs.reword(
                store_now(),
                job=number,
                photograph=photograph,
                words=form.words.data or "",
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code.endswith(".unknown") for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Its words are kept."))
            return _to(number, photograph)
    return _photograph(photographs.photographs(store_now(), job=number), photograph, form, status=422)


def _to(number: int, photograph: int) -> Response:
    return redirect(url_for("job_photograph.show_photograph", number=number, photograph=photograph), 303)  # type: ignore[return-value]


def _press(act: Callable[..., Any], number: int, photograph: int, told: str) -> None:
    act(store_now(), job=number, photograph=photograph, saving=pressed(), now=moment())
    tell(told)


@room.post("/<int:photograph>/stands")
def choose(number: int, photograph: int) -> Response:
    """It stands for the rug."""
    _press(photographs.choose, number, photograph, mark("This photograph stands for the rug now."))
    return _to(number, photograph)


@room.post("/<int:photograph>/away")
def take_away(number: int, photograph: int) -> Response:
    """Take it away."""
    _press(photographs.take_away, number, photograph, mark("The photograph is taken away."))
    return redirect(url_for("job_photograph.show_photographs", number=number), 303)  # type: ignore[return-value]


@room.get("/<int:photograph>.jpg")
def show_large(number: int, photograph: int) -> Response:
    """The photograph itself."""
    return jpeg(photographs.shown(store_now(), job=number, photograph=photograph, small=False), small=False)


@room.get("/<int:photograph>-small.jpg")
def show_small(number: int, photograph: int) -> Response:
    """The small one."""
    return jpeg(photographs.shown(store_now(), job=number, photograph=photograph, small=True), small=True)
