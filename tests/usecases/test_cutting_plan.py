"""Cutting plans: what rugs need, what the shelf gives, and cloth that is held for a job and for no other."""

from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.cutting import Wish, rest_of
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.ledger import WHOLE
from shop.core.strips import Tool, Way
from shop.usecases import cutting_plan, job, job_card, piece
from shop.usecases.chosen import NewCloth
from shop.usecases.cutting_plan import Serves, StripsPlanned
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_ready_piece,
    a_sheet,
    accept,
    an_open_shop,
    codes,
    drawn,
    held,
    inches,
    money,
)


@pytest.fixture
def bench(store, now):
    """A frame, and on the shelf a sheet and a blue one: No. 1 and No. 2."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(
        store, now, a_sheet(ready=True, tears=True), a_sheet(ready=True, name="Indigo sheet", colour="#223366", tears=True)
    )
    return store


def free(store, number):
    return piece.piece(store, number=number).free_parts


def refused(what, code, error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {("", code)}


def test_a_rug_needs_the_high_estimate_of_each_of_its_cloths(bench, now):
    number = a_planned_job(bench, now, 1, 2)
    found = cutting_plan.propose(bench, jobs=[number])
    card = job_card.card(bench, number=number)
    loss = found.rules.join_loss.metres
    for need, use in zip(found.bands, card.rug.reckoning.cloths, strict=True):
        joins = use.joins * loss / (1 - card.rug.reckoning.plan.waste) / use.to_cut.middle
        assert need.wanted.metres == pytest.approx(use.to_cut.high * (1 - joins), abs=1e-6)
        assert need.need == need.wanted
        assert need.serves is Serves.NAMED
    assert not any(found.plan.cutting.short)
    for band, reach in enumerate(found.plan.cutting.reach):
        assert reach >= found.bands[band].need


def test_accepted_the_strips_are_held_and_stay_on_the_shelf(bench, now):
    number = a_planned_job(bench, now, 1, 2)
    found = held(bench, now, number)
    for cut in found.plan.cutting.cuts:
        card = piece.piece(bench, number=found.pieces[cut.piece].number)
        (one,) = card.held
        assert (one.job, one.name, one.strips) == (number, "Hall runner", cut.strips)
        assert card.left_parts == WHOLE
        assert card.free_parts == WHOLE - one.parts
    assert prove(bench).faults == ()


def test_accepting_with_one_press_holds_once(bench, now):
    number = a_planned_job(bench, now, 1)
    found = cutting_plan.propose(bench, jobs=[number])
    token = fresh_token()
    assert accept(bench, now, found, token) == accept(bench, now, found, token) == 1
    assert len(piece.piece(bench, number=1).held) == 1
    with pytest.raises(Clash):
        cutting_plan.accept(bench, jobs=[number], strips=found.strips[:0], saving=token, now=now)


def test_another_job_cannot_plan_on_what_is_held(bench, now):
    first, second = (a_planned_job(bench, now, 1, name=name) for name in ("First", "Second"))
    held(bench, now, first)
    left = free(bench, 1)
    assert 0 < left < WHOLE
    found = cutting_plan.propose(bench, jobs=[second])
    assert all(found.plan.cutting.short)
    (one,) = found.plan.cutting.cuts
    whole = int(inches(96 if one.way.value == "across" else 81).inches // 2)
    assert one.strips <= whole * left // WHOLE
    accept(bench, now, found)
    assert sum(held.parts for held in piece.piece(bench, number=1).held) <= WHOLE
    again = cutting_plan.propose(bench, jobs=[first])
    assert not any(again.plan.cutting.short), "a job plans on what it holds itself"


def test_two_who_take_the_same_cloth_are_told(bench, now):
    jobs = [a_planned_job(bench, now, 1, name=name) for name in ("A", "B")]
    plans = [cutting_plan.propose(bench, jobs=[number]) for number in jobs]
    accept(bench, now, plans[0])
    refused(lambda: accept(bench, now, plans[1]), "plan.taken")
    assert [one.job for one in piece.piece(bench, number=1).held] == [jobs[0]]


def test_planning_anew_takes_the_place_of_what_was_held(bench, now):
    number = a_planned_job(bench, now, 1)
    held(bench, now, number)
    held(bench, now, number, serves={(number, 0): Serves.ANY}, prefer=(Wish.JOINS,))
    assert len(job_card.card(bench, number=number).cuts) == 1
    assert sum(len(piece.piece(bench, number=one).held) for one in (1, 2)) == 1


@pytest.mark.parametrize("way", ["called off", "woven"])
def test_what_is_held_lapses_with_its_job(bench, now, way):
    number = a_planned_job(bench, now, 1)
    held(bench, now, number)
    if way == "woven":
        drawn(bench, now, 2, number)
        job.weave(bench, number=number, saving=fresh_token(), now=now)
    else:
        job.call_off(bench, number=number, saving=fresh_token(), now=now)
    assert free(bench, 1) == WHOLE
    assert job_card.card(bench, number=number).cuts == ()


def test_several_jobs_share_a_shelf_in_one_plan(bench, now):
    jobs = [a_planned_job(bench, now, 1, name="A"), a_planned_job(bench, now, 2, name="B")]
    found = cutting_plan.propose(bench, jobs=jobs)
    assert {need.job for need in found.bands} == set(jobs)
    accept(bench, now, found)
    for number in jobs:
        assert job_card.card(bench, number=number).cuts


def test_a_colour_or_anything_may_serve(bench, now):
    number = a_planned_job(bench, now, 1)
    near = cutting_plan.propose(bench, jobs=[number], serves={(number, 0): Serves.NEAR})
    assert {near.pieces[cut.piece].number for cut in near.plan.cutting.cuts} == {1}
    drawn(bench, now, 1, a_job(bench, now, name="Other"))
    gone = cutting_plan.propose(bench, jobs=[number])
    assert all(gone.plan.cutting.short)
    anything = cutting_plan.propose(bench, jobs=[number], serves={(number, 0): Serves.ANY})
    assert {anything.pieces[cut.piece].number for cut in anything.plan.cutting.cuts} == {2}


def test_what_is_short_is_said_in_cloth_to_buy(bench, now):
    number = a_planned_job(bench, now, new_cloth=NewCloth(colour="#ff0000", paid=money("5.00")))
    found = cutting_plan.propose(bench, jobs=[number])
    (short,), (buy,), (cost,) = found.plan.cutting.short, found.buy, found.buy_cost
    assert short == found.bands[0].need
    strips = int(buy.width.inches // 2)
    joined = strips * buy.length.metres - (strips - 1) * found.rules.join_loss.metres
    assert joined >= short.metres > joined - strips * inches(9).metres
    assert buy.length.nm % inches(9).nm == 0
    assert min(buy.sheets.values()) >= 1
    assert cost > money("0")


def test_what_the_job_has_already_is_not_planned_again(bench, now):
    number = a_planned_job(bench, now, 1)
    before = cutting_plan.propose(bench, jobs=[number]).bands[0]
    drawn(bench, now, 1, number, Share(Decimal("0.25")))
    after = cutting_plan.propose(bench, jobs=[number]).bands[0]
    strips = 81 * 0.25 / 2
    assert after.have.metres == pytest.approx((96 * strips - 3 * (strips - 1)) * 0.0254)
    assert after.need == before.need - after.have


def test_torn_strips_are_planned_with_their_fray_where_the_cloth_tears(bench, now):
    number = a_planned_job(bench, now, 1, tool=Tool.TEAR)
    held(bench, now, number)
    (line,) = job_card.card(bench, number=number).cuts
    assert line.torn
    side = line.piece.width if line.way.value == "along" else line.piece.length
    assert piece.piece(bench, number=1).held[0].parts == WHOLE * line.strips // int(side.inches // 2.25)


def test_what_cannot_be_planned_is_said(bench, now):
    plain, planned = a_job(bench, now, name="Plain"), a_planned_job(bench, now, 1)
    other = a_planned_job(bench, now, 2, strip=inches(1))
    refused(lambda: cutting_plan.propose(bench, jobs=[]), "plan.no_job")
    refused(lambda: cutting_plan.propose(bench, jobs=[plain]), "plan.no_rug")
    refused(lambda: cutting_plan.propose(bench, jobs=[planned, other]), "plan.unlike")
    refused(lambda: cutting_plan.propose(bench, jobs=list(range(1, 14))), "plan.many_jobs")
    refused(lambda: cutting_plan.propose(bench, jobs=[99]), "job.unknown", NotFound)
    job.call_off(bench, number=planned, saving=fresh_token(), now=now)
    refused(lambda: cutting_plan.propose(bench, jobs=[planned]), "job.closed")


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"piece": 99}, "plan.stranger"),
        ({"band": 7}, "plan.stranger"),
        ({"job": 99}, "plan.stranger"),
        ({"strips": 4_000}, "plan.taken"),
    ],
)
def test_strips_that_no_rug_or_piece_knows_are_refused(bench, now, changed, code):
    number = a_planned_job(bench, now, 1)
    found = cutting_plan.propose(bench, jobs=[number])
    (one,) = found.strips
    wrong = StripsPlanned(**{"job": number, "band": 0, "piece": 1, "way": one.way, "strips": one.strips, **changed})
    refused(
        lambda: cutting_plan.accept(bench, jobs=[number], strips=[wrong], saving=fresh_token(), now=now), code
    )
    refused(lambda: cutting_plan.accept(bench, jobs=[number], strips=[], saving=fresh_token(), now=now), "plan.nothing")
    assert free(bench, 1) == WHOLE


def test_a_plan_asks_as_often_with_much_history_as_with_little(bench, now, count_queries):
    number = a_planned_job(bench, now, 1)

    def asked():
        with count_queries(bench) as said:
            cutting_plan.propose(bench, jobs=[number])
            job_card.card(bench, number=number)
        return len(said)

    asked()
    before = asked()
    for turn in range(5):
        a_ready_piece(bench, now)
        held(bench, now, a_planned_job(bench, now, 2 + turn, width=inches(6)))
        job_card.mark_rows(bench, job=number, rows=turn + 1, saving=fresh_token(), now=now)
    assert asked() == before


def test_a_sheet_that_was_cut_across_is_shorter_from_then_on(bench, now):
    """Strips across leave a shorter sheet: another plan has shorter strips along it, and no more of them than fit."""
    first = a_planned_job(bench, now, 1)
    found = cutting_plan.propose(bench, jobs=[first])
    (cut,) = found.plan.cutting.cuts
    across = [StripsPlanned(job=first, band=0, piece=1, way=Way.ACROSS, strips=20)]
    cutting_plan.accept(bench, jobs=[first], strips=across, saving=fresh_token(), now=now)
    (line,) = job_card.card(bench, number=first).cuts
    job_card.draw_cut(bench, job=first, cut=line.id, strips=20, saving=fresh_token(), now=now)
    second = a_planned_job(bench, now, 1, name="Second")
    again = cutting_plan.propose(bench, jobs=[second], prefer=(Wish.JOINS,))
    (cut,) = again.plan.cutting.cuts
    each = cut.length.inches / cut.strips
    assert (cut.way, each) in ((Way.ALONG, pytest.approx(96 - 40)), (Way.ACROSS, pytest.approx(81)))
    assert cut.strips <= {Way.ALONG: 40, Way.ACROSS: 28}[cut.way]
    accept(bench, now, again)
    assert sum(held.parts for held in piece.piece(bench, number=1).held) <= piece.piece(bench, number=1).left_parts


def test_a_sheet_keeps_its_parts_however_it_is_cut():
    sheet = rest_of(inches(81), inches(96), [(Way.ALONG, WHOLE * 10 // 40), (Way.ACROSS, WHOLE * 15 // 40)])
    assert sheet.parts == WHOLE * 15 // 40
    assert sheet.width.inches == pytest.approx(81 * 0.75)
    assert sheet.length.inches == pytest.approx(96 / 2)
    assert rest_of(inches(81), inches(96), [(Way.ALONG, WHOLE), (Way.ACROSS, 5)]).parts == 0


def test_the_plan_tells_who_else_holds_the_piece(bench, now):
    first, second = (a_planned_job(bench, now, 1, name=name) for name in ("First", "Second"))
    held(bench, now, first)
    assert cutting_plan.propose(bench, jobs=[second]).bands[0].held_by == ("First",)
    assert cutting_plan.propose(bench, jobs=[first]).bands[0].held_by == ()
