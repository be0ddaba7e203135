"""Every problem has its sentence, every sentence its problem; and a sentence names what the problem holds."""

import ast
import re
from decimal import Decimal
from pathlib import Path

import pytest

from shop.core.errors import Problem, Refusal
from shop.core.measure import Length, parse_length
from shop.words import Words
from shop.words.problems import PROBLEMS, problem_sentence, problem_sentences

SHOP = Path(__file__).resolve().parents[2] / "shop"
GIVERS = [path for path in SHOP.rglob("*.py") if "words" not in path.relative_to(SHOP).parts]
CODE = re.compile(r"[a-z_]+\.[a-z_]+")
ALWAYS = {"example_number", "example_money", "example_metres", "mark"}
AMERICAN = Words()
SWEDISH = Words("sv_SE", "metric", "Europe/Stockholm", "SEK")


def calls():
    """Every ``Problem(...)`` and ``note(...)`` in the house: (file, line, codes, patterns, names of values or None)."""
    for path in GIVERS:
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not node.args:
                continue
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if name not in ("Problem", "note"):
                continue
            first = node.args[0]
            codes = [
                part.value
                for part in ast.walk(first)
                if isinstance(part, ast.Constant)
                and isinstance(part.value, str)
                and CODE.fullmatch(part.value)
            ]
            patterns = []
            if isinstance(first, ast.JoinedStr):
                codes = []
                parts = [
                    re.escape(p.value) if isinstance(p, ast.Constant) else "[a-z_]+" for p in first.values
                ]
                patterns = ["".join(parts)]
            yield path, node.lineno, codes, patterns, values_named(node, name)


def values_named(node, name):
    """The names of the values given, where they can be read off; else None."""
    if name == "note":
        named = {keyword.arg for keyword in node.keywords}
        return None if None in named else named
    others = [*node.args[1:], *(keyword.value for keyword in node.keywords if keyword.arg == "values")]
    holder = others[-1] if len(node.args) > 2 or any(k.arg == "values" for k in node.keywords) else None
    if holder is None:
        return set()
    return {key.value for key in holder.keys} if isinstance(holder, ast.Dict) else None


def test_every_problem_has_its_sentence():
    missing = [
        f"{path.relative_to(SHOP)}:{line}: {code}"
        for path, line, codes, _, _ in calls()
        for code in codes
        if code not in PROBLEMS
    ]
    assert not missing, missing


def test_every_pattern_of_codes_has_sentences():
    for path, line, _, patterns, _ in calls():
        for pattern in patterns:
            assert any(re.fullmatch(pattern, code) for code in PROBLEMS), f"{path}:{line}: {pattern}"


def test_every_sentence_has_its_problem():
    texts = set()
    for path in GIVERS:
        texts |= {
            node.value
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        }
    patterns = [pattern for call in calls() for pattern in call[3]] + [r"[a-z]+\.missing"]
    idle = [
        code for code in PROBLEMS if code not in texts and not any(re.fullmatch(p, code) for p in patterns)
    ]
    assert not idle, idle


def test_a_sentence_names_only_what_its_problem_holds():
    for path, line, codes, _, named in calls():
        for code in codes:
            if named is not None and code in PROBLEMS and path.name != "settings.py":
                asked = set(re.findall(r"%\((\w+)\)s", PROBLEMS[code])) - ALWAYS
                assert asked <= named, f"{path}:{line}: {code} asks for {asked - named}"


@pytest.mark.parametrize("words", [AMERICAN, SWEDISH], ids=["en", "sv"])
@pytest.mark.parametrize("code", sorted(PROBLEMS))
def test_every_sentence_can_be_said(code, words):
    values = dict.fromkeys(re.findall(r"%\((\w+)\)s", PROBLEMS[code]), "…")
    sentence = problem_sentence(Problem(code, values=values), words)
    assert sentence
    assert "%(" not in sentence


def test_nonsense_gets_a_sentence_that_shows_what_would_be_understood():
    with pytest.raises(Refusal) as refused:
        parse_length("5 parsecs")
    said = (
        "“5 parsecs” is not a length we can read: “parsecs” is no unit we know. "
        "Write it like 2 ft 6 in, 30 in, 76 cm or 1.5 m."
    )
    assert problem_sentences(refused.value.problems, AMERICAN) == [said]


def test_the_example_is_written_with_the_shop_s_own_decimal_mark():
    problem = Problem("length.unreadable", values={"text": "?"})
    assert "1.5 m" in problem_sentence(problem, AMERICAN)
    assert "1,5 m" in problem_sentence(problem, SWEDISH)


def test_shares_are_said_in_per_cent_and_lengths_in_the_shop_s_units():
    margin = Problem("margin.range", values={"share": Decimal(1)})
    assert "this is 100%" in problem_sentence(margin, AMERICAN)
    small = Problem("rug.small", values={"least": Length.of(2, "in")})
    assert "2 in" in problem_sentence(small, AMERICAN)
    assert "5,1 cm" in problem_sentence(small, SWEDISH)


def test_the_same_sentence_is_said_once():
    assert len(problem_sentences([Problem("share.none"), Problem("share.none", "x")], AMERICAN)) == 1
