"""Stripes in whole rows that add up."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.stripes import bands, rows_by_cloth

PARTS = st.lists(st.floats(0.01, 100), min_size=1, max_size=8)


@given(st.integers(0, 5000), PARTS, st.integers(1, 20))
def test_stripes_add_up_to_the_rugs_rows(rows, parts, repeats):
    counts = rows_by_cloth(rows, parts)
    found = bands(counts, parts, repeats)
    assert sum(counts) == sum(band.rows for band in found) == rows
    assert all(band.rows > 0 for band in found)
    for cloth, count in enumerate(counts):
        assert sum(band.rows for band in found if band.cloth == cloth) == count


@given(st.integers(100, 5000), st.lists(st.floats(0.5, 10), min_size=1, max_size=6), st.integers(1, 5))
def test_their_shares_fill_the_rug(rows, parts, repeats):
    found = bands(rows_by_cloth(rows, parts), parts, repeats)
    assert sum(band.share for band in found) == pytest.approx(1)


def test_the_cloths_come_in_turn():
    found = bands([10, 5], [2, 1], 2)
    assert [(band.cloth, band.rows) for band in found] == [(0, 5), (1, 3), (0, 5), (1, 2)]


def test_one_cloth_alone_is_one_band():
    assert [band.rows for band in bands([40], [1.0], 7)] == [40]


def test_fewer_rows_than_repeats_leave_no_empty_band():
    assert sum(band.rows for band in bands([1, 2], [1, 1], 9)) == 3
