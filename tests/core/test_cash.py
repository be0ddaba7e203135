"""Cash: rounding is never off by more than half a step, and change is made of what lies in the drawer."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.cash import CASH_STEPS, MOST_PIECES, TENDER, cash_step, change, change_from, in_cash, worth
from shop.core.money import Money, decimals_of
from tests.core.a_rug import problems_of

WORTHS = st.sampled_from([1, 2, 3, 5, 7, 10, 12, 20, 25, 50, 100])
DRAWERS = st.dictionaries(WORTHS, st.integers(0, 6), max_size=4)


def usd(minor):
    return Money(minor, "USD")


def come_to(pieces):
    return sum(piece.minor * count for piece, count in pieces)


def fewest_by_trying(amount, drawer):
    """Every handful that a drawer allows, looked at; ``None`` where none comes to the amount."""
    handfuls = product(*(range(count + 1) for count in drawer.values()))
    fitting = [sum(each) for each in handfuls if sum(w * n for w, n in zip(drawer, each, strict=True)) == amount]
    return min(fitting, default=None)


@given(st.integers(-(10**9), 10**9), st.integers(1, 1000))
def test_rounding_is_never_off_by_more_than_half_a_step(total, step):
    paid = in_cash(usd(total), usd(step)).minor
    assert paid % step == 0
    assert 2 * abs(paid - total) <= step
    if 2 * abs(paid - total) == step:
        assert abs(paid) > abs(total)


@given(st.integers(0, 10**6), st.integers(0, 1000))
def test_what_is_rounded_stays(total, step):
    once = in_cash(usd(total), usd(step))
    assert in_cash(once, usd(step)) == once


def test_only_the_country_s_own_money_is_rounded_there():
    assert cash_step("SE", "SEK") == Money(100, "SEK")
    assert cash_step("se", "SEK") == Money(100, "SEK")
    assert cash_step("SE", "EUR") == Money.zero("EUR")
    assert cash_step("FI", "EUR") == Money(5, "EUR")
    assert cash_step("DE", "EUR") == Money.zero("EUR")
    assert cash_step("US", "USD") == Money.zero("USD")
    assert cash_step("", "USD") == Money.zero("USD")


@pytest.mark.parametrize("currency", TENDER)
def test_the_largest_that_fits_is_the_fewest(currency):
    """By trying all sums below the two largest pieces together: were it ever otherwise, it would show there (D. Kozen and
    S. Zaks, "Optimal bounds for the change-making problem", 1994). All is measured in the smallest piece."""
    smallest = TENDER[currency][-1]
    assert list(TENDER[currency]) == sorted(set(TENDER[currency]), reverse=True)
    assert all(piece % smallest == 0 for piece in TENDER[currency])
    sizes = [piece // smallest for piece in TENDER[currency]]
    fewest = [0]
    for amount in range(1, sizes[0] + sizes[1]):
        fewest.append(1 + min(fewest[amount - size] for size in sizes if size <= amount))
    for amount, best in enumerate(fewest):
        left, count = amount, 0
        for size in sizes:
            count, left = count + left // size, left % size
        assert count == best, amount


@pytest.mark.parametrize("country", CASH_STEPS)
def test_a_sum_that_is_rounded_can_be_paid(country):
    currency, step = CASH_STEPS[country]
    assert decimals_of(currency) == 2
    if currency in TENDER:
        assert step % TENDER[currency][-1] == 0
        for steps in (1, 3, 7, 1234):
            assert change(Money(step * steps, currency)) is not None


@given(st.integers(0, 10**7), st.sampled_from(sorted(TENDER)))
def test_change_comes_to_the_sum(amount, currency):
    given_back = change(Money(amount, currency))
    assert (given_back is None) == bool(amount % TENDER[currency][-1])
    if given_back is not None:
        assert come_to(given_back) == amount
        assert all(count > 0 for _, count in given_back)
        assert [piece for piece, _ in given_back] == sorted((piece for piece, _ in given_back), reverse=True)


@given(DRAWERS, st.integers(0, 400), st.sampled_from(["USD", "JPY"]))
def test_change_from_a_drawer_is_the_fewest_of_what_lies_there(drawer, amount, currency):
    given_back = change_from(Money(amount, currency), drawer)
    best = fewest_by_trying(amount, drawer)
    assert (given_back is None) == (best is None)
    if given_back is not None:
        assert come_to(given_back) == amount
        assert all(0 < count <= drawer[piece.minor] for piece, count in given_back)
        assert sum(count for _, count in given_back) == best
        assert list(given_back) == sorted(given_back, key=lambda one: -one[0].minor)


@given(DRAWERS, st.data())
def test_what_can_be_taken_out_of_a_drawer_can_be_given(drawer, data):
    taken = {piece: data.draw(st.integers(0, count)) for piece, count in drawer.items()}
    amount = worth(taken, "USD")
    given_back = change_from(amount, drawer)
    assert given_back is not None
    gone = {piece.minor: count for piece, count in given_back}
    left = {piece: count - gone.get(piece, 0) for piece, count in drawer.items()}
    assert worth(left, "USD") + amount == worth(drawer, "USD")


def test_a_drawer_full_of_small_coins_still_gives_the_fewest():
    drawer = {1: 999, 5: 999, 10: 999, 25: 3, 2000: 1}
    given_back = change_from(usd(10_000), drawer)
    assert come_to(given_back) == 10_000
    assert sum(count for _, count in given_back) == 1 + 3 + 792 + 1  # or two quarters, and 795 dimes


def test_the_largest_that_fits_is_not_always_the_fewest():
    assert [(piece.minor, count) for piece, count in change_from(usd(40), {25: 1, 10: 4, 1: 20})] == [(10, 4)]


def test_a_piece_that_is_seldom_seen_is_given_where_it_helps():
    assert [(piece.minor, count) for piece, count in change_from(usd(60), {50: 1, 25: 2, 10: 1})] == [(50, 1), (10, 1)]


def test_nothing_needs_no_coin():
    assert change_from(usd(0), {}) == change(usd(0)) == ()
    assert change_from(usd(5), {}) is None


def test_what_cannot_lie_in_a_drawer_is_refused():
    for drawer in ({0: 1}, {-5: 1}, {5: -1}, {5: MOST_PIECES + 1}):
        assert problems_of(worth, drawer, "USD") == {("cash.pieces", "pieces")}
        assert problems_of(change_from, usd(5), drawer) == {("cash.pieces", "pieces")}
    assert problems_of(change, usd(-1)) == problems_of(change_from, usd(-1), {}) == {("cash.negative", "amount")}
