"""Drawing cloth into a job, at the loom, on a phone: pick the piece, say how much, done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, session, url_for

from shop.core.errors import Refusal
from shop.core.measure import Length
from shop.core.strips import Tool
from shop.usecases import cutting, draw_bench
from shop.usecases import draw as draws
from shop.usecases import job as jobs
from shop.usecases import piece as pieces
from shop.usecases.draw_bench import Done, DrawBench
from shop.usecases.fabric import READY
from shop.usecases.job import JobLine
from shop.web.amount_form import (
    FIELDS,
    OF_CLOTH,
    OF_YARN,
    TAPS,
    AmountForm,
    SaidShown,
    area_unit,
    begun,
    said_shown,
)
from shop.web.asked import number_of
from shop.web.cloth_shown import PieceShown, piece_shown
from shop.web.fields import SavingField, TextField
from shop.web.forms import ShopForm, pressed
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("draw", __name__)
REMEMBERED: Final = "job"


class BeginForm(ShopForm):
    """A job to begin right here."""

    name = TextField(mark("What the rug is called"), where="name")
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class JobChoice:
    """A job to draw into; ``chosen`` for the one that is."""

    number: int
    name: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class DoneShown:
    """What was just drawn; ``undo`` is the entry's number while it can be undone."""

    said: SaidShown
    job: int
    job_name: str
    undo: int | None


@page("draw/draw.html")
class DrawPage:
    """Drawing from a piece.

    Attributes:
        left: what is left of it, in all the ways.
        taps: the amounts of one tap, with what each comes to.
        ways: the other ways of saying how much, in order; ``open_way`` the one that is being said.
        look: what was asked about, before it is done; ``stays`` what would be left then.
        ready: it is washed and dried, so that it can be drawn.
    """

    piece: PieceShown
    form: AmountForm
    begin: BeginForm
    jobs: tuple[JobChoice, ...]
    job: JobChoice | None
    left: SaidShown
    taps: tuple[tuple[str, str, str], ...]
    ways: tuple[str, ...]
    open_way: str
    look: SaidShown | None
    stays: str
    done: DoneShown | None
    ready: bool
    area_unit: str


@page("draw/pick.html")
class PickPage:
    """Picking a swatch: the cloth of the job first, then what is ready by colour."""

    job: JobChoice | None
    closed: JobChoice | None
    of_job: tuple[PieceShown, ...]
    ready: tuple[PieceShown, ...]
    more: bool


@room.get("/draw")
def pick() -> Response:
    """Pick a swatch."""
    found = draw_bench.swatches(store_now(), job=_remembered())
    context = PickPage(
        job=_choice(found.job, found.job) if found.job else None,
        closed=_choice(found.closed, None) if found.closed and request.args.get("job") else None,
        of_job=tuple(piece_shown(card) for card in found.of_job),
        ready=tuple(piece_shown(card) for card in found.ready),
        more=found.more,
    )
    return show(context)


@room.get("/cloth/pieces/<int:number>/draw")
def show_draw(number: int) -> Response:
    """A piece, and how much of it."""
    done = request.args.get("done", "")
    return _page(number, None, done=number_of(done))


@room.post("/cloth/pieces/<int:number>/draw")
def draw(number: int) -> Response:
    """Draw; or only look what it would come to."""
    form = AmountForm()
    look = request.form.get("look", "")
    how = look or request.form.get("how", "")
    job = _chosen()
    try:
        amount = form.amount(how)
        if amount is None:
            return _page(number, form, way=how, status=422)
        if look:
            found = draws.look(
                store_now(), number=number, amount=amount, strip=_strip(form), tool=_tool(form)
            )
            return _page(number, form, way=how, looked=found)
        if job is None:
            return _page(number, form, way=how, status=422)
        drawn = draws.draw(
            store_now(),
            number=number,
            job=job,
            amount=amount,
            note=form.note.data or "",
            saving=form.saving.data,
            now=moment(),
        )
    except Refusal as refusal:
        if any(problem.code.endswith(".unknown") for problem in refusal.problems):
            raise
        form.put_beside(how, refusal)
        return _page(number, form, way=how, status=422)
    session[REMEMBERED] = job
    return redirect(url_for("draw.show_draw", number=number, done=drawn.step_id), 303)  # type: ignore[return-value]


