"""The reckoning after a fair: it adds up to the coin, an undone sale is out of it, and years stand side by side."""

from datetime import date

import pytest

from shop.core.money import Money
from shop.usecases import account, fair, fair_reckoning, rug_card, sale
from shop.usecases.given import fresh_token
from shop.usecases.shop import ShopGiven
from tests.a_stall import a_kept_fair, a_rug_at_home, packed, sold_there


@pytest.fixture
def stall(store, now):
    given = ShopGiven(name="Warp & Rag")
    account.open_shop(store, name="ida", password="blue and madder stripes", shop=given, saving=fresh_token(), now=now)
    a_kept_fair(store, now)
    for name, width, cost, price, colour in (
        ("Blue ladder", 24, 40, 60, "#2b3d6e"), ("Hearth", 36, 80, 130, "#97291d"), ("Bath mat", 20, 25, 35, "#2b3d6e"),
    ):  # fmt: skip
        a_rug_at_home(store, now, name, width=width, cost=cost, price=price, colour=colour)
    packed(store, now, 1, r1=60, r2=130, r3=35)
    return store


def test_a_fair_adds_up_to_the_coin(stall, now):
    sold_there(stall, now, 1, (1, 60), (2, 120), means="card")
    found = fair_reckoning.reckoning(stall, number=1)
    account_of = found.record.account
    assert (account_of.brought, account_of.sold) == (3, 2)
    assert account_of.takings.minor == 180_00 + 11_25
    assert account_of.tax.minor == 11_25
    assert account_of.fees.minor == 3_83  # 2 % of 191.25, half a cent up
    assert account_of.rugs.minor == 120_00
    assert account_of.profit.minor == 191_25 - 11_25 - 3_83 - 120_00 - 122_50
    assert account_of.unexplained.minor == 0
    assert account_of.by_means == (("card", Money(191_25, "USD")),)
    assert [(one.what, one.brought, one.sold) for one in found.colours] == [("red", 1, 1), ("blue", 2, 1)]
    assert sum(one.takings.minor for one in found.sizes) == 180_00
    assert found.still_packed == (3,)


def test_a_sale_that_is_undone_is_out_of_it(stall, now):
    number = sold_there(stall, now, 1, (1, 60))
    sale.undo(stall, number=number, why="Changed their mind", saving=fresh_token(), now=now)
    found = fair_reckoning.reckoning(stall, number=1)
    assert (found.record.account.sold, found.record.account.takings.minor) == (0, 0)
    assert found.record.account.profit.minor == -122_50


def test_money_for_a_rug_sold_twice_is_left_out_until_it_is_settled(stall, now):
    sold_there(stall, now, 1, (1, 60))
    sold_there(stall, now, 1, (1, 60))
    record = fair_reckoning.reckoning(stall, number=1).record
    found = record.account
    assert (found.sold, found.takings.minor, found.tax.minor, found.unexplained.minor) == (1, 63_75, 3_75, 0)
    assert record.doubtful.minor == 63_75


def test_a_rug_that_two_fairs_sold_costs_and_brings_at_the_first_of_them_only(stall, now):
    other = a_kept_fair(stall, now, name="Spring market").number
    sold_there(stall, now, 1, (1, 60))
    again = sold_there(stall, now, other, (1, 60), (2, 130))
    first, second = (fair_reckoning.reckoning(stall, number=number).record for number in (1, other))
    assert (first.account.sold, first.account.rugs.minor, first.doubtful.minor) == (1, 40_00, 0)
    assert (second.account.sold, second.account.rugs.minor, second.doubtful.minor) == (1, 80_00, 63_75)
    assert (second.account.takings.minor, second.account.unexplained.minor) == (138_13, 0)
    sale.undo(stall, number=again - 1, why="It was sold at the market", saving=fresh_token(), now=now)
    first, second = (fair_reckoning.reckoning(stall, number=number).record for number in (1, other))
    assert (first.account.rugs.minor, second.account.rugs.minor, second.doubtful.minor) == (0, 120_00, 0)


def test_what_was_not_sold_comes_home_once(stall, now):
    sold_there(stall, now, 1, (1, 60))
    token = fresh_token()
    assert fair_reckoning.bring_home(stall, number=1, saving=token, now=now) == 2
    assert fair_reckoning.bring_home(stall, number=1, saving=token, now=now) == 2
    assert [rug_card.rug(stall, number=number).place for number in (1, 2, 3)] == ["sold", "home", "home"]
    assert fair_reckoning.reckoning(stall, number=1).record.account.brought == 3


def test_fairs_stand_side_by_side_by_their_series(stall, now):
    fair.end(stall, number=1, saving=fresh_token(), now=now)
    last_year = a_kept_fair(stall, now, first_on=date(2025, 9, 13), last_on=date(2025, 9, 14))
    other = a_kept_fair(stall, now, name="Spring market")
    for number in (last_year.number, other.number):
        fair.end(stall, number=number, saving=fresh_token(), now=now)
    found = fair_reckoning.beside(stall, series="harvest  FAIR")
    assert [card.number for card in found.cards] == [2, 1]
    assert found.side.profit.minor == -2 * 122_50
    assert len(fair_reckoning.beside(stall).cards) == 3
    assert fair_reckoning.beside(stall, series="no such").side is None


def test_the_reckoning_asks_as_little_of_many_sales_and_fairs_as_of_one(stall, now, count_queries):
    fair.end(stall, number=1, saving=fresh_token(), now=now)
    with count_queries(stall) as few:
        fair_reckoning.beside(stall)
    for place in range(6):
        number = a_kept_fair(stall, now, name=f"Fair {place}").number
        one = a_rug_at_home(stall, now, f"Rug {place}")
        packed(stall, now, number, **{f"r{one}": 60})
        sold_there(stall, now, number, (one, 60))
        fair.end(stall, number=number, saving=fresh_token(), now=now)
    with count_queries(stall) as many:
        fair_reckoning.beside(stall)
    assert len(many) == len(few)
