"""The first page: what to do next in a new shop, and what is waiting in one that works."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, url_for

from shop.usecases import bench, today
from shop.usecases.bench import COUNTED, UnderWay
from shop.usecases.today import Chore, Task
from shop.web.chores import WAITING, ChoreLine, chore_line
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
    Task.TWICE: (mark("All fairs"), "fair.show_fairs"),
    Task.CLOCK: (mark("All jobs"), "job.show_jobs"),
    Task.FAIR: (mark("All fairs"), "fair.show_fairs"),
    Task.LATE: (mark("The queue"), "queue.show_queue"),
    Task.CLOTH: (mark("The cutting plan"), "plan.show_plan"),
    Task.DEPOSIT: (mark("All jobs"), "job.show_jobs"),
    Task.WISH: (mark("All fairs"), "fair.show_fairs"),
    Task.LAPSES: (mark("All offers"), "offer.show_offers"),
    Task.WAITS: (mark("All offers"), "offer.show_offers"),
    Task.DECLINED: (mark("All offers"), "offer.show_offers"),
}
"""Where all the chores of a kind are found: what that is called, and its page."""
MOST_ALIKE: Final = 6
"""Chores of one kind that the bench tells one by one; of more it tells how many."""


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
        lines += [chore_line(one, words) for one in alike[:MOST_ALIKE]]
        more = len(alike) - MOST_ALIKE
        if more > 0:
            named, where = ALL_OF[task]
            told = words.say_n("and %(n)s more like the last", "and %(n)s more like the last", more)
            lines.append(ChoreLine((told,), words.say(named), "", url_for(where), task not in WAITING))
    return tuple(lines)


def _counted(number: int, words: Words) -> str:
    if number >= COUNTED:
        return words.say("%(number)s and more", number=COUNTED - 1)
    return words.number(number)
