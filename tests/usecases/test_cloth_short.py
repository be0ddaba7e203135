"""Cloth short: told when the shelf, what is held, or the strip at the loom is not enough; gone when it is again."""

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.amount import Share
from shop.core.measure import Length
from shop.usecases import cutting_plan, draw, job, job_card, piece, today
from shop.usecases.chosen import NewCloth
from shop.usecases.cloth_short import Lack, Why, _beside
from shop.usecases.given import fresh_token
from shop.usecases.today import Task
from tests.builders import (
    a_cone,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_planned_job,
    a_shaft_loom,
    a_sheet,
    an_open_shop,
    drawn,
    held,
    inches,
)

LONG = {"width": inches(81), "length": inches(250)}


@pytest.fixture
def bench(store, now):
    """A shaft loom; a long piece that is enough for two small rugs and some, and a sheet of another colour."""
    an_open_shop(store, now)
    a_kept_loom(store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    a_haul_at_home(store, now, a_sheet(ready=True, **LONG), a_sheet(ready=True, name="Orange", colour="#ff8800"), a_cone())
    return store


def short(store, now):
    """Which jobs lack what: job, cloth, why, and metres of strip."""
    return [
        (one.number, lack.name, lack.why, lack.length.metres)
        for one in today.chores(store, now=now)
        if one.task is Task.CLOTH
        for lack in one.lacks
    ]


def why(store, now):
    return [(number, name, reason) for number, name, reason, _ in short(store, now)]


def elsewhere(store, now, number=1, amount=None):
    """Cloth of that piece goes into a job begun without a quote."""
    other = a_job(store, now, name="Something else")
    drawn(store, now, number, other, amount)
    return other


def need_of(store, number):
    found = cutting_plan.propose(store, jobs=[number])
    return found.bands[0].need.metres


def test_a_job_whose_piece_is_enough_is_no_chore(bench, now):
    a_planned_job(bench, now, 1)
    a_job(bench, now, name="Without a quote")
    assert short(bench, now) == []


def test_a_piece_used_up_elsewhere_leaves_the_job_short_of_all_it_wants(bench, now):
    number = a_planned_job(bench, now, 1)
    elsewhere(bench, now)
    [(job_number, name, reason, metres)] = short(bench, now)
    assert (job_number, name, reason) == (number, "Blue striped sheet", Why.SHELF)
    assert metres == pytest.approx(need_of(bench, number))


def test_what_the_shelf_gives_too_little_is_what_the_plan_is_short_of(bench, now):
    number = a_planned_job(bench, now, 1)
    elsewhere(bench, now, amount=Share(Decimal("0.8")))
    [(_, _, reason, metres)] = short(bench, now)
    plan = cutting_plan.propose(bench, jobs=[number]).plan
    assert reason is Why.SHELF
    assert metres == pytest.approx(plan.cutting.short[0].metres, abs=0.15)


def test_cloth_held_for_a_job_and_drawn_elsewhere_is_missed_until_it_comes_back(bench, now):
    number = a_planned_job(bench, now, 1)
    held(bench, now, number)
    assert short(bench, now) == []
    other = elsewhere(bench, now)
    assert why(bench, now) == [(number, "Blue striped sheet", Why.GONE)]
    step = piece.piece(bench, number=1).steps[-1]
    piece.undo(bench, number=1, step_id=step.id, saving=fresh_token(), now=now)
    assert short(bench, now) == []
    assert job.job(bench, number=other).cloth == ()


def test_who_held_it_first_is_served_first(bench, now):
    first, second = (a_planned_job(bench, now, 1) for _ in range(2))
    held(bench, now, first)
    held(bench, now, second)
    assert short(bench, now) == []
    kept = piece.piece(bench, number=1).held[0]
    left = piece.piece(bench, number=1).left_parts
    elsewhere(bench, now, amount=Share(Decimal(left - kept.parts) / 10**9))
    assert why(bench, now) == [(second, "Blue striped sheet", Why.GONE)]


def test_of_a_piece_that_several_count_on_the_older_job_has_the_first(bench, now):
    numbers = [a_planned_job(bench, now, 1) for _ in range(6)]
    found = why(bench, now)
    assert found
    assert [number for number, _, _ in found] == numbers[-len(found) :]
    assert all(reason is Why.SHELF for _, _, reason in found)


def test_strips_that_are_cut_or_drawn_are_there_whatever_becomes_of_the_rest(bench, now):
    number = a_planned_job(bench, now, 1)
    held(bench, now, number)
    (line,) = job_card.card(bench, number=number).cuts
    job_card.draw_cut(bench, job=number, cut=line.id, strips=line.strips, saving=fresh_token(), now=now)
    elsewhere(bench, now)
    assert short(bench, now) == []


def test_cloth_still_to_be_bought_is_told_until_it_is_held(bench, now):
    cloth = NewCloth(colour="#97291d")
    number = a_planned_job(bench, now, new_cloth=cloth)
    assert why(bench, now) == [(number, "", Why.TO_BUY)]
    a_haul_at_home(bench, now, a_sheet(ready=True, name="Red curtain", colour="#97291d"))
    held(bench, now, number)
    assert short(bench, now) == []


def test_at_the_loom_only_what_likely_does_not_reach_is_told(bench, now):
    number = a_planned_job(bench, now, 1)
    wanted = need_of(bench, number)
    likely = cutting_plan.strip_wanted(rug(bench, number), rug(bench, number).reckoning.cloths[0]).middle
    found = held(bench, now, number)
    (line,) = job_card.card(bench, number=number).cuts
    enough = next(n for n in range(1, line.strips + 1) if joined(found, line, n) >= likely)
    assert joined(found, line, enough) < wanted, "else the test tells nothing"
    job_card.draw_cut(bench, job=number, cut=line.id, strips=enough, saving=fresh_token(), now=now)
    for cut in job_card.card(bench, number=number).cuts:
        if not cut.drawn:
            job_card.give_up(bench, job=number, cut=cut.id, saving=fresh_token(), now=now)
    elsewhere(bench, now)
    assert why(bench, now) == [(number, "Blue striped sheet", Why.SHELF)]
    job_card.mark_rows(bench, job=number, rows=3, saving=fresh_token(), now=now)
    assert short(bench, now) == []
    draw.give_back(bench, number=1, job=number, amount=Share(Decimal("0.1")), saving=fresh_token(), now=now)
    elsewhere(bench, now)
    [chore] = [one for one in today.chores(bench, now=now) if one.task is Task.CLOTH]
    assert (chore.woven_on, [one.why for one in chore.lacks]) == (True, [Why.REACH])


def rug(store, number):
    return job_card.card(store, number=number).rug


def joined(found, line, strips):
    return strips * line.each.metres - (strips - 1) * found.rules.join_loss.metres


def test_cloth_drawn_for_no_band_makes_up_for_what_lacks(bench, now):
    number = a_planned_job(bench, now, 1)
    elsewhere(bench, now)
    before = short(bench, now)[0][3]
    drawn(bench, now, 2, number, Share(Decimal("0.02")))
    assert short(bench, now)[0][3] < before
    drawn(bench, now, 2, number)
    assert short(bench, now) == []


def test_a_rug_that_is_done_or_called_off_lacks_nothing(bench, now):
    number = a_planned_job(bench, now, 1)
    elsewhere(bench, now)
    assert short(bench, now)
    job.call_off(bench, number=number, saving=fresh_token(), now=now)
    assert short(bench, now) == []


def test_a_piece_to_be_washed_is_no_piece_lacking(store, now):
    an_open_shop(store, now)
    a_kept_loom(store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    a_haul_at_home(store, now, a_sheet())
    a_planned_job(store, now, 1)
    assert short(store, now) == []


def test_looking_asks_as_often_for_thirty_jobs_and_a_long_history_as_for_one(bench, now, count_queries):
    def asked():
        with count_queries(bench) as said:
            found = short(bench, now)
        return len(said), found

    first = a_planned_job(bench, now, 1, 2)
    held(bench, now, first)
    elsewhere(bench, now, amount=Share(Decimal("0.9")))
    few, found = asked()
    assert found
    quote = job.job(bench, number=first).line.quote
    for place in range(28):
        later = now + timedelta(minutes=place)
        a_haul_at_home(bench, later, a_sheet(ready=True, count=3))
        a_job(bench, later, name=f"Runner {place}", quote=quote)
        elsewhere_job = a_job(bench, later, name="Small")
        drawn(bench, later, 4 + 3 * place, elsewhere_job)
        job.weave(bench, number=elsewhere_job, saving=fresh_token(), now=later)
    many, found = asked()
    assert len({number for number, *_ in found}) == 29
    assert many == few


lacks = st.lists(st.integers(1, 10**4), max_size=6)


@given(lacks, st.integers(0, 3 * 10**4))
def test_loose_cloth_takes_off_as_much_as_there_is_and_no_more(lengths, loose):
    """In whole centimetres, so that sums are exact."""
    before = [Lack(band=place, name="", why=Why.SHELF, length=Length.of(cm, "cm")) for place, cm in enumerate(lengths)]
    after = _beside(before, loose / 100)
    assert sum(one.length.metres for one in after) == pytest.approx(max(0, sum(lengths) - loose) / 100, abs=1e-6)
    assert all(one.length <= before[one.band].length for one in after)
