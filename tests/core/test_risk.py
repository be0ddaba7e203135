"""The risk in a price, against draws and against itself; and a month of open quotes."""

import math
from dataclasses import replace

import numpy as np
import pytest

from shop.core.doubt import cost_parts
from shop.core.errors import NotPossible
from shop.core.money import Money
from shop.core.price import PriceBy, hourly
from shop.core.reckon import reckon
from shop.core.risk import OpenQuote, chance_of_less, month_of, price_at
from tests.core.a_rug import LOOMS, a_plan, a_reckoning

DRAWS = 40_000


def drawn(parts, seed=1902):
    """Each part as often as ``DRAWS``; parts that share a source move together."""
    chance = np.random.default_rng(seed)
    names = sorted({name for part in parts for name, _ in part.doubts})
    of = {name: chance.standard_normal(DRAWS) for name in names}
    return [part.middle * np.exp(sum(s * of[name] for name, s in part.doubts)) for part in parts]


def asked_at(plan, amount):
    """The rug at a price set by hand."""
    rule = replace(plan.price, by=PriceBy.HAND, set_price=Money.of(amount, plan.currency))
    return reckon(replace(plan, price=rule))


@pytest.mark.parametrize("loom", LOOMS)
@pytest.mark.parametrize("over", [0.8, 0.95, 1.0, 1.1, 1.3])
def test_the_chance_of_earning_less_is_what_draws_of_the_rug_say(loom, over):
    found = a_reckoning(LOOMS[loom])
    found = asked_at(found.plan, f"{float(found.price.cost.amount) * over:.2f}")
    cost = sum(drawn(cost_parts(found.plan, found.cost, found.cloths, found.minutes, found.minutes_total)))
    seen = np.mean(cost > float(found.price.net.amount))
    assert chance_of_less(found) == pytest.approx(seen, abs=0.02)


def test_what_the_hour_earns_is_the_wage_just_where_cost_and_price_meet():
    """At the middle of everything: the chance speaks of the same hour as the cost sheet."""
    found = a_reckoning()
    found = asked_at(found.plan, str(found.price.cost.amount))
    wage = hourly(found.price.net, found.cost, found.minutes_total.middle)
    assert float(wage.amount) == pytest.approx(float(found.plan.wage.amount), abs=0.01)
    assert chance_of_less(found) == pytest.approx(0.5, abs=0.06)


@pytest.mark.parametrize("loom", LOOMS)
@pytest.mark.parametrize("chance", [0.05, 0.1, 0.5])
@pytest.mark.parametrize(
    "price",
    [
        {},
        {"fee_percent": 0.03, "fee_fixed": "0.30", "tax_rate": 0.08},
        {"fee_percent": 0.1, "tax_rate": 0.25, "tax_included": True},
    ],
)
def test_at_the_price_for_a_chance_the_chance_is_that(loom, chance, price):
    plan = a_plan(LOOMS[loom], price=price)
    wanted = price_at(reckon(plan), chance)
    assert chance_of_less(asked_at(plan, str(wanted.amount))) == pytest.approx(chance, abs=0.002)


def test_a_higher_price_is_a_smaller_chance():
    plan = a_plan()
    chances = [chance_of_less(asked_at(plan, amount)) for amount in ("1", "40", "120", "200", "300", "900")]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] == pytest.approx(1)
    assert chances[-1] < 0.001
    assert price_at(reckon(plan), 0.1) > price_at(reckon(plan), 0.2)


def test_a_rug_about_which_all_is_known_earns_the_wage_or_does_not():
    steps = dict.fromkeys(("wash", "cut", "warp", "weave", "finish", "office"), 30)
    plan = a_plan(weft={"rows_per_inch": 6, "waste": 0, "take_up": 1.12}, hours=steps, cloth={"paid": "0"})
    cost = float(reckon(plan).price.cost.amount)
    assert chance_of_less(asked_at(plan, f"{cost + 1:.2f}")) == 0
    assert chance_of_less(asked_at(plan, f"{cost - 1:.2f}")) == 1
    assert float(price_at(reckon(plan)).amount) == pytest.approx(cost, abs=0.01)


@pytest.mark.parametrize("chance", [0, 1, -1, math.nan])
def test_a_chance_that_is_none_is_refused(chance):
    with pytest.raises(NotPossible, match=r"risk\.chance"):
        price_at(a_reckoning(), chance)


