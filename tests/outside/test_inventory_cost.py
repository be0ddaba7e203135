"""What cloth used has cost, and what the rest has, against worked examples of inventory costing.

The goods are those of "The Spy Who Loves You" in OpenStax, *Principles of Accounting, Volume 1: Financial Accounting*,
chapter 10 (CC BY-NC-SA 4.0), from memory: 150 units at $21, 225 at $27 and 210 at $33; 120 and then 180 are sold. Its
answers are derived again below. A unit is a square metre of cloth here, and a lot is a piece.
"""

from decimal import Decimal

import pytest

from shop.core.amount import Area, Share
from shop.core.measure import Length
from shop.usecases import draw, job, piece, worth
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import a_haul_at_home, a_job, a_ready_piece, a_sheet, an_open_shop, drawn, money

LOTS = ((150, 21), (225, 27), (210, 33))


def metres(value):
    return Length.of(value, "m")


def a_lot(units, paid):
    return a_sheet(
        name=f"{units} units", width=metres(10), length=metres(Decimal(units) / 10), paid=money(paid), ready=True
    )


def units(count):
    return Area(Decimal(count))


def standing(store, now):
    found = worth.worth(store, now=now)
    return found.in_jobs, found.on_shelf


def test_specific_identification(store, now):
    """120 from the first lot; then 20 from the first and 160 from the second: sold $7,260, left $8,895."""
    an_open_shop(store, now)
    for count, price in LOTS:
        a_haul_at_home(store, now, a_lot(count, count * price))
    sold = a_job(store, now)
    assert drawn(store, now, 1, sold, units(120)).look.cost == money("2520.00")
    assert drawn(store, now, 1, sold, units(20)).look.cost == money("420.00")
    assert drawn(store, now, 2, sold, units(160)).look.cost == money("4320.00")
    assert money(120 * 21 + 20 * 21 + 160 * 27) == money("7260.00")
    assert standing(store, now) == (money("7260.00"), money("8895.00"))
    left = [piece.piece(store, number=number).cost_left for number in (1, 2, 3)]
    assert left == [money("210.00"), money("1755.00"), money("6930.00")]
    assert prove(store).paid == money("16155.00")


def test_first_in_first_out_when_the_oldest_are_taken_first(store, now):
    """The same goods, oldest first: sold $7,200, left $8,955."""
    an_open_shop(store, now)
    for count, price in LOTS:
        a_haul_at_home(store, now, a_lot(count, count * price))
    sold = a_job(store, now)
    for number, count in ((1, 120), (1, 30), (2, 150)):
        drawn(store, now, number, sold, units(count))
    assert standing(store, now) == (money("7200.00"), money("8955.00"))


@pytest.mark.parametrize("taken", [((1, 120), (2, 180)), ((3, 210), (1, 90)), ((1, 150), (2, 50), (3, 100))])
def test_weighted_average_where_the_lots_are_mixed(store, now, taken):
    """$16,155 / 585 is $27.615 a unit: 300 sold come to $8,285, 285 left to $7,870, whichever pieces they come from.

    The lots are mixed by one price for the whole heap, spread over it by area.
    """
    an_open_shop(store, now)
    heap = [a_lot(count, 0) for count, _ in LOTS]
    home = a_haul_at_home(store, now, *heap, trip=money("16155.00"), spread_by="area")
    exact = [Decimal(16155) * count / 585 for count, _ in LOTS]
    for card, share in zip(home.pieces, exact, strict=True):
        assert abs(card.cost.amount - share) < Decimal("0.01")
    sold = a_job(store, now)
    for number, count in taken:
        drawn(store, now, number, sold, units(count))
    used, left = standing(store, now)
    assert abs(used.amount - Decimal(16155) * 300 / 585) < Decimal("0.02")
    assert (round(used.amount), round(left.amount)) == (8285, 7870)
    assert used + left == money("16155.00")


def test_usual_spoilage_stays_in_the_job_and_the_rest_is_written_off(store, now):
    """Common practice of cost accounting: of $1,000 for 100 units, 5 may spoil; 12 do, so 7 x $10 is a loss.

    The job bears $930 for 88 good units.
    """
    an_open_shop(store, now)
    a_ready_piece(store, now, a_lot(100, 1000))
    number = a_job(store, now)
    drawn(store, now, 1, number)
    done = draw.waste(store, number=1, job=number, amount=units(12), saving=fresh_token(), now=now)
    assert done.job.written_off == money("70.00")
    assert done.job.cost == money("930.00")
    rug = job.weave(store, number=number, saving=fresh_token(), now=now)
    assert rug.cost == money("930.00")
    found = prove(store)
    assert (found.in_rugs, found.written_off, found.faults) == (money("930.00"), money("70.00"), ())


def test_left_overs_go_back_at_their_cost(store, now):
    """Common practice: material that is given back is credited at the cost at which it was issued."""
    an_open_shop(store, now)
    a_ready_piece(store, now, a_lot(150, 3150))
    number = a_job(store, now)
    drawn(store, now, 1, number, units(120))
    back = draw.give_back(
        store, number=1, job=number, amount=Share(Decimal("0.25")), saving=fresh_token(), now=now
    )
    assert back.look.cost == money("630.00")
    assert standing(store, now) == (money("1890.00"), money("1260.00"))
