"""A rug reckoned from end to end: laws that hold for every rug, and the ends of what can be asked."""

import json
import math
from dataclasses import fields
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.core.described import plan_of
from shop.core.errors import CannotMake, NotPossible, Refusal
from shop.core.explain import explain
from shop.core.hours import STEPS
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.reckon import reckon
from shop.core.sheet import sheet
from shop.core.spread import Estimate
from tests.core.a_rug import LOOMS, a_plan, a_reckoning, attempted, described
from tests.core.any_rug import documents

SLOW = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])


def estimates_of(found):
    """Every estimate within a reckoning, by where it stands."""
    for field in fields(found):
        value = getattr(found, field.name)
        if isinstance(value, Estimate):
            yield field.name, value
    yield from ((f"minutes.{step}", minutes) for step, minutes in found.minutes.items())
    for use in found.cloths:
        yield from ((f"cloth.{f.name}", getattr(use, f.name)) for f in fields(use) if isinstance(getattr(use, f.name), Estimate))


@SLOW
@given(documents())
def test_any_rug_that_can_be_planned_is_reckoned_or_refused(document):
    found, problems = attempted(lambda: reckon(plan_of(document)))
    if problems:
        return
    for name, estimate in estimates_of(found):
        assert 0 <= estimate.low <= estimate.middle <= estimate.high < math.inf, name
    assert found.hourly_low <= found.hourly <= found.hourly_high
    assert sum(band.rows for band in found.bands) == sum(use.rows for use in found.cloths) == found.rows.middle
    assert found.minutes_total.middle == pytest.approx(sum(found.minutes[step].middle for step in STEPS))
    assert found.cost_total.middle == pytest.approx(float(found.cost.total.amount))
    if not found.plan.price.below_floor and found.plan.price.by is not PriceBy.HAND:
        assert found.price.floor <= found.price.asking
    assert explain(found)
    json.dumps(sheet(found), allow_nan=False)


@SLOW
@given(documents())
def test_the_same_plan_always_gives_the_same_figures(document):
    try:
        one, other = (reckon(plan_of(json.loads(json.dumps(document)))) for _ in range(2))
    except Refusal:
        return
    assert one == other
    assert sheet(one) == sheet(other)


@given(st.integers(60, 40_000), st.sampled_from(["shaft", "plank"]), st.floats(0.5, 20))
def test_a_rug_twice_as_long_takes_twice_the_rows_within_one(length_mm, kind, packing):
    one, two = (
        a_reckoning(LOOMS[kind], rug={"width": "20 in", "length": f"{length_mm * times} mm"}, weft={"packing": packing})
        for times in (1, 2)
    )
    assert abs(two.rows.middle - 2 * one.rows.middle) <= 1


@given(st.integers(60, 2000), st.sampled_from(["none", "overlap"]))
def test_a_rug_twice_as_wide_takes_twice_the_weft(width_mm, joins):
    one, two = (
        a_reckoning(
            rug={"width": f"{width_mm * times} mm", "length": "60 in"},
            loom={"width": "5 m"},
            weft={"joins": joins, "rows_per_inch": 7},
        )
        for times in (1, 2)
    )
    assert two.rows == one.rows
    assert two.cloths[0].woven_in.middle == pytest.approx(2 * one.cloths[0].woven_in.middle)
    loss_m = one.plan.join_loss.metres
    assert two.weft.middle == pytest.approx(2 * one.weft.middle, abs=2 * loss_m + 1e-9)


@given(st.lists(st.floats(0.1, 10), min_size=1, max_size=6), st.integers(1, 4))
def test_cloths_share_the_rows_out_as_they_pack(shares, repeats):
    cloths = [
        {"paid": "5.00", "width": "81 in", "length": "96 in", "share": share, "cloth_weight": f"{90 + 50 * place} g/m2"}
        for place, share in enumerate(shares)
    ]
    found = a_reckoning(cloth=cloths, weft={"repeats": repeats})
    parts = [use.share / use.pitch.middle for use in found.cloths]
    for use, part in zip(found.cloths, parts, strict=True):
        exact = found.rows.middle * part / sum(parts)
        assert math.floor(exact - 1e-6) <= use.rows <= math.ceil(exact + 1e-6)
    assert sum(use.share for use in found.cloths) == pytest.approx(1)


