"""The command that plans the cutting: its answer for programs, for people, and what it refuses."""

import json
import subprocess
import sys

import pytest

from shop import cli

PLAN = """
[plan]
strip = "2 in"
join_loss = "3 in"
[[piece]]
name = "blue sheet"
width = "80 in"
length = "96 in"
paid = "4.00"
colour = "#5577aa"
tears = false
bought = 2026-03-14
[[piece]]
name = "red curtain"
width = "44 in"
length = "80 in"
paid = "3.00"
colour = "#aa3322"
[[band]]
name = "ends"
strip_length = "5 yd"
colour = "#aa3322"
within = 10
[[band]]
name = "middle"
strip_length = "40 yd"
pieces = ["blue sheet"]
"""


@pytest.fixture
def planned(tmp_path, capsys):
    def plan(text, *words):
        file = tmp_path / "plan.toml"
        file.write_text(text, "utf-8")
        status = cli.main(["plan", str(file), *words])
        said = capsys.readouterr()
        return status, said.out, said.err

    return plan


def test_the_answer_for_programs(planned):
    status, out, err = planned(PLAN, "--json")
    assert (status, err) == (0, "")
    told = json.loads(out)
    assert set(told) >= {"used", "joins", "left_over", "short", "cost", "objective", "bound", "gap"}
    ends, middle = told["used"]
    # Across is cheaper for both. 5 yd of 44 in strips with 3 in joins: 5 of 40, 220 - 12 = 208 in, at 3.00 x 5 / 40.
    # 40 yd of 80 in strips: 19 of 48, 1520 - 54 = 1466 in, at 4.00 x 19 / 48.
    assert (ends["piece"], ends["band"], ends["way"], ends["strips"]) == ("red curtain", "ends", "across", 5)
    assert ends["length_m"] == pytest.approx(220 * 0.0254)
    assert (middle["piece"], middle["way"], middle["strips"], middle["cost"]) == ("blue sheet", "across", 19, "1.58")
    assert ends["cost"] in ("0.37", "0.38")
    assert (told["joins"], told["short"]) == (22, [])
    (blue,) = [one for one in told["left_over"] if one["piece"] == "blue sheet"]
    assert (blue["strips_left"], blue["length_m"]) == (29, pytest.approx(58 * 0.0254))
    assert told["gap"] == 0
    assert told["bound"] == told["objective"]


def test_standard_output_holds_the_answer_alone(tmp_path):
    file = tmp_path / "plan.toml"
    file.write_text(PLAN, "utf-8")
    said = subprocess.run(  # noqa: S603 - the words are ours
        [sys.executable, "-m", "shop.cli", "plan", str(file), "--json"], capture_output=True, check=True, text=True
    )
    assert json.loads(said.stdout)["joins"] == 22


def test_the_answer_for_people(planned):
    status, out, _ = planned(PLAN)
    assert status == 0
    assert "19 strips across" in out
    assert "cost: the best possible" in out


def test_what_is_short_is_told(planned):
    status, out, _ = planned(PLAN.replace("40 yd", "400 yd"), "--json")
    assert status == 0
    (short,) = json.loads(out)["short"]
    assert short["band"] == "middle"
    assert short["length_m"] > 250


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (('strip = "2 in"', 'strip = "0 in"'), "plan.strip"),
        (('width = "80 in"', 'width = "-80 in"'), "piece.0.width"),
        (('name = "red curtain"', 'name = "blue sheet"'), "used twice"),
        (('pieces = ["blue sheet"]', 'pieces = ["green sheet"]'), "no piece called green sheet"),
        (('pieces = ["blue sheet"]', 'pieces = ["blue sheet"]\ncolour = "#aa3322"'), "not both"),
        (("within = 10", "within = -1"), "band.0.within"),
        (('colour = "#aa3322"\nwithin', 'colour = "reddish"\nwithin'), "band.0.colour"),
        (('join_loss = "3 in"', 'join_loss = "3 in"\nprefer = ["cheap"]'), "plan.prefer"),
        (('join_loss = "3 in"', 'join_loss = "3 in"\nprefer = ["cost", "cost"]'), "named twice"),
        (("bought = 2026-03-14", 'bought = "some day"'), "is no day"),
        (('paid = "4.00"\n', ""), "Say its paid"),
        (("tears = false", 'tears = "no"'), "piece.0.tears"),
        (('strip_length = "5 yd"', 'strip_length = "0 yd"'), "band.0.strip_length"),
        (('strip = "2 in"', 'stripe = "2 in"'), "stripe"),
        (("[[band]]", "[[bandx]]"), "[[band]]"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence(planned, change, sentence):
    status, out, err = planned(PLAN.replace(*change), "--json")
    assert (status, out) == (2, "")
    assert sentence in err
    assert "Traceback" not in err


def test_nonsense_is_no_plan(planned):
    for text in ("", "plan = 3", "[[piece]]\n[[band]]", "piece = []\nband = []", "not toml ["):
        assert planned(text)[0] == 2
