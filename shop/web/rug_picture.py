"""Photographs of rugs: the page that puts one up, and the pictures themselves."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, url_for
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import Refusal
from shop.usecases import rug_card as rugs
from shop.usecases import rug_picture as pictures
from shop.web.forms import pressed
from shop.web.pages import page, show
from shop.web.photograph import jpeg, tell_largest
from shop.web.picture import PictureForm
from shop.web.rug_shown import RugShown, rug_shown
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("rug_picture", __name__, url_prefix="/rugs/<int:number>")
room.register_error_handler(RequestEntityTooLarge, tell_largest)


@page("rug/picture.html")
class RugPicturePage:
    """The photograph of a rug."""

    rug: RugShown
    form: PictureForm


@room.get("/photograph")
def show_form(number: int) -> Response:
    """The photograph, and the form for another."""
    return _form(number, PictureForm(formdata=None))


@room.post("/photograph")
def put_up(number: int) -> Response:
    """Put a photograph up."""
    form = PictureForm()
    if form.validate():
        try:
            pictures.put_up(store_now(), number=number, content=form.photograph.data, saving=form.saving.data, now=moment())
        except Refusal as refusal:
            if any(problem.code == "rug.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("The photograph is up. Where and when it was taken is not kept."))
            return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]
    return _form(number, form, status=422)


@room.post("/photograph/away")
def take_away(number: int) -> Response:
    """Take it away."""
    pictures.take_away(store_now(), number=number, saving=pressed(), now=moment())
    tell(mark("The photograph is taken away."))
    return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]


@room.get("/photograph.jpg")
def show_large(number: int) -> Response:
    """The photograph itself."""
    return jpeg(pictures.shown(store_now(), number=number, small=False), small=False)


@room.get("/thumbnail.jpg")
def show_small(number: int) -> Response:
    """The small one."""
    return jpeg(pictures.shown(store_now(), number=number, small=True), small=True)


def _form(number: int, form: PictureForm, *, status: int = 200) -> Response:
    context = RugPicturePage(rug=rug_shown(rugs.rug(store_now(), number=number)), form=form)
    return show(context, status=status)
