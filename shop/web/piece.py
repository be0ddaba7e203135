"""A piece of cloth: how to cut it, what it cost, what happened to it, and what can be done with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.strips import Tool, Way
from shop.usecases import cutting
from shop.usecases import piece as pieces
from shop.usecases.cutting import PieceToCut, WayOfCutting
from shop.web.asked import number_of
from shop.web.cloth import StripForm
from shop.web.cloth_shown import (
    NOTHING,
    PieceShown,
    StepShown,
    per_strip_named,
    per_strip_shown,
    piece_shown,
    steps_shown,
)
from shop.web.fields import ChoiceField, SavingField, TextField
from shop.web.forms import ShopForm, pressed
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("piece", __name__, url_prefix="/cloth/pieces")

WAYS: Final[dict[Way, tuple[str, str]]] = {
    Way.ALONG: (mark("Along"), mark("strips as long as the piece")),
    Way.ACROSS: (mark("Across"), mark("strips as long as the piece is wide")),
    Way.ZIGZAG: (mark("Back and forth"), mark("one long strip, turning at each end")),
    Way.TUBE: (
        mark("In a spiral"),
        mark("one long strip, if the piece is still a tube as wide around as this"),
    ),
}
"""Each way to cut: its name, and what it gives."""


class CutForm(StripForm):
    """How a piece is to be made into strips."""

    tool = ChoiceField(
        mark("Strips are"),
        choices=((Tool.ROTARY.value, mark("Cut")), (Tool.TEAR.value, mark("Torn"))),
        buttons=True,
    )


class ActForm(ShopForm):
    """What is done with a piece."""

    note = TextField(mark("To whom, or why"), needed=False, where="note")
    saving = SavingField()


@dataclass(frozen=True, slots=True, kw_only=True)
class WayRow:
    """A way to cut a piece, in words; ``most`` strip and ``fewest_joins`` of those that leave several strips."""

    name: str
    why: str
    count: str
    each: str
    total: str
    joins: str
    cost: str
    most: bool
    fewest_joins: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WentInto:
    """A job that some of the piece went into; ``woven`` when it is in the finished rug."""

    number: int
    address: str
    name: str
    share: str
    cost: str
    woven: bool


@page("cloth/piece.html")
class PiecePage:
    """A piece of cloth.

    Attributes:
        strip: the width of a strip, in words.
        torn: strips are torn and not cut; ``no_tear`` though it failed its tear test.
        none_comes_out: it is smaller than one strip, every way.
    """

    piece: PieceShown
    form: CutForm
    strip: str
    torn: bool
    no_tear: bool
    ways: tuple[WayRow, ...]
    differs: bool
    per_strip: str
    none_comes_out: bool
    act: ActForm
    jobs: tuple[WentInto, ...]
    steps: tuple[StepShown, ...]


@room.get("/<int:number>")
def show_piece(number: int) -> Response:
    """A piece."""
    return _piece(number, ActForm(formdata=None))


@room.post("/<int:number>/ready")
def mark_ready(number: int) -> Response:
    """It has been washed and dried."""
    pieces.mark_ready(store_now(), number=number, saving=pressed(), now=moment())
    tell(mark("Piece %(number)s is washed, dried and ready."), number=str(number))
    return _done(number)


@room.post("/<int:number>/set-aside")
def set_aside(number: int) -> Response:
    """It has to be washed again."""
    pieces.set_aside(store_now(), number=number, saving=pressed(), now=moment())
    tell(mark("Piece %(number)s is set aside to wash."), number=str(number))
    return _done(number)


@room.post("/<int:number>/give-away")
def give_away(number: int) -> Response:
    """All that is left of it leaves the shop."""
    form = ActForm()
    if form.validate():
        try:
            pieces.give_away(
                store_now(),
                number=number,
                note=form.note.data or "",
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(
                mark("Piece %(number)s is given away. If that was a mistake, undo it below."),
                number=str(number),
            )
            return _done(number)
    return _piece(number, form, status=422)


@room.post("/<int:number>/undo")
def undo(number: int) -> Response:
    """Undo a step."""
    step = request.form.get("step", "")
    step_id = number_of(step) or 0
    pieces.undo(store_now(), number=number, step_id=step_id, saving=pressed(), now=moment())
    tell(mark("Undone. Both entries stay in the record of piece %(number)s."), number=str(number))
    return _done(number)


def _done(number: int) -> Response:
    """Back to where the button was: the piece, or its haul."""
    haul_id = number_of(request.form.get("haul", ""))
    if haul_id is not None:
        return redirect(url_for("haul.show_haul", haul_id=haul_id), 303)  # type: ignore[return-value]
    if request.form.get("draw"):
        return redirect(url_for("draw.show_draw", number=number), 303)  # type: ignore[return-value]
    return redirect(url_for("piece.show_piece", number=number), 303)  # type: ignore[return-value]


def _piece(number: int, act: ActForm, *, status: int = 200) -> Response:
    store = store_now()
    usual = cutting.usual_strip(store, units=words_now().units)
    form = CutForm.asked(usual, tool=Tool.ROTARY.value)
    strip = form.strip_or(usual)
    tool = Tool.TEAR if form.tool.data == Tool.TEAR.value else Tool.ROTARY
    cut = cutting.piece_to_cut(store, number=number, strip=strip, tool=tool)
    context = PiecePage(
        piece=piece_shown(cut.piece),
        form=form,
        strip=words_now().length(strip),
        torn=tool is Tool.TEAR,
        no_tear=tool is Tool.TEAR and cut.piece.tears is False,
        ways=tuple(_way_row(cut, way) for way in cut.ways),
        differs=cut.differs,
        per_strip=per_strip_named(),
        none_comes_out=bool(cut.ways) and not any(way.found.count for way in cut.ways),
        act=act,
        jobs=tuple(_went_into(one) for one in pieces.jobs_of(store, number=number)),
        steps=steps_shown(cut.piece),
    )
    return show(context, status=422 if form.errors else status)


def _went_into(one: pieces.InJob) -> WentInto:
    words = words_now()
    return WentInto(
        number=one.number,
        address=url_for("job.show_job", number=one.number),
        name=one.name,
        share=words.percent(one.share),
        cost=words.money(one.cost),
        woven=one.woven,
    )


def _way_row(cut: PieceToCut, way: WayOfCutting) -> WayRow:
    words = words_now()
    name, why = WAYS[way.found.way]
    some = way.found.count > 0
    return WayRow(
        name=words.say(name),
        why=words.say(why),
        count=words.number(way.found.count),
        each=words.strip_length(way.found.each.metres) if some else NOTHING,
        total=words.strip_length(way.found.total.metres) if some else NOTHING,
        joins=words.number(way.found.joins) if some else NOTHING,
        cost=per_strip_shown(way.per_metre, way.per_yard, cut.piece.cost.currency),
        most=way.most,
        fewest_joins=way.fewest_joins,
    )
