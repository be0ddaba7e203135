"""Problems and refusals."""

import pytest

from shop.core.errors import CannotMake, NotPossible, Problem, Refusal, Unreadable


def test_a_refusal_keeps_every_problem_and_names_its_place():
    refusal = Refusal(Problem("length.missing", "rug.width"), Problem("margin.range"))
    assert [problem.code for problem in refusal.problems] == ["length.missing", "margin.range"]
    assert str(refusal) == "rug.width: length.missing; margin.range"


def test_a_problem_can_be_moved_to_its_field():
    found = Problem("length.large", values={"text": "11 km"}).at("rug.length")
    assert (found.code, found.where, found.values) == ("length.large", "rug.length", {"text": "11 km"})


@pytest.mark.parametrize("kind", [Unreadable, CannotMake, NotPossible])
def test_every_kind_is_caught_as_a_refusal(kind):
    with pytest.raises(Refusal):
        raise kind(Problem("share.range"))
