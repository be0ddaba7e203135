"""Jobs: the rugs on their way, the cloth in each with its cost, and what is done with it there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.measure import Length
from shop.usecases import cutting, draw_bench, rug_from_job
from shop.usecases import draw as draws
from shop.usecases import job as jobs
from shop.usecases import piece as pieces
from shop.usecases.job import CALLED_OFF, DRAWERS, READY, JobCard, JobCloth, JobLine
from shop.usecases.job_order import JobOrder, order_of_job
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
from shop.web.asked import number_of
from shop.web.cloth_shown import NOTHING, PieceShown, piece_shown, step_named
from shop.web.fields import SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.pages import page, show
from shop.web.record_shown import RecordShown, record_shown
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("job", __name__, url_prefix="/jobs")

STATES: Final[dict[str, str]] = {
    "waiting": mark("waiting"),
    "cutting": mark("cutting"),
    "warping": mark("warping"),
    "weaving": mark("weaving"),
    "finishing": mark("finishing"),
    "ready": mark("ready"),
    "handed over": mark("handed over"),
    "called off": mark("called off"),
}
SHOWN: Final[dict[str, tuple[str, str]]] = {
    "open": ("open", mark("Under way")),
    "rugs": ("rugs", mark("Rugs")),
    "called-off": ("called off", mark("Called off")),
}
"""What of the jobs is shown: its word in the address, the shop's word, its name."""
ACTS: Final[dict[str, tuple[Callable[..., Any], str]]] = {
    "back": (draws.give_back, mark("Given back to the shelf.")),
    "waste": (draws.waste, mark("Noted as waste by the shop’s rule.")),
    "spoiled": (draws.spoil_in_job, mark("Written off.")),
}
"""What can become of cloth in a job, and what is said then."""
CLOSES: Final = ("job.closed", "job.piece_gone")
"""After these there is no cloth in the job to show beside what went wrong."""


class JobForm(ShopForm):
    """A job to begin."""

    name = TextField(mark("What the rug is called"), where="name")
    note = TextField(mark("A note"), needed=False, lines=2, longest=2000, where="note")
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class JobRow:
    """A job in a list."""

    number: int
    address: str
    name: str
    state: str
    pieces: int
    cost: str
    begun: str
    quote: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClothRow:
    """What of a piece is in a job; ``address`` where something can be done with it, if anything can."""

    piece: PieceShown
    share: str
    strip: str
    weight: str
    cost: str
    waste: str
    address: str


@dataclass(frozen=True, slots=True)
class StepRow:
    """Something that happened to the cloth of a job; ``undo`` while it can be undone."""

    what: str
    when: str
    piece: str
    piece_address: str
    piece_number: int
    share: str
    cost: str
    note: str
    undone: bool
    undo: int | None


@page("job/list.html")
class JobsPage:
    """The jobs, newest first."""

    jobs: tuple[JobRow, ...]
    drawers: tuple[tuple[str, str, str], ...]
    form: JobForm
    further: str
    open: bool


@page("job/job.html")
class JobPage:
    """A job with its cloth; ``rug`` the number of the rug for sale that it became, ``for_sale`` that it can become one."""

    job: JobRow
    note: str
    cloth: tuple[ClothRow, ...]
    strip: str
    total: str
    written_off: str
    steps: tuple[StepRow, ...]
    act: PressForm
    is_open: bool
    done: bool
    called_off: bool
    planned: bool
    record: RecordShown
    rug: int | None
    for_sale: bool
    customer: str
    customer_number: int | None
    order: tuple[tuple[str, str], ...]
    ready: bool
    to_invoice: bool


@page("job/cloth.html")
class ClothPage:
    """What of a piece is in a job, and what becomes of it."""

    job: JobRow
    piece: PieceShown
    form: AmountForm
    lies: SaidShown
    waste: str
    rule: str
    usual: str
    ways: tuple[str, ...]
    open_way: str
    act: str
    area_unit: str
    look: SaidShown | None


def job_row(line: JobLine) -> JobRow:
    """A job in the shop's words."""
    words = words_now()
    return JobRow(
        number=line.number,
        address=url_for("job.show_job", number=line.number),
        name=line.name,
        state=words.say(STATES[line.state]),
        pieces=line.pieces,
        cost=words.money(line.cost),
        begun=words.date(words.today(line.begun_at), "medium"),
        quote=line.quote,
    )