def test_rows_counted_by_the_weaver_are_used_always_and_leave_no_doubt_of_them():
    found = a_reckoning(weft={"rows_per_inch": 8, "packing": 2.0}, loom={"relaxation": 0})
    assert found.rows.middle == 576
    assert found.rows.is_sure


def test_cloth_is_bought_for_nine_rugs_of_ten():
    found = a_reckoning(cloth={"pieces": 4}).cloths[0]
    assert found.to_cut.low < found.in_hand_m < found.to_cut.high
    assert not found.reaches
    assert found.short_m == pytest.approx(found.to_cut.high - found.in_hand_m)
    plenty = a_reckoning(cloth={"pieces": 40}).cloths[0]
    assert plenty.reaches
    assert plenty.short_m == 0


def test_rugs_that_share_a_warp_share_its_waste_and_its_dressing():
    one, three = (a_reckoning(rug={"width": "30 in", "length": "60 in", "rugs_on_warp": rugs}) for rugs in (1, 3))
    assert three.warp_g.middle < one.warp_g.middle
    assert three.minutes["warp"].middle == pytest.approx(one.minutes["warp"].middle / 3)
    assert three.weft == one.weft


def test_the_better_a_loom_is_known_the_closer_the_ends():
    guess, known = (
        a_reckoning(weft={"packing": 2.6, "take_up": 1.12} if measured else {}, measured=measured)
        for measured in ([], ["weft.packing", "weft.take_up"])
    )
    assert known.weft.high - known.weft.low < guess.weft.high - guess.weft.low
    assert known.hourly_high.minor - known.hourly_low.minor < guess.hourly_high.minor - guess.hourly_low.minor


def test_the_wage_wanted_is_earned_at_the_cost_price():
    found = a_reckoning(price={"markup": 0}, rates={"wage": "21.00", "overhead_per_hour": "4.00"})
    assert found.price.asking == found.cost.total
    assert abs(found.hourly.minor - 2100) <= 1


def test_a_warp_of_rags_is_paid_for_out_of_the_same_cloth():
    found = a_reckoning(LOOMS["frame"])
    (use,) = found.cloths
    bought = float(use.cost.amount + use.warp_cost.amount)
    by_the_metre = 6.0 / use.cut.total.metres
    assert bought == pytest.approx(use.to_cut.middle * by_the_metre, abs=0.011)
    assert found.cost.warp == use.warp_cost


def codes(found):
    return {problem.code for problem in found.warnings}


def test_what_the_weaver_should_know():
    assert "warn.panels" in codes(a_reckoning(rug={"width": "60 in", "length": "60 in"}))
    assert "warn.pack" in codes(a_reckoning(weft={"strip": "1 in", "cloth_weight": "400 g/m2"}))
    assert "warn.pack" not in codes(a_reckoning(weft={"strip": "1 in", "cloth_weight": "400 g/m2"}, loom={"sett": "6/in"}))
    assert "warn.size" in codes(a_reckoning(LOOMS["frame"], rug={"width": "20.4 in"}))
    assert "warn.short" in codes(a_reckoning(cloth={"pieces": 1}))
    assert "warn.raised" in codes(a_reckoning(price={"discount": 1}))
    assert "warn.below_floor" in codes(a_reckoning(price={"asking": "1.00"}))
    assert codes(a_reckoning()) == set()