@room.post("/cloth/pieces/<int:number>/draw/begin")
def begin(number: int) -> Response:
    """Begin a job right here, and come back to the piece."""
    form = BeginForm()
    if form.validate():
        try:
            card = jobs.begin(store_now(), name=form.name.data, saving=form.saving.data, now=moment())
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            session[REMEMBERED] = card.line.number
            tell(mark("Job %(number)s is begun."), number=str(card.line.number))
            return redirect(url_for("draw.show_draw", number=number), 303)  # type: ignore[return-value]
    return _page(number, None, begin=form, status=422)


@room.post("/cloth/pieces/<int:number>/draw/undo")
def undo(number: int) -> Response:
    """Undo what was just drawn."""
    step = request.form.get("step", "")
    step_id = number_of(step) or 0
    pieces.undo(store_now(), number=number, step_id=step_id, saving=pressed(), now=moment())
    tell(mark("Undone. Both entries stay in the record of piece %(number)s."), number=str(number))
    return redirect(url_for("draw.show_draw", number=number), 303)  # type: ignore[return-value]


def _chosen() -> int | None:
    """The job that the form names."""
    return number_of(request.form.get("job", ""))


def _remembered() -> int | None:
    """The job that was drawn into last on this phone; one named in the address first."""
    asked = number_of(request.args.get("job", ""))
    if asked is not None:
        session[REMEMBERED] = asked
    kept = session.get(REMEMBERED)
    return kept if isinstance(kept, int) else None


def _strip(form: AmountForm) -> Length:
    usual = cutting.usual_strip(store_now(), units=words_now().units)
    return form.strip.data if isinstance(form.strip.data, Length) and not form.strip.errors else usual


def _tool(form: AmountForm) -> Tool:
    return Tool.TEAR if form.tool.data == Tool.TEAR.value else Tool.ROTARY


def _choice(line: JobLine, chosen: JobLine | None) -> JobChoice:
    return JobChoice(line.number, line.name, chosen is not None and line.number == chosen.number)


def _page(
    number: int,
    form: AmountForm | None,
    *,
    way: str = "",
    looked: draws.Look | None = None,
    begin: BeginForm | None = None,
    done: int | None = None,
    status: int = 200,
) -> Response:
    usual = cutting.usual_strip(store_now(), units=words_now().units)
    strip = usual if form is None else _strip(form)
    tool = Tool.ROTARY if form is None else _tool(form)
    job = _chosen() or _remembered()
    bench = draw_bench.draw_bench(store_now(), number=number, job=job, strip=strip, tool=tool, done=done)
    words = words_now()
    context = DrawPage(
        piece=piece_shown(bench.piece),
        form=form or begun(bench.stuff, usual),
        begin=begin or BeginForm(formdata=None),
        jobs=tuple(_choice(line, bench.job) for line in bench.jobs),
        job=_choice(bench.job, bench.job) if bench.job else None,
        left=said_shown(bench.left, bench.stuff, bench.piece.cost_left, strip),
        taps=_taps(bench),
        ways=OF_YARN if bench.piece.is_yarn else OF_CLOTH,
        open_way=way if way in FIELDS else "",
        look=said_shown(looked.said, bench.stuff, looked.cost, strip) if looked else None,
        stays=words.percent(looked.left.of_whole) if looked else "",
        done=_done_shown(bench, bench.done, strip) if bench.done else None,
        ready=bench.piece.state == READY,
        area_unit=area_unit(),
    )
    return show(context, status=status)


def _taps(bench: DrawBench) -> tuple[tuple[str, str, str], ...]:
    """Each tap with its name, and the length that it comes to."""
    words = words_now()
    return tuple(
        (key, words.say(name), words.strip_length(bench.left.strip_m * float(share)))
        for key, (name, share) in TAPS.items()
    )


def _done_shown(bench: DrawBench, done: Done, strip: Length) -> DoneShown:
    return DoneShown(
        said=said_shown(done.said, bench.stuff, -done.step.cost, strip),
        job=done.step.job or 0,
        job_name=done.step.job_name,
        undo=done.step.id if done.step.can_be_undone else None,
    )