def a_month(likely):
    looms = [*LOOMS.values()] * 3
    return [OpenQuote(name=f"quote {at}", reckoning=a_reckoning(loom), likely=likely) for at, loom in enumerate(looms)]


def drawn_month(quotes, seed=5):
    """Hours, cloth and income of a month, drawn: each loom's own truth, each customer's yes."""
    chance = np.random.default_rng(seed)
    whole = np.zeros((3, DRAWS))
    for loom in LOOMS:
        mine = [one for one in quotes if one.reckoning.plan.loom.kind == loom]
        found = mine[0].reckoning
        cost = cost_parts(found.plan, found.cost, found.cloths, found.minutes, found.minutes_total)
        minutes, strip, *parts = drawn([found.minutes_total, found.cloths[0].to_cut, *cost], seed=int(chance.integers(10**6)))
        labour = minutes / 60 * float(found.plan.wage.amount)
        income = float(found.price.net.amount) - sum(parts) + labour
        taken = np.sum([chance.random(DRAWS) < one.likely for one in mine], axis=0)
        whole += taken * np.array([minutes / 60, strip * found.plan.strip.metres, income])
    return whole


@pytest.mark.parametrize(("likely", "within"), [(1.0, 0.03), (0.6, 0.06)])
def test_a_month_is_what_draws_of_it_say(likely, within):
    """Where customers may say no, a month of nine quotes comes in steps, and the band of eight of ten holds a little less."""
    quotes = a_month(likely)
    month = month_of(quotes)
    for said, seen in zip((month.hours, month.cloth, month.income), drawn_month(quotes), strict=True):
        low, middle, high = np.quantile(seen, [0.1, 0.5, 0.9])
        assert (said.low, said.middle, said.high) == pytest.approx((low, middle, high), abs=within * abs(middle))
        between = np.mean((seen > said.low) & (seen < said.high))
        assert between == pytest.approx(0.8, abs=0.04)


def test_a_month_of_one_quote_is_that_quote_and_of_none_is_nothing():
    found = a_reckoning()
    month = month_of([OpenQuote(name="one", reckoning=found)])
    assert month.hours.low == pytest.approx(found.minutes_total.low / 60, rel=0.01)
    assert month.hours.high == pytest.approx(found.minutes_total.high / 60, rel=0.01)
    assert (month.income.low, month.income.high) == pytest.approx(
        (float(found.hourly_low.amount) * found.minutes_total.middle / 60, float(found.hourly_high.amount) * found.minutes_total.middle / 60),
        rel=0.5,
    )  # fmt: skip
    nothing = month_of([])
    assert (nothing.hours.high, nothing.cloth.high, nothing.income.high) == (0, 0, 0)


def test_rugs_of_one_loom_share_what_is_not_known_of_it():
    """Two rugs on one loom are not as sure together as two on looms of their own."""
    plan = a_plan()
    other = replace(plan, loom=replace(plan.loom, name="another"))
    same = month_of([OpenQuote(name="a", reckoning=reckon(plan)), OpenQuote(name="b", reckoning=reckon(plan))])
    apart = month_of([OpenQuote(name="a", reckoning=reckon(plan)), OpenQuote(name="b", reckoning=reckon(other))])
    assert same.cloth.high - same.cloth.low > (apart.cloth.high - apart.cloth.low) * 1.2


def test_overhead_as_a_share_of_labour_is_borne_by_income_too():
    by_hour = a_reckoning(rates={"overhead_per_hour": "9.00", "wage": "18.00"})
    by_share = a_reckoning(rates={"overhead_percent": 0.5, "wage": "18.00"})
    one, other = (month_of([OpenQuote(name="a", reckoning=found)]).income for found in (by_hour, by_share))
    assert (one.low, one.high) == pytest.approx((other.low, other.high), rel=0.01)


@pytest.mark.parametrize(
    ("quotes", "code"),
    [
        (lambda found: [OpenQuote(name="a", reckoning=found)] * 2, "twice"),
        (lambda found: [OpenQuote(name="a", reckoning=found, likely=1.2)], "likely"),
    ],
)
def test_a_month_that_makes_no_sense_is_refused(quotes, code):
    with pytest.raises(NotPossible, match=rf"risk\.{code}"):
        month_of(quotes(a_reckoning()))
