"""Cloth drawn into a job and what comes of it there: to the cent, once a press, never more than there is."""

from decimal import Decimal

import pytest

from shop.core.amount import All, Area, Run, Scale, Share, Strips, Weighed
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.ledger import WHOLE
from shop.core.measure import Length, Weight
from shop.core.strips import Tool
from shop.usecases import draw, draw_bench, habits, job, piece, worth
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import (
    a_cone,
    a_haul_at_home,
    a_job,
    a_piece_in_hand,
    a_ready_piece,
    a_sheet,
    an_open_shop,
    codes,
    drawn,
    inches,
    money,
)

HALF = Share(Decimal("0.5"))
QUARTER = Share(Decimal("0.25"))


@pytest.fixture
def bench(store, now):
    """A shop with a sheet of $10.01, ready to draw from, and a job: both are No. 1."""
    an_open_shop(store, now)
    a_ready_piece(store, now, paid=money("10.01"))
    a_job(store, now)
    return store


@pytest.fixture
def act(bench, now):
    """Does something with piece 1 in job 1."""

    def done(what, amount=None, **given):
        return what(bench, number=1, job=1, amount=amount or All(), saving=fresh_token(), now=now, **given)

    return done


def refused_as(what, *problems, error=Refusal):
    with pytest.raises(error) as refused:
        what()
    assert codes(refused) == set(problems)
    return refused.value.problems[0]


def places(store, now):
    found = worth.worth(store, now=now)
    assert found.on_shelf + found.in_jobs + found.in_rugs + found.written_off == found.paid
    return tuple(str(part.amount) for part in (found.on_shelf, found.in_jobs, found.in_rugs, found.written_off))


def test_half_of_a_piece_goes_into_a_job_with_half_its_cost(bench, now):
    done = drawn(bench, now, 1, 1, HALF)
    assert (done.look.cost, done.look.cost_left) == (money("5.01"), money("5.00"))
    assert done.look.said.of_whole == 0.5
    assert done.look.left.of_whole == 0.5
    card = piece.piece(bench, number=1)
    assert (card.left, card.cost_left, card.state) == (Decimal("0.5"), money("5.00"), "ready")
    assert (done.job.cost, done.job.cloth[0].share) == (money("5.01"), Decimal("0.5"))
    assert places(bench, now) == ("5.00", "5.01", "0.00", "0.00")


def test_the_last_draw_takes_the_last_cent(bench, now):
    parts = [drawn(bench, now, 1, 1, Share(Decimal(1) / 3)).look.cost for _ in range(2)]
    last = drawn(bench, now, 1, 1)
    assert sum((last.look.cost, *parts), money("0")) == money("10.01")
    card = piece.piece(bench, number=1)
    assert (card.left, card.cost_left, card.state) == (0, money("0"), "used up")


@pytest.mark.parametrize(
    ("amount", "share"),
    [
        # of a sheet 81 by 96 in
        (All(), Decimal(1)),
        (QUARTER, Decimal("0.25")),
        (Strips(10, inches(96), inches(2)), Decimal(20) / 81),
        (Strips(10, inches(96), inches(2), Tool.TEAR), Decimal("22.5") / 81),
        (Area(Decimal(81) * 48 * Decimal("0.00064516")), Decimal("0.5")),
        (Scale(Weight.of(600, "g"), Weight.of(450, "g")), Decimal("0.25")),
    ],
)
def test_every_way_of_saying_how_much_comes_to_its_share(bench, now, amount, share):
    drawn(bench, now, 1, 1, amount)
    assert piece.piece(bench, number=1).left_parts == WHOLE - round(share * WHOLE)


