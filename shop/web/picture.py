"""Photographs of pieces: the page that puts one up, and the pictures themselves."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, url_for
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import Problem, Refusal
from shop.usecases import picture as pictures
from shop.usecases import piece as pieces
from shop.web.cloth_shown import COLOUR_WORDS
from shop.web.fields import ColourField, SavingField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.photograph import PhotographField, jpeg, tell_largest
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("picture", __name__, url_prefix="/cloth/pieces/<int:number>")
room.register_error_handler(RequestEntityTooLarge, tell_largest)


class PictureForm(ShopForm):
    """A photograph to put up."""

    photograph = PhotographField(mark("A photograph"))
    saving = SavingField()


class OfferedForm(ShopForm):
    """The colour that a photograph offers."""

    colour = ColourField(mark("Colour"), where="colour")
    saving = SavingField()


@page("cloth/picture.html")
class PicturePage:
    """The photograph of a piece.

    Attributes:
        digest: of the photograph; empty when there is none. ``width`` and ``height`` are its points.
        offered: the colour of the cloth in it, ``#rrggbb``, and ``looks`` its word; empty where there is nothing to take.
    """

    number: int
    name: str
    digest: str
    width: int
    height: int
    offered: str
    looks: str
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
            pictures.put_up(
                store_now(), number=number, content=form.photograph.data, saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("The photograph is up. Where and when it was taken is not kept."))
            return redirect(url_for("picture.show_form", number=number), 303)  # type: ignore[return-value]
    return _form(number, form, status=422)


@room.post("/photograph/colour")
def take_colour(number: int) -> Response:
    """Keep the piece under the colour that its photograph shows."""
    form = OfferedForm()
    if problems := [*form.colour.problems, *form.saving.problems]:
        raise Refusal(*problems)
    pictures.take_colour(
        store_now(), number=number, colour=form.colour.data, saving=form.saving.data, now=moment()
    )
    tell(mark("It is now kept under the colour of its photograph."))
    return redirect(url_for("piece.show_piece", number=number), 303)  # type: ignore[return-value]


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
    return jpeg(pictures.shown(store_now(), number=number, small=False), small=False)


@room.get("/thumbnail.jpg")
def show_small(number: int) -> Response:
    """The small one."""
    return jpeg(pictures.shown(store_now(), number=number, small=True), small=True)


def _form(number: int, form: PictureForm, *, status: int = 200) -> Response:
    card = pieces.piece(store_now(), number=number)
    found = pictures.offered(store_now(), number=number)
    context = PicturePage(
        number=number,
        name=card.name,
        digest=found.digest,
        width=found.width,
        height=found.height,
        offered=found.colour,
        looks=words_now().say(COLOUR_WORDS[found.family]) if found.family else "",
        form=form,
    )
    return show(context, status=status)
