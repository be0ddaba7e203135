"""The warp: passes, ends, length and weight."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import NotPossible, Unreadable
from shop.core.loom import FrameLoom, PlankLoom, Sett, ShaftLoom, Size, fit
from shop.core.measure import Length
from shop.core.warp import PricePerWeight, frame_warp, parse_yarn, plank_warp, shaft_warp, share_left


def inches(value):
    return Length.of(value, "in")


def a_size(width, length):
    return Size(inches(width), inches(length))


def test_a_frames_warp_is_one_strip():
    loom = FrameLoom(passes_per_peg=1, turn=inches(2), tail=inches(5))
    warp = frame_warp(loom, fit(loom, a_size(10, "37.5")))
    assert (warp.passes, warp.ends) == (10, 0)
    assert warp.length == inches(10 * (37.5 + 2) + 2 * 5)


def test_each_panel_of_a_frame_is_a_warp_of_its_own():
    loom = FrameLoom()
    one, two = (frame_warp(loom, fit(loom, a_size(width, "37.5"))) for width in (25, 50))
    assert two.length == one.length * 2


def test_a_shaft_looms_ends_are_counted_up_and_the_selvedges_added():
    loom = ShaftLoom(sett=Sett(Decimal(12), "in"), width=inches(40), draw_in=0.07, selvedge_ends=4)
    warp = shaft_warp(loom, fit(loom, a_size(30, 60)))
    assert warp.ends == 388 + 4  # 12 x 30 / 0.93 = 387.1
    assert warp.reed_width.inches == pytest.approx(30 / 0.93)


def test_doubling_the_rugs_repeats_take_up_and_hems_but_never_the_waste():
    loom = ShaftLoom()
    made = fit(loom, a_size(30, 60))
    one, two = shaft_warp(loom, made, 1), shaft_warp(loom, made, 2)
    assert (two.one - loom.waste).nm == pytest.approx(2 * (one.one - loom.waste).nm, abs=2)


def test_panels_lie_one_after_another_on_the_warp():
    loom = ShaftLoom(width=inches(40), draw_in=0)
    assert shaft_warp(loom, fit(loom, a_size(80, 60)), 3).pieces == 6


def test_a_planks_warp_is_doubled_through_each_peg():
    loom = PlankLoom(pegs=24, knot=inches(6))
    warp = plank_warp(loom, fit(loom, a_size(20, 30)))
    assert (warp.ends, warp.length) == (40, inches(40 * (30 + 12)))


@given(st.floats(0, 0.89))
def test_a_loss_is_divided_out_never_added(lost):
    started = 10 / share_left(lost, "loom.take_up")
    assert started - started * lost == pytest.approx(10)
    assert started > 10 * (1 + lost) or lost < 1e-6


@pytest.mark.parametrize("lost", [-0.01, 0.9, 1.0, float("nan")])
def test_a_loss_of_everything_is_refused_at_its_field(lost):
    with pytest.raises(NotPossible) as refusal:
        share_left(lost, "loom.draw_in")
    assert (refusal.value.problems[0].code, refusal.value.problems[0].where) == ("share.range", "loom.draw_in")


@pytest.mark.parametrize(
    ("text", "metres_per_kg"),
    [("2020 m/kg", 2020), ("385 tex", 1e6 / 385), ("1600 yd/lb", 1600 * 0.9144 / 0.45359237), (" 385 TEX ", 1e6 / 385)],
)
def test_a_yarn_is_named_by_its_run(text, metres_per_kg):
    assert parse_yarn(text).metres_per_kg == pytest.approx(metres_per_kg)


@pytest.mark.parametrize(
    "text", ["", "thick", "8/0", "0/4", "0 tex", "8 / four", "1 m/kg", "9999999 m/kg", "0,0001 tex", "8/4/2", "-8/4", "9" * 10_000]
)
def test_a_yarn_that_nobody_spins_is_refused(text):
    with pytest.raises(Unreadable):
        parse_yarn(text)


def test_yarn_by_weight():
    yarn = parse_yarn("2000 m/kg")
    assert yarn.grams(500) == pytest.approx(250)
    assert yarn.tex == pytest.approx(500)
    assert PricePerWeight(Decimal(30), "kg").per_gram() == Decimal("0.03")
    assert PricePerWeight(Decimal("453.59237"), "lb").per_gram() == 1
