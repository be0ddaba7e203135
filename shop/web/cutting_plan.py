"""The cutting plan's page: which jobs, what may serve them, what the shelf gives, and the button that holds it for them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.cutting import USUAL_WISHES, Rest, ToBuy, Wish
from shop.core.cutting_plan import Plan
from shop.core.errors import Refusal
from shop.core.measure import Length
from shop.core.strips import Way
from shop.usecases import cutting_plan as plans
from shop.usecases.cutting_plan import Proposal, Serves, StripsPlanned
from shop.web.asked import number_of
from shop.web.cloth_shown import size_shown
from shop.web.fields import SavingField
from shop.web.forms import ShopForm, pressed
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark
from shop.words.problems import problem_sentences

room = Blueprint("plan", __name__, url_prefix="/jobs/plan")

SERVES: Final[dict[Serves, str]] = {
    Serves.NAMED: mark("The piece it was planned with"),
    Serves.NEAR: mark("Any piece of nearly this colour"),
    Serves.ANY: mark("Any piece"),
}
WISHES: Final[dict[Wish, str]] = {
    Wish.SHORT: mark("cloth to buy"),
    Wish.COST: mark("the cost"),
    Wish.JOINS: mark("joins"),
    Wish.LEFT_OVER: mark("left-overs too small to use"),
    Wish.AGE: mark("cloth that came lately"),
}
WAYS: Final = {Way.ALONG: mark("along"), Way.ACROSS: mark("across")}
PLACES: Final = 4
"""Wishes that are put in order, after cloth to buy, which always comes first."""
_PLANNED: Final = re.compile(r"(\d{1,18}):(\d{1,3}):(\d{1,18}):(along|across):(\d{1,6})")


class HoldForm(ShopForm):
    """The button that holds a plan's cloth."""

    saving = SavingField()


@dataclass(frozen=True, slots=True)
class JobChoice:
    """A job that can be planned for."""

    number: int
    name: str
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BandShown:
    """What one cloth of a rug needs, and what the plan gives it.

    Attributes:
        key: of the band's entry on the form.
        serves: what may serve it: (value, words, chosen).
        need, have: strip, in words; ``have`` empty where there is none.
        cuts: what is cut for it.
        held: which other jobs hold the piece it was planned with, in words.
        short: strip that is missing, in words; empty where nothing is.
        buy: what to buy for that, in words.
    """

    key: str
    job: str
    name: str
    colour: str
    serves: tuple[tuple[str, str, bool], ...]
    need: str
    have: str
    cuts: tuple[CutShown, ...]
    held: str
    short: str
    buy: str


@dataclass(frozen=True, slots=True)
class CutShown:
    """Strips of a piece for a band."""

    piece: str
    number: int
    address: str
    colour: str
    how: str
    length: str
    cost: str


@dataclass(frozen=True, slots=True)
class RestShown:
    """What stays of a piece that is cut into."""

    piece: str
    number: int
    colour: str
    size: str
    strips: str


@page("plan/plan.html")
class PlanPage:
    """A cutting plan to look at."""

    jobs: tuple[JobChoice, ...]
    wrong: tuple[str, ...]
    wishes: tuple[tuple[tuple[str, str, bool], ...], ...]
    bands: tuple[BandShown, ...]
    rests: tuple[RestShown, ...]
    cost: str
    joins: str
    proof: str
    planned: tuple[str, ...]
    chosen: tuple[int, ...]
    short: bool
    hold: HoldForm


@room.get("")
def show_plan() -> Response:
    """A plan for the jobs that are chosen; nothing is held by looking."""
    chosen = tuple(number for text in request.args.getlist("job")[: plans.MOST_JOBS + 1] if (number := number_of(text)))
    prefer = _prefer()
    found, wrong = None, ()
    if chosen:
        try:
            found = plans.propose(store_now(), jobs=chosen, serves=_serves(), prefer=prefer)
        except Refusal as refusal:
            wrong = tuple(problem_sentences(refusal.problems, words_now()))
    return _page(chosen, found, prefer, wrong, HoldForm(formdata=None))


