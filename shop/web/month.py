"""The page of the shop's month: hours, cloth and income of the quotes now open, low to high, with a picture."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, request

from shop.core.money import Money, exact
from shop.core.risk import Span
from shop.usecases import month as months
from shop.usecases.month import QuotesMonth
from shop.web.asked import number_of
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, words_now
from shop.words import Words

room = Blueprint("month", __name__, url_prefix="/quotes/month")

LIKELY: Final = 50
"""Of a hundred customers so many say yes, unless another number is asked with."""
LEFT: Final = 4.0
WIDE: Final = 332.0


@dataclass(frozen=True, slots=True)
class SpanRow:
    """Hours, cloth or income: low, middle and high in words, and where they stand in the picture; ``zero`` where nothing is."""

    name: str
    low: str
    middle: str
    high: str
    x: float
    wide: float
    at: float
    zero: float


@page("quote/month.html")
class MonthPage:
    """The shop's month."""

    rows: tuple[SpanRow, ...]
    quotes: int
    likely: int


@room.get("")
def show_month() -> Response:
    """What the open quotes may come to."""
    asked = number_of(request.args.get("likely", ""))
    likely = asked if asked is not None and asked <= 100 else LIKELY
    found = months.month(store_now(), likely=likely / 100, now=moment())
    return show(MonthPage(rows=_rows(found, words_now()), quotes=found.quotes, likely=likely))


def _rows(found: QuotesMonth, words: Words) -> tuple[SpanRow, ...]:
    if found.month is None:
        return ()

    def money(value: float) -> str:
        return words.money(Money.rounded(exact(value), found.currency))

    return (
        _row(words.say("Hours of work"), found.month.hours, lambda hours: words.duration(60 * max(0.0, hours))),
        _row(words.say("Cloth to cut"), found.month.cloth, lambda area: words.area(max(0.0, area))),
        _row(words.say("What the hours earn"), found.month.income, money),
    )


def _row(name: str, span: Span, say: Callable[[float], str]) -> SpanRow:
    least, most = min(0.0, span.low), max(0.0, span.high) or 1.0

    def across(value: float) -> float:
        return round(LEFT + WIDE * (value - least) / (most - least), 1)

    low, high = across(span.low), across(span.high)
    return SpanRow(
        name=name,
        low=say(span.low),
        middle=say(span.middle),
        high=say(span.high),
        x=low,
        wide=round(high - low, 1),
        at=across(span.middle),
        zero=across(0.0),
    )
