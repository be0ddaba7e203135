"""What the cloth was worth on any day, and where; a day that is past stays as it was."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.errors import Refusal
from shop.usecases import draw, job, later_cost, piece, worth
from shop.usecases.given import fresh_token
from tests.builders import a_haul_at_home, a_job, a_sheet, an_open_shop, codes, drawn, money

HALF = Share(Decimal("0.5"))


@pytest.fixture
def worked(store, now):
    """Two sheets of $10.01 and $7.00 home on the 14th; a draw on the 17th, dye on the 18th, a rug on the 19th."""
    an_open_shop(store, now)
    sheets = a_sheet(ready=True, paid=money("10.01")), a_sheet(name="Red", ready=True, paid=money("7.00"))
    a_haul_at_home(store, now, *sheets)
    a_job(store, now)
    drawn(store, now, 1, 1, HALF)
    later = now + timedelta(days=1)
    later_cost.add_cost(
        store, haul_id=1, cost=money("1.20"), note="dye", saving=fresh_token(), now=later
    )
    later += timedelta(days=1)
    draw.spoil_in_job(store, number=1, job=1, amount=HALF, saving=fresh_token(), now=later)
    job.weave(store, number=1, saving=fresh_token(), now=later)
    return store


def on(store, now, day):
    found = worth.worth(store, day=day, now=now + timedelta(days=9))
    places = (found.on_shelf, found.in_jobs, found.in_rugs, found.written_off)
    assert sum(places, money("0")) == found.paid
    shelf = worth.shelf_on(store, day=day)
    assert sum((line.cost for line in shelf.lines), money("0")) == found.on_shelf
    return tuple(str(part.amount) for part in places)


def test_every_day_stands_as_it_was(worked, now):
    days = {
        13: ("0.00", "0.00", "0.00", "0.00"),
        14: ("17.01", "0.00", "0.00", "0.00"),
        16: ("17.01", "0.00", "0.00", "0.00"),
        17: ("12.00", "5.01", "0.00", "0.00"),
        18: ("13.20", "5.01", "0.00", "0.00"),
        19: ("13.20", "0.00", "2.50", "2.51"),
        26: ("13.20", "0.00", "2.50", "2.51"),
    }
    assert {day: on(worked, now, date(2026, 3, day)) for day in days} == days
    today = worth.worth(worked, now=now)
    assert (today.day, today.today) == (date(2026, 3, 17), date(2026, 3, 17))


def test_what_is_undone_later_leaves_the_day_as_it_was(worked, now):
    step = piece.give_away(worked, number=2, saving=fresh_token(), now=now + timedelta(days=3)).steps[-1].id
    piece.undo(worked, number=2, step_id=step, saving=fresh_token(), now=now + timedelta(days=5))
    assert on(worked, now, date(2026, 3, 20))[3] == "10.21"
    assert on(worked, now, date(2026, 3, 22))[3] == "2.51"


def test_the_shelf_of_a_day_names_its_pieces(worked, now):
    found = worth.shelf_on(worked, day=date(2026, 3, 17))
    assert [(line.number, line.name, line.share, line.cost) for line in found.lines] == [
        (2, "Red", Decimal(1), money("7.00")),
        (1, "Blue striped sheet", Decimal("0.5"), money("5.00")),
    ]
    assert worth.shelf_on(worked, day=date(2026, 3, 13)).lines == ()
    first = worth.shelf_on(worked, day=date(2026, 3, 17), limit=1)
    assert first.further == 2
    rest = worth.shelf_on(worked, day=date(2026, 3, 17), below=first.further, limit=1)
    assert ([line.number for line in rest.lines], rest.further) == ([1], None)


def test_the_day_is_the_shops_own(worked, now):
    """At two in the morning in Greenwich it is still the evening before at the shop in New York."""
    night = now.replace(day=21, hour=2)
    assert worth.worth(worked, now=night).today == date(2026, 3, 20)
    with pytest.raises(Refusal) as refused:
        worth.worth(worked, day=date(2026, 3, 21), now=night)
    assert codes(refused) == {("day", "date.future")}


def test_the_worth_takes_as_many_queries_however_much_happened(worked, now, count_queries):
    def asked():
        with count_queries(worked) as said:
            worth.worth(worked, now=now)
            worth.shelf_on(worked, day=date(2026, 3, 17))
        return len(said)

    few = asked()
    a_haul_at_home(worked, now, a_sheet(count=9))
    assert asked() == few
