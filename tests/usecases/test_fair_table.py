"""A fair's table: what is looked at changes nothing, what is kept is packed at its price, and its sums are the core's."""

from decimal import Decimal

import pytest

from shop.core.errors import Clash, Refusal
from shop.core.money import Money
from shop.usecases import account, fair, fair_table, rug
from shop.usecases.fair_table import TableGiven
from shop.usecases.given import fresh_token
from shop.usecases.shop import ShopGiven
from tests.a_stall import a_kept_fair, a_rug_at_home, sold_there


def money(dollars):
    return Money(int(Decimal(dollars) * 100), "USD")


@pytest.fixture
def stall(store, now):
    given = ShopGiven(name="Warp & Rag")
    account.open_shop(store, name="ida", password="blue and madder stripes", shop=given, saving=fresh_token(), now=now)
    a_kept_fair(store, now)
    a_rug_at_home(store, now, "Blue ladder", price=60)
    a_rug_at_home(store, now, "Hearth", width=30, length=60, cost=80, price=None)
    a_rug_at_home(store, now, "Bath mat", width=20, length=30, cost=25, price=35)
    return store


def kept(stall, now, *chosen, revision=1, **prices):
    typed = TableGiven(chosen=set(chosen), prices={int(name[1:]): money(price) for name, price in prices.items()})
    return fair_table.keep(stall, number=1, typed=typed, revision=revision, saving=fresh_token(), now=now)


def rugs_of(table):
    return {one.card.number: one for one in table.rugs}


def test_rugs_at_home_are_shown_with_their_own_price_or_the_rule(stall):
    table = fair_table.table(stall, number=1)
    found = rugs_of(table)
    assert [one.card.number for one in table.rugs] == [3, 2, 1]
    assert (found[1].priced.asking, found[1].by_hand) == (money(60), True)
    assert not found[2].by_hand
    assert found[2].priced.asking.minor % 500 == 0
    assert not any(one.chosen for one in table.rugs)
    assert (table.sum.count, table.profit) == (0, None)
    assert table.even.to_bear == money("122.50")
    assert table.ten_times == money(900)


def test_looking_changes_nothing(stall):
    before = fair_table.table(stall, number=1)
    looked = fair_table.table(stall, number=1, typed=TableGiven(chosen={1, 3}, prices={1: money(75)}))
    assert looked.sum.count == 2
    assert rugs_of(looked)[1].priced.asking == money(75)
    assert fair_table.table(stall, number=1) == before


def test_what_is_kept_is_packed_at_its_price_and_comes_back_by_the_next_choice(stall, now):
    table = kept(stall, now, 1, 2, r1="65")
    found = rugs_of(table)
    assert {one for one in found if found[one].packed} == {1, 2}
    assert (found[1].priced.asking, found[2].by_hand) == (money(65), True)
    assert rug.rug(stall, number=1).place == "fair"
    assert rug.rug(stall, number=1).price == money(60)
    again = kept(stall, now, 2, 3, revision=fair.fair(stall, number=1).revision)
    assert {one.card.number for one in again.rugs if one.packed} == {2, 3}
    assert rug.rug(stall, number=1).place == "home"


def test_prices_become_their_own_where_that_is_wanted(stall, now):
    typed = TableGiven(chosen={1}, prices={1: money(70)}, also_own=True)
    fair_table.keep(stall, number=1, typed=typed, revision=1, saving=fresh_token(), now=now)
    assert rug.rug(stall, number=1).price == money(70)


def test_what_must_come_in_is_what_the_core_says_of_what_is_chosen(stall, now):
    table = kept(stall, now, 1, 2, 3, r1="60", r2="130", r3="35")
    left = [one.leaves for one in table.rugs]
    assert sum(one.contribution.minor for one in left) - 122_50 == table.even.all_sold.minor
    found = rugs_of(table)
    fee = money("63.75").share(Decimal("0.01"))
    assert found[1].leaves.contribution == money(60) - fee - money(40)
    assert sum(table.sold) == pytest.approx(1)
    assert len(table.sold) == 4
    assert table.guessed


def test_past_fairs_teach_chances_and_past_sales_prices(stall, now):
    kept(stall, now, 1, 3, r1="60", r3="35")
    sold_there(stall, now, 1, (1, 60))
    fair.end(stall, number=1, saving=fresh_token(), now=now)
    a_kept_fair(stall, now, name="Next fair")
    a_rug_at_home(stall, now, "Blue ladder again", price=60)
    table = fair_table.table(stall, number=2)
    one = rugs_of(table)[4]
    assert (one.chance.brought, one.chance.sold, one.chance.guessed) == (1, 1, False)
    assert one.chance.chance > 0.3
    assert one.priced.likes.count == 1
    assert one.priced.likes.middle == pytest.approx(Decimal(60) / Decimal("0.55741824"), rel=Decimal("1e-6"))


def test_a_rug_that_went_meanwhile_and_a_fair_that_is_over_are_refused(stall, now):
    a_kept_fair(stall, now, name="Another fair")
    kept(stall, now, 1)
    typed = TableGiven(chosen={1}, prices={})
    with pytest.raises(Clash) as refused:
        fair_table.keep(stall, number=2, typed=typed, revision=1, saving=fresh_token(), now=now)
    assert [problem.code for problem in refused.value.problems] == ["rug.elsewhere"]
    with pytest.raises(Clash):
        kept(stall, now, 1, 2, revision=1)
    fair.end(stall, number=2, saving=fresh_token(), now=now)
    with pytest.raises(Refusal) as refused:
        fair_table.keep(stall, number=2, typed=TableGiven(chosen={3}, prices={}), revision=2, saving=fresh_token(), now=now)
    assert [problem.code for problem in refused.value.problems] == ["fair.over"]


def test_the_same_press_twice_packs_once(stall, now):
    token, typed = fresh_token(), TableGiven(chosen={1}, prices={})
    for _ in range(2):
        fair_table.keep(stall, number=1, typed=typed, revision=1, saving=token, now=now)
    assert fair.fair(stall, number=1).revision == 2


def test_the_table_asks_as_little_of_many_rugs_as_of_few(stall, now, count_queries):
    with count_queries(stall) as few:
        fair_table.table(stall, number=1)
    for place in range(40):
        a_rug_at_home(stall, now, f"Rug {place}")
    with count_queries(stall) as many:
        fair_table.table(stall, number=1)
    assert len(many) == len(few)
