"""The minutes of each step."""

import pytest

from shop.core.hours import PACES, STEPS, Pace, Work, minutes_by_step, pace_guess
from shop.core.spread import doubtful, sure
from shop.core.strips import Tool

PACE = Pace(
    wash_per_kg=10, cut_tear_per_m=0.1, cut_rotary_per_m=0.2, cut_scissors_per_m=0.4, warp_set_up=30,
    warp_per_pass=1, warp_per_end=2, weave_per_row=0.5, weave_per_row_m=2, band_change=3,
    finish_set_up=10, finish_per_edge=20, seam_per_m=15, office=40,
)  # fmt: skip


def some_work(**changed):
    given = {
        "cloth_kg": sure(2), "strip_m": sure(100), "tool": Tool.TEAR, "warps": 1, "passes": 0, "ends": 100,
        "rugs_on_warp": 2, "rows": sure(200), "panels": 1, "row_m": 0.75, "band_changes": 4, "length_m": 1.5,
        "minutes_per_row": sure(1),
    }  # fmt: skip
    return Work(**(given | changed))


def middles(work, given=None):
    return {step: minutes.middle for step, minutes in minutes_by_step(PACE, work, given or {}).items()}


def test_each_step_by_its_own_pace():
    assert middles(some_work()) == pytest.approx(
        {"wash": 20, "cut": 10, "warp": (30 + 200) / 2, "weave": 200 * 2 + 4 * 3, "finish": 10 + 40, "office": 40}
    )


def test_panels_are_woven_one_by_one_and_seamed():
    found = middles(some_work(panels=3))
    assert found["weave"] == pytest.approx(3 * 200 * 2 + 3 * 4 * 3)
    assert found["finish"] == pytest.approx(10 + 6 * 20 + 2 * 1.5 * 15)


@pytest.mark.parametrize(("tool", "minutes"), [(Tool.TEAR, 10), (Tool.ROTARY, 20), (Tool.SCISSORS, 40)])
def test_every_tool_has_its_pace(tool, minutes):
    assert middles(some_work(tool=tool))["cut"] == pytest.approx(minutes)


def test_a_step_given_is_known_and_the_others_stay_in_doubt():
    work = some_work(rows=doubtful(200, "weft.packing", 0.2), strip_m=doubtful(100, "weft.packing", 0.2))
    found = minutes_by_step(PACE, work, {"weave": 90.0})
    assert found["weave"] == sure(90.0)
    assert not found["cut"].is_sure


def test_a_given_step_of_no_minutes_takes_none():
    assert middles(some_work(), dict.fromkeys(STEPS, 0.0)) == dict.fromkeys(STEPS, 0)


def test_every_kind_of_loom_has_its_guesses_and_every_pace_a_name():
    for kind in ("frame", "shaft", "plank"):
        assert all(getattr(pace_guess(kind), name) > 0 for name in PACES)
    assert pace_guess("shaft").weave_per_row_m < pace_guess("frame").weave_per_row_m


def test_rows_an_hour_as_the_guesses_say():
    shaft, frame = pace_guess("shaft"), pace_guess("frame")
    assert 60 / (shaft.weave_per_row + shaft.weave_per_row_m * 0.9144) == pytest.approx(141.5, abs=0.5)
    assert 60 / (frame.weave_per_row + frame.weave_per_row_m * 0.635) == pytest.approx(38.2, abs=0.5)
