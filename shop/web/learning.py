"""What your rugs say: an overview of every number on each loom, and a page for each with all its records."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import NotFound, Problem, Refusal
from shop.core.evidence import What
from shop.usecases import learning, lessons, quick_measure
from shop.usecases.evidence_of_jobs import WEIGHT
from shop.usecases.lessons import Lesson, Overview
from shop.web.asked import number_of
from shop.web.cloth_shown import CLOTHS
from shop.web.forms import PressForm, pressed
from shop.web.learned_picture import Picture, picture_of
from shop.web.learned_shown import NAMES, SHORT, TOOLS, size_shown, value_shown
from shop.web.learning_forms import AsideForm, PaceHoldsForm, QuickForm, quick_form
from shop.web.lesson_shown import RecordRow, SaysRow, record_row, says_of, says_row
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.web.step_names import STEP_NAMES
from shop.words import mark

room = Blueprint("learning", __name__, url_prefix="/rates/your-rugs")

SHOWN: Final = 100
"""Records that stand in the table, newest first."""
_WEIGHT: Final = mark("The rug’s weight")


@dataclass(frozen=True, slots=True)
class SaysGroup:
    """What the rugs say of a loom, or of the tools."""

    id: str
    name: str
    rows: tuple[SaysRow, ...]


@dataclass(frozen=True, slots=True)
class HeldRow:
    """How the estimates of a step, or of the weight, turned out."""

    name: str
    below: int
    within: int
    above: int
    whole: int


@page("learning/overview.html")
class OverviewPage:
    """What the rugs say of every loom."""

    groups: tuple[SaysGroup, ...]
    held: tuple[HeldRow, ...]
    from_where: str
    form: PaceHoldsForm


@page("learning/lesson.html")
class LessonPage:
    """A number on a loom, with every record behind it."""

    name: str
    of: str
    says: SaysRow
    guess: str
    picture: Picture | None
    fitted: tuple[tuple[str, str, str, str], ...]
    kinds: tuple[SaysRow, ...]
    records: tuple[RecordRow, ...]
    more: int
    quick: QuickForm
    aside: AsideForm
    act: PressForm
    here: str


@room.get("/")
def show_overview() -> Response:
    """What the rugs say."""
    found = lessons.overview(store_now())
    form = PaceHoldsForm(formdata=None, data={"days": found.half_life, "revision": found.revision})
    return _overview(found, form)


def _overview(found: Overview, form: PaceHoldsForm, *, status: int = 200) -> Response:
    words = words_now()
    groups = [
        SaysGroup(
            id=f"loom-{group.loom.id}" if group.loom else "tools",
            name=group.loom.loom.name if group.loom else words.say("Cutting, with each tool"),
            rows=tuple(says_row(line, words, tool=group.loom is None) for line in group.lines),
        )
        for group in found.groups
    ]
    from_where = ""
    if found.records:
        rugs = words.say_n("%(n)s of your rugs", "%(n)s of your rugs", found.rugs)
        records = words.say_n("%(n)s record", "%(n)s records", found.records)
        from_where = words.say("Learned from %(rugs)s and their %(records)s.", rugs=rugs, records=records)
        if not found.rugs:
            from_where = words.say("Learned from %(records)s.", records=records)
    held = tuple(
        HeldRow(words.say({**STEP_NAMES, WEIGHT: _WEIGHT}[one.of]), one.below, one.within, one.above, one.whole)
        for one in found.held
    )
    return show(OverviewPage(groups=tuple(groups), held=held, from_where=from_where, form=form), status=status)


@room.post("/")
def hold_pace() -> Response:
    """Set how long the weaver's pace holds."""
    form = PaceHoldsForm()
    if form.validate():
        try:
            learning.hold_pace(
                store_now(),
                days=form.days.data,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("Saved."))
            return redirect(url_for("learning.show_overview"), 303)  # type: ignore[return-value]
    return _overview(lessons.overview(store_now()), form, status=422)


def _what(short: str) -> What:
    found = next((what for what, name in SHORT.items() if name == short), None)
    if found is None:
        raise NotFound(Problem("lesson.unknown"))
    return found


@room.get("/<on>/<what>")
def show_lesson(on: str, what: str) -> Response:
    """One number on one loom, or by one tool."""
    asked = _what(what)
    found = lessons.lesson(store_now(), what=asked.value, on=on)
    return _lesson(found, quick_form(asked)(formdata=None), AsideForm(formdata=None))


def _lesson(found: Lesson, quick: QuickForm, aside: AsideForm, *, status: int = 200) -> Response:
    words, what, tool = words_now(), found.line.what, found.loom is None
    sized = len(found.fitted) > 1
    context = LessonPage(
        name=words.say(NAMES[what]),
        of=found.loom.loom.name if found.loom else words.say(TOOLS[found.line.on]),
        says=says_row(found.line, words, tool=tool),
        guess=value_shown(what, found.line.guess, words),
        picture=picture_of(found, words),
        fitted=tuple(
            (size_shown(what, at.size, words), *(value_shown(what, each, words) for each in (at.low, at.middle, at.high)))
            for at in (found.fitted[::6] if sized else ())
        ),
        kinds=tuple(says_of(words.say(CLOTHS[kind]), "", says, "", words, tool=tool) for kind, says in found.by_kind),
        records=tuple(record_row(one, words) for one in found.records[:SHOWN]),
        more=max(0, len(found.records) - SHOWN),
        quick=quick,
        aside=aside,
        act=PressForm(formdata=None),
        here=url_for("learning.show_lesson", on=found.line.on, what=SHORT[what]),
    )
    return show(context, status=status)


@room.post("/<on>/<what>/measured")
def measure(on: str, what: str) -> Response:
    """Write a quick measurement down."""
    asked = _what(what)
    form = quick_form(asked)()
    if form.validate():
        try:
            quick_measure.add(store_now(), given=form.given(asked, on), saving=form.saving.data, now=moment())
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("Written down. Every estimate to come leans on it."))
            return _back(on, what)
    found = lessons.lesson(store_now(), what=asked.value, on=on)
    return _lesson(found, form, AsideForm(formdata=None), status=422)


@room.post("/<on>/<what>/aside")
def set_aside(on: str, what: str) -> Response:
    """Set a record aside, with a reason."""
    asked = _what(what)
    form = AsideForm()
    if form.validate():
        try:
            learning.set_aside(
                store_now(), key=form.key.data, reason=form.reason.data, saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("Set aside. It stays in the list, and can be taken in again."))
            return _back(on, what)
    found = lessons.lesson(store_now(), what=asked.value, on=on)
    return _lesson(found, quick_form(asked)(formdata=None), form, status=422)


@room.post("/<on>/<what>/restored")
def restore(on: str, what: str) -> Response:
    """Take a record in again."""
    learning.restore(store_now(), key=request.form.get("key", "")[:120], saving=pressed(), now=moment())
    tell(mark("Taken in again."))
    return _back(on, what)


@room.post("/<on>/<what>/struck")
def strike(on: str, what: str) -> Response:
    """A quick measurement was a mistake."""
    measurement = number_of(request.form.get("measurement", "")) or 0
    quick_measure.strike(store_now(), measurement=measurement, saving=pressed(), now=moment())
    tell(mark("Struck out. It stays in the record."))
    return _back(on, what)


def _back(on: str, what: str) -> Response:
    return redirect(url_for("learning.show_lesson", on=on, what=what, _anchor="records"), 303)  # type: ignore[return-value]
