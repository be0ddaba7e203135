"""Cutting a piece in two, and writing off what is good for nothing."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.measure import Length
from shop.usecases import cutting, draw_bench, split
from shop.usecases import draw as draws
from shop.web.amount_form import (
    FIELDS,
    OF_CLOTH,
    OF_YARN,
    AmountForm,
    SaidShown,
    area_unit,
    begun,
    said_shown,
)
from shop.web.cloth_shown import PieceShown, piece_shown
from shop.web.fields import LengthField, SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("split", __name__, url_prefix="/cloth/pieces/<int:number>")


class SplitForm(ShopForm):
    """A piece to cut off another."""

    width = LengthField(mark("Width"), where="width")
    length = LengthField(mark("Length"), where="length")
    name = TextField(mark("Name of the new piece"), needed=False, where="name")
    saving = SavingField()


@page("cloth/split.html")
class SplitPage:
    """A piece to cut in two; ``left`` what is left of it in all the ways."""

    piece: PieceShown
    form: SplitForm
    left: SaidShown


@page("cloth/spoil.html")
class SpoilPage:
    """A piece on the shelf, some of which is good for nothing."""

    piece: PieceShown
    form: AmountForm
    left: SaidShown
    ways: tuple[str, ...]
    open_way: str
    area_unit: str
    look: SaidShown | None


@room.get("/split")
def show_split(number: int) -> Response:
    """How large the new piece is to be."""
    return _split(number, SplitForm(formdata=None))


@room.post("/split")
def cut_in_two(number: int) -> Response:
    """Cut it."""
    form = SplitForm()
    if "width" not in request.form:
        form.width.needed = False
    if form.validate():
        try:
            done = split.split(
                store_now(),
                number=number,
                width=form.width.data if isinstance(form.width.data, Length) else None,
                length=form.length.data,
                name=form.name.data or "",
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "piece.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("The new piece is No. %(number)s. Give it a label."), number=str(done.new.number))
            return redirect(url_for("piece.show_piece", number=done.new.number), 303)  # type: ignore[return-value]
    return _split(number, form, status=422)


def _split(number: int, form: SplitForm, *, status: int = 200) -> Response:
    strip = cutting.usual_strip(store_now(), units=words_now().units)
    bench = draw_bench.draw_bench(store_now(), number=number, job=None, strip=strip)
    left = said_shown(bench.left, bench.stuff, bench.piece.cost_left, strip)
    return show(SplitPage(piece=piece_shown(bench.piece), form=form, left=left), status=status)


@room.get("/spoiled")
def show_spoil(number: int) -> Response:
    """How much of it is good for nothing."""
    return _spoil(number, None)


@room.post("/spoiled")
def spoil(number: int) -> Response:
    """Write it off; or only look what that would be."""
    form = AmountForm()
    look = request.form.get("look", "")
    how = look or request.form.get("how", "")
    try:
        amount = form.amount(how)
        if amount is None:
            return _spoil(number, form, way=how, status=422)
        if look:
            return _spoil(number, form, way=how, looked=draws.look(store_now(), number=number, amount=amount))
        draws.spoil(
            store_now(),
            number=number,
            amount=amount,
            note=form.note.data or "",
            saving=form.saving.data,
            now=moment(),
        )
    except Refusal as refusal:
        if any(problem.code == "piece.unknown" for problem in refusal.problems):
            raise
        form.put_beside(how, refusal)
        return _spoil(number, form, way=how, status=422)
    tell(mark("Written off. If that was a mistake, undo it in the record below."))
    return redirect(url_for("piece.show_piece", number=number), 303)  # type: ignore[return-value]


def _spoil(
    number: int, form: AmountForm | None, *, way: str = "", looked: draws.Look | None = None, status: int = 200
) -> Response:
    strip = cutting.usual_strip(store_now(), units=words_now().units)
    bench = draw_bench.draw_bench(store_now(), number=number, job=None, strip=strip)
    context = SpoilPage(
        piece=piece_shown(bench.piece),
        form=form or begun(bench.stuff, strip),
        left=said_shown(bench.left, bench.stuff, bench.piece.cost_left, strip),
        ways=OF_YARN if bench.piece.is_yarn else OF_CLOTH,
        open_way=way if way in FIELDS else "",
        area_unit=area_unit(),
        look=said_shown(looked.said, bench.stuff, looked.cost, strip) if looked else None,
    )
    return show(context, status=status)
