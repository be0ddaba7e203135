"""Amounts of cloth against a units library: weight to area, strips to area, yarn by weight and by length (Pint)."""

from decimal import Decimal

import pint
import pytest

from shop.core.amount import Area, Run, Strips, Stuff, Weighed, parts_of, said
from shop.core.cloth import Cloth
from shop.core.ledger import WHOLE
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.core.strips import Tool
from shop.core.warp import parse_yarn

UNITS = pint.UnitRegistry()


def a_cloth(width, length, ounces):
    """A piece measured in inches and weighed in ounces."""
    size = (width * UNITS.inch * length * UNITS.inch).to("m**2").magnitude
    grams = (ounces * UNITS.ounce).to("gram").magnitude
    cloth = Cloth(
        width=Length.of(width, "in"), length=Length.of(length, "in"), paid=Money(500, "USD"), grams_per_m2=grams / size
    )
    return Stuff(left=WHOLE, cloth=cloth)


@pytest.mark.parametrize(("width", "length", "ounces"), [(81, 96, 22.5), (44, 108, 13), (60, 80, 42)])
@pytest.mark.parametrize("taken", [0.5, 3.25, 11])
def test_weight_to_area(width, length, ounces, taken):
    stuff = a_cloth(width, length, ounces)
    found = said(stuff, parts_of(stuff, Weighed(Weight.of(taken, "oz"))), strip=Length.of(2, "in"))
    area = (width * UNITS.inch * length * UNITS.inch) * taken / ounces
    assert found.square_metres == pytest.approx(area.to("m**2").magnitude, rel=1e-7)
    assert found.grams == pytest.approx((taken * UNITS.ounce).to("gram").magnitude, rel=1e-7)
    assert found.strip_m == pytest.approx((area / (2 * UNITS.inch)).to("m").magnitude, rel=1e-7)


@pytest.mark.parametrize("tool", Tool)
def test_strips_to_area_and_weight(tool):
    """Ten strips of 80 in, 2 in wide; a torn one takes an eighth of an inch more along each edge."""
    stuff = a_cloth(60, 80, 20)
    amount = Strips(10, Length.of(80, "in"), Length.of(2, "in"), tool)
    found = said(stuff, parts_of(stuff, amount), strip=Length.of(2, "in"), tool=tool)
    pitch = (2.25 if tool is Tool.TEAR else 2) * UNITS.inch
    area = 10 * 80 * UNITS.inch * pitch
    assert found.square_metres == pytest.approx(area.to("m**2").magnitude, rel=1e-7)
    assert found.grams == pytest.approx((20 * UNITS.ounce * (area / (4800 * UNITS.inch**2))).to("gram").magnitude, rel=1e-7)
    assert found.strips == pytest.approx(10, rel=1e-7)


def test_a_square_yard():
    stuff = a_cloth(72, 72, 30)
    yard = (1 * UNITS.yard**2).to("m**2").magnitude
    assert parts_of(stuff, Area(Decimal(repr(yard)))) == pytest.approx(WHOLE / 4, abs=1)


def test_yarn_by_weight_and_by_length():
    """Carpet warp 8/4 runs 1,680 yards to the pound: 70 yards weigh two thirds of an ounce."""
    yarn = parse_yarn("8/4")
    pound = (1 * UNITS.pound).to("kg").magnitude
    run = Length.of(round(yarn.metres_per_kg * pound * 1000), "mm")
    stuff = Stuff(left=WHOLE, yarn=yarn, run=run)
    assert run.metres == pytest.approx((1680 * UNITS.yard).to("m").magnitude, abs=0.001)
    by_length = said(stuff, parts_of(stuff, Run(Length.of(70, "yd"))), strip=Length.of(1, "in"))
    assert by_length.grams == pytest.approx((UNITS.pound * 70 / 1680).to("gram").magnitude, rel=1e-6)
    by_weight = parts_of(stuff, Weighed(Weight.of(4, "oz")))
    assert by_weight / WHOLE == pytest.approx(0.25, rel=1e-7)
