"""Lengths and weights: exact, and read strictly from what people write."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.core.errors import Unreadable
from shop.core.measure import (
    LARGEST,
    LENGTH_UNITS,
    WEIGHT_UNITS,
    Length,
    Weight,
    ceil_count,
    floor_count,
    parse_length,
    parse_minutes,
    parse_number,
    parse_weight,
    round_decimal,
)
from tests.core.a_rug import attempted

MARKS = st.sampled_from([".", ","])


@pytest.mark.parametrize(
    ("text", "nanometres"),
    [
        ("30 in", 762_000_000),
        ('30"', 762_000_000),
        ("30″", 762_000_000),
        ("30''", 762_000_000),
        ("2 ft 6 in", 762_000_000),
        ("2'6\"", 762_000_000),
        ("2' 6", 762_000_000),
        ("2 1/2 in", 63_500_000),
        ("2-1/2 in", 63_500_000),
        ("2½ in", 63_500_000),
        ("½ in", 12_700_000),
        ("1/64 in", 396_875),
        ("76 cm", 760_000_000),
        ("1.5 m", 1_500_000_000),
        ("1 m 20", 1_200_000_000),
        ("609.6 mm", 609_600_000),
        ("3 yards", 2_743_200_000),
        ("30 tum", 762_000_000),
        ("  30\u00a0in  ", 762_000_000),
        ("0 in", 0),
        ("10000 m", LARGEST["length"]),
    ],
)
def test_lengths_are_read_as_people_write_them(text, nanometres):
    assert parse_length(text).nm == nanometres


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "length.missing"),
        ("   ", "length.missing"),
        ("wide", "length.unreadable"),
        ("30", "length.unit_missing"),
        ("30 furlongs", "length.unit"),
        ("6 in 2 ft", "length.unreadable"),
        ("2 ft 2 ft", "length.unreadable"),
        ("-3 in", "length.negative"),
        ("−3 in", "length.negative"),
        ("1,5 m", "number.mark"),
        ("1/0 in", "number.unreadable"),
        ("10001 m", "length.large"),
        ("9" * 38 + "in", "length.large"),
        ("9" * 10_000, "text.long"),
        ("🧶", "length.unreadable"),
        ("1e3 in", "length.unit"),
        ("NaN", "length.unreadable"),
        ("٣ in", "length.unreadable"),
    ],
)
def test_a_length_that_says_nothing_is_refused_by_its_reason(text, code):
    with pytest.raises(Unreadable) as refusal:
        parse_length(text)
    assert [problem.code for problem in refusal.value.problems] == [code]


def test_the_decimal_mark_is_the_one_expected():
    assert parse_length("0,75 m", decimal_mark=",") == parse_length("0.75 m") == Length.of(75, "cm")
    with pytest.raises(Unreadable):
        parse_length("0.75 m", decimal_mark=",")


def test_a_number_alone_takes_the_unit_it_is_given():
    assert parse_length("30", bare_unit="in") == Length.of(30, "in")
    assert parse_length("30", bare_unit="cm") == Length.of(30, "cm")


@pytest.mark.parametrize(
    ("text", "nanograms"),
    [
        ("1 lb", 453_592_370_000),
        ("2 lb 3 oz", 992_233_309_375),
        ("2 lb 3", 992_233_309_375),
        ("1.5 kg", 1_500_000_000_000),
        ("300 g", 300_000_000_000),
        ("1/2 lb", 226_796_185_000),
    ],
)
def test_weights_are_read_as_people_write_them(text, nanograms):
    assert parse_weight(text).ng == nanograms


def test_a_weight_refuses_in_its_own_name():
    with pytest.raises(Unreadable) as refusal:
        parse_weight("3 in")
    assert refusal.value.problems[0].code == "weight.unit"


@pytest.mark.parametrize(
    ("text", "mark", "grouped", "value"),
    [
        ("12", ".", False, "12"),
        ("0.75", ".", False, "0.75"),
        (".5", ".", False, "0.5"),
        ("-2 1/2", ".", False, "-2.5"),
        ("1,200.50", ".", True, "1200.50"),
        ("1.200,50", ",", True, "1200.50"),
        ("1 200,50", ",", True, "1200.50"),
        ("12,34,567.89", ".", True, "1234567.89"),
        ("1’200.50", ".", True, "1200.50"),
    ],
)
def test_numbers(text, mark, grouped, value):
    assert parse_number(text, decimal_mark=mark, grouped=grouped) == Decimal(value)


@pytest.mark.parametrize("text", ["1.5", "1.500", "1.200.000.1", "1..5", "1,5,5", "NaN", "Infinity", "1e400", "0x10", "1_000"])
def test_a_number_with_the_wrong_mark_is_refused_not_guessed_at(text):
    with pytest.raises(Unreadable):
        parse_number(text, decimal_mark=",")


@given(st.integers(0, LARGEST["length"]))
def test_a_length_written_out_exactly_reads_back_the_same(nanometres):
    length = Length(nanometres)
    assume(len(length.canonical()) <= 40)
    assert parse_length(length.canonical()) == length


@given(st.integers(0, LARGEST["weight"]))
def test_a_weight_written_out_exactly_reads_back_the_same(nanograms):
    weight = Weight(nanograms)
    assert parse_weight(weight.canonical()) == weight


@given(st.integers(0, 300), st.integers(0, 11), st.integers(0, 63))
def test_feet_inches_and_sixty_fourths_are_exact(feet, inches, parts):
    fraction = Fraction(parts, 64)
    text = f"{feet} ft {inches} {fraction} in" if parts else f"{feet} ft {inches} in"
    assert parse_length(text).to("in") == feet * 12 + inches + fraction


@given(st.integers(0, 9999), st.integers(0, 999), st.sampled_from(sorted(LENGTH_UNITS)), MARKS)
def test_a_decimal_length_means_the_same_with_either_mark(whole, thousandths, unit, mark):
    read = parse_length(f"{whole}{mark}{thousandths:03d} {unit}", decimal_mark=mark)
    assert read.to(unit) == whole + Fraction(thousandths, 1000)


@given(st.text(), MARKS, st.sampled_from([None, "in", "cm"]))
def test_any_text_is_a_length_or_a_refusal(text, mark, bare_unit):
    found, problems = attempted(parse_length, text, decimal_mark=mark, bare_unit=bare_unit)
    assert problems or 0 <= found.nm <= LARGEST["length"]


@given(st.text(alphabet="0123456789 .,/'\"-½ftincmyd", max_size=20), MARKS)
def test_text_that_is_nearly_a_measure_is_one_or_a_refusal(text, mark):
    length, refused = attempted(parse_length, text, decimal_mark=mark, bare_unit="in")
    assert refused or 0 <= length.nm <= LARGEST["length"]
    weight, refused = attempted(parse_weight, text, decimal_mark=mark, bare_unit="g")
    assert refused or 0 <= weight.ng <= LARGEST["weight"]
    number, refused = attempted(parse_number, text, decimal_mark=mark, grouped=True)
    assert refused or number.is_finite()


@given(st.integers(0, 10**7), st.integers(0, 10**7))
def test_adding_and_taking_away_are_exact(one, other):
    assert Length(one) + Length(other) - Length(other) == Length(one)
    assert Weight(one) + Weight(other) - Weight(other) == Weight(one)
    assert Length(one) * 3 == 3 * Length(one) == Length(one) + Length(one) + Length(one)


def test_units_say_themselves_exactly():
    assert Length.of(1, "yd").to("in") == 36
    assert Weight.of(1, "lb").to("oz") == 16
    assert Length.of("0.1", "in").to("in") == Fraction(1, 10)
    assert not Length(0)
    assert Weight.of(1, "g")
    assert set(WEIGHT_UNITS) == {"g", "kg", "oz", "lb"}


def test_counting_up_and_down_forgives_the_last_bits():
    assert ceil_count(25.000000000001) == 25
    assert ceil_count(25.00001) == 26
    assert floor_count(24.9999999999999) == 25
    assert floor_count(24.99999) == 24


def test_a_figure_to_show_is_rounded_to_even():
    assert round_decimal(2.5, 0) == Decimal(2)
    assert round_decimal(0.125, 2) == Decimal("0.12")


@pytest.mark.parametrize(
    ("text", "mark", "minutes"),
    [
        ("170", ".", "170"), ("42.5", ".", "42.5"), ("1,200", ".", "1200"), ("2:50", ".", "170"), ("0:05", ".", "5"),
        ("2 h 50 min", ".", "170"), ("2h50", ".", "170"), ("2 H", ".", "120"), ("1.5 h", ".", "90"), ("1,5 h", ",", "90"),
        ("50 min", ".", "50"), ("1 1/2 hours", ".", "90"), ("2 tim 50 min", ",", "170"), ("45 minuter", ",", "45"),
    ],
)  # fmt: skip
def test_a_time_is_read_as_people_write_it(text, mark, minutes):
    assert parse_minutes(text, decimal_mark=mark) == Decimal(minutes)


@pytest.mark.parametrize("text", ["long", "2:5", "2:75", "h", "2 h many", "2 h 50 s", "1:2:3"])
def test_what_is_no_time_is_told_so(text):
    with pytest.raises(Unreadable) as caught:
        parse_minutes(text)
    assert [one.code for one in caught.value.problems] == ["minutes.unreadable"]