@room.get("")
def show_jobs() -> Response:
    """The jobs."""
    return _jobs(JobForm(formdata=None))


@room.post("")
def begin() -> Response:
    """Begin a job, by itself or from a quote."""
    form = JobForm()
    quote = request.form.get("quote", "")
    number = number_of(quote)
    if number is not None:
        form.name.needed = False
    if form.validate():
        try:
            card = jobs.begin(
                store_now(),
                name=form.name.data or "",
                note=form.note.data or "",
                quote=number,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "quote.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Job %(number)s is begun."), number=str(card.line.number))
            return redirect(url_for("job.show_job", number=card.line.number), 303)  # type: ignore[return-value]
    return _jobs(form, status=422)


def _jobs(form: JobForm, *, status: int = 200) -> Response:
    shown = request.args.get("show", "") if request.args.get("show", "") in SHOWN else "open"
    below = request.args.get("below", "")
    found = jobs.jobs(
        store_now(),
        shown=SHOWN[shown][0],
        below=number_of(below),
    )
    say = words_now().say
    context = JobsPage(
        jobs=tuple(job_row(line) for line in found.jobs),
        drawers=tuple(
            (say(name), url_for("job.show_jobs", show=key if key != "open" else None), "page" if key == shown else "")
            for key, (_, name) in SHOWN.items()
        ),
        form=form,
        further=url_for("job.show_jobs", show=shown, below=found.further) if found.further else "",
        open=shown == "open",
    )
    return show(context, status=status)


@room.get("/<int:number>")
def show_job(number: int) -> Response:
    """A job with its cloth."""
    return _job(jobs.job(store_now(), number=number))


def _job(card: JobCard) -> Response:
    words = words_now()
    strip = cutting.usual_strip(store_now(), units=words.units)
    offered = rug_from_job.offered(store_now(), job=card.line.number)
    order = order_of_job(store_now(), job=card.line.number)
    context = JobPage(
        job=job_row(card.line),
        note=card.note,
        cloth=tuple(_cloth_row(one, card.line, strip) for one in card.cloth),
        strip=words.length(strip),
        total=words.money(card.cost),
        written_off=words.money(card.written_off) if card.written_off else "",
        steps=tuple(_step_row(one) for one in card.steps),
        act=PressForm(formdata=None),
        is_open=card.line.is_open,
        done=card.line.state in DRAWERS["rugs"],
        called_off=card.line.state == CALLED_OFF,
        planned=card.planned,
        record=record_shown(card.line.number, card.line.name),
        rug=offered.rug,
        for_sale=offered.can,
        customer=order.buyer.name,
        customer_number=order.buyer.number,
        order=_order_facts(order, words),
        ready=card.line.state == READY,
        to_invoice=order.agreed is not None and not order.invoiced,
    )
    return show(context)


def _order_facts(order: JobOrder, words: Words) -> tuple[tuple[str, str], ...]:
    say = words.say
    found = []
    if order.promised:
        found.append((say("Promised for"), words.date(order.promised)))
    if order.agreed is not None:
        found.append((say("Agreed"), words.money(order.agreed)))
    if order.to_come:
        found.append((say("Still to pay"), words.money(order.to_come)))
    if order.to_give_back:
        found.append((say("To be given back"), words.money(order.to_give_back)))
    return tuple(found)


def _cloth_row(one: JobCloth, line: JobLine, strip: Length) -> ClothRow:
    words = words_now()
    stuff = draws.stuff_of(one.piece, one.parts)
    told = draws.said_of(stuff, one.parts, strip)
    return ClothRow(
        piece=piece_shown(one.piece),
        share=words.percent(one.share),
        strip=words.strip_length(told.strip_m),
        weight=words.weight(told.grams),
        cost=words.money(one.cost),
        waste=words.percent(one.waste / one.parts) if one.waste else "",
        address=url_for("job.show_cloth", number=line.number, piece=one.piece.number) if line.is_open else "",
    )


def _step_row(one: jobs.JobStep) -> StepRow:
    words, step = words_now(), one.step
    return StepRow(
        what=step_named(step, words),
        when=words.datetime(step.at),
        piece=one.piece_name,
        piece_address=url_for("piece.show_piece", number=one.piece_number),
        piece_number=one.piece_number,
        share=words.percent(abs(step.share)) if step.share else NOTHING,
        cost=words.money(step.cost if step.cost.minor > 0 else -step.cost) if step.cost else NOTHING,
        note=step.note,
        undone=step.undone,
        undo=step.id if step.can_be_undone else None,
    )


