"""What a fair costs, what each rug leaves towards it, and how many must be sold: one fewer is a loss, so many is none."""

from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.fair_cost import CardReader, RugBrought, break_even, leaves, rugs_to_bring, travel_cost
from shop.core.money import Money
from tests.core.a_rug import problems_of
from tests.core.a_table import NO_CARD, a_fair, usd, what_leaves

CONTRIBUTIONS = st.lists(st.integers(-3000, 20_000), max_size=12)
READER = CardReader(share=Decimal("0.0175"), fixed=usd(10), used=Decimal("0.6"))


def test_a_fair_costs_the_sum_of_its_lines():
    fair = a_fair(lodging=9000, helper=8000, permits=2500, other=1250, days=2)
    assert fair.total == usd(41_750)
    assert [name for name, _ in fair.lines] == ["stall", "travel", "lodging", "helper", "permits", "other"]
    assert fair.hours == 12
    assert fair.with_wage(usd(1850)) == usd(41_750 + 22_200)


def test_the_way_there_and_back():
    assert travel_cost(Decimal("62.5"), Decimal("0.67"), "USD") == usd(8375)
    assert travel_cost(Decimal(10), Decimal("2.5"), "SEK", ways=4) == Money(10_000, "SEK")
    assert travel_cost(Decimal("0.5"), Decimal("0.01"), "USD", ways=1) == usd(1)
    assert problems_of(travel_cost, Decimal(-1), Decimal(1), "USD") == {("fair.negative", "travel")}


def test_what_a_card_reader_keeps():
    assert READER.fee(usd(10_000)) == usd(185)
    assert READER.expected(usd(10_000)) == usd(111)
    assert READER.fee(usd(0)) == READER.expected(usd(0)) == usd(0)


def test_a_rug_leaves_its_price_less_tax_fee_and_cost():
    found = leaves(RugBrought(rug="1", paid=usd(12_000), tax=usd(2000), cost=usd(6000)), READER)
    assert found.fee == usd(132)  # 60 % of 1.75 % of 120.00 and of 0.10 is 1.32
    assert found.contribution == usd(3868)
    assert found.ratio == Decimal("0.3868")
    assert leaves(RugBrought(rug="1", paid=usd(0), tax=usd(0), cost=usd(6000)), READER).ratio is None


@given(CONTRIBUTIONS, st.integers(0, 60_000))
def test_one_rug_fewer_is_a_loss_and_so_many_is_none(contributions, cost):
    found = break_even(what_leaves(*contributions), usd(cost))
    best = sorted(contributions, reverse=True)
    for count, first in ((found.dearest_first, best), (found.cheapest_first, best[::-1])):
        if count is None:
            assert all(sum(first[:n]) < cost for n in range(len(first) + 1))
        else:
            assert sum(first[:count]) >= cost
            assert count == 0 or sum(first[: count - 1]) < cost
    if found.average is not None:
        assert found.average * sum(contributions) >= cost * len(contributions)
        assert found.average == 0 or (found.average - 1) * sum(contributions) < cost * len(contributions)
    assert (found.average is None) == (sum(contributions) <= 0) == (found.takings is None)
    assert found.all_sold.minor == sum(contributions) - cost


@given(st.lists(st.integers(-3000, 20_000), max_size=7), st.integers(1, 60_000))
def test_fewer_than_the_dearest_never_do_and_as_many_as_the_cheapest_always_do(contributions, cost):
    found = break_even(what_leaves(*contributions), usd(cost))
    bears = {
        count: [sum(sold) >= cost for sold in combinations(contributions, count)] for count in range(len(contributions) + 1)
    }
    fewest = next((count for count, each in bears.items() if any(each)), None)
    always = next((count for count, each in bears.items() if all(each)), None)
    assert found.dearest_first == fewest
    assert found.cheapest_first == always
    if always is not None:
        assert all(all(bears[count]) for count in range(always, len(contributions) + 1))


@given(st.lists(st.tuples(st.integers(1, 20_000), st.integers(0, 9000)), min_size=1, max_size=8), st.integers(0, 60_000))
def test_break_even_takings_bear_the_cost_and_a_coin_less_does_not(rugs, cost):
    brought = [
        leaves(RugBrought(rug=str(at), paid=usd(paid), tax=usd(0), cost=usd(own)), NO_CARD)
        for at, (paid, own) in enumerate(rugs)
    ]
    together = sum(each.contribution.minor for each in brought)
    paid = sum(each.rug.paid.minor for each in brought)
    found = break_even(brought, usd(cost)).takings
    assert (found is None) == (together <= 0)
    if found is not None:
        assert found.minor * together >= cost * paid
        assert not found or (found.minor - 1) * together < cost * paid


def test_a_profit_wanted_is_borne_like_a_cost():
    brought = what_leaves(3000, 3000, 3000, 3000, paid=9000)
    assert break_even(brought, usd(5000)).average == 2
    more = break_even(brought, usd(5000), wanted=usd(4001))
    assert more.to_bear == usd(9001)
    assert more.average == more.dearest_first == more.cheapest_first == 4
    assert more.takings == usd(27_003)
    assert break_even(brought, usd(13_000)).average == 5  # more than are brought
    assert break_even(brought, usd(13_000)).dearest_first is None


def test_nothing_to_bear_needs_no_rug():
    found = break_even([], usd(0))
    assert (found.dearest_first, found.cheapest_first, found.average, found.takings) == (0, 0, None, None)


def test_what_to_bring():
    assert rugs_to_bring(7, Decimal("0.35")) == 20
    assert rugs_to_bring(7, 0.35) == 20
    assert rugs_to_bring(1, Decimal(1)) == 1
    assert rugs_to_bring(0, 0.3) == 0


@given(st.integers(0, 200), st.integers(1, 1000))
def test_so_many_brought_are_enough_and_one_fewer_is_not(needed, share):
    bring = rugs_to_bring(needed, Decimal(share).scaleb(-3))
    assert bring * share >= needed * 1000
    assert bring == 0 or (bring - 1) * share < needed * 1000


@pytest.mark.parametrize("share", [Decimal(0), Decimal("1.01"), -0.5])
def test_a_share_sold_beyond_all_is_refused(share):
    assert problems_of(rugs_to_bring, 3, share) == {("fair.share_sold", "share_sold")}


def test_what_makes_no_sense_is_told_all_at_once():
    assert problems_of(a_fair, stall=-1, helper=-1, days=0, hours_stood=Decimal(-1), hours_travelled=Decimal("NaN")) == {
        ("fair.negative", "stall"),
        ("fair.negative", "helper"),
        ("fair.negative", "hours_stood"),
        ("fair.negative", "hours_travelled"),
        ("fair.days", "days"),
    }
    fine = {"share": Decimal(0), "fixed": usd(0), "used": Decimal(0)}
    assert problems_of(CardReader, **{**fine, "share": Decimal(1)}) == {("fee.range", "card.share")}
    assert problems_of(CardReader, **{**fine, "used": Decimal("1.1")}) == {("fair.card_used", "card.used")}
    assert problems_of(CardReader, **{**fine, "fixed": usd(-1)}) == {("fair.negative", "card.fixed")}
    assert problems_of(break_even, [], usd(-1)) == {("fair.negative", "wanted")}
