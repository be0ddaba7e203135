"""Photographs of pieces: the page that puts one up, and the pictures themselves."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import Problem, Refusal
from shop.usecases import picture as pictures
from shop.usecases import piece as pieces
from shop.usecases.developing import LARGEST_FILE
from shop.web.cloth_shown import COLOUR_WORDS
from shop.web.errors import wrong
from shop.web.fields import ColourField, SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark
from shop.words.problems import problem_sentence

room = Blueprint("picture", __name__, url_prefix="/cloth/pieces/<int:number>")


class PictureForm(ShopForm):
    """A photograph to put up; the file itself is read beside the form."""

    photograph = TextField(mark("A photograph"), needed=False, where="photograph")
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
            return redirect(url_for("picture.show_form", number=number), 303)  # type: ignore[return-value]
    return _form(number, form, status=422)


@room.errorhandler(RequestEntityTooLarge)
def tell_largest(_: RequestEntityTooLarge) -> Response:
    """A file so large that it was not even read: how large it may be."""
    largest = Problem("photograph.large", values={"most": LARGEST_FILE // 1024 // 1024})
    return wrong(413, problem_sentence(largest, words_now()), back=True)


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


def jpeg(found: pictures.Shown, *, small: bool) -> Response:
    """A picture, to be kept by the browser that asked for it."""
    answer = Response(found.content, mimetype="image/jpeg")
    answer.set_etag(f"{found.digest}-{'small' if small else 'large'}")
    # Kept by the browser, and asked for again at the door.
    answer.headers["Cache-Control"] = "private, no-cache"
    return answer.make_conditional(request)


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
