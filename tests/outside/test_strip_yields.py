"""Strips out of a piece against plain counting on squared paper, and against figures that weavers give."""

from itertools import product

import pytest

from shop.core.cloth import FLAT_SHEETS
from shop.core.measure import Length
from shop.core.strips import Tool, Way, joins_in, strips_of

ALL_SIZES = [(width, length, strip) for width, length, strip in product(range(1, 15), range(1, 15), range(1, 6))]


def squares(count):
    return Length.of(count, "in")


def most_strips_side_by_side(width, strip):
    """The most strips that lie side by side, of every way to start each of them on squared paper."""
    most = [0] * (width + 1)
    for end in range(1, width + 1):
        most[end] = max(most[end - 1], most[end - strip] + 1 if end >= strip else 0)
    return most[width]


def squares_of_a_snake(width, length, strip):
    """The squares of one strip cut back and forth, without the bridges at its turns, as (column, row)."""
    lanes = most_strips_side_by_side(width, strip)
    snake = {(column, row) for column in range(lanes * strip) for row in range(length)}
    for turn in range(1, lanes):
        rows = range(strip) if turn % 2 else range(length - strip, length)
        snake -= {(turn * strip + column, row) for column in range(strip) for row in rows}
    return snake


@pytest.mark.parametrize("way", [Way.ALONG, Way.ACROSS])
def test_whole_strips_counted_on_squared_paper(way):
    for width, length, strip in ALL_SIZES:
        found = strips_of(squares(width), squares(length), squares(strip), way)
        across, along = (width, length) if way is Way.ALONG else (length, width)
        assert found.count == most_strips_side_by_side(across, strip), (width, length, strip)
        assert found.each == squares(along)


def test_a_snake_counted_on_squared_paper():
    """At each turn a bridge as long as the strip is wide holds two lanes together; it is not counted as strip."""
    for width, length, strip in ALL_SIZES:
        if length < strip:
            continue
        found = strips_of(squares(width), squares(length), squares(strip), Way.ZIGZAG)
        assert found.total.to("in") * strip == len(squares_of_a_snake(width, length, strip)), (width, length, strip)
        assert found.count == (1 if width >= strip else 0)


def test_a_snake_in_a_piece_that_is_all_turns_is_none():
    found = strips_of(squares(14), squares(1), squares(3), Way.ZIGZAG)
    assert (found.count, found.total) == (0, Length(0))


def test_a_spiral_uses_every_square_of_a_tube():
    for width, length, strip in ALL_SIZES:
        found = strips_of(squares(width), squares(length), squares(strip), Way.TUBE)
        enough = min(width, length) >= strip
        assert found.total.to("in") * strip == pytest.approx(width * length if enough else 0, abs=1e-6)


def test_torn_strips_counted_on_finer_paper():
    """An eighth of an inch frays off each edge: on paper of eighths a strip of n squares takes n + 2."""
    for width, strip in product(range(1, 120), range(2, 20)):
        eighths = [Length.of(f"{count}", "in").nm // 8 for count in (width, strip)]
        found = strips_of(Length(eighths[0]), squares(3), Length(eighths[1]), Way.ALONG, Tool.TEAR)
        assert found.count == most_strips_side_by_side(width, strip + 2), (width, strip)


@pytest.mark.parametrize(
    ("sheet", "inch_and_a_half", "inch"),
    [("twin", 117, 176), ("full", 144, 216), ("queen", 170, 255), ("king", 204, 306)],
)
def test_strip_out_of_a_flat_sheet(sheet, inch_and_a_half, inch):
    """Yards of strip out of customary US flat sheets, nothing trimmed: own arithmetic, by hand."""
    width, length = FLAT_SHEETS[sheet]
    for strip, yards in (("1.5", inch_and_a_half), ("1", inch)):
        found = strips_of(width, length, Length.of(strip, "in"), Way.ALONG)
        assert int(found.total.to("yd")) == yards


def test_fifteen_strips_of_seven_yards():
    """Common practice: 7 yd of 46 in cloth in 3 in strips are 15 strips, 105 yd."""
    found = strips_of(Length.of(46, "in"), Length.of(7, "yd"), Length.of(3, "in"), Way.ALONG)
    assert (found.count, found.total) == (15, Length.of(105, "yd"))


def test_six_yards_of_cloth_are_three_hundred_and_sixty_of_strip():
    """A practitioner's slip, put right: 360 yd of 3/4 in strip is 6 yd of 45 in cloth, not 9."""
    found = strips_of(Length.of(45, "in"), Length.of(6, "yd"), Length.of("0.75", "in"), Way.ALONG)
    assert found.total == Length.of(360, "yd")


def test_fifty_four_strips_have_fifty_three_joins():
    """bellaonline.com, weaving article 49159: a yard of 54 in cloth in inch strips, 2 in lost at each join, 51 yd."""
    found = strips_of(Length.of(54, "in"), Length.of(1, "yd"), Length.of(1, "in"), Way.ALONG)
    assert (found.count, found.joins) == (54, 53)
    left = found.total - Length.of(2, "in") * found.joins
    assert round(left.to("yd")) == 51
    assert joins_in(left.metres, found.each.metres, Length.of(2, "in").metres) == 53
