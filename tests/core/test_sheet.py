"""The cost sheet for programs."""

import json
import re

import pytest

from shop.core.sheet import sheet
from tests.core.a_rug import LOOMS, RULES, a_reckoning

AMOUNT = re.compile(r"-?[0-9]+\.[0-9]{2}")


def tables_of(value, at=""):
    """Every table within, by where it stands."""
    if isinstance(value, dict):
        yield at, value
        for name, inner in value.items():
            yield from tables_of(inner, f"{at}.{name}".lstrip("."))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from tables_of(inner, f"{at}.{place}")


@pytest.mark.parametrize("kind", LOOMS)
@pytest.mark.parametrize("rule", RULES.values())
def test_a_sheet_is_plain_data_and_comes_back_the_same(kind, rule):
    found = sheet(a_reckoning(LOOMS[kind], price=rule))
    assert json.loads(json.dumps(found, allow_nan=False)) == found


@pytest.mark.parametrize("kind", LOOMS)
def test_money_is_text_and_adds_up(kind):
    found = sheet(a_reckoning(LOOMS[kind], bought_in={"postage": "14.50"}))
    for table in ("cost", "price"):
        for name, amount in found[table].items():
            assert amount is None or AMOUNT.fullmatch(amount), name
    parts = ("cloth", "warp", "labour", "overhead", "bought_in")
    cents = {name: int(amount.replace(".", "")) for name, amount in found["cost"].items()}
    assert sum(cents[part] for part in parts) == cents["total"]
    assert cents["total_low"] <= cents["total"] <= cents["total_high"]


@pytest.mark.parametrize("kind", LOOMS)
def test_estimates_are_low_middle_and_high(kind):
    found = sheet(a_reckoning(LOOMS[kind]))
    in_doubt = {at: table for at, table in tables_of(found) if "middle" in table}
    assert {"rug.weight_g", "weft.rows", "weft.length_m", "weft.area_m2", "hours.total", "cloth.0.pieces"} <= set(in_doubt)
    for at, table in in_doubt.items():
        assert set(table) == {"low", "middle", "high"}, at
        assert 0 <= table["low"] <= table["middle"] <= table["high"], at


def test_si_units():
    found = sheet(a_reckoning())
    assert found["rug"]["width_m"] == 0.9144
    assert found["rug"]["length_m"] == 1.8288
    assert found["strips"][0] == {"way": "along", "count": 81, "length_m": 2.4384, "total_m": 197.5104, "joins": 80}
    assert found["weft"]["area_m2"]["middle"] == pytest.approx(found["weft"]["length_m"]["middle"] * 0.0254)
    assert found["hours"]["total"]["middle"] == pytest.approx(
        sum(found["hours"][step]["middle"] for step in ("wash", "cut", "warp", "weave", "finish", "office"))
    )


def test_only_a_frame_says_its_passes_and_only_yarn_its_ends():
    frame, shaft = (sheet(a_reckoning(LOOMS[kind]))["warp"] for kind in ("frame", "shaft"))
    assert (frame["passes"], frame["ends"]) == (50, 0)
    assert shaft["passes"] == 0
    assert shaft["ends"] > 400


def test_guesses_and_measurements_are_named():
    found = sheet(a_reckoning(weft={"take_up": 1.1}, measured=["weft.take_up"]))
    assert "weft.packing" in found["assumed"]
    assert "weft.take_up" not in found["assumed"]
    assert found["measured"] == ["weft.take_up"]


def test_yen_have_no_decimals_and_dinars_three():
    assert re.fullmatch(r"[0-9]+", sheet(a_reckoning(shop={"currency": "JPY"}))["price"]["asking"])
    assert re.fullmatch(r"[0-9]+\.[0-9]{3}", sheet(a_reckoning(shop={"currency": "KWD"}))["price"]["asking"])


def test_a_trade_price_stands_on_the_sheet_where_there_is_one():
    assert sheet(a_reckoning())["price"]["trade"] is None
    assert AMOUNT.fullmatch(sheet(a_reckoning(price=RULES["trade"]))["price"]["trade"])
