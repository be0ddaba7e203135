"""Drawing at the loom: one tap draws, looking changes nothing, and what cannot be is said where it was typed."""

import re
from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.usecases import job, piece
from shop.usecases.given import fresh_token
from tests.builders import (
    a_cone,
    a_haul_at_home,
    a_job,
    a_piece_in_hand,
    a_ready_piece,
    a_sheet,
    drawn,
    money,
)
from tests.web.a_haul import said

PAGE = "/cloth/pieces/1/draw"
STRIPS = {"how": "strips", "count": "10", "each": "96 in", "strip": "2 in", "tool": "rotary"}


@pytest.fixture
def bench(owner, sqlite_store, now):
    """A sheet of $10.01, ready, and a job; both are No. 1."""
    a_ready_piece(sqlite_store, now, paid=money("10.01"))
    a_job(sqlite_store, now)
    return sqlite_store


def left(store, number=1):
    card = piece.piece(store, number=number)
    return (card.left, str(card.cost_left.amount))


def untouched(store):
    return left(store) == (1, "10.01") and job.job(store, number=1).steps == ()


def test_one_tap_draws_and_tells_what_it_came_to(owner, bench):
    answer = owner.press(PAGE, how="half")
    assert answer.status_code == 303
    assert left(bench) == (Decimal("0.5"), "5.00")
    text = said(owner.client.get(answer.location))
    assert "Drawn: 50%" in text
    assert "<strong>$5.01</strong>" in text
    assert "Hall runner" in text


@pytest.mark.parametrize(
    ("tap", "rest"), [("all", "0"), ("three-quarters", "0.25"), ("half", "0.5"), ("quarter", "0.75")]
)
def test_each_tap_takes_what_it_says(owner, bench, tap, rest):
    owner.press(PAGE, how=tap)
    assert left(bench)[0] == Decimal(rest)


@pytest.mark.parametrize(
    ("typed", "rest"),
    [
        (STRIPS, Decimal(61) / 81),
        ({**STRIPS, "tool": "tear"}, Decimal("58.5") / 81),
        ({"how": "area", "area": "27"}, Decimal("0.5")),
        ({"how": "scale", "before": "600 g", "after": "450 g"}, Decimal("0.75")),
        ({"how": "share", "part": "25"}, Decimal("0.75")),
    ],
)
def test_so_much_is_drawn_as_was_typed(owner, bench, typed, rest):
    assert owner.press(PAGE, **typed).status_code == 303
    assert round(left(bench)[0], 6) == round(rest, 6)


def test_yarn_is_drawn_by_its_length(owner, sqlite_store, now):
    a_ready_piece(sqlite_store, now, a_cone())
    a_job(sqlite_store, now)
    run = piece.piece(sqlite_store, number=1).length
    owner.press(PAGE, how="run", run=f"{run.metres / 4:.3f} m")
    assert round(left(sqlite_store)[0], 4) == Decimal("0.75")


def test_the_same_press_twice_is_one_draw(owner, bench):
    hidden = owner.hidden(PAGE)
    sent = [owner.client.post(PAGE, data={**hidden, "how": "half"}) for _ in range(2)]
    assert sent[0].location == sent[1].location
    assert left(bench) == (Decimal("0.5"), "5.00")


def test_the_same_token_with_another_amount_is_refused(owner, bench):
    hidden = owner.hidden(PAGE)
    owner.client.post(PAGE, data={**hidden, "how": "half"})
    answer = owner.client.post(PAGE, data={**hidden, "how": "quarter"})
    assert answer.status_code in (409, 422)
    assert left(bench)[0] == Decimal("0.5")


def test_looking_changes_nothing_and_keeps_what_was_typed(owner, bench):
    answer = owner.press(PAGE, **{**STRIPS, "how": "", "look": "strips"})
    text = said(answer)
    assert answer.status_code == 200
    assert "That would be:" in text
    assert 'value="96 in"' in text
    assert untouched(bench)


