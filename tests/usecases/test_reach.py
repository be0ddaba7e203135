"""Will it reach? As a job is asked: by rows, by length, by weight, in bobbins; and what it advises."""

from decimal import Decimal

import pytest

from shop.core.errors import NotFound, Refusal
from shop.core.measure import Length, Weight
from shop.core.reach import SURE, Verdict
from shop.usecases import job_card, reach
from shop.usecases.given import fresh_token
from shop.usecases.reach import StripLeft
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_planned_job,
    a_shaft_loom,
    a_sheet,
    an_open_shop,
    codes,
    held,
    inches,
)


@pytest.fixture
def bench(store, now):
    """A shaft loom; two like sheets and an orange one, and a job on the first, its strips cut and in it."""
    an_open_shop(store, now)
    a_kept_loom(store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    spare = a_sheet(ready=True, name="Spare", colour="#5678ab", width=inches(20), length=inches(90))
    a_haul_at_home(store, now, a_sheet(ready=True), spare, a_sheet(ready=True, name="Orange", colour="#ff8800"))
    number = a_planned_job(store, now, 1)
    held(store, now, number)
    (line,) = job_card.card(store, number=number).cuts
    job_card.draw_cut(store, job=number, cut=line.id, strips=line.strips, saving=fresh_token(), now=now)
    return store


def metres(value):
    return Length.of(value, "m")


def asked(store, **given):
    (answer,) = reach.ask(store, job=1, **given)
    return answer


def test_what_the_job_cut_is_known_from_its_record(bench):
    known = reach.begin(bench, job=1)
    (cut,), (have,) = known.cut, known.card.have
    assert cut == have > 0


def test_half_way_with_half_of_the_strip_left_it_is_told_by_what_the_rug_took(bench):
    known = reach.begin(bench, job=1)
    whole, cut = known.card.whole, known.cut[0]
    plenty = asked(bench, rows=whole // 2, left={0: StripLeft(length=metres(cut * 0.8))})
    assert (plenty.reach.verdict, plenty.spare, plenty.runs_out) == (Verdict.REACHES, None, None)
    assert plenty.reach.chance >= SURE
    little = asked(bench, rows=whole * 9 // 10, left={0: StripLeft(length=metres(cut * 0.02))})
    assert little.reach.verdict is Verdict.SHORT
    assert whole * 9 // 10 < little.runs_out < whole
    assert little.shorten.nm > 0
    assert little.spare.piece.number == 1, "what stays of the very piece is nearest in colour"


def test_the_same_left_said_in_other_ways_is_the_same_strip(bench):
    rug = job_card.card(bench, number=1).rug
    grams = 20 * rug.reckoning.cloths[0].cloth.grams_per_m2 * inches(2).metres
    for said in (
        StripLeft(length=metres(20)),
        StripLeft(weight=Weight.of(grams, "g")),
        StripLeft(bobbins=4.0, each=metres(5)),
    ):
        answer = asked(bench, rows=10, left={0: said})
        assert answer.left_m == pytest.approx(20)


def test_the_rows_marked_on_the_card_are_taken_where_none_are_said(bench, now):
    job_card.mark_rows(bench, job=1, rows=30, saving=fresh_token(), now=now)
    assert asked(bench, left={0: StripLeft(length=metres(40))}).done == 30


def test_a_length_woven_stands_for_its_rows_and_leaves_the_packing_in_doubt(bench):
    rug = job_card.card(bench, number=1)
    half = Length(rug.rug.reckoning.warp.woven.nm // 2)
    by_length = asked(bench, woven=half, left={0: StripLeft(length=metres(40), cut=metres(1000))})
    assert by_length.done == pytest.approx(rug.whole / 2, abs=0.01)
    rows = asked(bench, rows=0, left={0: StripLeft(length=metres(40))})
    length = asked(bench, woven=Length(0), left={0: StripLeft(length=metres(40))})
    assert length.reach.rate.sigma > rows.reach.rate.sigma


def test_what_cannot_be_is_said_at_its_place(bench, now):
    whole = job_card.card(bench, number=1).whole
    one = StripLeft(length=metres(40))
    for given, where, code in (
        ({"rows": whole + 1, "left": {0: one}}, "rows", "rows.range"),
        ({"woven": metres(90), "left": {0: one}}, "woven", "length.most"),
        ({"rows": 1, "left": {}}, "left.0", "reach.nothing"),
        ({"rows": 1, "left": {0: StripLeft(length=metres(9000))}}, "left.0", "reach.left"),
    ):
        with pytest.raises(Refusal) as refused:
            reach.ask(bench, job=1, **given)
        assert codes(refused) == {(where, code)}
    plain = a_job(bench, now, name="Plain")
    for number, code, error in ((plain, "plan.no_rug", Refusal), (99, "job.unknown", NotFound)):
        with pytest.raises(error) as refused:
            reach.begin(bench, job=number)
        assert codes(refused) == {("", code)}


def test_a_cloth_nothing_is_said_of_is_answered_only_where_its_strip_is_known(store, now):
    an_open_shop(store, now)
    a_kept_loom(store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    a_haul_at_home(store, now, a_sheet(ready=True), a_sheet(ready=True, name="Indigo", colour="#223366"))
    a_planned_job(store, now, 1, 2)
    answers = reach.ask(store, job=1, rows=0, left={1: StripLeft(length=metres(90))})
    assert [one.name for one in answers] == ["Indigo"]
    assert Decimal(str(answers[0].rows)) > 0
