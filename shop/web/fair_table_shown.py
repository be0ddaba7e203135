"""A fair's table as it is shown: its rugs, their sums, what it must and may bring, and where prices do not climb."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.batch import LikeSales
from shop.core.ladder import Rung, Size
from shop.core.measure import SQUARE_METRES_PER_SQUARE_FOOT
from shop.core.profit_range import ProfitRange
from shop.usecases.fair_table import FairTable, TableRug
from shop.web.chart import Chart, Value, chart_of
from shop.words import Words, mark

SIZES: Final = {Size.SMALL: mark("Small"), Size.MIDDLE: mark("Middle"), Size.LARGE: mark("Large")}
NONE: Final = "–"


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


def _per_area(rate: Decimal, words: Words) -> str:
    """An amount for a square metre, as she says it."""
    if words.units == "imperial":
        rate *= Decimal(str(SQUARE_METRES_PER_SQUARE_FOOT))
    return words.unit_cost(rate, words.currency)


def rug_row(rug: TableRug, texts: Mapping[int, str] | None, wrong: Mapping[int, tuple[str, ...]], words: Words) -> RugRow:
    """A rug of the table, in words; ``texts`` are prices as they were typed, ``wrong`` what is wrong with them."""
    card, one, likes = rug.card, rug.priced, rug.priced.likes
    typed = (texts or {}).get(card.number)
    if typed is None:
        typed = words.typed_money(one.asking) if rug.by_hand and (texts is None or card.number not in texts) else ""
    return RugRow(
        number=card.number,
        address=f"/rugs/{card.number}",
        name=card.name,
        size=words.size(card.size),
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
        likes=_likes(likes, words),
        hour=words.money(one.hour) if one.hour is not None else NONE,
        leaves=words.money(rug.leaves.contribution),
        loses=rug.leaves.contribution.minor < 0,
        chance=words.percent(rug.chance.chance, 0),
    )


def _likes(likes: LikeSales | None, words: Words) -> str:
    """What rugs about that size went for; a middle one is told where there are three or more."""
    if likes is None:
        return ""
    low, high = _per_area(likes.low, words), _per_area(likes.high, words)
    if likes.count == 1:
        return words.say("%(price)s for one like it", price=low)
    if likes.count == 2:
        return words.say("%(low)s and %(high)s for two like it", low=low, high=high)
    middle = _per_area(likes.middle, words)
    return words.say("%(middle)s for %(count)s like it (%(low)s to %(high)s)", middle=middle, count=likes.count, low=low, high=high)


def sums_of(table: FairTable, words: Words) -> tuple[tuple[str, str], ...]:
    """What the rugs chosen come to."""
    found = table.sum
    lines: list[tuple[str, str]] = [
        (words.say("Rugs"), str(found.count)),
        (words.say("Asked for all of them, as the tags say"), words.money(found.asking)),
        (words.say("They cost, your wage and overhead with it"), words.money(found.cost)),
    ]
    if found.tax:
        lines.append((words.say("Tax on or in that"), words.money(found.tax)))
    if found.hour is not None:
        lines.append((words.say("An hour of the work in them earns, if all are sold"), words.money(found.hour)))
    return tuple(lines)


def rung_row(rung: Rung, words: Words) -> RungRow:
    """A rung of the ladder, in words."""
    low, middle, high = (words.money(one) for one in (rung.low, rung.middle, rung.high))
    prices = low if low == high else words.say("%(low)s to %(high)s", low=low, high=high)
    if rung.count > 2 and low != high:
        prices = words.say("%(low)s to %(high)s, the middle one %(middle)s", low=low, high=high, middle=middle)
    return RungRow(words.say(SIZES[rung.size]), rung.count, prices)


def slip_told(larger: str, smaller: str, table: FairTable, words: Words) -> str:
    """Where prices do not climb, in a sentence."""
    by_number = {str(rug.card.number): rug for rug in table.rugs}
    one, other = by_number[larger], by_number[smaller]
    return words.say(
        "%(larger)s (No. %(one)s) is larger than %(smaller)s (No. %(other)s), and cheaper.",
        larger=one.card.name, one=larger, smaller=other.card.name, other=smaller,
    )  # fmt: skip


def must_bring(table: FairTable, words: Words) -> tuple[tuple[str, str], ...]:
    """What the table must bring, line by line."""
    even, lines = table.even, [(words.say("The fair costs"), words.money(table.even.to_bear))]
    if even.takings is None:
        lines.append((words.say("At these prices nothing is left towards it"), NONE))
    else:
        lines.append((words.say("Takings that bear it, tax with them"), words.money(even.takings)))
        if even.average is not None:
            lines.append((words.say("Rugs of a fair mix that bear it"), str(even.average)))
        if even.dearest_first is not None and even.cheapest_first is not None:
            lines.append((words.say("At best, and at worst"), f"{even.dearest_first} – {even.cheapest_first}"))
        if table.bring is not None:
            lines.append((words.say("Bring, so that as many are sold"), str(table.bring)))
    lines.append((words.say("If all of it is sold, over all costs"), words.money(even.all_sold)))
    with_wage = table.even_with_wage
    if with_wage.takings is not None and with_wage.to_bear != even.to_bear:
        lines.append((words.say("Takings that pay your hours there too, tax with them"), words.money(with_wage.takings)))
    if table.fair.stall:
        lines.append((words.say("Ten times the stall, as they say a fair should bring"), words.money(table.ten_times)))
    return tuple(lines)


def may_bring(table: FairTable, words: Words) -> tuple[tuple[str, str], ...]:
    """What it may bring, line by line."""
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


def picture_of(found: ProfitRange, words: Words) -> Chart:
    """The chances of its profit, as a picture."""
    values = [
        Value(
            bar.chance,
            words.say("%(low)s to %(high)s", low=words.money(bar.least), high=words.money(bar.below)),
            words.percent(bar.chance, 1),
            loss=bar.least.minor < 0,
        )
        for bar in found.bars
    ]
    told = words.say(
        "Chances of the profit, from %(low)s to %(high)s; most likely around %(middle)s.",
        low=words.money(found.bars[0].least), high=words.money(found.bars[-1].below), middle=words.money(found.middle),
    )  # fmt: skip
    return chart_of(values, first=words.money(found.bars[0].least), last=words.money(found.bars[-1].below), told=told, rising=True)