@pytest.mark.parametrize(
    ("typed", "kept", "sentence"),
    [
        ({**STRIPS, "count": "many"}, "many", "mistakes"),
        ({**STRIPS, "count": "-3"}, "-3", "must be at least"),
        ({**STRIPS, "each": "5 parsecs"}, "5 parsecs", "is no unit we know."),
        ({**STRIPS, "count": ""}, "96 in", "mistakes"),
        ({"how": "weighed", "weight": "-2 lb"}, "-2 lb", "mistakes"),
        ({"how": "scale", "before": "1 lb", "after": "2 lb"}, "2 lb", "It cannot weigh more after than before."),
        ({"how": "share", "part": "0"}, "0", "this comes to nothing"),
        ({"how": "share", "part": "101"}, "101", "mistakes"),
        ({"how": "area", "area": "1e9"}, "1e9", "mistakes"),
        ({"how": "area", "area": "🧶" * 500}, "🧶", "mistakes"),
    ],
)
def test_what_cannot_be_is_said_beside_it_and_draws_nothing(owner, bench, typed, kept, sentence):
    answer = owner.press(PAGE, **typed)
    text = said(answer)
    assert answer.status_code == 422
    assert kept in text
    assert sentence in text
    assert 'class="wrong"' in text
    assert untouched(bench)


def test_a_way_that_is_not_open_is_not_read(owner, bench):
    """What stands half-typed in another way is nobody's business."""
    assert owner.press(PAGE, **{**STRIPS, "weight": "rubbish", "area": "-1"}).status_code == 303
    assert left(bench)[0] < 1


def test_too_much_tells_what_is_left(owner, bench, now):
    drawn(bench, now, 1, 1, Share(Decimal("0.75")))
    answer = owner.press(PAGE, **{**STRIPS, "count": "20"})
    assert answer.status_code == 422
    text = said(answer)
    assert "That is 49% of the piece, and only 25% is left." in re.sub(r"49\.\d", "49", text)
    assert 'value="20"' in text
    assert left(bench)[0] == Decimal("0.25")


@pytest.mark.parametrize("how", ["", "everything", "count", "\x00"])
def test_a_way_that_there_is_not_is_refused(owner, bench, how):
    answer = owner.press(PAGE, how=how)
    assert answer.status_code == 422
    assert "Say how much in one of the ways on the page." in said(answer)
    assert untouched(bench)


def test_what_is_set_aside_is_washed_first(owner, sqlite_store, now):
    a_piece_in_hand(sqlite_store, now)
    a_job(sqlite_store, now)
    text = said(owner.get(PAGE))
    assert "It is set aside to wash" in text
    assert 'name="how"' not in text
    answer = owner.press(PAGE, how="half", job="1")
    assert answer.status_code == 422
    assert piece.piece(sqlite_store, number=1).left == 1
    assert owner.press("/cloth/pieces/1/ready", page=PAGE, draw="y").location == PAGE
    assert 'name="how"' in said(owner.get(PAGE))


def test_what_is_gone_says_so(owner, bench, now):
    hidden = owner.hidden(PAGE)
    piece.give_away(bench, number=1, saving=fresh_token(), now=now)
    assert "Nothing is left of it." in said(owner.get(PAGE))
    answer = owner.client.post(PAGE, data={**hidden, "how": "half"})
    assert answer.status_code == 422
    assert "Nothing is left of it." in said(answer)


def test_a_job_that_was_closed_meanwhile_takes_nothing_and_says_so(owner, bench, now):
    hidden = owner.hidden(PAGE)
    job.call_off(bench, number=1, saving=fresh_token(), now=now)
    answer = owner.client.post(PAGE, data={**hidden, "how": "half"})
    assert answer.status_code == 422
    assert "Job 1 takes no more cloth" in said(answer)
    assert left(bench)[0] == 1


@pytest.mark.parametrize("number", ["", "x", "²", "9" * 40, "99"])
def test_a_job_that_is_not_there_takes_nothing(owner, bench, number):
    assert owner.press(PAGE, how="half", job=number).status_code in (404, 422)
    assert untouched(bench)


def test_a_job_is_begun_right_here(owner, sqlite_store, now):
    a_ready_piece(sqlite_store, now)
    assert "For which rug?" in said(owner.get(PAGE))
    begin = f"{PAGE}/begin"
    answer = owner.press(begin, page=PAGE, name=" ")
    assert answer.status_code == 422
    assert 'class="wrong"' in said(answer)
    assert job.jobs(sqlite_store).jobs == ()
    hidden = owner.hidden(PAGE)
    for _ in range(2):
        assert owner.client.post(begin, data={**hidden, "name": "Mat"}).location == PAGE
    assert [line.name for line in job.jobs(sqlite_store).jobs] == ["Mat"]
    assert "How much goes into Mat?" in said(owner.get(PAGE))


