"""The job card: strips ticked and drawn, rows marked, each once a press, and the ledger whole all the while."""

from decimal import Decimal

import pytest

from shop.core.errors import NotFound, Refusal
from shop.core.ledger import WHOLE
from shop.core.money import Money
from shop.core.stripe_plan import By, rows_of_cloths
from shop.usecases import cutting_plan, job, job_card, piece
from shop.usecases.chosen import StripeLine, Stripes
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_plank,
    a_planned_job,
    a_shaft_loom,
    a_sheet,
    an_open_shop,
    codes,
    drawn,
    held,
    inches,
)


@pytest.fixture
def bench(store, now):
    """A frame, two sheets, and a job that holds strips of the first."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True), a_sheet(ready=True, name="Indigo sheet", colour="#223366"))
    return store


@pytest.fixture
def number(bench, now):
    found = a_planned_job(bench, now, 1)
    held(bench, now, found)
    return found


def only_cut(store, number):
    (line,) = job_card.card(store, number=number).cuts
    return line


def refused(what, where, code, error=Refusal):
    with pytest.raises(error) as caught:
        what()
    assert codes(caught) == {(where, code)}


def test_strips_are_ticked_and_unticked_and_the_ledger_does_not_move(bench, now, number):
    line = only_cut(bench, number)
    for strips in (3, 5, 2):
        token = fresh_token()
        for _ in range(2):
            card = job_card.tick(bench, job=number, cut=line.id, strips=strips, saving=token, now=now)
        assert card.cuts[0].cut == strips
    assert card.line.state == "cutting"
    assert piece.piece(bench, number=1).left_parts == WHOLE
    assert job.job(bench, number=number).cost == Money(0, "USD")


def test_what_was_really_cut_is_drawn_and_the_rest_stays_held_until_it_is_given_up(bench, now, number):
    line = only_cut(bench, number)
    token, really = fresh_token(), line.strips - 2
    for _ in range(2):
        card = job_card.draw_cut(bench, job=number, cut=line.id, strips=really, saving=token, now=now)
    done, rest = card.cuts
    assert (done.drawn, done.strips, done.cut) == (True, really, really)
    assert (rest.drawn, rest.strips, rest.cut) == (False, 2, 0)
    whole = int((line.piece.width if line.way.value == "along" else line.piece.length).inches // 2)
    assert piece.piece(bench, number=1).held[0].strips == 2
    job_card.give_up(bench, job=number, cut=rest.id, saving=fresh_token(), now=now)
    shelf = piece.piece(bench, number=1)
    assert shelf.held == ()
    assert WHOLE - shelf.left_parts == WHOLE * really // whole
    assert job.job(bench, number=number).cost == Money.rounded(Decimal(4) * really / whole, "USD")
    assert prove(bench).faults == ()
    refused(
        lambda: job_card.draw_cut(bench, job=number, cut=line.id, strips=1, saving=fresh_token(), now=now), "", "cut.drawn"
    )


def test_more_than_planned_can_be_cut_as_long_as_the_piece_gives_it(bench, now, number):
    line = only_cut(bench, number)
    whole = int((line.piece.width if line.way.value == "along" else line.piece.length).inches // 2)
    refused(
        lambda: job_card.draw_cut(bench, job=number, cut=line.id, strips=whole + 1, saving=fresh_token(), now=now),
        "strips", "cut.beyond",
    )  # fmt: skip
    job_card.draw_cut(bench, job=number, cut=line.id, strips=whole, saving=fresh_token(), now=now)
    card = piece.piece(bench, number=1)
    assert (card.left_parts, card.cost_left, card.state) == (0, Money(0, "USD"), "used up")


def test_a_draw_that_is_undone_is_held_again(bench, now, number):
    line = only_cut(bench, number)
    done = job_card.draw_cut(bench, job=number, cut=line.id, strips=line.strips, saving=fresh_token(), now=now)
    piece.undo(bench, number=1, step_id=done.cuts[0].step, saving=fresh_token(), now=now)
    again = only_cut(bench, number)
    assert (again.drawn, again.strips, again.step) == (False, line.strips, None)
    assert piece.piece(bench, number=1).held[0].strips == line.strips
    job_card.draw_cut(bench, job=number, cut=line.id, strips=line.strips, saving=fresh_token(), now=now)
    assert prove(bench).faults == ()


def test_cloth_that_somebody_else_used_meanwhile_is_not_drawn_below_nothing(bench, now, number):
    line = only_cut(bench, number)
    drawn(bench, now, 1, a_job(bench, now, name="Somebody else's"))
    refused(
        lambda: job_card.draw_cut(bench, job=number, cut=line.id, strips=1, saving=fresh_token(), now=now),
        "strips", "cut.beyond",
    )  # fmt: skip
    job_card.give_up(bench, job=number, cut=line.id, saving=fresh_token(), now=now)
    assert job_card.card(bench, number=number).cuts == ()


def test_what_is_given_up_is_free_again(bench, now, number):
    line, token = only_cut(bench, number), fresh_token()
    for _ in range(2):
        card = job_card.give_up(bench, job=number, cut=line.id, saving=token, now=now)
    assert card.cuts == ()
    assert piece.piece(bench, number=1).free_parts == WHOLE


def test_strips_ticked_as_cut_stay_when_the_job_is_planned_anew(bench, now, number):
    line = only_cut(bench, number)
    job_card.tick(bench, job=number, cut=line.id, strips=4, saving=fresh_token(), now=now)
    found = cutting_plan.propose(bench, jobs=[number])
    assert found.bands[0].have.metres == pytest.approx((line.each * 4 - found.rules.join_loss * 3).metres)
    kept = [one for one in job_card.card(bench, number=number).cuts if one.id == line.id]
    assert kept[0].cut == 4


def test_rows_are_marked_with_a_running_total_through_all_panels(bench, now):
    a_kept_loom(bench, now, a_loom(a_plank(pegs=12)))
    number = a_planned_job(bench, now, 1, 2, loom_id=2, width=inches(20), repeats=3)
    card = job_card.card(bench, number=number)
    panels = card.rug.reckoning.made.panels
    assert panels > 1
    assert [line.before for line in card.rows[1:]] == [line.until for line in card.rows[:-1]]
    assert card.whole == panels * sum(band.rows for band in card.rug.reckoning.bands) == card.rows[-1].until
    for rows in (1, card.rows[2].before + 1, card.whole):
        card = job_card.mark_rows(bench, job=number, rows=rows, saving=fresh_token(), now=now)
        assert card.woven == rows
        assert sum(line.done for line in card.rows) == rows
        assert card.now is None or card.now.before <= rows < card.now.until
    assert card.now is None
    assert card.line.state == "weaving"


def test_marking_twice_with_one_press_is_one_mark_and_a_row_can_be_taken_back(bench, now, number):
    token = fresh_token()
    for _ in range(2):
        job_card.mark_rows(bench, job=number, rows=12, saving=token, now=now)
    assert job_card.mark_rows(bench, job=number, rows=11, saving=fresh_token(), now=now).woven == 11


@pytest.mark.parametrize("rows", [-1, 10**6])
def test_rows_beyond_the_rug_are_refused(bench, now, number, rows):
    refused(lambda: job_card.mark_rows(bench, job=number, rows=rows, saving=fresh_token(), now=now), "rows", "rows.range")
    assert job_card.card(bench, number=number).woven == 0


def test_a_job_without_a_quote_has_a_card_that_says_so(bench, now):
    plain = a_job(bench, now, name="Plain")
    card = job_card.card(bench, number=plain)
    assert (card.rug, card.cuts, card.rows) == (None, (), ())
    refused(lambda: job_card.mark_rows(bench, job=plain, rows=1, saving=fresh_token(), now=now), "", "plan.no_rug")


def test_a_closed_job_takes_no_ticks(bench, now, number):
    line = only_cut(bench, number)
    job.call_off(bench, number=number, saving=fresh_token(), now=now)
    for what in (
        lambda: job_card.tick(bench, job=number, cut=line.id, strips=1, saving=fresh_token(), now=now),
        lambda: job_card.mark_rows(bench, job=number, rows=1, saving=fresh_token(), now=now),
    ):
        refused(what, "", "job.closed")


@pytest.mark.parametrize("cut", [0, 99, 2**63])
def test_a_line_that_is_not_there_is_not_ticked(bench, now, number, cut):
    refused(
        lambda: job_card.tick(bench, job=number, cut=cut, strips=1, saving=fresh_token(), now=now), "", "cut.unknown", NotFound
    )


@pytest.mark.parametrize("loom", [None, a_shaft_loom(), a_plank()], ids=["frame", "shaft", "plank"])
def test_stripes_chosen_one_by_one_are_on_the_card_of_every_loom(bench, now, loom):
    loom_id = 1 if loom is None else a_kept_loom(bench, now, a_loom(loom)).id
    stripes = Stripes(
        lines=(
            StripeLine(cloth=2, by=By.ROWS, amount=Decimal(4), border=True),
            StripeLine(cloth=1, second=2, by=By.SHARE, amount=Decimal("0.2")),
            StripeLine(cloth=1),
        ),
        mirrored=True,
    )
    number = a_planned_job(bench, now, 1, 2, stripes=stripes, loom_id=loom_id)
    card = job_card.card(bench, number=number)
    bands = card.rug.reckoning.bands
    assert bands[0].rows == bands[-1].rows == 4
    assert [band.rows for band in bands] == [band.rows for band in bands][::-1]
    assert rows_of_cloths(bands, 2) == [use.rows for use in card.rug.reckoning.cloths]


def test_the_card_stays_as_the_quote_was_when_the_job_was_begun(bench, now):
    number = a_planned_job(bench, now, 1)
    before = job_card.card(bench, number=number)
    drawn(bench, now, 1, a_job(bench, now, name="Other"))
    assert job_card.card(bench, number=number).rows == before.rows