def test_yarn_comes_off_the_cone_by_length_and_by_weight(store, now):
    number = a_ready_piece(store, now, a_cone()).number
    a_job(store, now)
    drawn(store, now, number, 1, Weighed(Weight.of(125, "g")))
    card = piece.piece(store, number=number)
    assert (card.left, card.cost_left) == (Decimal("0.75"), money("9.00"))
    drawn(store, now, number, 1, Run(Length(card.length.nm // 4)))
    assert piece.piece(store, number=number).cost_left == money("6.00")


def test_looking_changes_nothing(bench):
    found = draw.look(bench, number=1, amount=HALF, strip=inches(2))
    assert (found.cost, found.cost_left, found.job) == (money("5.01"), money("5.00"), None)
    assert round(found.said.strips, 6) == 20.25
    assert piece.piece(bench, number=1).left == 1
    assert job.job(bench, number=1).cloth == ()


def test_looking_at_what_lies_in_a_job(bench, now):
    drawn(bench, now, 1, 1, HALF)
    found = draw.look(bench, number=1, job=1, amount=HALF)
    assert (found.job, found.cost, found.cost_left) == (1, money("2.51"), money("2.50"))


def test_more_than_there_is_tells_what_is_left(bench, now):
    drawn(bench, now, 1, 1, Share(Decimal("0.75")))
    asked = Strips(20, inches(96), inches(2))
    problem = refused_as(lambda: drawn(bench, now, 1, 1, asked), ("amount", "amount.more"))
    assert problem.values["share"] == 0.25
    assert round(problem.values["percent"], 6) == round(40 / 81, 6)
    assert piece.piece(bench, number=1).left == Decimal("0.25")


@pytest.mark.parametrize(
    ("amount", "code"),
    [
        (Share(Decimal(0)), "amount.none"),
        (Share(Decimal("1.1")), "amount.share"),
        (Scale(Weight.of(1, "g"), Weight.of(2, "g")), "amount.scale"),
        (Run(inches(3)), "amount.cloth"),
    ],
)
def test_what_cannot_be_drawn_is_refused_and_changes_nothing(bench, now, amount, code):
    refused_as(lambda: drawn(bench, now, 1, 1, amount), ("amount", code))
    assert piece.piece(bench, number=1).left == 1
    assert job.job(bench, number=1).steps == ()


def test_what_is_set_aside_to_wash_is_not_drawn(store, now):
    number = a_piece_in_hand(store, now).number
    a_job(store, now)
    refused_as(lambda: drawn(store, now, number, 1), ("amount", "piece.to_wash"))
    assert piece.piece(store, number=number).left == 1


def test_what_is_gone_is_not_drawn(bench, now):
    piece.give_away(bench, number=1, saving=fresh_token(), now=now)
    refused_as(lambda: drawn(bench, now, 1, 1), ("amount", "piece.gone"))
    refused_as(lambda: draw.look(bench, number=1, amount=All()), ("amount", "piece.gone"))


def test_a_job_that_is_closed_takes_no_cloth_and_gives_none(bench, now, act):
    drawn(bench, now, 1, 1, HALF)
    job.weave(bench, number=1, saving=fresh_token(), now=now)
    for what in (draw.draw, draw.give_back, draw.waste, draw.spoil_in_job):
        refused_as(lambda what=what: act(what), ("", "job.closed"))
    assert piece.piece(bench, number=1).left == Decimal("0.5")


@pytest.mark.parametrize("number", [0, -1, 99, 2**63, 10**40])
def test_what_is_not_there_is_told(bench, now, number):
    refused_as(lambda: drawn(bench, now, number, 1), ("", "piece.unknown"), error=NotFound)
    refused_as(lambda: drawn(bench, now, 1, number), ("", "job.unknown"), error=NotFound)


def test_a_note_that_cannot_be_kept_draws_nothing(bench, act):
    for note, code in (("x" * 10_000, "text.long"), ("a\x00b", "text.control")):
        refused_as(lambda note=note: act(draw.draw, note=note), ("note", code))
    assert piece.piece(bench, number=1).left == 1


@pytest.mark.parametrize("what", [draw.draw, draw.give_back, draw.waste, draw.spoil_in_job])
def test_the_same_press_twice_is_one_act(bench, now, what):
    drawn(bench, now, 1, 1, HALF)
    given = {"number": 1, "job": 1, "amount": QUARTER, "saving": fresh_token(), "now": now}
    first = what(bench, **given)
    assert what(bench, **given) == first
    assert sum(not one.step.undone for one in first.job.steps) == len(job.job(bench, number=1).steps)


@pytest.mark.parametrize("what", [draw.draw, draw.give_back, draw.waste, draw.spoil_in_job])
def test_the_same_token_with_other_content_is_refused(bench, now, what):
    drawn(bench, now, 1, 1, HALF)
    given = {"number": 1, "job": 1, "saving": fresh_token(), "now": now}
    what(bench, amount=QUARTER, **given)
    before = job.job(bench, number=1)
    with pytest.raises(Clash):
        what(bench, amount=HALF, **given)
    assert job.job(bench, number=1) == before


def test_what_is_left_over_goes_back_at_its_cost(bench, now, act):
    drawn(bench, now, 1, 1)
    back = act(draw.give_back, HALF, note="too bright")
    assert back.look.cost == money("5.01")
    card = piece.piece(bench, number=1)
    assert (card.left, card.cost_left, card.state) == (Decimal("0.5"), money("5.01"), "ready")
    assert back.job.cost == money("5.00")
    act(draw.give_back)
    assert piece.piece(bench, number=1).cost_left == money("10.01")
    assert job.job(bench, number=1).cloth == ()


def test_no_more_goes_back_than_was_drawn(bench, now, act):
    drawn(bench, now, 1, 1, QUARTER)
    problem = refused_as(
        lambda: act(draw.give_back, Strips(40, inches(96), inches(2))), ("amount", "amount.more")
    )
    assert problem.values["share"] == 0.25


def test_nothing_goes_back_of_what_is_not_in_the_job(bench, act):
    for what in (draw.give_back, draw.waste, draw.spoil_in_job):
        refused_as(lambda what=what: act(what), ("amount", "job.piece_gone"))


def test_usual_waste_stays_in_the_cost_of_the_job(bench, now, act):
    drawn(bench, now, 1, 1)
    done = act(draw.waste, Share(Decimal("0.04")))
    assert done.look.cost == money("0")
    assert (done.job.cost, done.job.written_off) == (money("10.01"), money("0"))
    assert done.job.cloth[0].waste == 40_000_000
    assert places(bench, now) == ("0.00", "10.01", "0.00", "0.00")


def test_waste_beyond_the_rule_is_written_off(bench, now, act):
    """Of 8 per cent, 5 are usual; 3 per cent of $10.01 are 30 cents."""
    drawn(bench, now, 1, 1)
    done = act(draw.waste, Share(Decimal("0.08")))
    assert (done.job.cost, done.job.written_off) == (money("9.71"), money("0.30"))
    assert done.job.cloth[0].waste == 50_000_000
    assert places(bench, now) == ("0.00", "9.71", "0.00", "0.30")


def test_the_rule_counts_what_was_usual_before(bench, now, act):
    drawn(bench, now, 1, 1)
    act(draw.waste, Share(Decimal("0.05")))
    done = act(draw.waste, Share(Decimal("0.5")))
    assert done.job.cloth[0].waste == 50_000_000
    assert done.job.written_off == money("4.75")


def test_waste_by_a_rule_of_the_shops_own(bench, now, act):
    habits.change(bench, usual_waste=Decimal(0), revision=0, saving=fresh_token(), now=now)
    drawn(bench, now, 1, 1)
    done = act(draw.waste, QUARTER)
    assert (done.job.written_off, done.job.cloth[0].waste) == (money("2.50"), 0)


def test_what_became_waste_does_not_go_back(bench, now, act):
    habits.change(bench, usual_waste=Decimal(1), revision=0, saving=fresh_token(), now=now)
    drawn(bench, now, 1, 1, HALF)
    act(draw.waste)
    refused_as(lambda: act(draw.give_back), ("amount", "amount.waste"))
    assert piece.piece(bench, number=1).left == Decimal("0.5")


def test_waste_is_undone_as_one_act(bench, now, act):
    drawn(bench, now, 1, 1)
    step = act(draw.waste, Share(Decimal("0.08"))).step_id
    piece.undo(bench, number=1, step_id=step, saving=fresh_token(), now=now)
    found = job.job(bench, number=1)
    assert (found.cost, found.written_off, found.cloth[0].waste) == (money("10.01"), money("0"), 0)
    assert prove(bench).holds


def test_what_is_spoiled_leaves_the_job_and_its_cost(bench, now, act):
    drawn(bench, now, 1, 1, HALF)
    done = act(draw.spoil_in_job, note="ran in the wash")
    assert (done.job.cost, done.job.written_off, done.job.cloth) == (money("0"), money("5.01"), ())
    assert places(bench, now) == ("5.00", "0.00", "0.00", "5.01")


def test_a_draw_is_undone_and_stays_in_the_record(bench, now):
    step = drawn(bench, now, 1, 1, HALF).step_id
    card = piece.undo(bench, number=1, step_id=step, saving=fresh_token(), now=now)
    assert (card.left, card.cost_left) == (1, money("10.01"))
    found = job.job(bench, number=1)
    assert found.cloth == ()
    assert [one.step.undone for one in found.steps if one.step.id == step] == [True]
    refused_as(
        lambda: piece.undo(bench, number=1, step_id=step, saving=fresh_token(), now=now),
        ("", "step.undone"),
        error=Clash,
    )


def test_a_draw_is_not_undone_while_something_leans_on_it(bench, now, act):
    step = drawn(bench, now, 1, 1, HALF).step_id
    spoiled = act(draw.spoil_in_job).step_id

    def undo(which):
        return piece.undo(bench, number=1, step_id=which, saving=fresh_token(), now=now)

    refused_as(lambda: undo(step), ("", "step.leaning"))
    assert piece.piece(bench, number=1).left == Decimal("0.5")
    undo(spoiled)
    assert undo(step).left == 1


def test_a_draw_in_a_finished_rug_is_not_undone(bench, now):
    step = drawn(bench, now, 1, 1, HALF).step_id
    job.weave(bench, number=1, saving=fresh_token(), now=now)
    refused_as(
        lambda: piece.undo(bench, number=1, step_id=step, saving=fresh_token(), now=now), ("", "step.job")
    )


def test_cloth_on_the_shelf_is_spoiled(bench, now):
    given = {"number": 1, "amount": HALF, "note": "moths", "saving": fresh_token(), "now": now}
    card = draw.spoil(bench, **given)
    assert (card.left, card.cost_left) == (Decimal("0.5"), money("5.00"))
    assert draw.spoil(bench, **given).left == Decimal("0.5")
    assert places(bench, now) == ("5.00", "0.00", "0.00", "5.01")
    gone = draw.spoil(bench, number=1, amount=All(), note="mould", saving=fresh_token(), now=now)
    assert (gone.left, gone.state) == (0, "spoiled")


def test_why_it_was_spoiled_has_to_be_said(bench, now):
    refused_as(
        lambda: draw.spoil(bench, number=1, amount=All(), note=" ", saving=fresh_token(), now=now),
        ("note", "text.missing"),
    )
    assert piece.piece(bench, number=1).left == 1


def test_the_bench_goes_on_with_the_job_of_the_last_draw(bench, now):
    a_job(bench, now, name="Mat")
    assert draw_bench.draw_bench(bench, number=1, job=1, strip=inches(2)).job.number == 1
    newest = draw_bench.draw_bench(bench, number=1, job=99, strip=inches(2))
    assert (newest.job.number, [line.number for line in newest.jobs]) == (2, [2, 1])
    for number in (2, 1):
        job.call_off(bench, number=number, saving=fresh_token(), now=now)
    assert draw_bench.draw_bench(bench, number=1, job=1, strip=inches(2)).job is None


def test_the_cloth_of_the_job_is_picked_first(bench, now):
    a_haul_at_home(bench, now, a_sheet(name="Red", colour="#aa2222", ready=True), a_sheet(name="Unwashed"))
    drawn(bench, now, 1, 1, HALF)
    found = draw_bench.swatches(bench, job=1)
    assert [card.number for card in found.of_job] == [1]
    assert [card.name for card in found.ready] == ["Red"]
    assert found.closed is None


def test_a_job_that_takes_no_cloth_any_more_is_named_beside_the_one_that_does(bench, now):
    other = a_job(bench, now, name="Mat")
    job.call_off(bench, number=other, saving=fresh_token(), now=now)
    found = draw_bench.swatches(bench, job=other)
    assert (found.closed.number, found.job.number) == (other, 1)


def test_the_shelf_and_the_bench_take_as_many_queries_whatever_happened_before(bench, now, count_queries):
    drawn(bench, now, 1, 1, Share(Decimal("0.1")))

    def asked():
        with count_queries(bench) as said:
            draw_bench.draw_bench(bench, number=1, job=1, strip=inches(2))
            draw_bench.swatches(bench, job=1)
            draw_bench.piece_in_job(bench, job=1, number=1, strip=inches(2))
        return len(said)

    few = asked()
    a_haul_at_home(bench, now, a_sheet(count=5, ready=True))
    for number in (1, 1, 1, 2, 3, 4):
        drawn(bench, now, number, 1, Share(Decimal("0.1")))
    a_job(bench, now, name="Mat")
    assert asked() == few
