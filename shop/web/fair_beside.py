"""Fairs side by side over the years: go again or not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response, request, url_for

from shop.usecases import fair as fairs
from shop.usecases import fair_reckoning as reckonings
from shop.usecases.fair_reckoning import Beside
from shop.web.chart import Chart, Value, chart_of
from shop.web.fair import days_of
from shop.web.fair_table_shown import NONE
from shop.web.pages import page, show
from shop.web.shell import store_now, words_now
from shop.words import Words

room = Blueprint("fair_beside", __name__, url_prefix="/fairs/beside")

LONGEST: Final = 120


@dataclass(frozen=True, slots=True)
class YearRow:
    """A fair beside others."""

    address: str
    name: str
    days: str
    rugs: str
    takings: str
    costs: str
    profit: str
    loss: bool
    hours: str
    hour: str
    times: str


@page("fair/beside.html")
class FairsBesidePage:
    """Fairs side by side."""

    series: str
    choices: tuple[tuple[str, str, bool], ...]
    rows: tuple[YearRow, ...]
    facts: tuple[tuple[str, str], ...]
    picture: Chart | None
    verdict: str
    ten: str


@room.get("")
def show_beside() -> Response:
    """Fairs side by side."""
    series = request.args.get("series", "")[:LONGEST]
    found, words = reckonings.beside(store_now(), series=series), words_now()
    names = fairs.series(store_now())
    choices = (("", words.say("All fairs"), not series), *((name, name, name == series) for name in names))
    return show(
        FairsBesidePage(
            series=series,
            choices=choices,
            rows=_years(found, words),
            facts=_facts(found, words),
            picture=_picture(found, words),
            verdict=_again(found, words),
            ten=_ten(found, words),
        )
    )


def _years(found: Beside, words: Words) -> tuple[YearRow, ...]:
    if found.side is None:
        return ()
    return tuple(
        YearRow(
            address=url_for("fair_reckoning.show_reckoning", number=card.number),
            name=card.name,
            days=days_of(card),
            rugs=words.say("%(sold)s of %(brought)s", sold=str(year.account.sold), brought=str(year.account.brought)),
            takings=words.money(year.account.before_tax),
            costs=words.money(year.account.fair + year.account.fees),
            profit=words.money(year.account.profit),
            loss=year.account.profit.minor < 0,
            hours=words.duration(float(year.account.hours * 60)) if year.account.hours else NONE,
            hour=words.money(year.account.hour_at_fair) if year.account.hour_at_fair is not None else NONE,
            times=words.number(float(year.times), 1) if year.times is not None else NONE,
        )
        for card, year in zip(found.cards, found.side.years, strict=True)
    )


def _facts(found: Beside, words: Words) -> tuple[tuple[str, str], ...]:
    side = found.side
    if side is None:
        return ()
    lines = [
        (words.say("Takings, without tax"), words.money(side.takings)),
        (words.say("Profit"), words.money(side.profit)),
        (words.say("Hours stood and travelled"), words.duration(float(side.hours * 60))),
    ]
    if side.hour is not None:
        lines.append((words.say("An hour of them earned, over all else"), words.money(side.hour)))
    lines.append(
        (words.say("Fairs that paid the wage wanted"), words.say("%(some)s of %(all)s", some=str(side.paid_wage), all=str(len(side.years))))
    )
    if len(side.years) > 1:
        lines += [(words.say("The best"), _when(side.best, words)), (words.say("The worst"), _when(side.worst, words))]
    return tuple(lines)


def _when(year: Any, words: Words) -> str:
    return f"{year.name}, {words.date(year.on, 'medium')}"


def _picture(found: Beside, words: Words) -> Chart | None:
    """The profit of each fair as a bar; a loss hangs down, in its own colour."""
    if found.side is None:
        return None
    years = found.side.years
    values = [
        Value(float(profit.amount), _when(year, words), words.money(profit), loss=profit.minor < 0)
        for year in years
        for profit in (year.account.profit,)
    ]
    told = words.say(
        "The profit of %(count)s fairs, from %(first)s to %(last)s.",
        count=str(len(years)), first=words.date(years[0].on, "medium"), last=words.date(years[-1].on, "medium"),
    )  # fmt: skip
    return chart_of(values, first=_when(years[0], words), last=_when(years[-1], words) if len(years) > 1 else "", told=told)


def _again(found: Beside, words: Words) -> str:
    side = found.side
    if side is None:
        return ""
    if side.profit.minor < 0:
        return words.say("Together they did not bear their own cost: think twice before you go again.")
    if side.hour is not None and side.hour < found.wage:
        return words.say("They bore their cost, but your hours there earned less than the wage wanted.")
    return words.say("They were worth the drive.")


def _ten(found: Beside, words: Words) -> str:
    side = found.side
    if side is None or not side.rule_of_ten.fairs:
        return ""
    return words.say(
        "They say that a fair should bring ten times its stall’s fee. That told right whether something was left at %(right)s of %(all)s fairs here.",
        right=str(side.rule_of_ten.right), all=str(side.rule_of_ten.fairs),
    )  # fmt: skip
