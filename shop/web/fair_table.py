"""What to bring to a fair, at which prices, and what the table must and may bring."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.ladder import Size
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT
from shop.core.money import Money, parse_money
from shop.core.profit_range import ProfitRange
from shop.usecases import fair_table as tables
from shop.usecases.fair_table import MOST_RUGS, FairTable, TableGiven, TableRug
from shop.web.chart import Chart, chart_of
from shop.web.fair import days_of
from shop.web.fields import CheckField, RevisionField, SavingField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark
from shop.words.problems import problem_sentences

room = Blueprint("fair_table", __name__, url_prefix="/fairs")

_ROW: Final = re.compile(r"(take|price)-([1-9][0-9]{0,17})")
ACTS: Final = ("look", "by rule", "round", "keep")
SIZES: Final = {Size.SMALL: mark("Small"), Size.MIDDLE: mark("Middle"), Size.LARGE: mark("Large")}
NONE: Final = "–"


class TableForm(ShopForm):
    """What stands beside the rows of the table, each of which has its own two entries."""

    also_own = CheckField(mark("These are their own prices too, after the fair"), where="also_own")
    revision = RevisionField(default=0)
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class RugRow:
    """A rug of the table; ``price`` as it is typed, ``wrong`` what is wrong with it."""

    number: int
    address: str
    name: str
    size: str
    stripes: tuple[tuple[str, float], ...]
    sides: tuple[float, float]
    chosen: bool
    packed: bool
    price: str
    wrong: tuple[str, ...]
    asking: str
    by_rule: str
    cost: str
    guessed: bool
    floor: str
    below_floor: bool
    raised: bool
    per_area: str
    likes: str
    hour: str
    leaves: str
    loses: bool
    chance: str


@dataclass(frozen=True, slots=True)
class RungRow:
    """A rung of the ladder of prices."""

    size: str
    count: int
    prices: str


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
    tell(mark("%(count)s rugs are packed for %(name)s."), count=kept.sum.count, name=kept.fair.name)
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
        rows=tuple(_row(rug, texts, wrong or {}, words) for rug in table.rugs),
        more=words.say_n("%(n)s more rug is at home.", "%(n)s more rugs are at home.", table.more) if table.more else "",
        area_unit=words.say("square foot") if words.units == "imperial" else words.say("square metre"),
        sums=_sums(table, words),
        rungs=tuple(_rung(rung, words) for rung in table.rungs),
        slips=tuple(_slip(one.larger, one.smaller, table, words) for one in table.slips),
        even=_even(table, words),
        may=_may(table, words),
        picture=_picture(table.profit, words) if table.profit else None,
        guessed=table.guessed,
        looked=texts is not None,
    )
    return show(context, status=status)


def _per_area(rate: Decimal, words: Words) -> str:
    """An amount for a square metre, as she says it."""
    if words.units == "imperial":
        rate *= Decimal(str(SQUARE_METRES_PER_SQUARE_FOOT))
    return words.unit_cost(rate, words.currency)


def _row(rug: TableRug, texts: Mapping[int, str] | None, wrong: Mapping[int, tuple[str, ...]], words: Words) -> RugRow:
    card, one, likes = rug.card, rug.priced, rug.priced.likes
    typed = (texts or {}).get(card.number)
    if typed is None:
        typed = words.typed_money(one.asking) if rug.by_hand and (texts is None or card.number not in texts) else ""
    return RugRow(
        number=card.number,
        address=f"/rugs/{card.number}",
        name=card.name,
        size=words.sides(card.size.width, card.size.length),
        stripes=card.stripes,
        sides=(card.size.width.metres, card.size.length.metres),
        chosen=rug.chosen,
        packed=rug.packed,
        price=typed,
        wrong=wrong.get(card.number, ()),
        asking=words.money(one.asking),
        by_rule=words.money(one.by_rule),
        cost=words.money(one.rug.cost.total),
        guessed=card.guessed,
        floor=words.money(one.price.floor),
        below_floor=one.below_floor,
        raised=one.raised,
        per_area=_per_area(one.per_area, words),
        likes=words.say(
            "%(middle)s for %(count)s like it (%(low)s to %(high)s)",
            middle=_per_area(likes.middle, words), count=likes.count, low=_per_area(likes.low, words), high=_per_area(likes.high, words),
        ) if likes else "",
        hour=words.money(one.hour) if one.hour is not None else NONE,
        leaves=words.money(rug.leaves.contribution),
        loses=rug.leaves.contribution.minor < 0,
        chance=words.percent(rug.chance.chance, 0),
    )  # fmt: skip


def _sums(table: FairTable, words: Words) -> tuple[tuple[str, str], ...]:
    found = table.sum
    lines: list[tuple[str, str]] = [
        (words.say("Rugs"), str(found.count)),
        (words.say("Asked for all of them"), words.money(found.asking)),
        (words.say("They cost, your wage and overhead with it"), words.money(found.cost)),
    ]
    if found.tax:
        lines.append((words.say("Tax on or in that"), words.money(found.tax)))
    if found.hour is not None:
        lines.append((words.say("An hour of the work in them earns, if all are sold"), words.money(found.hour)))
    return tuple(lines)


def _rung(rung: Any, words: Words) -> RungRow:
    low, middle, high = (words.money(one) for one in (rung.low, rung.middle, rung.high))
    prices = low if low == high else words.say("%(low)s to %(high)s, the middle one %(middle)s", low=low, high=high, middle=middle)
    return RungRow(words.say(SIZES[rung.size]), rung.count, prices)


def _slip(larger: str, smaller: str, table: FairTable, words: Words) -> str:
    by_number = {str(rug.card.number): rug for rug in table.rugs}
    one, other = by_number[larger], by_number[smaller]
    return words.say(
        "%(larger)s (No. %(one)s) is larger than %(smaller)s (No. %(other)s), and cheaper.",
        larger=one.card.name, one=larger, smaller=other.card.name, other=smaller,
    )  # fmt: skip


def _even(table: FairTable, words: Words) -> tuple[tuple[str, str], ...]:
    even, lines = table.even, [(words.say("The fair costs"), words.money(table.even.to_bear))]
    if even.takings is None:
        lines.append((words.say("To bear that"), words.say("what is chosen leaves nothing towards it at these prices")))
    else:
        lines.append((words.say("Takings that bear it"), words.money(even.takings)))
        if even.average is not None:
            lines.append((words.say("Rugs of a fair mix that bear it"), str(even.average)))
        if even.dearest_first is not None and even.cheapest_first is not None:
            lines.append((words.say("At best, and at worst"), f"{even.dearest_first} – {even.cheapest_first}"))
        if table.bring is not None:
            lines.append((words.say("Bring, so that as many are sold"), str(table.bring)))
    lines.append((words.say("If all of it is sold, over all costs"), words.money(even.all_sold)))
    with_wage = table.even_with_wage
    if with_wage.takings is not None and with_wage.to_bear != even.to_bear:
        lines.append((words.say("Takings that pay your hours there too"), words.money(with_wage.takings)))
    if table.fair.stall:
        lines.append((words.say("Ten times the stall, as they say a fair should bring"), words.money(table.ten_times)))
    return tuple(lines)


def _may(table: FairTable, words: Words) -> tuple[tuple[str, str], ...]:
    found = table.profit
    if found is None:
        return ()
    return (
        (words.say("Rugs sold, on average"), words.number(table.sells, 1)),
        (words.say("Chance to lose nothing"), words.percent(found.even, 0)),
        (words.say("Profit, in the middle"), words.money(found.middle)),
        (
            words.say("8 of 10 such fairs between"),
            words.say("%(low)s and %(high)s", low=words.money(found.low), high=words.money(found.high)),
        ),
    )


def _picture(found: ProfitRange, words: Words) -> Chart:
    def whole(amount: Money) -> str:
        return words.money(amount)

    values = [
        (
            bar.chance,
            bar.least.minor < 0,
            words.say("%(low)s to %(high)s", low=whole(bar.least), high=whole(bar.below)),
            words.percent(bar.chance, 1),
        )
        for bar in found.bars
    ]
    told = words.say(
        "Chances of the profit, from %(low)s to %(high)s; most likely around %(middle)s.",
        low=whole(found.bars[0].least), high=whole(found.bars[-1].below), middle=whole(found.middle),
    )  # fmt: skip
    return chart_of(values, first=whole(found.bars[0].least), last=whole(found.bars[-1].below), told=told, rising=True)
