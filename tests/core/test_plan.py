"""Where each number of a plan comes from."""

import pytest

from shop.core.spread import SPREAD, Basis
from tests.core.a_rug import a_plan


def test_a_number_given_is_a_setting_one_missing_a_guess_one_named_measured():
    plan = a_plan(weft={"packing": 2.4, "strip": "1 in"}, measured=["weft.packing"])
    assert plan.basis("weft.packing") is Basis.MEASURED
    assert plan.basis("weft.strip") is Basis.SETTING
    assert plan.basis("weft.take_up") is Basis.GUESS


@pytest.mark.parametrize(
    ("weft", "measured", "basis"),
    [({}, [], Basis.GUESS), ({"take_up": 1.1}, [], Basis.SETTING), ({"take_up": 1.1}, ["weft.take_up"], Basis.MEASURED)],
)
def test_the_better_a_number_is_known_the_less_it_spreads(weft, measured, basis):
    estimate = a_plan(weft=weft, measured=measured).uncertain("weft.take_up", 1.1)
    assert estimate.doubts == (("weft.take_up", SPREAD[basis]),)
