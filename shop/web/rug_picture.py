"""Photographs of rugs: the page that puts one up, and the pictures themselves."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import Problem, Refusal
from shop.usecases import rug as rugs
from shop.usecases import rug_picture as pictures
from shop.usecases.developing import LARGEST_FILE
from shop.web.errors import wrong
from shop.web.forms import pressed
from shop.web.pages import page, show
from shop.web.picture import PictureForm, jpeg
from shop.web.rug_shown import RugShown, rug_shown
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark
from shop.words.problems import problem_sentence

room = Blueprint("rug_picture", __name__, url_prefix="/rugs/<int:number>")


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
        sent = request.files.get("photograph")
        content = sent.read(LARGEST_FILE + 1) if sent else b""
        try:
            pictures.put_up(store_now(), number=number, content=content, saving=form.saving.data, now=moment())
        except Refusal as refusal:
            if any(problem.code == "rug.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("The photograph is up. Where and when it was taken is not kept."))
            return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]
    return _form(number, form, status=422)


@room.errorhandler(RequestEntityTooLarge)
def tell_largest(_: RequestEntityTooLarge) -> Response:
    """A file so large that it was not even read: how large it may be."""
    largest = Problem("photograph.large", values={"most": LARGEST_FILE // 1024 // 1024})
    return wrong(413, problem_sentence(largest, words_now()), back=True)


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
