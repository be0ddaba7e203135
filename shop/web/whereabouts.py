"""Where rugs go from their pages: to an outlet and back, home from a fair, given away; and back to being a job's rug."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import rug_card, rug_from_job, whereabouts
from shop.web.asked import number_of
from shop.web.fields import SavingField, TextField
from shop.web.forms import ShopForm, pressed
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("whereabouts", __name__, url_prefix="/rugs/<int:number>")


class NoteForm(ShopForm):
    """A word about what is done with a rug."""

    note = TextField(mark("A note"), needed=False, where="note")
    saving = SavingField()


def _to(number: int) -> Response:
    return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]


def _press(at: int, act: Callable[..., Any], told: str, **given: Any) -> Response:
    act(store_now(), saving=pressed(), now=moment(), **given)
    tell(told, number=str(at))
    return _to(at)


@room.post("/send")
def send(number: int) -> Response:
    """It goes to an outlet."""
    outlet = number_of(request.form.get("outlet", "")) or 0
    return _press(number, whereabouts.send, mark("Rug %(number)s is on its way."), outlet=outlet, rugs=[number])


@room.post("/back")
def take_back(number: int) -> Response:
    """It comes home from its outlet, or from where it was given or lost."""
    if rug_card.rug(store_now(), number=number).place == "gone":
        return _press(number, whereabouts.found_again, mark("Rug %(number)s is at home."), number=number)
    return _press(number, whereabouts.take_back, mark("Rug %(number)s is at home."), rugs=[number])


@room.post("/unpack")
def unpack(number: int) -> Response:
    """It comes home from the fair that it was packed for."""
    return _press(number, whereabouts.unpack, mark("Rug %(number)s is at home."), rugs=[number])


@room.post("/gone")
def give_away(number: int) -> Response:
    """It is given away, kept or lost."""
    form = NoteForm()
    if problems := [*form.note.problems, *form.saving.problems]:
        raise Refusal(*problems)
    whereabouts.give_away(store_now(), number=number, note=form.note.data or "", saving=form.saving.data, now=moment())
    tell(mark("Rug %(number)s is for sale no more."), number=str(number))
    return _to(number)


@room.post("/anew")
def reckon_anew(number: int) -> Response:
    """What it cost is reckoned again from its job."""
    return _press(number, rug_from_job.reckon_anew, mark("Rug %(number)s is reckoned again from its job."), number=number)


@room.post("/none")
def undo(number: int) -> Response:
    """It is no rug for sale after all."""
    job = rug_from_job.undo(store_now(), number=number, saving=pressed(), now=moment())
    tell(mark("Rug %(number)s is taken off the rugs for sale."), number=str(number))
    return redirect(url_for("job.show_job", number=job), 303)  # type: ignore[return-value]
