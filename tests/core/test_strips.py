"""Strips out of a piece, and their joins."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.measure import Length
from shop.core.strips import FRAY, Join, Tool, Way, both_ways, join_loss, joins_in, strips_of

SIDES = st.integers(1, 5000).map(lambda n: Length.of(n, "mm"))
WIDTHS = st.integers(1, 200).map(lambda n: Length.of(n, "mm"))


def inches(value):
    return Length.of(value, "in")


def test_along_and_across():
    piece = both_ways(inches(66), inches(96), inches(2))
    assert (piece.along.count, piece.along.each, piece.along.joins) == (33, inches(96), 32)
    assert (piece.across.count, piece.across.each) == (48, inches(66))
    assert piece.fewer_joins is Way.ALONG


def test_the_way_that_wastes_less_gives_more():
    piece = both_ways(inches("10.9"), inches(20), inches(1))
    assert (piece.along.total, piece.across.total) == (inches(200), inches(218))
    assert piece.more is Way.ACROSS


def test_a_torn_strip_takes_its_fray_with_it():
    assert strips_of(inches(10), inches(20), inches(1), Way.ALONG, Tool.TEAR).count == 8
    assert inches("0.125") == FRAY


@pytest.mark.parametrize("way", [Way.ZIGZAG, Way.TUBE])
def test_cloth_tears_along_its_grain_only(way):
    with pytest.raises(NotPossible, match=r"tear\.way"):
        strips_of(inches(10), inches(20), inches(1), way, Tool.TEAR)


def test_a_strip_of_no_width_is_refused():
    with pytest.raises(NotPossible, match=r"strip\.none"):
        strips_of(inches(10), inches(20), Length(0), Way.ALONG)


@pytest.mark.parametrize("way", list(Way))
def test_a_piece_narrower_than_a_strip_gives_none(way):
    found = strips_of(inches("0.9"), inches("0.9"), inches(1), way)
    assert (found.count, found.total, found.joins) == (0, Length(0), 0)


@given(SIDES, SIDES, WIDTHS, st.sampled_from(Way))
def test_no_way_gives_more_strip_than_there_is_cloth(width, length, strip, way):
    found = strips_of(width, length, strip, way)
    assert found.total.nm * strip.nm <= width.nm * length.nm


@given(SIDES, SIDES, WIDTHS)
def test_along_one_way_is_across_the_other(width, length, strip):
    one, other = both_ways(width, length, strip), both_ways(length, width, strip)
    assert (one.along.count, one.along.each) == (other.across.count, other.across.each)


@given(SIDES, SIDES, WIDTHS, st.sampled_from([Way.ALONG, Way.ACROSS]))
def test_tearing_never_gives_more_than_cutting(width, length, strip, way):
    torn, cut = (strips_of(width, length, strip, way, tool).total for tool in (Tool.TEAR, Tool.SCISSORS))
    assert torn <= cut


@given(st.integers(1, 500), st.integers(2, 4000), st.data())
def test_joins_are_the_fewest_that_reach(count, each_mm, data):
    loss_mm = data.draw(st.integers(0, each_mm - 1))
    reach_mm = count * each_mm - (count - 1) * loss_mm
    assert joins_in(reach_mm / 1000, each_mm / 1000, loss_mm / 1000) == count - 1
    assert joins_in((reach_mm + 0.5) / 1000, each_mm / 1000, loss_mm / 1000) == count


def test_a_join_that_eats_the_strip_is_refused():
    with pytest.raises(NotPossible, match=r"join\.long"):
        joins_in(10, 0.05, 0.05)
    assert joins_in(0.04, 0.05, 0.05) == 0


def test_each_join_loses_its_own():
    strip = inches("1.25")
    assert join_loss(Join.BIAS, strip) == strip
    assert join_loss(Join.OVERLAP, strip) == inches(3)
    assert join_loss(Join.SLIT, strip) == inches(2)
    assert inches("0.25") <= join_loss(Join.LAP, strip) <= inches("0.5")
    assert join_loss(Join.NONE, strip) == Length(0)
