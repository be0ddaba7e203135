"""A piece of cloth by its size, weight and cost."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.cloth import (
    DENSITY,
    FLAT_SHEETS,
    HEAVIEST,
    LIGHTEST,
    USUAL_WEIGHT,
    Cloth,
    ClothKind,
    Fibre,
    parse_cloth_weight,
    portion,
    portion_of_area,
    portion_of_strips,
    portion_of_weight,
    unit_costs,
)
from shop.core.errors import NotPossible, Unreadable
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.strips import Tool, Way


def inches(value):
    return Length.of(value, "in")


def a_sheet(**changed):
    width, length = FLAT_SHEETS["full"]
    return Cloth(**({"name": "Striped sheet", "width": width, "length": length, "paid": Money(600, "USD")} | changed))


@pytest.mark.parametrize(("text", "grams"), [("115 g/m2", 115), ("115 g/m²", 115), ("4 oz/yd2", 135.62299), ("4 oz/sq yd", 135.62299)])
def test_a_cloths_weight_is_read(text, grams):
    assert parse_cloth_weight(text) == pytest.approx(grams)


@pytest.mark.parametrize("text", ["", "heavy", "115", "115 g", "5 g/m2", "3000 g/m2", "115,5 g/m2", "nan g/m2", "1" * 10_000])
def test_a_weight_that_no_cloth_has_is_refused(text):
    with pytest.raises(Unreadable):
        parse_cloth_weight(text)


def test_a_comma_counts_where_it_is_the_decimal_mark():
    assert parse_cloth_weight("115,5 g/m2", decimal_mark=",") == 115.5


def test_every_fibre_and_every_kind_of_cloth_has_its_figures():
    assert set(DENSITY) == set(Fibre)
    assert set(USUAL_WEIGHT) == set(ClothKind)
    assert all(LIGHTEST <= weight <= HEAVIEST for weight in USUAL_WEIGHT.values())


def test_strips_of_a_piece_and_what_stops_them():
    assert a_sheet().strips(inches(2), Way.ALONG, Tool.ROTARY).count == 40
    with pytest.raises(NotPossible, match=r"cloth\.no_tear"):
        a_sheet(tears=False).strips(inches(2), Way.ALONG, Tool.TEAR)
    with pytest.raises(NotPossible, match=r"cloth\.small"):
        a_sheet(width=inches("1.5")).strips(inches(2), Way.ALONG, Tool.ROTARY)


def test_what_a_piece_cost_by_every_measure():
    cloth = a_sheet(width=inches(36), length=Length.of(10, "yd"), paid=Money(2000, "USD"), grams_per_m2=100.0)
    costs = unit_costs(cloth, inches(2))
    assert costs.per_yard == Decimal(2)
    assert costs.strip_per_yard == pytest.approx(Decimal(2) / 18)
    assert costs.per_square_foot == pytest.approx(Decimal(2) / 9)
    assert float(costs.per_pound) == pytest.approx(20 / (cloth.grams / 453.59237))
    assert float(costs.per_kg) == pytest.approx(20 / (cloth.grams / 1000))
    assert float(costs.per_metre) == pytest.approx(2 / 0.9144)
    assert float(costs.per_square_metre) == pytest.approx(20 / cloth.area_m2)


def test_a_piece_too_narrow_has_no_cost_for_its_strip():
    costs = unit_costs(a_sheet(width=inches(1)), inches(2))
    assert costs.strip_per_yard is None
    assert costs.strip_per_metre is None


@given(st.floats(0, 1), st.integers(5, 100), st.integers(50, 400))
def test_a_portion_is_the_same_however_it_is_said(share, strip_mm, grams):
    cloth, strip = a_sheet(grams_per_m2=float(grams)), Length.of(strip_mm, "mm")
    whole = portion(cloth, strip, share)
    for said in (portion_of_area(cloth, strip, whole.area_m2), portion_of_weight(cloth, strip, whole.grams)):
        assert said.share == pytest.approx(share, abs=1e-12)
        assert said.strip_m == pytest.approx(whole.strip_m, abs=1e-9)


def test_strips_counted_are_a_portion_by_area():
    cloth = a_sheet()
    assert portion_of_strips(cloth, inches(2), 40, inches(96)).share == pytest.approx(80 / 81)


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_more_than_the_whole_piece_is_refused(share):
    with pytest.raises(NotPossible, match=r"portion\.range"):
        portion(a_sheet(), inches(2), share)
