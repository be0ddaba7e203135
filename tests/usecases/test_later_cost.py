"""Washing and dye paid for later: spread to the cent over what is left of a haul, and undone as one."""

from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.errors import Clash, NotFound, Refusal
from shop.core.measure import Weight
from shop.usecases import haul, later_cost, piece
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import (
    a_blanket,
    a_cone,
    a_haul_at_home,
    a_job,
    a_sheet,
    codes,
    drawn,
    inches,
    money,
)

HALF = Share(Decimal("0.5"))


def pay(store, now, cost="1.00", haul_id=1, note="dye", **given):
    return later_cost.add_cost(
        store, haul_id=haul_id, cost=money(cost), note=note, **{"saving": fresh_token(), "now": now, **given}
    )


def undo(store, now, step_id, haul_id=1, saving=None):
    return later_cost.undo_cost(
        store, haul_id=haul_id, step_id=step_id, saving=saving or fresh_token(), now=now
    )


def borne(store):
    """What each piece bears of the last cost, in coins."""
    return {number: str(cost.amount) for number, cost in later_cost.later_costs(store, haul_id=1)[0].parts}


def refused_as(what, *found, error=Refusal):
    with pytest.raises(error) as refused:
        what()
    assert codes(refused) == set(found)


@pytest.mark.parametrize(
    ("way", "parts"),
    [
        # $3.01 over a sheet of 4.00, 80 by 100 in, 500 g and a blanket of 8.00, 80 by 50 in, 1 kg
        ("price", {1: "1.00", 2: "2.01"}),
        ("weight", {1: "1.00", 2: "2.01"}),
        ("area", {1: "2.01", 2: "1.00"}),
        ("evenly", {1: "1.51", 2: "1.50"}),
    ],
)
def test_a_later_cost_is_spread_as_the_haul_was(store, now, way, parts):
    sheet = a_sheet(paid=money("4"), width=inches(80), length=inches(100), weight=Weight.of(500, "g"))
    blanket = a_blanket(paid=money("8"), width=inches(80), length=inches(50), weight=Weight.of(1, "kg"))
    a_haul_at_home(store, now, sheet, blanket, spread_by=way)
    pay(store, now, "3.01")
    assert borne(store) == parts
    card = piece.piece(store, number=1)
    assert (card.cost, card.later) == (money("4.00"), money(parts[1]))
    assert card.cost_left == card.cost + card.later
    assert prove(store).holds


def test_every_cent_is_spread_over_pieces_alike(store, now):
    a_haul_at_home(store, now, a_sheet(count=7))
    pay(store, now, "0.10")
    costs = [card.cost_left for card in haul.haul(store, haul_id=1).pieces]
    assert sum(costs, money("0")) == money("28.10")
    assert max(costs) - min(costs) == money("0.01")
    pay(store, now, "0.01")
    assert len(borne(store)) == 1
    assert prove(store).holds


def test_it_lies_on_what_is_left_alone(store, now):
    """Of 4.00 each, half of one is left and none of another: a third and two thirds."""
    a_haul_at_home(store, now, a_sheet(count=3, ready=True))
    a_job(store, now)
    drawn(store, now, 1, 1, HALF)
    drawn(store, now, 2, 1)
    pay(store, now, "3.00")
    assert borne(store) == {1: "1.00", 3: "2.00"}
    assert drawn(store, now, 1, 1).look.cost == money("3.00")


def test_cones_bear_their_part_by_price(store, now):
    a_haul_at_home(store, now, a_cone(), a_sheet(paid=money("4")))
    pay(store, now, "4.00")
    assert borne(store) == {1: "3.00", 2: "1.00"}


@pytest.mark.parametrize(
    ("given", "problem"),
    [
        ({"cost": "0"}, ("cost", "money.zero")),
        ({"cost": "-1"}, ("cost", "money.negative")),
        ({"cost": "1" + "0" * 15}, ("cost", "money.large")),
        ({"note": " "}, ("note", "text.missing")),
        ({"note": "x" * 10_000}, ("note", "text.long")),
    ],
)
def test_a_cost_that_cannot_be_changes_nothing(store, now, given, problem):
    a_haul_at_home(store, now)
    refused_as(lambda: pay(store, now, **given), problem)
    assert later_cost.later_costs(store, haul_id=1) == ()