def test_the_job_of_the_last_draw_is_remembered(owner, bench, now):
    a_job(bench, now, name="Mat")
    assert "How much goes into Mat?" in said(owner.get(PAGE))
    owner.press(PAGE, how="quarter", job="1")
    assert "How much goes into Hall runner?" in said(owner.get(PAGE))
    assert "Into Hall runner." in said(owner.get("/draw"))
    assert "Into Mat." in said(owner.get("/draw?job=2"))
    assert "How much goes into Mat?" in said(owner.get(PAGE))


def test_what_was_just_drawn_is_undone(owner, bench):
    shown = owner.press(PAGE, how="half").location
    step = re.search(r'name="step" value="(\d+)"', said(owner.get(shown)))[1]
    hidden = owner.hidden(shown)
    for _ in range(2):
        answer = owner.client.post(f"{PAGE}/undo", data={**hidden, "step": step})
        assert answer.location == PAGE
    assert left(bench) == (1, "10.01")
    assert "Undo it" not in said(owner.get(shown))
    assert owner.press(f"{PAGE}/undo", page=shown, step=step).status_code == 409


@pytest.mark.parametrize("step", ["", "x", "²", "0", "99", "9" * 40])
def test_a_step_that_is_not_there_is_not_undone(owner, bench, step):
    owner.press(PAGE, how="half")
    assert owner.press(f"{PAGE}/undo", page=PAGE, step=step).status_code == 404
    assert left(bench)[0] == Decimal("0.5")


@pytest.mark.parametrize("done", ["x", "²", "0", "1", "9" * 40])
def test_a_draw_that_was_not_of_this_piece_is_not_shown(owner, bench, now, done):
    a_haul_at_home(bench, now, a_sheet())
    answer = owner.get(f"/cloth/pieces/2/draw?done={done}")
    assert answer.status_code == 200
    assert "Drawn:" not in said(answer)


def test_the_cloth_of_the_job_is_picked_first(owner, bench, now):
    a_haul_at_home(bench, now, a_sheet(name="Red curtain", ready=True), a_sheet(name="Unwashed"))
    drawn(bench, now, 1, 1, Share(Decimal("0.5")))
    text = said(owner.get("/draw"))
    assert text.index("Cloth of this job") < text.index("Blue striped sheet") < text.index("Ready, by colour")
    assert text.index("Ready, by colour") < text.index("Red curtain")
    assert "Unwashed" not in text


def test_an_empty_shelf_says_what_to_do(owner):
    assert "Nothing is ready to cut." in said(owner.get("/draw"))


@pytest.mark.parametrize("number", ["7", "0", "9" * 30])
def test_a_piece_that_is_not_there_is_said_plainly(owner, bench, number):
    assert owner.get(f"/cloth/pieces/{number}/draw").status_code == 404
    assert owner.press(f"/cloth/pieces/{number}/draw", page=PAGE, how="half").status_code == 404


def test_a_form_that_is_not_ours_does_nothing(owner, bench):
    for address in (PAGE, f"{PAGE}/begin", f"{PAGE}/undo"):
        assert owner.client.post(address, data={"how": "half", "job": "1"}).status_code == 400
    assert untouched(bench)


@pytest.mark.parametrize("address", [PAGE, "/draw", "/cloth/pieces/1", "/cloth", "/jobs/1", "/jobs"])
def test_a_page_takes_as_many_queries_whatever_happened_before(owner, bench, now, count_queries, address):
    a_haul_at_home(bench, now, a_sheet(name="Red", ready=True))
    for number in (1, 2):
        drawn(bench, now, number, 1, Share(Decimal("0.1")))
    owner.get(address)

    def asked():
        with count_queries(bench) as queries:
            assert owner.get(address).status_code == 200
        return len(queries)

    few = asked()
    a_haul_at_home(bench, now, a_sheet(count=4, ready=True))
    for number in (1, 1, 2, 3, 4, 5, 6):
        drawn(bench, now, number, 1, Share(Decimal("0.1")))
    a_job(bench, now, name="Mat")
    assert asked() == few
