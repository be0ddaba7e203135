"""A job takes cloth, becomes a rug with all its cost, is taken up again or called off; each once a press."""

from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.errors import Clash, NotFound, Refusal
from shop.usecases import draw, job, piece, worth
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_quote,
    a_ready_piece,
    a_sheet,
    an_open_shop,
    codes,
    drawn,
    money,
)

HALF = Share(Decimal("0.5"))


def do(store, now, what, number=1):
    return what(store, number=number, saving=fresh_token(), now=now)


def refused_as(what, code, error=Refusal):
    with pytest.raises(error) as refused:
        what()
    assert codes(refused) == {code}


def test_a_job_begins_with_a_number_of_its_own_once_a_press(store, now):
    given = {"name": "Hall runner", "note": "in blues", "saving": fresh_token(), "now": now}
    card = job.begin(store, **given)
    assert (card.line.number, card.line.name, card.note) == (1, "Hall runner", "in blues")
    assert (card.line.state, card.line.is_open, card.cost) == ("waiting", True, money("0"))
    assert job.begin(store, **given) == card == job.job(store, number=1)
    with pytest.raises(Clash):
        job.begin(store, **{**given, "name": "Mat"})
    assert a_job(store, now, name="Mat") == 2


def test_a_job_from_a_quote_is_called_as_the_quote(store, now):
    number = a_quote(store, now).number
    card = job.begin(store, quote=number, saving=fresh_token(), now=now)
    assert (card.line.name, card.line.quote) == ("Hall runner in blues", number)
    assert [line.number for line in job.jobs_of_quote(store, number=number)] == [1]
    for unknown in (99, 2**63):
        refused_as(
            lambda unknown=unknown: job.begin(store, quote=unknown, saving=fresh_token(), now=now),
            ("", "quote.unknown"),
            NotFound,
        )


@pytest.mark.parametrize(
    ("given", "problem"),
    [
        ({"name": "  "}, ("name", "text.missing")),
        ({"name": "x" * 10_000}, ("name", "text.long")),
        ({"name": "a\x00b"}, ("name", "text.control")),
        ({"name": "Mat", "note": "x" * 100_000}, ("note", "text.long")),
    ],
)
def test_a_job_badly_named_is_not_begun(store, now, given, problem):
    refused_as(lambda: job.begin(store, saving=fresh_token(), now=now, **given), problem)
    assert job.jobs(store).jobs == ()


def test_the_rug_takes_all_the_cloth_and_its_cost(store, now):
    an_open_shop(store, now)
    a_haul_at_home(
        store, now, a_sheet(ready=True, paid=money("10.01")), a_sheet(ready=True, paid=money("7.00"))
    )
    a_job(store, now)
    drawn(store, now, 1, 1, HALF)
    drawn(store, now, 2, 1)
    draw.waste(store, number=2, job=1, amount=Share(Decimal("0.04")), saving=fresh_token(), now=now)
    token = fresh_token()
    card = job.weave(store, number=1, saving=token, now=now)
    assert (card.line.state, card.line.is_open, card.cost) == ("ready", False, money("12.01"))
    assert [(one.piece.number, one.cost, one.woven) for one in card.cloth] == [
        (1, money("5.01"), True),
        (2, money("7.00"), True),
    ]
    assert job.weave(store, number=1, saving=token, now=now) == card
    found = worth.worth(store, now=now)
    assert (found.in_jobs, found.in_rugs, found.on_shelf) == (money("0"), money("12.01"), money("5.00"))
    refused_as(lambda: do(store, now, job.weave), ("", "job.closed"), Clash)
    refused_as(lambda: do(store, now, job.call_off), ("", "job.closed"), Clash)
    assert prove(store).holds


def test_there_is_no_rug_without_cloth(store, now):
    a_job(store, now)
    refused_as(lambda: do(store, now, job.weave), ("", "job.empty"))
    assert job.job(store, number=1).line.state == "waiting"


