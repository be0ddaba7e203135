"""Rows: how far each packs, how many there are, and what strip they take."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.loom import FrameLoom, PlankLoom, Sett, ShaftLoom
from shop.core.measure import Length
from shop.core.spread import doubtful, sure
from shop.core.weft import packing_guess, pitch_mm, rows_in, solid_section_mm2, take_up_guess, weft_m


def a_shaft_loom(ends):
    return ShaftLoom(sett=Sett(Decimal(ends), "in"))


def test_the_solid_section_of_a_strip():
    assert solid_section_mm2(50.8, 115, 1.54) == pytest.approx(50.8 * 115 / 1540)


@pytest.mark.parametrize(("ends", "packing"), [(4, 1.6), (6, 1.6), (9, 2.1), (12, 2.6), (20, 2.6)])
def test_an_open_warp_lets_the_weft_pack(ends, packing):
    assert packing_guess(a_shaft_loom(ends)) == pytest.approx(packing)


def test_a_rag_warp_holds_the_rows_apart():
    assert packing_guess(FrameLoom()) == 6.5
    assert packing_guess(PlankLoom(spacing=Length.of(1, "in"))) == pytest.approx(1.6)
    assert take_up_guess(FrameLoom()) > 1.5 > take_up_guess(ShaftLoom()) == take_up_guess(PlankLoom())


@given(st.floats(1, 200), st.floats(10, 2000), st.floats(0.9, 1.6))
def test_four_times_the_cloth_in_a_strip_takes_twice_the_room(strip, grams, density):
    one, four = (pitch_mm(sure(2.6), solid_section_mm2(strip * times, grams, density)).middle for times in (1, 4))
    assert four == pytest.approx(2 * one)


@given(st.integers(1, 100_000), st.floats(0.05, 300))
def test_a_rug_twice_as_long_takes_twice_the_rows_within_one(woven_mm, pitch):
    one, two = (rows_in(float(woven_mm * times), sure(pitch)).middle for times in (1, 2))
    assert 2 * one - 1 <= two <= 2 * one


def test_rows_fall_where_the_pitch_rises():
    rows = rows_in(1000.0, doubtful(12.7, "weft.packing", 0.2))
    assert rows.middle == 79
    assert rows.doubts == (("weft.packing", -0.2),)


def test_weft_is_rows_by_width_by_take_up():
    weft = weft_m(sure(75), 0.635, doubtful(2.0, "weft.take_up", 0.1))
    assert weft.middle == pytest.approx(95.25)
    assert weft.sigma == pytest.approx(0.1)
