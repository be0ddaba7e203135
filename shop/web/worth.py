"""What the cloth is worth on any day, where it is, and the shop's rule for waste."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from flask import Blueprint, Response, redirect, request, url_for
from werkzeug.datastructures import MultiDict

from shop.core.errors import Refusal
from shop.usecases import habits
from shop.usecases import worth as worths
from shop.web.asked import number_of
from shop.web.fields import DateField, RevisionField, SavingField, ShareField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("worth", __name__, url_prefix="/cloth/worth")


class DayForm(ShopForm):
    """The day whose end is looked at; asked for in the page's address."""

    class Meta(ShopForm.Meta):
        """Asking changes nothing."""

        csrf = False

    day = DateField(mark("At the end of"), where="day")


class HabitForm(ShopForm):
    """The shop's rule for cutting waste."""

    usual_waste = ShareField(
        mark("Usual cutting waste"),
        hint=mark("Of what is drawn. So much goes into the rug’s cost; more is written off."),
        where="usual_waste",
    )
    revision = RevisionField()
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class LineShown:
    """What of a piece lay on the shelf."""

    address: str
    number: int
    name: str
    colour: str
    share: str
    cost: str


@page("cloth/worth.html")
class WorthPage:
    """Where the money was; ``places`` are (name, amount, part of what was paid from 0 to 100)."""

    form: DayForm
    habit: HabitForm
    basis: str
    day: str
    places: tuple[tuple[str, str, str], ...]
    paid: str
    lines: tuple[LineShown, ...]
    further: str


@room.get("")
def show_worth() -> Response:
    """The worth of the cloth."""
    now = habits.current(store_now())
    return _page(
        HabitForm(formdata=None, data={"usual_waste": now.usual_waste, "revision": now.revision}), now
    )


@room.post("/waste")
def change_habit() -> Response:
    """Change the rule for waste."""
    form = HabitForm()
    if form.validate():
        try:
            habits.change(
                store_now(),
                usual_waste=form.usual_waste.data,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("The rule for waste is set. What was noted before stays as it was."))
            return redirect(url_for("worth.show_worth"), 303)  # type: ignore[return-value]
    return _page(form, habits.current(store_now()), status=422)


def _page(habit: HabitForm, kept: habits.Habits, *, status: int = 200) -> Response:
    words = words_now()
    typed = request.args.get("day", "")[:40]
    form = DayForm(MultiDict({"day": typed or words.today(moment()).isoformat()}))
    day = form.day.data if form.validate() and isinstance(form.day.data, date) else None
    try:
        found = worths.worth(store_now(), day=day, now=moment())
    except Refusal as refusal:
        form.refuse(refusal)
        found = worths.worth(store_now(), now=moment())
    below = request.args.get("below", "")
    shelf = worths.shelf_on(
        store_now(),
        day=found.day,
        below=number_of(below),
    )
    places = (
        (mark("On the shelf"), found.on_shelf),
        (mark("In jobs"), found.in_jobs),
        (mark("In rugs"), found.in_rugs),
        (mark("Written off"), found.written_off),
    )
    whole = found.paid.minor or 1
    context = WorthPage(
        form=form,
        habit=habit,
        basis=kept.basis.value,
        day=words.date(found.day),
        places=tuple(
            (words.say(name), words.money(amount), f"{amount.minor * 100 / whole:.1f}") for name, amount in places
        ),
        paid=words.money(found.paid),
        lines=tuple(_line(line) for line in shelf.lines),
        further=url_for("worth.show_worth", day=found.day.isoformat(), below=shelf.further) if shelf.further else "",
    )
    return show(context, status=422 if form.errors else status)


def _line(line: worths.ShelfLine) -> LineShown:
    words = words_now()
    return LineShown(
        address=url_for("piece.show_piece", number=line.number),
        number=line.number,
        name=line.name,
        colour=line.colour,
        share=words.percent(line.share),
        cost=words.money(line.cost),
    )
