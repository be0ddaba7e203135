"""When can it be ready? The queue of jobs with their promises, its order tried out, and how the weaver works."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Problem, Refusal, Unreadable
from shop.usecases import promises
from shop.usecases.promises import QueueLine, Week, WeekGiven
from shop.web.asked import number_of
from shop.web.fields import NumberField, RevisionField, SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark
from shop.words.problems import problem_sentences

room = Blueprint("queue", __name__, url_prefix="/jobs/queue")

WEEKDAYS: Final = (
    mark("Monday"), mark("Tuesday"), mark("Wednesday"), mark("Thursday"), mark("Friday"), mark("Saturday"), mark("Sunday"),
)  # fmt: skip
_DAY: Final = r"(\d{4}-\d{2}-\d{2})"
_OFF: Final = re.compile(rf"{_DAY}(?:\s*(?:-|–|to|till)\s*{_DAY})?")


def _days_of(line: str) -> tuple[date, date]:
    match = _OFF.fullmatch(line)
    try:
        if match is not None:
            first = date.fromisoformat(match[1])
            return first, date.fromisoformat(match[2]) if match[2] else first
    except ValueError:
        pass
    raise Unreadable(Problem("week.day", values={"text": line[:24]}))


class DaysOffField(TextField):
    """Days off, one line each: a day, or one day to another."""

    def read(self, text: str) -> tuple[tuple[date, date], ...]:  # type: ignore[override]
        """The days, each line from one to another."""
        return tuple(_days_of(line.strip()) for line in text.splitlines() if line.strip())

    def written(self, value: Any) -> str:
        """A line for each."""
        return "\n".join(str(first) if first == last else f"{first} - {last}" for first, last in value)


class WeekForm(ShopForm):
    """How the weaver works."""

    monday = NumberField(WEEKDAYS[0], most=24, where="week.0")
    tuesday = NumberField(WEEKDAYS[1], most=24, where="week.1")
    wednesday = NumberField(WEEKDAYS[2], most=24, where="week.2")
    thursday = NumberField(WEEKDAYS[3], most=24, where="week.3")
    friday = NumberField(WEEKDAYS[4], most=24, where="week.4")
    saturday = NumberField(WEEKDAYS[5], most=24, where="week.5")
    sunday = NumberField(WEEKDAYS[6], most=24, where="week.6")
    off = DaysOffField(
        mark("Days off"), needed=False, lines=4, longest=2000, where="off",
        hint=mark("A line each: 2026-12-24, or 2026-12-24 - 2027-01-06."),
    )  # fmt: skip
    country = TextField(
        mark("Country whose public holidays are off too"), needed=False, longest=2, where="country", hint=mark("Two letters, such as US or SE.")
    )
    drying = NumberField(mark("Days to dry and finish"), whole=True, most=366, where="drying")
    post = NumberField(mark("Days in the post"), whole=True, most=366, where="post")
    revision = RevisionField(default=0)
    saving = SavingField()

    def weekdays(self) -> list[Any]:
        """The fields of the seven days, Monday first."""
        return [self.monday, self.tuesday, self.wednesday, self.thursday, self.friday, self.saturday, self.sunday]

    def fill(self, week: Week) -> None:
        """Put in how the weaver works."""
        for field, hours in zip(self.weekdays(), week.hours, strict=True):
            field.data = hours
        self.off.data = week.off or None
        self.country.data, self.drying.data, self.post.data = week.country, week.drying, week.post
        self.revision.data = week.revision


@dataclass(frozen=True, slots=True, kw_only=True)
class QueueRow:
    """A job in the queue, in words."""

    job: JobRow
    place: int
    left: str
    ready: str
    between: str
    promised: str
    chance: str
    late: bool
    begin_by: str
    moves: str


@page("queue/queue.html")
class QueuePage:
    """The queue."""

    rows: tuple[QueueRow, ...]
    wrong: tuple[str, ...]
    changed: bool
    order: tuple[int, ...]
    guess: bool
    act: PressForm


@page("queue/week.html")
class WeekPage:
    """How the weaver works."""

    form: WeekForm
    guess: bool


@room.get("")
def show_queue() -> Response:
    """The queue, in the order kept or in one to look at."""
    order = _order()
    words = words_now()
    wrong: tuple[str, ...] = ()
    try:
        found = promises.queue(store_now(), order=order, now=moment())
    except Refusal as refusal:
        wrong = tuple(problem_sentences(refusal.problems, words))
        return show(
            QueuePage(rows=(), wrong=wrong, changed=False, order=(), guess=False, act=PressForm(formdata=None)), status=422
        )
    context = QueuePage(
        rows=tuple(_row(line, place, words) for place, line in enumerate(found.lines, 1)),
        wrong=wrong,
        changed=found.changed,
        order=tuple(one.line.number for one in found.lines),
        guess=found.week.revision == 0,
        act=PressForm(formdata=None),
    )
    return show(context)


def _order() -> list[int] | None:
    """The order that is asked for: jobs by the place typed beside each, those of one place as they stood."""
    places = []
    for at, (name, text) in enumerate(request.args.items(multi=True)):
        match = re.fullmatch(r"place-(\d{1,18})", name)
        place = number_of(text.strip())
        if match and place is not None:
            places.append((place, at, int(match[1])))
    return [number for _, _, number in sorted(places)] or None


def _row(one: QueueLine, place: int, words: Words) -> QueueRow:
    promise = one.promise
    return QueueRow(
        job=job_row(one.line),
        place=place,
        left=words.duration(one.minutes.middle) if one.minutes else words.say("not known"),
        ready=words.date(promise.promised, "medium") if promise else "–",
        between=_between(promise.there.low, promise.there.high, words) if promise else "",
        promised=words.date(one.promised, "medium") if one.promised else "–",
        chance=words.percent(min(0.99, max(0.01, one.chance)), 0) if one.chance is not None else "–",
        late=one.chance is not None and one.chance < 0.5,
        begin_by=words.date(one.begin_by, "medium") if one.begin_by else "–",
        moves=_moves(one.moves, words),
    )


def _between(low: date, high: date, words: Words) -> str:
    if low == high:
        return words.date(low, "medium")
    return words.say("%(low)s to %(high)s", low=words.date(low, "medium"), high=words.date(high, "medium"))


def _moves(days: int, words: Words) -> str:
    if not days:
        return ""
    if days > 0:
        return words.say_n("%(n)s day later", "%(n)s days later", days)
    return words.say_n("%(n)s day earlier", "%(n)s days earlier", -days)


@room.post("")
def keep_order() -> Response:
    """Keep the order that was looked at."""
    order = [number for text in request.form.getlist("job")[: promises.MOST_JOBS] if (number := number_of(text)) is not None]
    promises.keep_order(store_now(), order=order, saving=pressed(), now=moment())
    tell(mark("The order is kept."))
    return redirect(url_for("queue.show_queue"), 303)  # type: ignore[return-value]


@room.get("/week")
def show_week() -> Response:
    """How the weaver works."""
    week = promises.week_of(store_now())
    form = WeekForm(formdata=None)
    form.fill(week)
    if not week.revision and not week.country:
        form.country.data = promises.country_of_shop(store_now())
    return show(WeekPage(form=form, guess=week.revision == 0))


@room.post("/week")
def keep_week() -> Response:
    """Keep how the weaver works."""
    form = WeekForm()
    if form.validate():
        week = WeekGiven(
            hours=tuple(Decimal(field.data) for field in form.weekdays()),
            off=form.off.data or (),
            country=(form.country.data or "").strip().upper(),
            drying=form.drying.data,
            post=form.post.data,
        )
        try:
            promises.keep_week(
                store_now(), week=week, revision=form.revision.data or 0, saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            for problem in refusal.problems:
                form.refuse(problem.at("week.0") if problem.where == "week" else problem)
        else:
            tell(mark("Saved."))
            return redirect(url_for("queue.show_queue"), 303)  # type: ignore[return-value]
    return show(WeekPage(form=form, guess=False), status=422)
