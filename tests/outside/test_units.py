"""Units against NIST Handbook 44, appendix C, and against a general units library."""

from fractions import Fraction

import pint
import pytest

from shop.core.cloth import parse_cloth_weight
from shop.core.loom import parse_sett
from shop.core.measure import (
    GRAMS_PER_SQUARE_METRE_PER_OUNCE_YARD,
    LENGTH_UNITS,
    SQUARE_METRES_PER_SQUARE_FOOT,
    WEIGHT_UNITS,
    Length,
    Weight,
)

PINT_NAMES = {"mm": "millimeter", "cm": "centimeter", "m": "meter", "in": "inch", "ft": "foot", "yd": "yard",
              "g": "gram", "kg": "kilogram", "oz": "ounce", "lb": "pound"}  # fmt: skip


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry(non_int_type=Fraction)


def test_lengths_exactly():
    """NIST Handbook 44, appendix C: the inch is 0.0254 m and the yard 0.9144 m exactly (from memory; recomputed)."""
    assert Length.of(1, "in").to("m") == Fraction(254, 10_000)
    assert Length.of(1, "yd").to("m") == Fraction(9144, 10_000)
    assert Length.of(1, "ft").to("m") == Fraction(3048, 10_000)


def test_weights_exactly():
    """The same: the pound is 453.59237 g and the ounce 28.349523125 g exactly."""
    assert Weight.of(1, "lb").to("g") == Fraction(45_359_237, 100_000)
    assert Weight.of(1, "oz").to("g") == Fraction("28.349523125")


def test_ounces_to_the_square_yard():
    """1 oz/yd2 is 33.9057474748823 g/m2, from the two factors above."""
    assert pytest.approx(33.9057474748823, rel=1e-14) == GRAMS_PER_SQUARE_METRE_PER_OUNCE_YARD
    assert parse_cloth_weight("4 oz/yd2") == pytest.approx(135.6229898995292, rel=1e-14)


@pytest.mark.parametrize("unit", LENGTH_UNITS)
def test_lengths_against_the_library(registry, unit):
    theirs = registry.Quantity(Fraction(1), PINT_NAMES[unit]).to("meter").magnitude
    assert Length.of(1, unit).to("m") == theirs


@pytest.mark.parametrize("unit", WEIGHT_UNITS)
def test_weights_against_the_library(registry, unit):
    theirs = registry.Quantity(Fraction(1), PINT_NAMES[unit]).to("gram").magnitude
    assert Weight.of(1, unit).to("g") == theirs


def test_areas_and_weight_by_area_against_the_library(registry):
    foot = registry.Quantity(Fraction(1), "foot**2").to("meter**2").magnitude
    assert pytest.approx(float(foot), rel=1e-15) == SQUARE_METRES_PER_SQUARE_FOOT
    ounce = registry.Quantity(Fraction(1), "ounce/yard**2").to("gram/meter**2").magnitude
    assert pytest.approx(float(ounce), rel=1e-15) == GRAMS_PER_SQUARE_METRE_PER_OUNCE_YARD


@pytest.mark.parametrize("text", ["12.5/in", "2.5/cm", "8"])
def test_setts_against_the_library(registry, text):
    count, _, unit = text.partition("/")
    theirs = registry.Quantity(Fraction(count), f"1/{PINT_NAMES[unit or 'in']}").to("1/meter").magnitude
    assert parse_sett(text).per_metre == pytest.approx(float(theirs), rel=1e-14)
