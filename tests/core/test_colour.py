"""Colours: the shelf's order is that of the eye, and a difference is one whichever way round."""

import math
from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.colour import (
    COLOUR_FAMILIES,
    GREY_BELOW,
    Family,
    difference,
    family_of,
    ink_on,
    lab,
    shade_of,
    shelf_place,
)

colours = st.integers(0, 0xFFFFFF).map("#{:06x}".format)


@given(colours)
def test_a_place_on_the_shelf_can_be_kept(colour):
    assert 0 <= shelf_place(colour) < 2**31


def test_greys_stand_first_light_to_dark():
    greys = ["#ffffff", "#e6e2da", "#a9a9a9", "#555555", "#000000"]
    assert sorted(greys, key=shelf_place) == greys
    assert max(map(shelf_place, greys)) < min(map(shelf_place, ("#b3262a", "#2f4068", "#e3c341")))


@pytest.mark.parametrize("undyed", ["#f4efe4", "#e3dccb", "#e8dfcc", "#36393d"])
def test_undyed_cloth_stands_among_the_greys_and_faded_denim_does_not(undyed):
    assert shade_of(undyed).chroma < GREY_BELOW < shade_of("#8fa0b5").chroma
    assert shelf_place(undyed) <= shelf_place("#000000") < shelf_place("#8fa0b5")


def test_neighbours_on_the_shelf_look_more_alike_than_by_their_written_code():
    """Over a spread of colours, the steps from swatch to swatch are smaller for the eye in the shelf's order."""
    every = [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in product(range(0, 256, 51), repeat=3)]

    def walked(order):
        return sum(difference(one, other) for one, other in pairwise(order))

    assert walked(sorted(every, key=shelf_place)) < 0.9 * walked(sorted(every))


def test_a_colour_written_in_capitals_is_the_same_colour():
    assert shelf_place("#5577AA") == shelf_place("#5577aa")
    assert family_of("#5577AA") is family_of("#5577aa")


def test_hues_follow_one_another_round_the_circle():
    round_it = ["#c0392b", "#d9822b", "#d8c12f", "#5a9a3c", "#2f8f8f", "#2f5fa8", "#77478f"]
    assert sorted(round_it, key=shelf_place) == round_it


def test_within_a_hue_the_lighter_stands_first():
    assert shelf_place("#7f9ccf") < shelf_place("#2c4a86")


@pytest.mark.parametrize(
    ("colour", "place"),
    [("#ffffff", 0), ("#000000", 10_000), ("#5577aa", 1804346), ("#9c3b2e", 305147)],
)
def test_a_place_once_kept_stays(colour, place):
    """The shelf keeps these numbers; changing how they come about would mix two orders."""
    assert shelf_place(colour) == place


@given(colours, colours)
def test_a_difference_is_one_both_ways_and_none_for_the_same(one, other):
    assert difference(one, one) == 0
    assert math.isclose(difference(one, other), difference(other, one), abs_tol=1e-9)
    assert 0 <= difference(one, other) < 130


def test_white_lies_a_hundred_from_black():
    assert difference("#ffffff", "#000000") == pytest.approx(100, abs=0.001)
    assert lab("#ffffff") == pytest.approx((100, 0, 0), abs=1e-9)


@pytest.mark.parametrize("family", Family)
def test_each_family_is_its_own(family):
    assert family_of(COLOUR_FAMILIES[family]) is family


@pytest.mark.parametrize(
    ("colour", "family"),
    [
        ("#faf0e6", Family.WHITE),
        ("#c0c0c0", Family.GREY),
        ("#1f1f22", Family.BLACK),
        ("#8b4513", Family.BROWN),
        ("#d2b48c", Family.BROWN),
        ("#6b1e2e", Family.RED),
        ("#cc5500", Family.ORANGE),
        ("#d3a625", Family.YELLOW),
        ("#6b6b2f", Family.GREEN),
        ("#40e0d0", Family.TEAL),
        ("#00008b", Family.BLUE),
        ("#3b4a6b", Family.BLUE),
        ("#8fa0b5", Family.BLUE),
        ("#e6e6fa", Family.PURPLE),
        ("#ffc0cb", Family.PINK),
    ],
)
def test_a_colour_is_called_what_people_call_it(colour, family):
    assert family_of(colour) is family


@given(colours)
def test_ink_can_be_read_on_any_swatch(colour):
    """WCAG 2.2: black or white always has a contrast of at least 4.5 to 1."""
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    light = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in (red, green, blue)
    ]
    luminance = 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]
    contrast = (luminance + 0.05) / 0.05 if ink_on(colour) == "#000000" else 1.05 / (luminance + 0.05)
    assert contrast >= 4.5


@given(colours)
def test_a_shade_lies_within_its_space(colour):
    shade = shade_of(colour)
    assert -1e-6 <= shade.lightness <= 1 + 1e-6
    assert 0 <= shade.chroma < 0.4
    assert 0 <= shade.hue < 360
