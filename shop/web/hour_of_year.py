"""The page of the last year: its hours and overhead against what was planned, and the rate that they suggest for the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, request
from werkzeug.datastructures import MultiDict

from shop.core.cost import OverheadYear
from shop.core.money import Money
from shop.usecases import hour_of_year as years
from shop.web.fields import MoneyField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, words_now
from shop.words import Words, mark

room = Blueprint("hour_of_year", __name__, url_prefix="/rates/last-year")


class SpentForm(ShopForm):
    """What overhead really cost; asked in the address, since nothing is kept of it."""

    class Meta(ShopForm.Meta):
        """It changes nothing."""

        csrf = False

    spent = MoneyField(
        mark("What the year’s costs really were"),
        hint=mark("Left empty: as much as was planned. Nothing of this is kept."),
        needed=False,
        where="spent",
    )

    @classmethod
    def asked(cls) -> Any:
        """The form as asked in the address, already looked over."""
        form = cls(MultiDict({"spent": request.args.get("spent", "")[:120]}))
        form.validate()
        return form


@dataclass(frozen=True, slots=True, kw_only=True)
class YearShown:
    """A year in words.

    Attributes:
        hours_planned, hours_worked: of the year.
        cost_planned, cost_real: of its overhead.
        rate, next_rate: for an hour, as jobs bore it and as it is suggested.
        applied: what all hours bore together; ``verdict`` what that means; ``hours_part`` and ``spending_part`` its two reasons.
    """

    hours_planned: str
    hours_worked: str
    cost_planned: str
    cost_real: str
    rate: str
    next_rate: str
    applied: str
    verdict: str
    hours_part: str
    spending_part: str


@page("rates/last_year.html")
class LastYearPage:
    """The last year against its plan."""

    form: SpentForm
    year: YearShown | None
    planned: bool
    worked: str
    since: str


@room.get("")
def show_year() -> Response:
    """The last year against its plan."""
    words, form = words_now(), SpentForm.asked()
    spent = None if form.spent.errors else form.spent.data
    found = years.hour_of_year(store_now(), spent=spent, now=moment())
    context = LastYearPage(
        form=form,
        year=_shown(found.year, words) if found.year else None,
        planned=found.planned,
        worked=words.duration(float(found.worked) * 60),
        since=words.date(found.since) if found.since else "",
    )
    return show(context)


def _shown(year: OverheadYear, words: Words) -> YearShown:
    under, currency = year.under, year.budget.currency
    if under.minor > 0:
        verdict = words.say("The hours bore %(amount)s too little.", amount=words.money(under))
    elif under.minor < 0:
        verdict = words.say("The hours bore %(amount)s too much.", amount=words.money(-under))
    else:
        verdict = words.say("The hours bore just what it cost.")
    return YearShown(
        hours_planned=words.number(year.planned, 1, trimmed=True),
        hours_worked=words.number(year.worked, 1, trimmed=True),
        cost_planned=words.money(year.budget),
        cost_real=words.money(year.actual),
        rate=words.money(Money.rounded(year.rate, currency)),
        next_rate=words.money(Money.rounded(year.suggested, currency)),
        applied=words.money(year.applied),
        verdict=verdict,
        hours_part=words.money(year.of_hours),
        spending_part=words.money(year.of_spending),
    )
