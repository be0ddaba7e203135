"""A piece before it is cut: every way there is, and which gives more strip or fewer joins."""

from decimal import Decimal

import pytest

from shop.core.errors import NotFound, Refusal
from shop.core.measure import Length
from shop.core.strips import Tool, Way
from shop.usecases import loom
from shop.usecases.cutting import piece_to_cut, usual_strip
from tests.builders import a_frame, a_kept_loom, a_loom, a_piece_in_hand, a_shaft_loom, a_sheet, codes, inches


def cut(store, tool=Tool.ROTARY, strip=inches(2)):  # noqa: B008 - a length never changes
    found = piece_to_cut(store, number=1, strip=strip, tool=tool)
    return found, {way.found.way: way for way in found.ways}


def test_along_and_across_are_set_side_by_side(store, now):
    """81 by 96 in: 40 strips of 96 in, or 48 of 81 in."""
    a_piece_in_hand(store, now)
    found, ways = cut(store)
    along, across = ways[Way.ALONG], ways[Way.ACROSS]
    assert (along.found.count, along.found.each) == (40, inches(96))
    assert (across.found.count, across.found.each) == (48, inches(81))
    assert (along.most, along.fewest_joins) == (False, False)
    assert (across.most, across.fewest_joins) == (True, False)
    assert found.differs
    assert round(along.per_yard, 9) == round(Decimal(4) * 36 / (40 * 96), 9)
    zigzag = ways[Way.ZIGZAG]
    assert (zigzag.found.joins, zigzag.most, zigzag.fewest_joins) == (0, False, True)


def test_torn_along_takes_fewer_joins_than_across(store, now):
    a_piece_in_hand(store, now)
    ways = cut(store, Tool.TEAR)[1]
    assert ways[Way.ALONG].found.joins < ways[Way.ACROSS].found.joins
    assert (ways[Way.ALONG].fewest_joins, ways[Way.ACROSS].fewest_joins) == (True, False)


def test_a_square_gives_the_same_both_ways(store, now):
    a_piece_in_hand(store, now, a_sheet(width=inches(60), length=inches(60)))
    found, ways = cut(store)
    assert not found.differs
    assert not any(way.most for way in ways.values())
    assert [way.found.way for way in ways.values() if way.fewest_joins] == [Way.ZIGZAG]


def test_only_jersey_is_cut_as_a_tube(store, now):
    a_piece_in_hand(store, now)
    assert Way.TUBE not in cut(store)[1]


def test_torn_strips_go_along_or_across_only(store, now):
    a_piece_in_hand(store, now, a_sheet(cloth="jersey"))
    assert set(cut(store, Tool.TEAR)[1]) == {Way.ALONG, Way.ACROSS}


def test_what_does_not_tear_is_not_torn(store, now):
    a_piece_in_hand(store, now, a_sheet(tears=False))
    assert not cut(store, Tool.TEAR)[1]
    assert cut(store)[1]


def test_a_piece_narrower_than_a_strip_gives_none_and_no_praise(store, now):
    a_piece_in_hand(store, now, a_sheet(width=inches(1), length=inches(1)))
    found, ways = cut(store)
    assert [way.found.count for way in ways.values()] == [0, 0, 0]
    assert all(way.per_yard is None and not way.most and not way.fewest_joins for way in ways.values())
    assert found.piece.costs.strip_per_yard is None


def test_a_strip_that_cannot_be_is_refused(store, now):
    a_piece_in_hand(store, now)
    with pytest.raises(Refusal) as refused:
        cut(store, strip=Length(0))
    assert codes(refused) == {("strip", "length.small")}


def test_a_piece_that_is_not_there(store):
    with pytest.raises(NotFound) as refused:
        cut(store)
    assert codes(refused) == {("", "piece.unknown")}


def test_the_usual_strip_is_that_of_the_first_loom_in_use(store, now):
    assert usual_strip(store, units="imperial") == inches(2)
    assert usual_strip(store, units="metric") == Length.of(5, "cm")
    kept = a_kept_loom(store, now, a_loom(strip=inches(3)))
    assert usual_strip(store, units="metric") == inches(3)
    loom.put_away(store, loom_id=kept.id)
    assert usual_strip(store, units="imperial") == inches(2)


def test_a_first_loom_that_names_no_strip_has_the_usual_one_of_its_kind(store, now):
    a_kept_loom(store, now, a_loom(a_shaft_loom(name="A"), strip=None))
    a_kept_loom(store, now, a_loom(a_frame(name="B"), strip=inches(3)))
    assert usual_strip(store, units="imperial") == inches(1)
    assert usual_strip(store, units="metric") == Length.of("2.5", "cm")