@room.post("")
def hold() -> Response:
    """Hold the strips of a plan for its jobs."""
    form = HoldForm()
    saving = pressed(form)
    chosen = tuple(number for text in request.form.getlist("job") if (number := number_of(text)))
    matches = [_PLANNED.fullmatch(text) for text in request.form.getlist("strips")[:2000]]
    strips = tuple(
        StripsPlanned(job=int(one[1]), band=int(one[2]), piece=int(one[3]), way=Way(one[4]), strips=int(one[5]))
        for one in matches
        if one
    )
    try:
        held = plans.accept(store_now(), jobs=chosen, strips=strips, saving=saving, now=moment())
    except Refusal as refusal:
        if any(problem.code.endswith(".unknown") for problem in refusal.problems):
            raise
        wrong = tuple(problem_sentences(refusal.problems, words_now()))
        return _page(chosen, None, USUAL_WISHES, wrong, form, status=422)
    tell(mark("Held for the job: strips of %(pieces)s pieces. Cut them by the card."), pieces=held)
    if len(chosen) == 1:
        return redirect(url_for("card.show_card", number=chosen[0]), 303)  # type: ignore[return-value]
    return redirect(url_for("job.show_jobs"), 303)  # type: ignore[return-value]


def _serves() -> dict[tuple[int, int], Serves]:
    """What may serve each band, as the address says: ``serves-12-0=near``."""
    found = {}
    for name, text in request.args.items():
        match = re.fullmatch(r"serves-(\d{1,18})-(\d{1,3})", name)
        if match and text in {one.value for one in Serves}:
            found[int(match[1]), int(match[2])] = Serves(text)
    return found


def _prefer() -> tuple[Wish, ...]:
    """The wishes in the order that is asked for; the shop's usual ones where none is."""
    known = {one.value: one for one in Wish}
    asked = [known[text] for text in request.args.getlist("wish")[:PLACES] if text in known]
    return tuple(dict.fromkeys((Wish.SHORT, *asked))) if asked else USUAL_WISHES


def _page(
    chosen: tuple[int, ...],
    found: Proposal | None,
    prefer: tuple[Wish, ...],
    wrong: tuple[str, ...],
    form: HoldForm,
    *,
    status: int = 200,
) -> Response:
    words = words_now()
    lines = plans.jobs_to_plan(store_now())
    cutting = found.plan.cutting if found else None
    context = PlanPage(
        jobs=tuple(JobChoice(line.number, line.name, line.number in chosen) for line in lines),
        wrong=wrong,
        wishes=tuple(_wish_choices(place, prefer, words) for place in range(PLACES)),
        bands=tuple(_band(found, at, words) for at in range(len(found.bands))) if found else (),
        rests=tuple(_rest(found, rest, words) for rest in cutting.rests if rest.strips) if found and cutting else (),
        cost=words.money(cutting.cost) if cutting else "",
        joins=words.number(cutting.joins) if cutting else "",
        proof=_proof(found.plan, words) if found else "",
        planned=_planned(found) if found else (),
        chosen=chosen,
        short=bool(cutting and any(cutting.short)),
        hold=form,
    )
    return show(context, status=status)


def _wish_choices(place: int, prefer: tuple[Wish, ...], words: Words) -> tuple[tuple[str, str, bool], ...]:
    others = [wish for wish in prefer if wish is not Wish.SHORT]
    mine = others[place] if place < len(others) else None
    options = [("", words.say("nothing more"), mine is None)]
    options += [(wish.value, words.say(name), wish is mine) for wish, name in WISHES.items() if wish is not Wish.SHORT]
    return tuple(options)


