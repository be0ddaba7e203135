"""Quoted against real: what a rug was reckoned to take and cost, what it took, and where the difference came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response

from shop.core.money import Money
from shop.core.variance import Direction, InputKind, Variance
from shop.usecases import quoted_real
from shop.web.cloth_shown import NOTHING
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.shell import store_now, words_now
from shop.web.step_names import STEP_NAMES
from shop.words import Words, mark

room = Blueprint("quoted_real", __name__, url_prefix="/jobs")

KINDS: Final[dict[InputKind, str]] = {
    InputKind.CLOTH: mark("Cloth"),
    InputKind.WARP: mark("Warp yarn"),
    InputKind.LABOUR: mark("Labour"),
    InputKind.OVERHEAD: mark("Overhead"),
    InputKind.BOUGHT_IN: mark("Bought in"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class CompareRow:
    """An input of a rug: as quoted, as it was, and where the difference came from."""

    name: str
    quoted: str
    real: str
    cost_quoted: str
    cost_real: str
    price: str
    usage: str
    total: str
    kind: str


@page("order/compare.html")
class ComparePage:
    """Quoted against real."""

    job: JobRow
    facts: tuple[tuple[str, str, str], ...]
    rows: tuple[CompareRow, ...]
    whole: CompareRow
    hourly: tuple[tuple[str, str], ...]
    reckoned: tuple[tuple[str, str, str], ...]
    fee_told: str
    tips: str
    yarn_not_drawn: bool
    grams: bool
    job_open: bool
    timed: bool
    measured: bool


@room.get("/<int:number>/compare")
def show_compare(number: int) -> Response:
    """Quoted against real."""
    words = words_now()
    found = quoted_real.quoted_real(store_now(), job=number)
    comparison, say = found.comparison, words.say
    rows = tuple(_compare_row(one, variance, found, words) for one, variance in comparison.lines)
    hourly = []
    off_loom = found.measured
    if comparison.hourly_quoted is not None:
        hourly.append((say("An hour was to earn"), words.money(comparison.hourly_quoted)))
    if comparison.hourly_real is not None:
        hourly.append((say("An hour earned"), words.money(comparison.hourly_real)))
    if comparison.hourly_difference is not None:
        hourly.append((say("The difference"), _signed(comparison.hourly_difference, words)))
    context = ComparePage(
        job=job_row(found.line),
        facts=(
            (say("Size"), words.size(found.planned.size), words.size(off_loom.size) if off_loom else NOTHING),
            (
                say("Weight"),
                words.weight(found.planned.grams),
                words.weight(off_loom.weight) if off_loom and off_loom.weight else NOTHING,
            ),
            (say("Rows"), words.number(found.rows_quoted), words.number(found.rows_woven) if found.rows_woven else "–"),
            (say("Cloth and yarn drawn for it"), "", words.weight(found.cloth_drawn)),
        ),
        rows=rows,
        whole=_row_of(say("Everything"), "", "", comparison.whole, words, "total"),
        hourly=tuple(hourly),
        reckoned=_reckoned(found, words),
        fee_told=_fee_told(found, words),
        tips=words.money(found.tips) if found.tips else "",
        yarn_not_drawn=found.yarn_not_drawn,
        grams=words.units == "metric",
        job_open=found.line.is_open,
        timed=found.timed,
        measured=off_loom is not None,
    )
    return show(context)


def _reckoned(found: quoted_real.QuotedReal, words: Words) -> tuple[tuple[str, str, str], ...]:
    """How the hour is reckoned, step by step: what, as quoted, as it was."""
    comparison, say = found.comparison, words.say
    cloth, overhead, bought = (
        comparison.of(*kinds) for kinds in ((InputKind.CLOTH, InputKind.WARP), (InputKind.OVERHEAD,), (InputKind.BOUGHT_IN,))
    )
    steps = [
        (say("The price without tax"), found.before_fees, found.before_fees),
        (say("less the card fee"), found.fee_quoted, found.fee_real),
        (say("less cloth and yarn"), cloth.standard, cloth.actual),
        (say("less overhead"), overhead.standard, overhead.actual),
        (say("less what was bought in"), bought.standard, bought.actual),
    ]
    quoted, real = (steps[0][side] - sum((one[side] for one in steps[1:]), Money.zero(comparison.currency)) for side in (1, 2))
    steps.append((say("is left for the hours"), quoted, real))
    hours = [one for one, _ in comparison.lines if one.kind is InputKind.OVERHEAD]
    rows = [(what, words.money(first), words.money(second) if found.timed else NOTHING) for what, first, second in steps]
    for one in hours:
        spent = _amount(one.actual.quantity, one.actual.unit, words) if one.actual and found.timed else NOTHING
        rows.append((say("Hours"), _amount(one.standard.quantity, one.standard.unit, words) if one.standard else NOTHING, spent))
    return tuple(rows)


def _fee_told(found: quoted_real.QuotedReal, words: Words) -> str:
    if not found.fee_quoted:
        return ""
    if not found.paid:
        return words.say("Nothing is paid yet, so the fee is taken as it was quoted.")
    return words.say("The real fee is that of the part that was paid by card; cash and transfers keep none.")


def _compare_row(one: Any, variance: Variance, found: quoted_real.QuotedReal, words: Words) -> CompareRow:
    name = words.say(KINDS[one.kind])
    if one.key in found.names:
        name = found.names[one.key] or words.say("cloth still to be bought")
    elif one.key == quoted_real.BESIDE:
        name = words.say("Cloth that was not quoted")
    elif one.key in STEP_NAMES:
        name = words.say(STEP_NAMES[one.key])
    quoted = _amount(one.standard.quantity, one.standard.unit, words) if one.standard else "–"
    real = _amount(one.actual.quantity, one.actual.unit, words) if one.actual else "–"
    if one.key == quoted_real.WARP and found.yarn_not_drawn:
        real = words.say("not drawn; as quoted")
    return _row_of(name, quoted, real, variance, words, one.kind.value)


def _amount(quantity: Any, unit: str, words: Words) -> str:
    if unit == quoted_real.GRAMS:
        return words.weight(float(quantity or 0))
    return words.duration(float(quantity or 0) * 60) if unit == quoted_real.HOURS else ""


def _row_of(name: str, quoted: str, real: str, variance: Variance, words: Words, kind: str) -> CompareRow:
    return CompareRow(
        name=name,
        quoted=quoted,
        real=real,
        cost_quoted=words.money(variance.standard),
        cost_real=words.money(variance.actual),
        price=_cost(variance.price, words),
        usage=_cost(variance.usage, words),
        total=_cost(variance.total, words),
        kind=kind,
    )


def _cost(amount: Money, words: Words) -> str:
    """A difference of cost, with what it does: more is worse."""
    direction = Direction.of_cost(amount)
    if direction is Direction.NONE:
        return "–"
    told = mark("%(amount)s more") if direction is Direction.UNFAVOURABLE else mark("%(amount)s less")
    return words.say(told, amount=words.money(amount if amount.minor > 0 else -amount))


def _signed(amount: Money, words: Words) -> str:
    direction = Direction.of_earning(amount)
    if direction is Direction.NONE:
        return words.say("none")
    told = mark("%(amount)s more") if direction is Direction.FAVOURABLE else mark("%(amount)s less")
    return words.say(told, amount=words.money(amount if amount.minor > 0 else -amount))
