"""The shop's own figures for a rug, in the form in which a plan takes them."""

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from shop.core.evidence import Evidence, Guess, What
from shop.core.hours import pace_guess
from shop.core.learning import learn
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom
from shop.core.own_figures import ForRug, edges_of, guesses_for, own_figures
from shop.core.reckon import reckon
from shop.core.spread import Basis
from shop.core.strips import Tool
from tests.core.a_rug import LOOMS as DESCRIBED
from tests.core.a_rug import a_plan

TODAY = date(2026, 3, 17)
LOOMS = {"frame": FrameLoom(), "shaft": ShaftLoom(), "plank": PlankLoom()}


def guesses(kind, **changed):
    return guesses_for(LOOMS[kind], name="barn", **{"packing": 2.6, "take_up": 1.12, "waste": 0.05, "pace": pace_guess(kind), **changed})


def a_rug(kind, **changed):
    given = {"kind": "denim", "cloth": "blue", "row_m": 0.76, "threads": 60, "edges": 2.0}
    return ForRug(on="barn", loom=LOOMS[kind], tool=Tool.ROTARY, **{**given, **changed})


def records(kind, slower=1.5):
    """Thirty rugs, everything taking so many times as long as is guessed."""
    chance = np.random.default_rng(6)
    pace, found = pace_guess(kind), []
    thread = pace.warp_per_pass if kind == "frame" else pace.warp_per_end
    for number in range(30):
        width, threads, edges = chance.uniform(0.3, 1.4), float(chance.integers(20, 200)), float(chance.choice([2, 4, 7]))
        minutes = {
            (What.ROW, "barn", width): pace.weave_per_row + pace.weave_per_row_m * width,
            (What.WARP, "barn", threads): pace.warp_set_up + thread * threads,
            (What.FINISH, "barn", edges): pace.finish_set_up + pace.finish_per_edge * edges,
            (What.CUT, "rotary", 1.0): pace.cut_rotary_per_m,
        }
        for (what, on, size), value in minutes.items():
            cloth = {"kind": "denim", "cloth": "blue"} if what.is_of_cloth else {}
            taken = slower * value * math.exp(chance.normal(0, 0.03))
            found.append(Evidence(what=what, value=taken, on=on, size=size, day=TODAY, source=f"job {number}", **cloth))
    return found


@pytest.mark.parametrize("kind", LOOMS)
def test_before_any_rug_they_are_what_was_set_or_guessed(kind):
    found = own_figures(learn([], guesses(kind), today=TODAY), a_rug(kind), pace_guess(kind))
    assert found.pace == pace_guess(kind)
    assert found.learned == ()
    assert all(one.basis is Basis.GUESS for one in found.answers.values())
    assert (What.DRAW_IN in found.answers) is (kind == "shaft")
    assert found.about_one(What.PACKING).middle == 1
    assert found.about_one(What.PACKING).sigma == pytest.approx(0.2)
    assert found.about_one(What.WASTE).sigma == pytest.approx(0.1)
    assert found.answers[What.WASTE].middle == pytest.approx(0.05)


@pytest.mark.parametrize("kind", LOOMS)
def test_a_slower_weaver_has_a_slower_pace_in_every_step_that_was_timed(kind):
    found = own_figures(learn(records(kind), guesses(kind), today=TODAY), a_rug(kind), pace_guess(kind))
    guessed, mine = pace_guess(kind), found.pace
    thread = "warp_per_pass" if kind == "frame" else "warp_per_end"
    for name in ("weave_per_row", "weave_per_row_m", "warp_set_up", thread, "finish_set_up", "finish_per_edge", "seam_per_m", "cut_rotary_per_m"):
        assert getattr(mine, name) == pytest.approx(1.5 * getattr(guessed, name), rel=0.2), name
    for name in ("cut_tear_per_m", "wash_per_kg", "office", "band_change"):
        assert getattr(mine, name) == getattr(guessed, name)
    assert set(found.learned) == {"hours.pace.weave_per_row", "hours.pace.warp", "hours.pace.finish", "hours.pace.cut_per_m"}


def test_the_line_of_a_pace_passes_through_its_answer():
    rug = a_rug("frame")
    found = own_figures(learn(records("frame"), guesses("frame"), today=TODAY), rug, pace_guess("frame"))
    pace = found.pace
    assert pace.weave_per_row + pace.weave_per_row_m * rug.row_m == pytest.approx(found.answers[What.ROW].middle, rel=1e-12)
    assert pace.warp_set_up + pace.warp_per_pass * rug.threads == pytest.approx(found.answers[What.WARP].middle, rel=1e-12)
    assert pace.cut_rotary_per_m == pytest.approx(found.answers[What.CUT].middle, rel=1e-12)


def test_seams_are_finished_as_so_many_edges():
    pace = pace_guess("shaft")
    assert edges_of(1, 1.8, pace) == 2
    assert edges_of(2, 1.5, pace) == pytest.approx(4 + 1.5 * 20 / 15)
    assert edges_of(2, 1.5, replace(pace, finish_per_edge=0.0)) == 4


def test_a_pace_that_the_shop_has_set_to_nothing_stays_nothing():
    pace = replace(pace_guess("frame"), cut_rotary_per_m=0.0, finish_per_edge=0.0)
    start = guesses("frame", pace=pace)
    assert start[What.CUT, "rotary"] == Guess(0.0)
    found = own_figures(learn(records("frame"), start, today=TODAY), a_rug("frame"), pace)
    assert found.pace.cut_rotary_per_m == 0
    assert found.pace.finish_per_edge == 0


@pytest.mark.parametrize("kind", LOOMS)
def test_a_rug_is_reckoned_by_them(kind):
    """Weaving takes half as long again, and nothing else of the rug changes."""
    plan = a_plan(DESCRIBED[kind])
    rug = a_rug(kind, row_m=reckon(plan).made.panel_width.metres)
    found = own_figures(learn(records(kind), guesses(kind), today=TODAY), rug, pace_guess(kind))
    before, after = reckon(plan), reckon(replace(plan, pace=found.pace))
    assert after.minutes["weave"].middle == pytest.approx(1.5 * before.minutes["weave"].middle, rel=0.03)
    assert after.minutes["cut"].middle == pytest.approx(1.5 * before.minutes["cut"].middle, rel=0.03)
    assert after.rows == before.rows
    known = found.about_one(What.ROW)
    assert known.sigma < plan.uncertain("hours.pace.weave_per_row", 1.0).sigma / 2
