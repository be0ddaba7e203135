"""The first page: what to do next in a new shop, and what is waiting in one that works."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, url_for

from shop.usecases import bench, today
from shop.usecases.bench import COUNTED, UnderWay
from shop.usecases.cloth_short import Lack, Why
from shop.usecases.today import Chore, Task
from shop.web.job import STATES, JobRow, job_row
from shop.web.pages import page, show
from shop.web.quote import QuoteRow, quote_row
from shop.web.shell import moment, store_now, words_now
from shop.words import Words, mark

room = Blueprint("bench", __name__)

STEPS: Final[dict[str, tuple[str, str, str]]] = {
    "shop": (
        mark("Name the shop"),
        mark("Its name, address and mark stand at the head of every quote."),
        "/shop",
    ),
    "loom": (mark("Enter a loom"), mark("What it can make, and how it is warped."), "/looms/new"),
    "rates": (
        mark("Say what an hour is worth"),
        mark("The wage you want, and the year's overhead."),
        "/rates",
    ),
    "price": (mark("Choose a rule for prices"), mark("Markup or margin, fees, tax, deposit."), "/rates/price"),
    "fabric": (mark("Bring cloth home"), mark("What you paid, and what came out of the bag."), "/cloth/hauls/new"),
    "quote": (mark("Reckon the first rug"), mark("A size, a loom, a cloth: see what it comes to."), "/quotes/new"),
}
"""Each step of setting up a shop: its name, what it is for, where it is done."""


NEXT: Final[dict[str, str]] = {
    "waiting": mark("next: plan and cut the cloth"),
    "cutting": mark("next: cut, then warp the loom"),
    "warping": mark("next: warp, then weave"),
    "weaving": mark("next: weave on"),
    "finishing": mark("next: finish it"),
}
"""What comes next for a job, by its state."""


ALL_OF: Final[dict[Task, tuple[str, str]]] = {
    Task.ANSWER: (mark("All offers"), "offer.show_offers"),
    Task.LETTER: (mark("All letters"), "letters.show_letters"),
    Task.LATE: (mark("The queue"), "queue.show_queue"),
    Task.CLOTH: (mark("The cutting plan"), "plan.show_plan"),
    Task.DEPOSIT: (mark("All jobs"), "job.show_jobs"),
    Task.LAPSES: (mark("All offers"), "offer.show_offers"),
    Task.WAITS: (mark("All offers"), "offer.show_offers"),
    Task.DECLINED: (mark("All offers"), "offer.show_offers"),
}
"""Where all the chores of a kind are found: what that is called, and its page."""
LACKS: Final[dict[Why, str]] = {
    Why.GONE: mark("%(cloth)s: %(length)s of strip lacking; what was held for it is gone from the shelf"),
    Why.TO_BUY: mark("%(cloth)s: %(length)s of strip still to be found or bought"),
    Why.SHELF: mark("%(cloth)s: %(length)s of strip lacking on the shelf"),
    Why.REACH: mark("%(cloth)s will likely not reach: %(length)s of strip lacking"),
}
"""What is said of cloth that is short."""
CALM: Final = (Task.WAITS, Task.DECLINED)
"""What is only told."""
MOST_SAID: Final = 160
MOST_LACKS: Final = 3
MOST_ALIKE: Final = 6
"""Chores of one kind that the bench tells one by one; of more it tells how many."""


@dataclass(frozen=True, slots=True)
class ChoreLine:
    """Something to do today.

    Attributes:
        told: what it is about, each in a line.
        title: of the rug or the letter; ``job`` which job it is for, where it is for one.
        address: where it is done.
        pressing: it should not wait.
    """

    told: tuple[str, ...]
    title: str
    job: str
    address: str
    pressing: bool


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step of setting up: whether it is done, and whether it is the next one."""

    name: str
    why: str
    address: str
    done: bool
    now: bool


@dataclass(frozen=True, slots=True)
class WashLine:
    """A piece that waits to be washed."""

    number: int
    name: str
    colour: str
    facts: str


@page("bench/bench.html")
class BenchPage:
    """The first page."""

    steps: tuple[StepLine, ...]
    set_up: bool
    in_hand: str
    to_wash: str
    quotes: str
    washing: tuple[WashLine, ...]
    newest: tuple[QuoteRow, ...]
    jobs: tuple[tuple[JobRow, str, str], ...]
    idle: str
    chores: tuple[ChoreLine, ...]


