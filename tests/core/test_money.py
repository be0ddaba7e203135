"""Money: exact, in its currency's own coins, and shared out to the last of them."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from math import ceil, floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.money import (
    LARGEST_MINOR,
    Money,
    allocate,
    parse_money,
    round_to_step,
    split,
    step_of,
    total,
)
from tests.core.a_rug import attempted, problems_of

WEIGHTS = st.lists(
    st.one_of(st.integers(0, 10**6), st.decimals(0, 1000, places=3), st.floats(0, 1e6)), min_size=1, max_size=12
)


@pytest.mark.parametrize(
    ("text", "currency", "minor"),
    [
        ("12.50", "USD", 1250),
        ("$12.50", "USD", 1250),
        ("12.50 USD", "USD", 1250),
        ("1,200.00", "USD", 120_000),
        ("1 200", "SEK", 120_000),
        ("450 kr", "SEK", 45_000),
        ("1800", "JPY", 1800),
        ("1.250", "KWD", 1250),
        ("0", "USD", 0),
    ],
)
def test_amounts_are_read_in_their_currencys_coins(text, currency, minor):
    assert parse_money(text, currency) == Money(minor, currency)


@pytest.mark.parametrize(
    ("text", "currency", "code"),
    [
        ("", "USD", "money.missing"),
        ("$", "USD", "money.missing"),
        ("a lot", "USD", "money.unreadable"),
        ("-1", "USD", "money.negative"),
        ("1.005", "USD", "money.finer"),
        ("1.5", "JPY", "money.finer"),
        ("1/3", "USD", "money.finer"),
        ("9" * 20, "USD", "money.large"),
        ("12,50", "USD", "number.mark"),
        ("9" * 10_000, "USD", "text.long"),
        ("🧶", "USD", "money.unreadable"),
        ("1e5", "USD", "money.unreadable"),
    ],
)
def test_an_amount_that_says_nothing_is_refused_by_its_reason(text, currency, code):
    assert problems_of(parse_money, text, currency) == {(code, "")}


def test_an_amount_finer_than_its_coin_is_no_amount():
    with pytest.raises(NotPossible):
        Money.of("0.005", "USD")
    assert Money.of("0.005", "KWD").minor == 5
    assert Money.of(3, "JPY").plain() == "3"
    assert Money(1250, "KWD").plain() == "1.250"
    assert step_of("KWD") == Decimal("0.001")


def test_formulas_round_half_away_from_nothing_once():
    assert Money.rounded(Decimal("0.125"), "USD").minor == 13
    assert Money.rounded(Decimal("-0.125"), "USD").minor == -13
    assert Money.rounded(0.145, "USD").minor == 15  # the decimal that was written, not its binary neighbour
    assert Money.rounded(Decimal("0.5"), "JPY").minor == 1


def test_nothing_is_never_too_much():
    assert Money.rounded(Decimal("0e40"), "USD") == Money.rounded(Decimal("0e-40"), "USD") == Money(0, "USD")


@pytest.mark.parametrize("amount", [Decimal("1e30"), Decimal("Infinity"), Decimal("NaN"), float("inf"), 1e300])
def test_a_sum_beyond_what_can_be_kept_is_refused(amount):
    with pytest.raises(NotPossible, match=r"money\.large"):
        Money.rounded(amount, "USD")


def test_currencies_never_mix():
    dollars, crowns = Money(1, "USD"), Money(1, "SEK")
    for mix in (lambda: dollars + crowns, lambda: dollars - crowns, lambda: dollars < crowns, lambda: dollars <= crowns):
        with pytest.raises(NotPossible, match=r"money\.mixed"):
            mix()
    assert dollars != crowns


def test_an_unknown_currency_is_refused():
    with pytest.raises(NotPossible, match=r"money\.currency"):
        Money.of(1, "WOO")


def test_nothing_sums_to_nothing():
    assert total([], "SEK") == Money.zero("SEK")
    assert not total([], "SEK")
    assert -Money(5, "SEK") * 2 == Money(-10, "SEK")


@given(st.integers(-(10**12), 10**12), WEIGHTS)
def test_parts_sum_to_the_whole_and_each_is_the_floor_or_the_ceiling_of_its_own(whole, weights):
    parts = allocate(whole, weights)
    assert sum(parts) == whole
    exact = [Fraction(Decimal(repr(w)) if isinstance(w, float) else w) for w in weights]
    everything = sum(exact)
    if not everything:
        exact, everything = [Fraction(1)] * len(exact), Fraction(len(exact))
    for part, weight in zip(parts, exact, strict=True):
        share = Fraction(whole) * weight / everything
        assert floor(share) <= part <= ceil(share)


@given(st.integers(0, 10**9), WEIGHTS)
def test_a_negative_whole_mirrors_its_opposite(whole, weights):
    assert allocate(-whole, weights) == [-part for part in allocate(whole, weights)]


@given(st.integers(0, 10**6), st.integers(1, 30))
def test_equal_parts_give_what_is_over_to_the_earlier_ones(whole, count):
    parts = allocate(whole, [1] * count)
    assert parts == sorted(parts, reverse=True)
    assert parts[0] - parts[-1] <= 1


@given(st.integers(0, 10**9), WEIGHTS, st.integers(1, 9))
def test_only_the_proportions_of_the_weights_count(whole, weights, times):
    exact = [Decimal(repr(w)) if isinstance(w, float) else w for w in weights]
    assert allocate(whole, exact) == allocate(whole, [_heavier(w, times) for w in exact])


def _heavier(weight, times):
    return weight * times if isinstance(weight, int) else Decimal(weight) * times


def test_weights_that_are_all_nothing_share_evenly():
    assert allocate(7, [0, 0, 0]) == [3, 2, 2]


@pytest.mark.parametrize(("weights", "code"), [([], "share.none"), ([1, -1], "share.negative")])
def test_what_cannot_be_shared_out(weights, code):
    with pytest.raises(NotPossible, match=code.replace(".", r"\.")):
        allocate(10, weights)


@given(st.integers(-(10**9), 10**9), WEIGHTS, st.sampled_from(["USD", "JPY", "KWD"]))
def test_money_split_adds_up_to_the_last_coin(minor, weights, currency):
    assert total(split(Money(minor, currency), weights), currency) == Money(minor, currency)


@given(st.integers(0, 10**9), st.integers(0, 10**5), st.booleans())
def test_price_steps(minor, step, up):
    price = round_to_step(Money(minor, "USD"), Money(step, "USD"), up=up)
    if not step:
        assert price.minor == minor
        return
    assert price.minor % step == 0
    if up:
        assert 0 <= price.minor - minor < step
    else:
        assert -step < 2 * (price.minor - minor) <= step  # the half goes up


@given(st.integers(0, 10**9), st.decimals(0, 2, places=4))
def test_a_share_is_rounded_half_up(minor, part):
    exact = Decimal(minor) * part
    assert Money(minor, "JPY").share(part).minor == int(exact.quantize(Decimal(1), ROUND_HALF_UP))


@given(st.text(), st.sampled_from(["USD", "SEK", "JPY", "KWD"]), st.sampled_from([".", ","]))
def test_any_text_is_an_amount_or_a_refusal(text, currency, mark):
    found, problems = attempted(parse_money, text, currency, decimal_mark=mark)
    assert problems or 0 <= found.minor <= LARGEST_MINOR


@given(st.integers(0, LARGEST_MINOR), st.sampled_from(["USD", "JPY", "KWD", "CLF"]))
def test_an_amount_written_for_programs_reads_back_the_same(minor, currency):
    assert parse_money(Money(minor, currency).plain(), currency) == Money(minor, currency)
