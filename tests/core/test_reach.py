"""Will it reach? Against rugs whose truth is known, and against the joint normal worked out the long way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from shop.core.errors import NotPossible
from shop.core.reach import ERROR, OF_A_ROW, OF_THE_CUT, OWN, SURE, ClothOnLoom, Measured, Verdict, reach
from shop.core.spread import Estimate
from tests.core.simulated_rugs import FIELDS, simulate

RATE = Estimate(1.0, (("take_up", 0.2),))


def a_cloth(**given):
    return ClothOnLoom(**{"rate": RATE, "rows": 100, "done": 50, "cut": 120.0, "left": 65.0, **given})


@pytest.mark.parametrize("truth", FIELDS, ids=str)
def test_rugs_that_run_out_are_told_in_time_and_few_that_do_not(truth):
    found = simulate(1500, seed=7, **FIELDS[truth])
    assert found.out > 300
    assert found.enough > 300
    assert found.told_share >= 0.95
    assert found.wolf_share <= 0.10


def test_before_anything_is_woven_it_goes_by_the_estimate_alone():
    (said,) = reach([a_cloth(done=0, cut=None, left=100 * math.exp(0.2))])
    doubt = math.hypot(0.2, OWN, OF_A_ROW / 10, ERROR[Measured.LENGTH])
    assert said.chance == pytest.approx(stats.norm.cdf(0.2 / doubt))
    assert said.rate.middle == pytest.approx(1.0)


def test_what_was_used_is_joined_to_the_estimate_by_its_precision():
    (said,) = reach([a_cloth()])
    used, error = 55.0, math.hypot(OF_THE_CUT * 120, ERROR[Measured.LENGTH] * 65)
    seen, noise = math.log(used / 50), (error / used) ** 2 + OF_A_ROW**2 / 50
    prior = 0.2**2 + OWN**2
    assert math.log(said.rate.middle) == pytest.approx(seen * prior / (prior + noise))
    assert said.rate.sigma == pytest.approx(math.sqrt(1 / (1 / prior + 1 / noise)))


def test_several_cloths_are_the_conditional_of_one_joint_normal():
    """The update one by one is the textbook conditional of all at once."""
    cloths = [
        a_cloth(),
        a_cloth(rate=Estimate(2.0, (("cloth", 0.1), ("take_up", 0.2))), cut=260.0, left=140.0),
        a_cloth(rate=Estimate(0.5, (("take_up", 0.2),)), done=0),
    ]
    prior = np.log([1.0, 2.0, 0.5])
    variance = 0.04 + np.diag([OWN**2, OWN**2 + 0.01, OWN**2])
    observed, noise = [], []
    for one in cloths[:2]:
        used = one.cut - one.left
        observed.append(math.log(used / one.done))
        error = math.hypot(OF_THE_CUT * one.cut, ERROR[one.measured] * one.left)
        noise.append((error / used) ** 2 + OF_A_ROW**2 / one.done)
    pick = np.eye(3)[:2]
    gain = variance @ pick.T @ np.linalg.inv(pick @ variance @ pick.T + np.diag(noise))
    mean = prior + gain @ (np.array(observed) - pick @ prior)
    after = variance - gain @ pick @ variance
    for at, said in enumerate(reach(cloths)):
        assert math.log(said.rate.middle) == pytest.approx(mean[at])
        assert said.rate.sigma == pytest.approx(math.sqrt(after[at, at]))


def test_a_cloth_that_is_woven_tells_about_one_that_is_not():
    greedy = a_cloth(cut=160.0, left=65.0)
    alone = reach([a_cloth(done=0, cut=None, left=110.0)])[0]
    beside = reach([greedy, a_cloth(done=0, cut=None, left=110.0)])[1]
    assert beside.chance < alone.chance


@given(st.floats(1, 400), st.floats(1.001, 2), st.floats(0, 0.99), st.sampled_from(list(Measured)))
def test_more_strip_left_never_makes_it_less_likely_where_nothing_else_is_known(left, more, done, measured):
    less, much = (reach([a_cloth(done=100 * done, cut=None, left=one, measured=measured)])[0] for one in (left, left * more))
    assert much.chance >= less.chance
    assert much.rows_short <= less.rows_short
    assert much.short <= less.short


@given(st.floats(0, 300), st.floats(0, 99.9), st.floats(0.5, 300))
def test_leaving_out_the_rows_it_says_would_make_it_reach(left, done, used):
    cloth = a_cloth(done=done, left=left, cut=left + used)
    (said,) = reach([cloth])
    assert 0 <= said.chance <= 1
    assert (said.rows_short == 0) == (said.short == 0) == (said.chance >= SURE or said.needed.middle == 0)
    assert said.rows_short <= math.ceil(cloth.rows - done)
    assert 0 <= said.looser <= 1


def test_nothing_left_and_rows_to_weave_is_short_near_the_end():
    (said,) = reach([a_cloth(done=95, cut=100.0, left=0.0)])
    assert said.verdict is Verdict.SHORT
    assert said.rows_short == 5


def test_a_cloth_whose_rows_are_all_woven_reaches():
    (said,) = reach([a_cloth(done=100, left=0.0)])
    assert (said.verdict, said.chance, said.short) == (Verdict.REACHES, 1.0, 0.0)


@pytest.mark.parametrize(("given", "code"), [({"done": 101}, "reach.done"), ({"left": 140.0}, "reach.left")])
def test_what_cannot_be_is_refused(given, code):
    with pytest.raises(NotPossible) as refused:
        reach([a_cloth(**given)])
    assert refused.value.problems[0].code == code