@room.get("/")
def show_bench() -> Response:
    """The bench."""
    found, words = bench.bench(store_now()), words_now()
    steps = tuple(
        StepLine(words.say(STEPS[key][0]), words.say(STEPS[key][1]), STEPS[key][2], done, key == found.next_step)
        for key, done in found.steps
    )
    washing = tuple(
        WashLine(piece.number, piece.name, piece.colour, words.say("from %(place)s", place=piece.place))
        for piece in found.waiting_to_wash
    )
    return show(
        BenchPage(
            steps=steps,
            set_up=found.next_step is None,
            in_hand=_counted(found.in_hand, words),
            to_wash=_counted(found.to_wash, words),
            quotes=_counted(found.quotes, words),
            washing=washing,
            newest=tuple(quote_row(line) for line in found.newest_quotes),
            jobs=tuple((job_row(one.line), _state(one, words), words.say(NEXT[one.line.state])) for one in found.jobs),
            idle=words.all_of(found.idle) if found.idle else "",
            chores=_chores(today.chores(store_now(), now=moment()), words),
        )
    )


def _state(one: UnderWay, words: Words) -> str:
    """How far a job is, with its loom where it has one to itself."""
    state = words.say(STATES[one.line.state])
    if not one.loom:
        return state
    if one.on_loom:
        return words.say("%(state)s on %(loom)s", state=state, loom=one.loom)
    return words.say("%(state)s, for %(loom)s", state=state, loom=one.loom)


def _chores(found: tuple[Chore, ...], words: Words) -> tuple[ChoreLine, ...]:
    """The chores, kind by kind; of many of one kind the first, and then how many more there are."""
    lines: list[ChoreLine] = []
    for task in Task:
        alike = [one for one in found if one.task is task]
        lines += [_chore(one, words) for one in alike[:MOST_ALIKE]]
        more = len(alike) - MOST_ALIKE
        if more > 0:
            named, where = ALL_OF[task]
            told = words.say_n("and %(n)s more like the last", "and %(n)s more like the last", more)
            lines.append(ChoreLine((told,), words.say(named), "", url_for(where), task not in CALM))
    return tuple(lines)


def _chore(one: Chore, words: Words) -> ChoreLine:
    say, day = words.say, words.date(one.day, "medium") if one.day else ""
    match one.task:
        case Task.ANSWER:
            told = say("%(who)s has a question; the offer holds until %(day)s", who=one.who, day=day)
        case Task.LETTER:
            told = say("A letter to %(who)s did not go out for certain", who=one.who)
        case Task.LATE:
            told = say("promised for %(day)s, which is hard to keep", day=day)
        case Task.CLOTH:
            return ChoreLine(_lacking(one.lacks, words), one.title, _job(one, words), _where(one), pressing=True)
        case Task.DEPOSIT:
            told = _deposit_told(one, words)
        case Task.LAPSES:
            told = say("%(who)s has not answered; the offer lapses after %(day)s", who=one.who, day=day)
        case Task.WAITS:
            told = say("offered to %(who)s, until %(day)s", who=one.who, day=day)
        case Task.DECLINED:
            told = say("%(who)s said no on %(day)s", who=one.who, day=day)
            if one.said:
                told = say("%(who)s said no on %(day)s: “%(said)s”", who=one.who, day=day, said=one.said[:MOST_SAID])
    return ChoreLine((told,), one.title or say("Offer"), _job(one, words), _where(one), one.task not in CALM)


def _job(one: Chore, words: Words) -> str:
    """The job that it is for, where it is for one: rugs are often called alike."""
    if one.task in (Task.LATE, Task.CLOTH, Task.DEPOSIT):
        return words.say("Job No. %(number)s", number=one.number)
    return ""


def _lacking(lacks: tuple[Lack, ...], words: Words) -> tuple[str, ...]:
    """Which cloth is short, by how much and why."""
    told = [
        words.say(LACKS[one.why], cloth=one.name or words.say("cloth still to be bought"), length=words.strip_length(one.length.metres))
        for one in lacks[:MOST_LACKS]
    ]
    if more := len(lacks) - len(told):
        told.append(words.say_n("and %(n)s more cloth", "and %(n)s more cloths", more))
    return tuple(told)


def _deposit_told(one: Chore, words: Words) -> str:
    amount = words.money(one.amount) if one.amount else ""
    if one.asked:
        return words.say("of the deposit %(amount)s is still missing; asked for on %(day)s", amount=amount, day=words.date(one.asked, "medium"))
    if one.written:
        return words.say("of the deposit %(amount)s is still missing; the request is written but not sent", amount=amount)
    return words.say("of the deposit %(amount)s is still missing", amount=amount)


def _where(one: Chore) -> str:
    match one.task:
        case Task.CLOTH if one.woven_on:
            return url_for("reach.show_reach", number=one.number)
        case Task.CLOTH:
            return url_for("plan.show_plan", job=one.number)
        case Task.LETTER:
            return url_for("letters.show_letters")
        case Task.LATE:
            return url_for("queue.show_queue")
        case Task.DEPOSIT:
            return url_for("order.show_money", number=one.number)
        case _:
            return url_for("offer.show_offer", offer_id=one.number)


def _counted(number: int, words: Words) -> str:
    if number >= COUNTED:
        return words.say("%(number)s and more", number=COUNTED - 1)
    return words.number(number)
