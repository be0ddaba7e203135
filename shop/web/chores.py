"""What there is to do today, in the shop's words: what each chore is about, and where it is done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import url_for

from shop.usecases.cloth_short import Lack, Why
from shop.usecases.today import Chore, Task
from shop.web.step_names import STEP_NAMES
from shop.words import Words, mark

WAITING: Final = (Task.FAIR, Task.WAITS, Task.DECLINED)
"""Chores that are told and do not press."""
LACKS: Final[dict[Why, str]] = {
    Why.GONE: mark("%(cloth)s: %(length)s of strip lacking; what was held for it is gone from the shelf"),
    Why.TO_BUY: mark("%(cloth)s: %(length)s of strip still to be found or bought"),
    Why.SHELF: mark("%(cloth)s: %(length)s of strip lacking on the shelf"),
    Why.REACH: mark("%(cloth)s will likely not reach: %(length)s of strip lacking"),
}
"""What is said of cloth that is short."""
MOST_SAID: Final = 160
MOST_LACKS: Final = 3


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


def chore_line(one: Chore, words: Words) -> ChoreLine:
    """Something to do, in words."""
    say, day = words.say, words.date(one.day, "medium") if one.day else ""
    match one.task:
        case Task.ANSWER:
            told = say("%(who)s has a question; the offer holds until %(day)s", who=one.who, day=day)
        case Task.LETTER:
            told = say("A letter to %(who)s did not go out for certain", who=one.who)
        case Task.TWICE:
            told = say("No. %(number)s was sold twice; say which sale was another rug", number=str(one.number))
        case Task.CLOCK:
            told = say("the clock runs on: %(step)s, since %(when)s", step=say(STEP_NAMES[one.step]), when=_since(one, words))
        case Task.FAIR:
            told = say("the fair is on; its till takes sales until it is over")
        case Task.WISH:
            told = say("%(who)s wishes for a rug", who=one.who) if one.who else say("somebody wishes for a rug")
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
    return ChoreLine((told,), one.title or say("Offer"), _job(one, words), _where(one), one.task not in WAITING)


def _job(one: Chore, words: Words) -> str:
    """The job that it is for, where it is for one: rugs are often called alike."""
    if one.task in (Task.CLOCK, Task.LATE, Task.CLOTH, Task.DEPOSIT):
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
        case Task.CLOCK:
            return url_for("clock.show_time", number=one.number)
        case Task.FAIR | Task.WISH | Task.TWICE if one.fair is not None:
            return url_for("till_desk.show_desk", number=one.fair)
        case Task.TWICE:
            return url_for("rug.show_rug", number=one.number)
        case Task.LETTER:
            return url_for("letters.show_letters")
        case Task.LATE:
            return url_for("queue.show_queue")
        case Task.DEPOSIT:
            return url_for("order.show_money", number=one.number)
        case _:
            return url_for("offer.show_offer", offer_id=one.number)


def _since(one: Chore, words: Words) -> str:
    return words.datetime(one.since) if one.since else ""
