"""Sentences stand where they can be gathered: none is said inside a formatted string, where the gathering does not look."""

import re

import pytest

from shop import places

FILES = sorted((places.templates().parent / "shop").rglob("*.py"))
INSIDE = re.compile(r"""f(["']).*\{[^{}]*\b(?:say|say_n|mark)\((?!\1)["']""")


@pytest.mark.parametrize("file", FILES, ids=lambda file: f"{file.parent.name}/{file.name}")
def test_no_sentence_is_said_inside_a_formatted_string(file):
    wrong = [line for line in file.read_text(encoding="utf-8").splitlines() if INSIDE.search(line)]
    assert wrong == []