def _press(number: int, act: Callable[..., JobCard], told: str) -> Response:
    act(store_now(), number=number, saving=pressed(), now=moment())
    tell(told, number=str(number))
    return redirect(url_for("job.show_job", number=number), 303)  # type: ignore[return-value]


@room.post("/<int:number>/woven")
def weave(number: int) -> Response:
    """The rug is done."""
    return _press(number, jobs.weave, mark("The rug of job %(number)s is done, and its cloth is in it."))


@room.post("/<int:number>/again")
def take_up_again(number: int) -> Response:
    """Take it up again."""
    return _press(number, jobs.take_up_again, mark("Job %(number)s takes cloth again."))


@room.post("/<int:number>/called-off")
def call_off(number: int) -> Response:
    """Call it off."""
    return _press(number, jobs.call_off, mark("Job %(number)s is called off."))


@room.post("/<int:number>/undo")
def undo(number: int) -> Response:
    """Undo something that happened to the job's cloth."""
    step, piece = (request.form.get(name, "") for name in ("step", "piece"))
    named = [number_of(one) or 0 for one in (step, piece)]
    pieces.undo(store_now(), number=named[1], step_id=named[0], saving=pressed(), now=moment())
    tell(mark("Undone. Both entries stay in the record."))
    if request.form.get("back") == "card":
        return redirect(url_for("card.show_card", number=number, _anchor="cut-list"), 303)  # type: ignore[return-value]
    return redirect(url_for("job.show_job", number=number), 303)  # type: ignore[return-value]


@room.get("/<int:number>/cloth/<int:piece>")
def show_cloth(number: int, piece: int) -> Response:
    """What of a piece is in the job."""
    return _cloth(number, piece, None)


@room.post("/<int:number>/cloth/<int:piece>")
def move_cloth(number: int, piece: int) -> Response:
    """Give some of it back, or note it as waste or spoiled; or only look what that would be."""
    form = AmountForm()
    look = request.form.get("look", "")
    how = look or request.form.get("how", "")
    act = request.form.get("act", "") if request.form.get("act", "") in ACTS else "back"
    try:
        amount = form.amount(how)
        if amount is None:
            return _cloth(number, piece, form, way=how, act=act, status=422)
        if look:
            looked = draws.look(store_now(), number=piece, job=number, amount=amount)
            return _cloth(number, piece, form, way=how, act=act, looked=looked)
        ACTS[act][0](
            store_now(),
            number=piece,
            job=number,
            amount=amount,
            note=form.note.data or "",
            saving=form.saving.data,
            now=moment(),
        )
    except Refusal as refusal:
        if any(problem.code.endswith(".unknown") or problem.code in CLOSES for problem in refusal.problems):
            raise
        form.put_beside(how, refusal)
        return _cloth(number, piece, form, way=how, act=act, status=422)
    tell(ACTS[act][1])
    return redirect(url_for("job.show_job", number=number), 303)  # type: ignore[return-value]


def _cloth(
    number: int,
    piece: int,
    form: AmountForm | None,
    *,
    way: str = "",
    act: str = "back",
    looked: draws.Look | None = None,
    status: int = 200,
) -> Response:
    strip = cutting.usual_strip(store_now(), units=words_now().units)
    found = draw_bench.piece_in_job(store_now(), job=number, number=piece, strip=strip)
    words = words_now()
    context = ClothPage(
        job=job_row(found.line),
        piece=piece_shown(found.piece),
        form=form or begun(found.stuff, strip),
        lies=said_shown(found.lies, found.stuff, found.cost, strip),
        waste=words.percent(found.waste.of_whole) if found.waste.parts else "",
        rule=words.percent(found.rule),
        usual=words.percent(found.usual.of_whole),
        ways=OF_YARN if found.piece.is_yarn else OF_CLOTH,
        open_way=way if way in FIELDS else "",
        act=act,
        area_unit=area_unit(),
        look=said_shown(looked.said, found.stuff, looked.cost, strip) if looked else None,
    )
    return show(context, status=status)
