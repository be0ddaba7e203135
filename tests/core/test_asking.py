"""Reading values out of a described rug: nothing raises, everything is noted at its place."""

from decimal import Decimal
from enum import Enum

import pytest
from hypothesis import given

from shop.core.asking import Reader, shown, written
from shop.core.measure import Length
from shop.core.money import Money
from tests.core.any_rug import NONSENSE


class Ends(Enum):
    FRINGE = "fringe"
    HEM = "hem"


def a_reader(value, **manner):
    return Reader({"rug": {"it": value}}, **({"bare_unit": "in", "currency": "USD"} | manner))


def noted(reader):
    return [(problem.code, problem.where) for problem in reader.problems]


@given(NONSENSE)
def test_any_value_is_read_or_noted_by_every_reader(value):
    reader = a_reader(value)
    reader.text("rug.it")
    reader.length("rug.it", Length(1))
    reader.number("rug.it", 1.0, 0, 9)
    reader.count("rug.it", 1, 0, 9)
    reader.share("rug.it", Decimal(0))
    reader.money("rug.it", Money(0, "USD"))
    reader.choice("rug.it", Ends, Ends.HEM)
    reader.yes("rug.it")
    assert all(problem.where == "rug.it" for problem in reader.problems)


@given(NONSENSE)
def test_any_value_can_be_named_in_a_sentence(value):
    assert len(shown(value)) <= 24


def test_what_python_will_not_write_out_is_only_a_mark():
    nested = []
    for _ in range(100_000):
        nested = [nested]
    assert written(10**5000) == written(nested) == "…"


def test_a_missing_value_takes_its_default_and_is_a_guess_unless_it_is_none():
    reader = a_reader(None)
    assert reader.number("rug.it", 2.5, 0, 9) == 2.5
    assert reader.number("rug.other", 1.5, 0, 9, guess=False) == 1.5
    assert reader.assumed == ["rug.it"]


@pytest.mark.parametrize("value", [0.2, "0.2", 50, "50"])
def test_both_ends_of_a_range_are_allowed(value):
    reader = a_reader(value)
    assert reader.number("rug.it", 1.0, 0.2, 50) == float(value)
    assert not reader.problems


@pytest.mark.parametrize(
    ("value", "code"),
    [
        (0.19, "number.range"),
        ("many", "number.unreadable"),
        (float("nan"), "number.unreadable"),
        (float("inf"), "number.unreadable"),
        (True, "number.unreadable"),
        (10**400, "number.range"),
        ([], "number.unreadable"),
        ({}, "number.unreadable"),
    ],
)
def test_numbers_that_are_none(value, code):
    reader = a_reader(value)
    assert reader.number("rug.it", 1.0, 0.2, 50) == 1.0
    assert noted(reader) == [(code, "rug.it")]


def test_a_count_is_whole():
    reader = a_reader(2.5)
    assert reader.count("rug.it", 3, 1, 9) == 3
    assert noted(reader) == [("number.whole", "rug.it")]


@pytest.mark.parametrize(("value", "share"), [(0.35, "0.35"), ("35 %", "0.35"), ("35%", "0.35"), ("0.35", "0.35"), (1, "1")])
def test_shares(value, share):
    assert a_reader(value).share("rug.it", Decimal(0)) == Decimal(share)


@pytest.mark.parametrize("value", [1.01, "135 %", -0.1, "-5 %", "35", "%"])
def test_a_share_of_more_than_everything_is_noted(value):
    reader = a_reader(value)
    assert reader.share("rug.it", Decimal(0)) == 0
    assert len(reader.problems) == 1


def test_the_decimal_mark_is_for_text_only():
    reader = a_reader(0.5, decimal_mark=",")
    assert reader.number("rug.it", 1.0, 0, 1) == 0.5
    assert a_reader("0,5", decimal_mark=",").number("rug.it", 1.0, 0, 1) == 0.5
    assert noted(a_reader("0.5", decimal_mark=",")) == []


@pytest.mark.parametrize(("value", "currency", "code"), [(1.005, "USD", "money.finer"), (0.5, "JPY", "money.finer"), (10**400, "USD", "money.large"), (-1, "USD", "money.negative")])
def test_amounts_that_are_none(value, currency, code):
    reader = a_reader(value, currency=currency)
    reader.money("rug.it", Money(0, currency))
    assert noted(reader) == [(code, "rug.it")]


def test_a_number_for_an_amount_is_the_decimal_that_was_written():
    assert a_reader(12.3).money("rug.it", Money(0, "USD")) == Money(1230, "USD")


@pytest.mark.parametrize(("value", "code"), [(0, "length.zero"), (0.01, "length.small"), (-1, "length.negative"), (1e13, "length.large"), (10**400, "length.large")])
def test_lengths_that_are_none(value, code):
    reader = a_reader(value)
    reader.length("rug.it", Length(1), least=Length.of(1, "mm"))
    assert noted(reader) == [(code, "rug.it")]


def test_a_bare_number_is_in_the_shops_small_unit():
    assert a_reader(30).length("rug.it", Length(1)) == Length.of(30, "in")
    assert a_reader("76", bare_unit="cm").length("rug.it", Length(1)) == Length.of(76, "cm")


def test_a_choice_names_what_there_is_to_choose():
    reader = a_reader("knots")
    reader.choice("rug.it", Ends, Ends.HEM)
    assert reader.problems[0].values["choices"] == ("fringe", "hem")
