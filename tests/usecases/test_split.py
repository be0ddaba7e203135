"""A piece cut in two: the new one has its share of the cost and the weight, and together they are the old."""

from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.measure import Length, Weight
from shop.usecases import piece, split
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import a_cone, a_job, a_piece_in_hand, a_ready_piece, codes, drawn, inches, money

NAPKIN = (inches(27), inches(48))


def cut(store, now, number=1, width=NAPKIN[0], length=NAPKIN[1], **given):
    return split.split(
        store, number=number, width=width, length=length, **{"saving": fresh_token(), "now": now, **given}
    )


def refused_as(what, code, error=Refusal):
    with pytest.raises(error) as refused:
        what()
    assert codes(refused) == {code}


def test_the_new_piece_has_its_share_of_the_cost(store, now):
    """27 by 48 in are a sixth of 81 by 96 in: of $10.01, $1.67."""
    a_ready_piece(store, now, paid=money("10.01"), weight=Weight.of(600, "g"), tears=True, kept="Shelf B")
    done = cut(store, now)
    old, new = done.piece, done.new
    assert (new.number, new.name, new.left, new.cost) == (2, "Blue striped sheet", 1, money("1.67"))
    assert (new.width, new.length, round(new.weight.grams, 3)) == (inches(27), inches(48), 100)
    assert (new.state, new.tears, new.kept, new.colour) == ("ready", True, "Shelf B", "#5577aa")
    assert old.cost_left + new.cost_left == money("10.01")
    assert round(old.left, 6) == round(Decimal(5) / 6, 6)
    assert piece.piece(store, number=1).cost_left == money("8.34")
    assert prove(store).holds


def test_what_is_set_aside_stays_so_in_both_parts(store, now):
    a_piece_in_hand(store, now)
    assert cut(store, now, name="Napkin").new.state == "set aside to wash"
    assert piece.piece(store, number=2).name == "Napkin"


def test_yarn_is_wound_off_a_cone(store, now):
    cone = a_ready_piece(store, now, a_cone())
    done = cut(store, now, width=None, length=Length(cone.length.nm // 4))
    assert (done.new.cost, done.piece.cost_left, done.new.yarn) == (money("3.00"), money("9.00"), "8/4")
    assert round(done.new.weight.grams) == 125
    assert prove(store).holds


def test_a_cut_off_piece_is_cut_and_drawn_like_any_other(store, now):
    a_ready_piece(store, now, paid=money("10.01"))
    cut(store, now)
    third = cut(store, now, number=2, width=inches(10), length=inches(10)).new
    a_job(store, now)
    assert drawn(store, now, third.number, 1).look.cost == third.cost
    assert drawn(store, now, 2, 1).look.cost + third.cost == money("1.67")
    assert prove(store).holds


@pytest.mark.parametrize(
    ("width", "length", "code"),
    [
        (inches(82), inches(82), ("width", "split.wide")),
        (inches(1), inches(97), ("width", "split.wide")),
        (inches(96), inches(81), ("length", "split.all")),
        (inches("0.1"), inches(40), ("width", "length.small")),
        (inches(40), Length.of(1, "mm"), ("length", "length.small")),
        (None, inches(10), ("width", "length.missing")),
    ],
)
def test_what_cannot_be_cut_is_refused_and_changes_nothing(store, now, width, length, code):
    a_ready_piece(store, now)
    refused_as(lambda: cut(store, now, width=width, length=length), code)
    assert [card.left for card in piece.pieces(store, shown="all").pieces] == [1]


def test_no_more_is_cut_off_than_is_left(store, now):
    a_ready_piece(store, now)
    a_job(store, now)
    drawn(store, now, 1, 1, Share(Decimal("0.75")))
    refused_as(lambda: cut(store, now, width=inches(80), length=inches(80)), ("amount", "amount.more"))
    drawn(store, now, 1, 1)
    refused_as(lambda: cut(store, now), ("", "piece.gone"))


@pytest.mark.parametrize("number", [0, 99, 10**40])
def test_a_piece_that_is_not_there_is_not_cut(store, now, number):
    refused_as(lambda: cut(store, now, number=number), ("", "piece.unknown"), NotFound)


def test_the_same_press_twice_is_one_cut(store, now):
    a_ready_piece(store, now)
    token = fresh_token()
    assert cut(store, now, saving=token) == cut(store, now, saving=token)
    with pytest.raises(Clash):
        cut(store, now, saving=token, length=inches(20))
    assert len(piece.pieces(store, shown="all").pieces) == 2


def test_a_cut_is_undone_and_the_parts_are_one_again(store, now):
    a_ready_piece(store, now, paid=money("10.01"))
    cut(store, now)
    step = next(one for one in piece.piece(store, number=1).steps if one.kind == "cut off")
    card = piece.undo(store, number=1, step_id=step.id, saving=fresh_token(), now=now)
    assert (card.left, card.cost_left) == (1, money("10.01"))
    assert piece.piece(store, number=2).left == 0
    assert prove(store).holds


def test_a_cut_is_not_undone_while_the_new_piece_is_used(store, now):
    a_ready_piece(store, now)
    cut(store, now)
    a_job(store, now)
    used = drawn(store, now, 2, 1, Share(Decimal("0.5"))).step_id
    step = next(one for one in piece.piece(store, number=1).steps if one.kind == "cut off")

    def undo(number, which):
        return piece.undo(store, number=number, step_id=which, saving=fresh_token(), now=now)

    refused_as(lambda: undo(1, step.id), ("", "step.leaning"))
    assert piece.piece(store, number=2).left == Decimal("0.5")
    undo(2, used)
    assert undo(1, step.id).left == 1
