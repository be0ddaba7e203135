"""Frame looms with pegs and rag warp: figures of common practice, which have no published source."""

import pytest

from shop.core.loom import FrameLoom, Size, fit
from shop.core.measure import Length
from shop.core.spread import sure
from shop.core.warp import frame_warp, share_left
from shop.core.weft import PACKING_RAG_WARP, pitch_mm, solid_section_mm2
from tests.core.a_rug import FRAME, a_reckoning


def inches(value):
    return Length.of(value, "in")


def test_fifty_passes_and_their_warp():
    """25 pegs each end an inch apart, 37 1/2 in peg to peg: 50 passes, 1,945 in of warp."""
    loom = FrameLoom(pegs=25, spacing=inches(1), length=inches("37.5"), turn=inches(1), tail=inches(10))
    made = fit(loom, Size(inches(25), inches("37.5")))
    warp = frame_warp(loom, made)
    assert warp.passes == 50
    assert warp.length == inches(1945)


def test_two_rows_to_the_inch_and_twice_rows_by_width_of_weft():
    """Two rows to the inch in 37 1/2 in: 75 rows; 75 x 25 in, twice: 3,750 in of weft."""
    found = a_reckoning(FRAME, weft={"rows_per_inch": 2, "take_up": 2, "joins": "none"})
    assert found.rows.middle == 75
    assert found.weft.middle / 0.0254 == pytest.approx(3750)


def test_two_inch_strips_of_sheeting_beat_down_to_half_an_inch():
    """115 g/m2 cotton sheeting in 2 in strips on a rag warp: two rows to the inch."""
    section = solid_section_mm2(50.8, 115, 1.54)
    assert pitch_mm(sure(PACKING_RAG_WARP), section).middle / 25.4 == pytest.approx(0.5, rel=0.02)
    assert a_reckoning(FRAME).rows.middle == pytest.approx(75, abs=2)


def test_corduroy_fills_more_of_the_rug_in_a_row():
    """Corduroy of the same width packs less than sheeting: fewer rows."""
    sheeting, corduroy = (a_reckoning(FRAME, weft={"cloth_weight": weight}) for weight in ("115 g/m2", "340 g/m2"))
    assert corduroy.rows.middle < 0.7 * sheeting.rows.middle


def test_nails_an_inch_apart_in_a_frame_of_27_by_39():
    """Nails 1 in apart, 26 an end in a 27 by 39 in frame: the rug has the width of its pegs."""
    loom = FrameLoom(pegs=26, spacing=inches(1), length=inches(39))
    assert fit(loom, Size(inches(26), inches(39))).pegs == 26
    assert loom.widest < inches(27)


def test_divide_never_add():
    """Conference of Northern California Handweavers, on shrinkage: for 10 left after losing a fifth, weave 12.5."""
    assert 10 / share_left(0.2, "loom.relaxation") == pytest.approx(12.5)