def _band(found: Proposal, at: int, words: Words) -> BandShown:
    need, cutting = found.bands[at], found.plan.cutting
    job = next(line.name for line in found.jobs if line.number == need.job)
    short, buy = cutting.short[at], found.buy[at]
    return BandShown(
        key=f"serves-{need.job}-{need.band}",
        job=job if len(found.jobs) > 1 else "",
        name=need.name or words.say("cloth still to be bought"),
        colour=need.colour,
        serves=tuple(
            (serves.value, words.say(name), serves is need.serves)
            for serves, name in SERVES.items()
            if serves is not Serves.NAMED or need.piece is not None
        ),
        need=words.strip_length(need.need.metres),
        have=words.strip_length(need.have.metres) if need.have else "",
        cuts=tuple(
            CutShown(
                piece=found.pieces[cut.piece].name,
                number=found.pieces[cut.piece].number,
                address=url_for("piece.show_piece", number=found.pieces[cut.piece].number),
                colour=found.pieces[cut.piece].colour,
                how=how_many(cut.strips, cut.way, words),
                length=words.strip_length(cut.length.metres),
                cost=words.money(cut.cost),
            )
            for cut in cutting.cuts
            if cut.band == at
        ),
        held=words.say("Some of that piece is held for %(jobs)s.", jobs=words.all_of(need.held_by)) if need.held_by else "",
        short=words.strip_length(short.metres) if short else "",
        buy=_buy(found, at, buy, words) if buy else "",
    )


def how_many(strips: int, way: Way, words: Words) -> str:
    """So many strips, one way."""
    if way is Way.ALONG:
        return words.say_n("%(n)s strip along the piece", "%(n)s strips along the piece", strips)
    return words.say_n("%(n)s strip across the piece", "%(n)s strips across the piece", strips)


def _buy(found: Proposal, at: int, buy: ToBuy, words: Words) -> str:
    sheets = words.either(
        [
            words.say_n("%(n)s full flat sheet", "%(n)s full flat sheets", buy.sheets["full"]),
            words.say_n("%(n)s queen flat sheet", "%(n)s queen flat sheets", buy.sheets["queen"]),
        ]
    )
    length = _of_bolt(buy.length, words)
    told = words.say("%(length)s of cloth %(width)s wide, or %(sheets)s", length=length, width=buy.width, sheets=sheets)
    cost = found.buy_cost[at]
    if cost is None:
        return told
    return words.say("%(what)s; about %(cost)s at what your shelf cost", what=told, cost=words.money(cost))


def _of_bolt(length: Length, words: Words) -> str:
    """A length as it is cut off a bolt: yards and quarters, or metres."""
    if words.units == "metric":
        return words.say("%(n)s m", n=words.number(length.metres, 1))
    return words.say("%(n)s yd", n=words.number(length.metres / 0.9144, 2, trimmed=True))


def _rest(found: Proposal, rest: Rest, words: Words) -> RestShown:
    piece = found.pieces[rest.piece]
    return RestShown(
        piece=piece.name,
        number=piece.number,
        colour=piece.colour,
        size=size_shown(rest.width, rest.length),
        strips=words.say_n("%(n)s strip still in it", "%(n)s strips still in it", rest.strips),
    )


def _proof(plan: Plan, words: Words) -> str:
    """How good the plan is known to be."""
    if all(stage.proven for stage in plan.stages) and plan.gap < 1e-6:
        return words.say("No better plan is possible.")
    if all(stage.proven for stage in plan.stages):
        return words.say("Within %(gap)s of the best possible.", gap=words.percent(plan.gap))
    return words.say(
        "A good plan, found in the time there was; at most %(gap)s from the best possible.", gap=words.percent(plan.gap)
    )


def _planned(found: Proposal) -> tuple[str, ...]:
    """What the plan proposes, as the button sends it back."""
    return tuple(f"{one.job}:{one.band}:{one.piece}:{one.way.value}:{one.strips}" for one in found.strips)
