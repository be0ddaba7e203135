"""What so much of a piece costs: the parts always come to the whole."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.ledger import WHOLE, Holding

holdings = st.builds(Holding, st.integers(1, WHOLE), st.integers(0, 10**9))


@given(held=holdings, takes=st.lists(st.integers(1, WHOLE), max_size=30))
def test_whatever_is_drawn_in_turn_costs_the_whole_together(held, takes):
    left, spent = held, 0
    for share in takes:
        taken = min(share, left.share)
        if not taken:
            break
        cost = left.cost_of(taken)
        left, spent = left.after(-taken, -cost), spent + cost
    if left.share:
        spent += left.cost_of(left.share)
    assert spent == held.cost


@given(held=holdings, share=st.integers(1, WHOLE), more=st.integers(1, WHOLE))
def test_more_never_costs_less(held, share, more):
    one, other = sorted((min(share, held.share), min(more, held.share)))
    assert held.cost_of(one) <= held.cost_of(other) <= held.cost


@pytest.mark.parametrize(("share", "code"), [(0, "ledger.nothing"), (11, "ledger.more")])
def test_nothing_and_too_much_are_refused(share, code):
    with pytest.raises(NotPossible) as refused:
        Holding(10, 100).cost_of(share)
    assert [problem.code for problem in refused.value.problems] == [code]


def test_no_money_stays_without_cloth():
    with pytest.raises(NotPossible):
        Holding(10, 100).after(-10, -99)
