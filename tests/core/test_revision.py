"""What changed from one offer to the next: nothing between alike ones, and each thing that did, by itself."""

from dataclasses import replace
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.loom import Size
from shop.core.revision import Part, Revision, changes, joined, shares_of_colours
from tests.builders import inches, money

BLUE, RED = "#2b3d6e", "#97291d"
FIRST = Revision(
    number=1,
    size=Size(inches(24), inches(36)),
    cloths=("Blue sheet", "Red curtain"),
    stripes=((BLUE, 0.25), (RED, 0.5), (BLUE, 0.25)),
    price=money("140.00"),
    tax=money("8.40"),
    total=money("148.40"),
    deposit=None,
    promised=None,
    holds=date(2026, 4, 1),
)
shares = st.lists(st.tuples(st.sampled_from([BLUE, RED, "#d8c9a8"]), st.integers(0, 40)), min_size=1, max_size=12)


@pytest.mark.parametrize(
    ("changed", "part"),
    [
        ({"size": Size(inches(24), inches(37))}, Part.SIZE),
        ({"size": Size(inches(25), inches(36))}, Part.SIZE),
        ({"cloths": ("Blue sheet",)}, Part.CLOTH),
        ({"stripes": ((RED, 0.5), (BLUE, 0.5))}, Part.STRIPES),
        ({"stripes": ((BLUE, 0.3), (RED, 0.4), (BLUE, 0.3))}, Part.STRIPES),
        ({"price": money("141.00")}, Part.PRICE),
        ({"tax": None}, Part.TAX),
        ({"total": money("148.41")}, Part.TOTAL),
        ({"deposit": money("1.00")}, Part.DEPOSIT),
        ({"promised": date(2026, 5, 1)}, Part.PROMISED),
        ({"holds": date(2026, 4, 2)}, Part.HOLDS),
    ],
)
def test_each_change_is_told_by_itself_and_either_way_round(changed, part):
    other = replace(FIRST, number=2, **changed)
    assert changes(FIRST, other) == changes(other, FIRST) == {part}


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"cloths": ("Red curtain", "Blue sheet")},
        {"stripes": ((BLUE, 0.1), (BLUE, 0.15), (RED, 0.5), (BLUE, 0.25))},
        {"stripes": ((BLUE, 0.252), (RED, 0.497), (BLUE, 0.251))},
    ],
)
def test_what_is_only_written_otherwise_is_no_change(changed):
    assert changes(FIRST, replace(FIRST, number=2, **changed)) == frozenset()


@given(shares)
def test_joined_bands_are_the_whole_and_no_two_neighbours_are_alike(bands):
    found = joined(bands)
    if any(share for _, share in bands):
        assert sum(share for _, share in found) == pytest.approx(1)
        assert sum(shares_of_colours(bands).values()) == pytest.approx(1)
        assert all(one != other for (one, _), (other, _) in pairwise(found))
        assert [colour for colour, _ in joined(found)] == [colour for colour, _ in found]
    else:
        assert found == ()


@given(shares, st.data())
def test_a_band_that_is_split_is_seen_as_before(bands, data):
    whole = [(colour, float(share)) for colour, share in bands]
    at = data.draw(st.integers(0, len(whole) - 1))
    colour, share = whole[at]
    apart = [*whole[:at], (colour, share / 2), (colour, share / 2), *whole[at + 1 :]]
    assert [one for one, _ in joined(apart)] == [one for one, _ in joined(whole)]
    for (_, one), (_, other) in zip(joined(apart), joined(whole), strict=True):
        assert one == pytest.approx(other)
