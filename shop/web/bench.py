"""The first page: what to do next in a new shop, and what is waiting in one that works."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, url_for

from shop.usecases import bench, today
from shop.usecases.bench import COUNTED
from shop.usecases.today import Chore, Task
from shop.web.job import JobRow, job_row
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


@dataclass(frozen=True, slots=True)
class ChoreLine:
    """Something to do today; ``pressing`` what should not wait."""

    told: str
    title: str
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
    jobs: tuple[tuple[JobRow, str], ...]
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
            jobs=tuple((job_row(line), words.say(NEXT[line.state])) for line in found.jobs),
            chores=tuple(_chore(one, words) for one in today.chores(store_now(), now=moment())),
        )
    )


def _chore(one: Chore, words: Words) -> ChoreLine:
    say, day = words.say, words.date(one.day, "medium") if one.day else ""
    match one.task:
        case Task.ANSWER:
            told = say("%(who)s has a question; the offer holds until %(day)s", who=one.who, day=day)
        case Task.LETTER:
            told = say("A letter to %(who)s did not go out for certain", who=one.who)
        case Task.LATE:
            told = say("promised for %(day)s, which is hard to keep", day=day)
        case Task.DEPOSIT:
            told = _deposit_told(one, words)
        case Task.LAPSES:
            told = say("%(who)s has not answered; the offer lapses after %(day)s", who=one.who, day=day)
        case Task.WAITS:
            told = say("offered to %(who)s, until %(day)s", who=one.who, day=day)
    return ChoreLine(told, one.title or say("Offer"), _where(one), one.task is not Task.WAITS)


def _deposit_told(one: Chore, words: Words) -> str:
    amount = words.money(one.amount) if one.amount else ""
    if one.asked:
        return words.say("of the deposit %(amount)s is still missing; asked for on %(day)s", amount=amount, day=words.date(one.asked, "medium"))
    if one.written:
        return words.say("of the deposit %(amount)s is still missing; the request is written but not sent", amount=amount)
    return words.say("of the deposit %(amount)s is still missing", amount=amount)


def _where(one: Chore) -> str:
    match one.task:
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
