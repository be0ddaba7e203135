"""What to bring to a fair, at which prices, and what the table must and may bring."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.money import parse_money
from shop.usecases import fair_table as tables
from shop.usecases.fair_table import MOST_RUGS, FairTable, TableGiven
from shop.web.chart import Chart
from shop.web.fair import days_of
from shop.web.fair_table_shown import (
    RugRow,
    RungRow,
    may_bring,
    must_bring,
    picture_of,
    rug_row,
    rung_row,
    slip_told,
    sums_of,
)
from shop.web.fields import CheckField, RevisionField, SavingField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell_n, words_now
from shop.words import mark
from shop.words.problems import problem_sentences

room = Blueprint("fair_table", __name__, url_prefix="/fairs")

_ROW: Final = re.compile(r"(take|price)-([1-9][0-9]{0,17})")
ACTS: Final = ("look", "by rule", "round", "keep")


class TableForm(ShopForm):
    """What stands beside the rows of the table, each of which has its own two entries."""

    also_own = CheckField(mark("These are their own prices too, after the fair"), where="also_own")
    revision = RevisionField(default=0)
    saving = SavingField()


@page("fair/table.html")
class FairTablePage:
    """A fair's table."""

    number: int
    name: str
    days: str
    can_pack: bool
    form: TableForm
    currency: str
    rows: tuple[RugRow, ...]
    more: str
    area_unit: str
    sums: tuple[tuple[str, str], ...]
    rungs: tuple[RungRow, ...]
    slips: tuple[str, ...]
    even: tuple[tuple[str, str], ...]
    may: tuple[tuple[str, str], ...]
    picture: Chart | None
    guessed: bool
    looked: bool


@room.get("/<int:number>/table")
def show_table(number: int) -> Response:
    """What is packed, what could be, and what it brings."""
    return _page(tables.table(store_now(), number=number), TableForm(formdata=None))


@room.post("/<int:number>/table")
def work_table(number: int) -> Response:
    """Look at another choice or other prices, or keep them."""
    form, act = TableForm(), request.form.get("act", "look")
    texts, wrong, typed = _typed(form)
    if act == "by rule":
        texts, wrong = {}, {}
        typed = TableGiven(chosen=typed.chosen, prices={}, also_own=typed.also_own)
    valid = form.validate() and not wrong
    if not valid:
        return _page(tables.table(store_now(), number=number, typed=typed), form, texts=texts, wrong=wrong, status=422)
    if act == "round":
        looked = tables.table(store_now(), number=number, typed=typed)
        points = tables.points_of(looked.fair)
        rounded = {rug.card.number: points.at(rug.priced.asking) for rug in looked.rugs if rug.chosen}
        typed = TableGiven(chosen=typed.chosen, prices={**typed.prices, **rounded}, also_own=typed.also_own)
        texts = {one: words_now().typed_money(price) for one, price in rounded.items()}
    if act != "keep":
        return _page(tables.table(store_now(), number=number, typed=typed), form, texts=texts)
    try:
        kept = tables.keep(
            store_now(), number=number, typed=typed, revision=form.revision.data or 0, saving=form.saving.data, now=moment()
        )
    except Refusal as refusal:
        if any(problem.code in ("fair.unknown", "rug.unknown") for problem in refusal.problems):
            raise
        wrong = _beside(refusal)
        form.refuse(refusal)
        return _page(tables.table(store_now(), number=number, typed=typed), form, texts=texts, wrong=wrong, status=422)
    tell_n(mark("%(n)s rug is packed for %(name)s."), mark("%(n)s rugs are packed for %(name)s."), kept.sum.count, name=kept.fair.name)
    return redirect(url_for("fair_table.show_table", number=number), 303)  # type: ignore[return-value]


def _typed(form: TableForm) -> tuple[dict[int, str], dict[int, tuple[str, ...]], TableGiven]:
    """Every row as it was typed, what is wrong with it, and what it means where it can be read."""
    words = words_now()
    chosen, texts, wrong, prices = set(), {}, {}, {}
    for key, text in request.form.items():
        named = _ROW.fullmatch(key)
        if named is None or len(texts) + len(chosen) > 4 * MOST_RUGS:
            continue
        number = int(named[2])
        if named[1] == "take":
            chosen.add(number)
            continue
        texts[number] = text
        if text.strip():
            try:
                prices[number] = parse_money(text, words.currency, decimal_mark=words.decimal_mark)
            except Refusal as refusal:
                wrong[number] = tuple(problem_sentences(refusal.problems, words))
    return texts, wrong, TableGiven(chosen=frozenset(chosen), prices=prices, also_own=bool(form.also_own.data))


def _beside(refusal: Refusal) -> dict[int, tuple[str, ...]]:
    """The problems of prices, by the rugs that they belong to."""
    found: dict[int, tuple[str, ...]] = {}
    for problem in refusal.problems:
        named = re.fullmatch(r"rug\.([0-9]+)\.price", problem.where)
        if named is not None:
            found[int(named[1])] = tuple(problem_sentences([problem], words_now()))
    return found


def _page(
    table: FairTable,
    form: TableForm,
    *,
    texts: Mapping[int, str] | None = None,
    wrong: Mapping[int, tuple[str, ...]] | None = None,
    status: int = 200,
) -> Response:
    words = words_now()
    if form.revision.raw_data is None:
        form.revision.data = table.fair.revision
    context = FairTablePage(
        number=table.fair.number,
        name=table.fair.name,
        days=days_of(table.fair),
        can_pack=table.fair.state in tables.TAKES_RUGS,
        form=form,
        currency=words.currency,
        rows=tuple(rug_row(rug, texts, wrong or {}, words) for rug in table.rugs),
        more=words.say_n("%(n)s more rug is at home.", "%(n)s more rugs are at home.", table.more) if table.more else "",
        area_unit=words.say("square foot") if words.units == "imperial" else words.say("square metre"),
        sums=sums_of(table, words),
        rungs=tuple(rung_row(rung, words) for rung in table.rungs),
        slips=tuple(slip_told(one.larger, one.smaller, table, words) for one in table.slips),
        even=must_bring(table, words),
        may=may_bring(table, words),
        picture=picture_of(table.profit, words) if table.profit else None,
        guessed=table.guessed,
        looked=texts is not None,
    )
    return show(context, status=status)
