"""What a woven rug tells: each record put back into the arithmetic gives the rug that was seen."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.described import plan_of
from shop.core.evidence import Grade, What
from shop.core.reckon import reckon
from shop.core.spread import Estimate
from shop.core.woven import Drawn, Woven, as_planned, records_of

DAY = date(2026, 3, 17)
FRAME = {"rug": {"width": "25 in", "length": "37 1/2 in"}, "cloth": [{"paid": "4.00", "width": "81 in", "length": "150 in"}]}
SHAFT = {"loom": {"kind": "shaft"}, "rug": {"width": "30 in", "length": "48 in"}, "cloth": FRAME["cloth"]}
PLANK = {"loom": {"kind": "plank", "pegs": 20}, "rug": {"width": "30 in", "length": "48 in"}, "cloth": FRAME["cloth"]}


def woven(document, state="ready", **happened):
    """A rug woven just as it was planned, but for what is said; gives its records by number, and the reckoning."""
    found = reckon(plan_of(document))
    plan = as_planned(found, (7,))
    use, made = found.cloths[0], found.made
    as_it_was = {
        "rows": plan.rows,
        "drawn": (Drawn(piece=7, kind="sheeting", width=use.cloth.width, length=use.cloth.length, share=use.pieces.middle),),
        "minutes": {step: each.middle for step, each in found.minutes.items()},
        "width": made.size.width.metres,
        "length": made.size.length.metres,
        "grams": found.weight.middle,
    }
    happened = {**as_it_was, **happened}
    records = records_of(Woven(source="job 1", on="1", day=DAY, state=state, **happened), plan)
    return {one.what: one for one in records}, found


@pytest.mark.parametrize("document", [FRAME, SHAFT, PLANK], ids=["frame", "shaft", "plank"])
def test_a_rug_just_as_it_was_planned_tells_the_numbers_that_it_was_planned_with(document):
    records, found = woven(document)
    plan = found.plan
    assert {one.grade for one in records.values()} == {Grade.WHOLE}
    # Rows are whole ones, so that the last may reach beyond the rug.
    assert records[What.PACKING].value == pytest.approx(plan.packing, rel=2 / found.rows.middle)
    assert records[What.TAKE_UP].value == pytest.approx(plan.take_up, rel=1e-6)
    assert records[What.WASTE].value == pytest.approx(plan.waste, abs=1e-6)
    row = plan.pace.weave_per_row + plan.pace.weave_per_row_m * found.made.panel_width.metres
    assert records[What.ROW].value == pytest.approx(row, rel=1e-6)
    assert records[What.CUT].value == pytest.approx(plan.pace.cut_per_m(plan.tool), rel=1e-6)
    assert records[What.CUT].on == plan.tool.value
    assert records[What.FINISH].value == pytest.approx(found.minutes["finish"].middle)
    threads = records[What.WARP].size
    each = plan.pace.warp_per_pass if plan.loom.kind == "frame" else plan.pace.warp_per_end
    assert records[What.WARP].value == pytest.approx(plan.pace.warp_set_up + each * threads, rel=1e-6)
    if plan.loom.kind == "shaft":
        assert records[What.DRAW_IN].value == pytest.approx(plan.loom.draw_in, abs=1e-6)


@given(st.floats(0.7, 1.5), st.floats(0.7, 1.5))
def test_a_longer_rug_packs_less_tightly_and_a_heavier_one_takes_up_more(longer, slower):
    base, found = woven(FRAME)
    records, _ = woven(
        FRAME,
        length=found.made.size.length.metres * longer,
        minutes={step: each.middle * slower for step, each in found.minutes.items()},
    )
    assert records[What.PACKING].value == pytest.approx(base[What.PACKING].value * longer)
    assert records[What.FINISH].value == pytest.approx(base[What.FINISH].value * slower)
    heavier, _ = woven(FRAME, grams=found.weight.middle * 1.2)
    assert heavier[What.TAKE_UP].value > base[What.TAKE_UP].value
    assert heavier[What.WASTE].value < base[What.WASTE].value


def test_a_rug_that_was_not_weighed_tells_take_up_alone_and_counts_half():
    records, found = woven(FRAME, grams=None)
    assert What.WASTE not in records
    assert records[What.TAKE_UP].grade is Grade.PARTIAL
    assert records[What.TAKE_UP].value == pytest.approx(found.plan.take_up, rel=1e-6)


@pytest.mark.parametrize(
    ("state", "told"),
    [
        ("waiting", set()),
        ("cutting", set()),
        ("warping", {What.CUT}),
        ("weaving", {What.CUT, What.WARP, What.ROW}),
        ("finishing", {What.CUT, What.WARP, What.ROW, What.PACKING, What.TAKE_UP, What.WASTE}),
        ("ready", {What.CUT, What.WARP, What.ROW, What.PACKING, What.TAKE_UP, What.WASTE, What.FINISH}),
    ],
)
def test_a_step_tells_something_when_it_is_over(state, told):
    records, _ = woven(FRAME, state)
    assert set(records) == told


def test_what_cannot_be_is_left_out():
    records, _ = woven(FRAME, grams=1.0, minutes={"weave": 0.5, "finish": 0.0}, rows=10_000)
    assert What.TAKE_UP not in records
    assert What.FINISH not in records
    assert all(one.value > 0 or one.what.is_share for one in records.values())


def test_rugs_that_share_a_warp_do_not_say_what_a_warp_takes():
    records, _ = woven({**SHAFT, "rug": {**SHAFT["rug"], "rugs_on_warp": 3}})
    assert What.WARP not in records


def test_a_described_doubt_is_reckoned_with_in_the_place_of_the_usual_one():
    doubt = [
        {"of": "weft.packing", "spread": 0.03, "rug": 0.04, "rugs": 9},
        {"of": "hours.pace.warp", "spread": 0.05, "rug": 0.06, "day": 0.02},
        {"of": "weft.waste", "spread": 0.01, "rug": 0.02},
    ]
    usual, found = reckon(plan_of(SHAFT)), reckon(plan_of({**SHAFT, "doubt": doubt}))
    assert found.pitch.doubts == (("weft.packing", 0.03), ("weft.packing.rug", 0.04))
    assert found.minutes["warp"].doubts == (("hours.pace.rug", 0.02), ("hours.pace.warp", 0.05), ("hours.pace.warp.rug", 0.06))
    assert usual.minutes["warp"] == Estimate(found.minutes["warp"].middle)
    assert found.minutes["finish"] == usual.minutes["finish"]
    assert dict(found.cloths[0].to_cut.doubts)["weft.waste"] == 0.01
    assert found.cost == usual.cost
    assert replace(found.plan, own=()) == usual.plan