def test_everything_wrong_is_told_at_once(store, now):
    a_haul_at_home(store, now)
    refused_as(lambda: pay(store, now, "0", note=""), ("cost", "money.zero"), ("note", "text.missing"))
    eur = money("1", "EUR")
    refused_as(
        lambda: later_cost.add_cost(store, haul_id=1, cost=eur, note="x", saving=fresh_token(), now=now),
        ("cost", "money.mixed"),
    )


def test_nothing_is_laid_on_a_haul_that_is_gone(store, now):
    a_haul_at_home(store, now, a_sheet())
    piece.give_away(store, number=1, saving=fresh_token(), now=now)
    refused_as(lambda: pay(store, now), ("", "haul.gone"))
    for number in (0, 99, 10**40):
        refused_as(
            lambda number=number: pay(store, now, haul_id=number), ("", "haul.unknown"), error=NotFound
        )
        refused_as(
            lambda number=number: later_cost.later_costs(store, haul_id=number),
            ("", "haul.unknown"),
            error=NotFound,
        )


def test_the_same_press_twice_is_one_cost(store, now):
    a_haul_at_home(store, now)
    token = fresh_token()
    assert pay(store, now, saving=token) == pay(store, now, saving=token)
    with pytest.raises(Clash):
        pay(store, now, "2.00", saving=token)
    assert [one.cost for one in later_cost.later_costs(store, haul_id=1)] == [money("1.00")]


def test_a_later_cost_is_undone_on_all_its_pieces(store, now):
    a_haul_at_home(store, now, a_sheet(count=3))
    pay(store, now, "1.00")
    step = later_cost.later_costs(store, haul_id=1)[0].step_id
    token = fresh_token()
    undo(store, now, step, saving=token)
    undo(store, now, step, saving=token)
    assert [card.cost_left for card in haul.haul(store, haul_id=1).pieces] == [money("4.00")] * 3
    assert [one.undone for one in later_cost.later_costs(store, haul_id=1)] == [True]
    refused_as(lambda: undo(store, now, step), ("", "step.undone"), error=Clash)
    assert prove(store).holds


def test_a_later_cost_that_has_gone_into_a_rug_stays(store, now):
    a_haul_at_home(store, now, a_sheet(count=2, ready=True))
    pay(store, now, "1.00")
    step = later_cost.later_costs(store, haul_id=1)[0].step_id
    a_job(store, now)
    used = drawn(store, now, 1, 1).step_id
    refused_as(lambda: undo(store, now, step), ("", "step.leaning"))
    assert [one.undone for one in later_cost.later_costs(store, haul_id=1)] == [False]
    piece.undo(store, number=1, step_id=used, saving=fresh_token(), now=now)
    undo(store, now, step)
    assert prove(store).holds


def test_a_later_cost_stays_when_less_than_it_is_left(store, now):
    """Of $5.00, a tenth is left: 50 cents, of which no dollar can be taken back."""
    a_haul_at_home(store, now, a_sheet(ready=True))
    pay(store, now, "1.00")
    step = later_cost.later_costs(store, haul_id=1)[0].step_id
    a_job(store, now)
    drawn(store, now, 1, 1, Share(Decimal("0.9")))
    refused_as(lambda: undo(store, now, step), ("", "step.leaning"))
    assert prove(store).holds


def test_only_a_later_cost_of_this_haul_is_undone_here(store, now):
    a_haul_at_home(store, now)
    a_haul_at_home(store, now)
    pay(store, now)
    step = later_cost.later_costs(store, haul_id=1)[0].step_id
    came = piece.piece(store, number=1).steps[0].id
    for haul_id, step_id in ((2, step), (1, came), (1, 0), (1, 10**40)):
        refused_as(
            lambda haul_id=haul_id, step_id=step_id: undo(store, now, step_id, haul_id=haul_id),
            ("", "step.unknown"),
            error=NotFound,
        )
