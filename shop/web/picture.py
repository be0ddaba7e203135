"""Photographs of pieces: the page that puts one up, and the pictures themselves."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Problem, Refusal
from shop.usecases import picture as pictures
from shop.usecases import piece as pieces
from shop.usecases.developing import LARGEST_FILE
from shop.web.fields import SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("picture", __name__, url_prefix="/cloth/pieces/<int:number>")


class PictureForm(ShopForm):
    """A photograph to put up; the file itself is read beside the form."""

    photograph = TextField(mark("A photograph"), needed=False, where="photograph")
    saving = SavingField()


@page("cloth/picture.html")
class PicturePage:
    """The photograph of a piece; ``digest`` is empty when it has none."""

    number: int
    name: str
    colour: str
    digest: str
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
            pictures.put_up(
                store_now(), number=number, content=content, saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("The photograph is up. Where and when it was taken is not kept."))
            return redirect(url_for("piece.show_piece", number=number), 303)  # type: ignore[return-value]
    return _form(number, form, status=422)


@room.post("/photograph/away")
def take_away(number: int) -> Response:
    """Take it away."""
    form = PictureForm()
    if form.saving.problems:
        raise Refusal(Problem("saving.token"))
    pictures.take_away(store_now(), number=number, saving=form.saving.data, now=moment())
    tell(mark("The photograph is taken away."))
    return redirect(url_for("piece.show_piece", number=number), 303)  # type: ignore[return-value]


@room.get("/photograph.jpg")
def show_large(number: int) -> Response:
    """The photograph itself."""
    return _jpeg(number, small=False)


@room.get("/thumbnail.jpg")
def show_small(number: int) -> Response:
    """The small one."""
    return _jpeg(number, small=True)


def _jpeg(number: int, *, small: bool) -> Response:
    found = pictures.shown(store_now(), number=number, small=small)
    answer = Response(found.content, mimetype="image/jpeg")
    answer.set_etag(f"{found.digest}-{'small' if small else 'large'}")
    answer.headers["Cache-Control"] = "private, no-cache"  # kept by the browser, and asked for again at the door
    return answer.make_conditional(request)


def _form(number: int, form: PictureForm, *, status: int = 200) -> Response:
    card = pieces.piece(store_now(), number=number)
    context = PicturePage(
        number=number,
        name=card.name,
        colour=card.colour,
        digest=pictures.has_one(store_now(), number=number),
        form=form,
    )
    return show(context, status=status)