def test_a_rug_is_taken_up_again_with_its_cloth(store, now):
    a_ready_piece(store, now)
    a_job(store, now)
    drawn(store, now, 1, 1, HALF)
    refused_as(lambda: do(store, now, job.take_up_again), ("", "job.open"), Clash)
    do(store, now, job.weave)
    token = fresh_token()
    card = job.take_up_again(store, number=1, saving=token, now=now)
    assert (card.line.is_open, card.line.ended_at, card.cost) == (True, None, money("2.00"))
    assert [one.woven for one in card.cloth] == [False]
    assert job.take_up_again(store, number=1, saving=token, now=now) == card
    drawn(store, now, 1, 1)
    assert do(store, now, job.weave).cost == money("4.00")
    do(store, now, job.take_up_again)
    assert prove(store).holds


def test_what_went_into_a_rug_is_not_undone_piece_by_piece(store, now):
    a_ready_piece(store, now)
    a_job(store, now)
    drawn(store, now, 1, 1, HALF)
    woven = do(store, now, job.weave).steps[0].step
    refused_as(
        lambda: piece.undo(store, number=1, step_id=woven.id, saving=fresh_token(), now=now),
        ("", "step.fixed"),
    )
    assert not woven.can_be_undone


def test_a_job_is_called_off_once_its_cloth_is_back(store, now):
    a_ready_piece(store, now)
    a_job(store, now)
    step = drawn(store, now, 1, 1, HALF).step_id
    refused_as(lambda: do(store, now, job.call_off), ("", "job.full"))
    piece.undo(store, number=1, step_id=step, saving=fresh_token(), now=now)
    token = fresh_token()
    card = job.call_off(store, number=1, saving=token, now=now)
    assert card.line.state == "called off"
    assert job.call_off(store, number=1, saving=token, now=now) == card
    refused_as(lambda: drawn(store, now, 1, 1), ("", "job.closed"))
    assert do(store, now, job.take_up_again).line.is_open
    drawn(store, now, 1, 1)


def test_jobs_lie_in_their_drawers_newest_first(store, now):
    a_ready_piece(store, now)
    for name in ("Mat", "Runner", "Rug", "Cushion"):
        a_job(store, now, name=name)
    drawn(store, now, 1, 2, HALF)
    do(store, now, job.weave, number=2)
    do(store, now, job.call_off, number=3)

    def numbers(**asked):
        return [line.number for line in job.jobs(store, **asked).jobs]

    assert numbers() == [4, 1]
    assert numbers(shown="rugs") == [2]
    assert numbers(shown="called off") == [3]
    first = job.jobs(store, limit=1)
    assert ([line.number for line in first.jobs], first.further) == ([4], 4)
    assert numbers(below=first.further, limit=1) == [1]
    assert numbers(below=10**40) == [4, 1]
    refused_as(lambda: numbers(shown="hidden"), ("shown", "choice.unknown"))


@pytest.mark.parametrize("number", [0, -1, 99, 2**63, 10**40])
def test_a_job_that_is_not_there_is_told(store, now, number):
    for what in (job.weave, job.take_up_again, job.call_off):
        refused_as(lambda what=what: do(store, now, what, number=number), ("", "job.unknown"), NotFound)
    refused_as(lambda: job.job(store, number=number), ("", "job.unknown"), NotFound)


def test_a_job_takes_as_many_queries_however_much_happened(store, now, count_queries):
    a_haul_at_home(store, now, a_sheet(count=5, ready=True))
    a_job(store, now)
    drawn(store, now, 1, 1, HALF)

    def asked():
        with count_queries(store) as said:
            job.job(store, number=1)
            job.jobs(store)
        return len(said)

    few = asked()
    for number in (1, 2, 3, 4, 5):
        drawn(store, now, number, 1, HALF)
        a_job(store, now, name=f"Mat {number}")
    draw.give_back(store, number=2, job=1, amount=HALF, saving=fresh_token(), now=now)
    assert asked() == few