@pytest.mark.parametrize(
    ("base", "tables", "code"),
    [
        ("frame", {"rug": {"length": "60 in"}}, "loom.length"),
        ("shaft", {"cloth": {"width": "1/2 in"}}, "cloth.small"),
        ("shaft", {"cloth": {"tears": False}, "weft": {"tool": "tear"}}, "cloth.no_tear"),
        ("shaft", {"weft": {"tool": "tear", "way": "zigzag"}}, "tear.way"),
        ("shaft", {"weft": {"joins": "96 in"}}, "join.long"),
        ("shaft", {"weft": {"way": "zigzag", "strip": "3 in"}, "cloth": {"width": "14 in", "length": "1 in"}}, "cloth.small"),
        ("shaft", {"hours": dict.fromkeys(STEPS, 0)}, "hourly.no_hours"),
        ("shaft", {"hours": {**dict.fromkeys(STEPS, 0), "office": f"0.{'0' * 35}1"}}, "money.large"),
        ("shaft", {"rates": {"wage": 10**12}, "hours": {"weave": 100_000}}, "money.large"),
        ("plank", {"rug": {"width": "1 in"}}, "rug.small"),
    ],
)
def test_figures_that_contradict_one_another_are_refused(base, tables, code):
    with pytest.raises((NotPossible, CannotMake)) as refusal:
        a_reckoning(LOOMS[base], **tables)
    assert [problem.code for problem in refusal.value.problems] == [code]


def test_tiny_strips_in_a_huge_rug():
    found = a_reckoning(
        rug={"width": "20 m", "length": "100 m"},
        loom={"width": "20 m"},
        weft={"strip": "1/8 in", "cloth_weight": "10 g/m2", "packing": "0.2", "take_up": 10, "joins": "none"},
    )
    assert found.rows.middle > 1_000_000
    assert found.weft.middle > 1e8


def test_cloth_that_cost_nothing_and_work_that_earns_nothing():
    found = a_reckoning(cloth={"paid": 0}, rates={"wage": 0, "overhead_per_hour": 0}, loom={"yarn_price": "0/lb"})
    assert found.cost.total == Money(0, "USD")
    assert found.price.asking == Money(0, "USD")
    assert found.hourly == Money(0, "USD")


def test_wide_doubt_keeps_the_hour_a_number():
    hours = {"wash": 0, "warp": 0, "weave": 0, "finish": 0, "office": 0}
    found = a_reckoning(weft={"waste": 0.5}, hours=hours)
    assert found.hourly_low < found.hourly < found.hourly_high


def test_joins_lose_what_they_lose():
    sheet_m = 96 * 0.0254
    one = a_reckoning(weft={"joins": "none"}).cloths[0]
    two = a_reckoning(weft={"joins": "slit"}).cloths[0]
    assert one.weft == one.woven_in
    assert two.weft.middle == pytest.approx(two.woven_in.middle + two.joins * 2 * 0.0254)
    reached = (two.joins + 1) * sheet_m - two.joins * 2 * 0.0254
    assert reached >= two.woven_in.middle > reached - (sheet_m - 2 * 0.0254)


def test_panels_weave_the_whole_width():
    wide = a_reckoning(rug={"width": "75 in", "length": "60 in"}, loom={"draw_in": 0, "width": "25 in"})
    assert wide.made.panels == 3
    assert wide.warp.pieces == 3
    assert wide.cloths[0].woven_in.middle == pytest.approx(float(wide.rows.middle * Fraction(75 * 254, 10_000)) * 1.12)


@pytest.mark.parametrize("currency", ["JPY", "KWD", "CLF", "SEK"])
def test_a_currency_with_other_decimals(currency):
    document = described(shop={"currency": currency})
    del document["cloth"]["paid"], document["loom"]["yarn_price"]
    found = reckon(plan_of(document))
    assert found.price.asking.currency == currency
    assert found.cost.total.minor == sum(
        line.minor for line in (found.cost.cloth, found.cost.warp, found.cost.labour, found.cost.overhead)
    )


def test_an_amount_finer_than_the_currency_is_refused_at_its_place():
    with pytest.raises(Refusal) as refusal:
        a_plan(shop={"currency": "JPY"}, cloth={"paid": "6.50"})
    assert {(problem.code, problem.where) for problem in refusal.value.problems} == {("money.finer", "cloth.paid")}
