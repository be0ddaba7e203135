"""What was paid for a haul later, on the page of the haul: spread once, shown piece by piece, and undone."""

import re

import pytest

from shop.usecases import haul, later_cost, piece
from shop.usecases.given import fresh_token
from tests.builders import a_haul_at_home, a_job, a_sheet, drawn, money
from tests.web.a_haul import said

HAUL = "/cloth/hauls/1"
LATER = "/cloth/hauls/1/later"


@pytest.fixture
def home(owner, sqlite_store, now):
    """Three sheets alike, of $4.00 each."""
    a_haul_at_home(sqlite_store, now, a_sheet(count=3, ready=True))
    return sqlite_store


def all_costs(store):
    return [str(card.cost_left.amount) for card in haul.haul(store, haul_id=1).pieces]


def pay(owner, **typed):
    return owner.press(LATER, page=HAUL, **{"cost": "1.00", "note": "indigo", **typed})


def test_a_cost_is_spread_to_the_cent_once(owner, home):
    hidden = owner.hidden(HAUL)
    for _ in range(2):
        answer = owner.client.post(LATER, data={**hidden, "cost": "1.00", "note": "indigo"})
        assert (answer.status_code, answer.location) == (303, HAUL)
    assert sorted(all_costs(home)) == ["4.33", "4.33", "4.34"]
    text = said(owner.get(HAUL))
    assert "indigo" in text
    assert len(re.findall(r"No\. \d \$0\.3[34]", text)) == 3
    assert owner.client.post(LATER, data={**hidden, "cost": "2.00", "note": "indigo"}).status_code in (409, 422)
    assert len(later_cost.later_costs(home, haul_id=1)) == 1


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ({"cost": ""}, "indigo"),
        ({"cost": "0"}, "indigo"),
        ({"cost": "-1"}, "-1"),
        ({"cost": "1.005"}, "1.005"),
        ({"cost": "lots"}, "lots"),
        ({"cost": "9" * 30}, "9" * 30),
        ({"note": "", "cost": "1.25"}, "1.25"),
        ({"note": "x" * 500}, "x" * 500),
    ],
)
def test_what_cannot_be_is_said_beside_it_and_changes_nothing(owner, home, typed, kept):
    answer = pay(owner, **typed)
    text = said(answer)
    assert answer.status_code == 422
    assert f'value="{kept}"' in text
    assert 'class="wrong"' in text
    assert all_costs(home) == ["4.00"] * 3


def test_a_cost_is_undone_once(owner, home):
    pay(owner)
    step = re.search(r'name="step" value="(\d+)"', said(owner.get(HAUL)))[1]
    hidden = owner.hidden(HAUL)
    for _ in range(2):
        assert owner.client.post(f"{LATER}/undo", data={**hidden, "step": step}).location == HAUL
    assert all_costs(home) == ["4.00"] * 3
    assert "undone" in said(owner.get(HAUL))
    assert owner.press(f"{LATER}/undo", page=HAUL, step=step).status_code == 409


def test_a_cost_that_went_into_a_job_stays(owner, home, now):
    pay(owner)
    step = later_cost.later_costs(home, haul_id=1)[0].step_id
    a_job(home, now)
    drawn(home, now, 1, 1)
    answer = owner.press(f"{LATER}/undo", page=HAUL, step=str(step))
    assert answer.status_code == 422
    assert "Something later leans on that entry." in said(answer)
    assert not later_cost.later_costs(home, haul_id=1)[0].undone


@pytest.mark.parametrize("step", ["", "x", "²", "1", "99", "9" * 40])
def test_a_step_that_is_no_later_cost_is_not_undone(owner, home, step):
    pay(owner)
    assert owner.press(f"{LATER}/undo", page=HAUL, step=step).status_code == 404
    assert sorted(all_costs(home)) == ["4.33", "4.33", "4.34"]


def test_nothing_is_laid_on_a_haul_that_is_gone(owner, home, now):
    hidden = owner.hidden(HAUL)
    for number in (1, 2, 3):
        piece.give_away(home, number=number, saving=fresh_token(), now=now)
    assert "Nothing is left of this haul" in said(owner.get(HAUL))
    answer = owner.client.post(LATER, data={**hidden, "cost": "1.00", "note": "indigo"})
    assert answer.status_code == 422
    assert "Nothing is left of this haul" in said(answer)


def test_the_piece_tells_of_it(owner, home):
    pay(owner, cost="3.00")
    assert piece.piece(home, number=1).later == money("1.00")
    assert "$5.00" in said(owner.get("/cloth/pieces/1"))


def test_what_is_not_there_and_what_is_not_ours_does_nothing(owner, home):
    for number in ("7", "0", "9" * 30):
        answer = owner.press(f"/cloth/hauls/{number}/later", page=HAUL, cost="1.00", note="indigo")
        assert answer.status_code == 404
    for address in (LATER, f"{LATER}/undo"):
        assert owner.client.post(address, data={"cost": "1.00", "note": "indigo"}).status_code == 400
    assert all_costs(home) == ["4.00"] * 3


def test_the_page_takes_as_many_queries_however_many_costs(owner, home, count_queries):
    pay(owner)
    owner.get(HAUL)

    def asked():
        with count_queries(home) as queries:
            owner.get(HAUL)
        return len(queries)

    few = asked()
    for _ in range(3):
        pay(owner)
    assert asked() == few
