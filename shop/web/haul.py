"""Hauls: bringing cloth home, and how what a haul cost fell on its pieces."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.cloth import FLAT_SHEETS
from shop.core.errors import Refusal
from shop.core.money import total
from shop.usecases import haul as hauls
from shop.usecases import haul_list, later_cost
from shop.usecases.haul_list import HaulLine, PiecePart
from shop.web.asked import number_of
from shop.web.cloth_shown import NOTHING, SPREADS, PieceShown, piece_shown
from shop.web.fields import MoneyField, SavingField, TextField
from shop.web.forms import ShopForm, pressed
from shop.web.haul_form import MOST_ROWS, HaulForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("haul", __name__, url_prefix="/cloth/hauls")


class WashedForm(ShopForm):
    """The button that says a piece has been washed."""

    saving = SavingField()


class LaterForm(ShopForm):
    """A cost that was paid for a haul later."""

    cost = MoneyField(mark("What it cost"), where="cost")
    note = TextField(mark("For what"), hint=mark("Washing powder, dye, a trip to the launderette."), where="note")
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class LaterRow:
    """A cost that was paid later, and how it was spread; ``undo`` while it can be undone."""

    note: str
    on: str
    cost: str
    parts: str
    undone: bool
    step: int


@dataclass(frozen=True, slots=True)
class HaulRow:
    """A haul in a list."""

    address: str
    place: str
    on: str
    pieces: int
    cost: str


@dataclass(frozen=True, slots=True)
class PartRow:
    """What a piece bears of its haul."""

    piece: PieceShown
    less: str
    more: str


@page("cloth/new_haul.html")
class NewHaulPage:
    """Bringing cloth home; ``sheets`` are the customary sizes as they would be typed."""

    form: HaulForm
    sheets: dict[str, list[str]]
    most: int


@page("cloth/haul.html")
class HaulShownPage:
    """A haul, its sums, and each piece's part of them."""

    id: int
    place: str
    on: str
    note: str
    facts: tuple[tuple[str, str], ...]
    spread: str
    parts: tuple[PartRow, ...]
    sums: tuple[str, str, str, str]
    to_wash: int
    form: WashedForm
    later: tuple[LaterRow, ...]
    later_form: LaterForm
    anything_left: bool


@page("cloth/hauls.html")
class HaulsPage:
    """The hauls, newest day first."""

    hauls: tuple[HaulRow, ...]
    further: str
    beginning: bool


def haul_row(line: HaulLine) -> HaulRow:
    """A haul in words."""
    words = words_now()
    address = url_for("haul.show_haul", haul_id=line.id)
    return HaulRow(address, line.place, words.date(line.on, "medium"), line.pieces, words.money(line.cost))


@room.get("")
def show_hauls() -> Response:
    """The hauls."""
    after = request.args.get("after", "")[:40]
    found = haul_list.hauls(store_now(), after=after)
    further = url_for("haul.show_hauls", after=found.further) if found.further else ""
    rows = tuple(haul_row(line) for line in found.hauls)
    return show(HaulsPage(hauls=rows, further=further, beginning=not after))


@room.get("/new")
def new_haul() -> Response:
    """An empty form."""
    return _entering(HaulForm(data={"on": words_now().today(moment())}))


@room.post("/new")
def bring_home() -> Response:
    """Bring the haul home; or give the form more places for pieces."""
    if "more" in request.form:
        return _entering(HaulForm(request.form, more=True))
    form = HaulForm(request.form)
    if form.validate():
        try:
            home = hauls.bring_home(store_now(), haul=form.given(), saving=form.saving.data, now=moment())
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("The cloth is home. Its pieces have their numbers."))
            return redirect(url_for("haul.show_haul", haul_id=home.id), 303)  # type: ignore[return-value]
    return _entering(form, status=422)


def _entering(form: HaulForm, *, status: int = 200) -> Response:
    typed = words_now().typed_length
    sheets = {key: [typed(width), typed(length)] for key, (width, length) in FLAT_SHEETS.items()}
    return show(NewHaulPage(form=form, sheets=sheets, most=MOST_ROWS), status=status)


@room.get("/<int:haul_id>")
def show_haul(haul_id: int) -> Response:
    """A haul."""
    return _haul(haul_id, LaterForm(formdata=None))


@room.post("/<int:haul_id>/later")
def add_cost(haul_id: int) -> Response:
    """Washing or dye that was paid for since."""
    form = LaterForm()
    if form.validate():
        try:
            later_cost.add_cost(
                store_now(),
                haul_id=haul_id,
                cost=form.cost.data,
                note=form.note.data,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "haul.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("The cost is spread over what is left of the haul."))
            return redirect(url_for("haul.show_haul", haul_id=haul_id), 303)  # type: ignore[return-value]
    return _haul(haul_id, form, status=422)


@room.post("/<int:haul_id>/later/undo")
def undo_cost(haul_id: int) -> Response:
    """That was a mistake."""
    step = request.form.get("step", "")
    step_id = number_of(step) or 0
    later_cost.undo_cost(
        store_now(), haul_id=haul_id, step_id=step_id, saving=pressed(), now=moment()
    )
    tell(mark("Undone. Both entries stay in the record."))
    return redirect(url_for("haul.show_haul", haul_id=haul_id), 303)  # type: ignore[return-value]


def _later_row(one: later_cost.LaterCost) -> LaterRow:
    words = words_now()
    parts = [
        words.say("No. %(number)s %(cost)s", number=str(number), cost=words.money(cost)) for number, cost in one.parts
    ]
    return LaterRow(
        note=one.note,
        on=words.date(one.on, "medium"),
        cost=words.money(one.cost),
        parts=", ".join(parts),
        undone=one.undone,
        step=one.step_id,
    )


def _haul(haul_id: int, later_form: LaterForm, *, status: int = 200) -> Response:
    haul = hauls.haul(store_now(), haul_id=haul_id)
    parts = haul_list.spread_of(haul)
    words = words_now()
    currency = haul.cost.currency
    less, more = total((p.less for p in parts), currency), total((p.more for p in parts), currency)
    extras = (
        (mark("Tax"), haul.tax),
        (mark("Washing"), haul.washing),
        (mark("Trip"), haul.trip),
        (mark("Discount"), haul.discount),
    )
    rows = tuple(_part(part) for part in parts)
    context = HaulShownPage(
        id=haul.id,
        place=haul.place,
        on=words.date(haul.on),
        note=haul.note,
        facts=tuple((words.say(name), words.money(amount)) for name, amount in extras if amount),
        spread=words.say(SPREADS[haul.spread_by]),
        parts=rows,
        sums=(words.money(haul.goods), words.money(-less), words.money(more), words.money(haul.cost)),
        to_wash=sum(row.piece.to_wash for row in rows),
        form=WashedForm(formdata=None),
        later=tuple(_later_row(one) for one in later_cost.later_costs(store_now(), haul_id=haul_id)),
        later_form=later_form,
        anything_left=any(not row.piece.gone for row in rows),
    )
    return show(context, status=status)


def _part(part: PiecePart) -> PartRow:
    words = words_now()
    less = words.money(-part.less) if part.less else NOTHING
    return PartRow(piece_shown(part.piece), less, words.money(part.more) if part.more else NOTHING)
