"""The ladder: rungs by size, and the rugs that are cheaper than a smaller one."""

from hypothesis import given
from hypothesis import strategies as st

from shop.core.batch import price_batch
from shop.core.ladder import ALIKE, Size, Slip, ladder, size_of, slips
from shop.core.price_points import Steps
from tests.core.a_table import FOOT, a_rug, a_rule, usd


def on_table(*rugs):
    """Rugs of (square feet, price in smallest coins), called by their place."""
    batch = [a_rug(str(at), feet=feet, by_hand=usd(minor)) for at, (feet, minor) in enumerate(rugs)]
    return price_batch(batch, a_rule(), Steps(step=usd(0), ending=usd(0)))


def test_small_middling_and_large():
    assert [size_of(feet * FOOT) for feet in (2, 6, 7, 8, 12, 14, 15, 60)] == [Size.SMALL] * 3 + [Size.MIDDLE] * 3 + [Size.LARGE] * 2


def test_each_rung_says_how_many_and_from_what_to_what():
    small, large = ladder(on_table((6, 9500), (6, 8500), (24, 30_000), (5, 7000), (6, 9900)))
    assert (small.size, small.count, small.low, small.middle, small.high) == (Size.SMALL, 4, usd(7000), usd(9500), usd(9900))
    assert (large.size, large.count, large.low, large.middle, large.high) == (Size.LARGE, 1, *[usd(30_000)] * 3)
    assert ladder([]) == ()


def test_a_larger_rug_that_is_cheaper_is_named_with_the_dearest_of_those_smaller():
    table = on_table((6, 9500), (8, 9000), (7, 9900), (12, 9900), (15, 5000))
    assert slips(table) == (Slip("1", "2"), Slip("4", "2"))


def test_rugs_of_about_one_size_may_have_any_price():
    assert slips(on_table((6, 9500), (6.2, 7000))) == ()
    assert slips(on_table((6, 9500), (6.4, 7000))) == (Slip("1", "0"),)
    assert slips([]) == ()


@given(st.lists(st.tuples(st.sampled_from([4, 6, 6.2, 8, 12, 24]), st.integers(1, 20_000)), max_size=10))
def test_slips_are_all_that_comparing_each_with_each_finds(rugs):
    table = on_table(*rugs)
    cheaper = {
        larger.rug.rug
        for larger in table
        for smaller in table
        if smaller.rug.area_m2 * ALIKE < larger.rug.area_m2 and larger.asking < smaller.asking
    }
    found = slips(table)
    assert {slip.larger for slip in found} == cheaper
    assert len(found) == len(cheaper)
    prices = {one.rug.rug: one.asking for one in table}
    assert all(prices[slip.larger] < prices[slip.smaller] for slip in found)


@given(st.lists(st.tuples(st.floats(1, 40), st.integers(1, 20_000)), max_size=10))
def test_every_rug_stands_on_one_rung(rugs):
    rungs = ladder(on_table(*rugs))
    assert sum(rung.count for rung in rungs) == len(rugs)
    assert [rung.size for rung in rungs] == [size for size in Size if size in {rung.size for rung in rungs}]
    assert all(rung.low <= rung.middle <= rung.high for rung in rungs)
