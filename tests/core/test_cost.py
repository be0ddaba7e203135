"""What a job costs."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.cost import (
    OverheadPerHour,
    OverheadShare,
    job_cost,
    labour_cost,
    money_estimate,
    overhead_cost,
    overhead_rate,
    overhead_share,
    under_applied,
    wear_per_year,
)
from shop.core.errors import NotPossible
from shop.core.money import Money
from shop.core.spread import sure


def dollars(amount):
    return Money.of(str(amount), "USD")


def test_labour_is_rounded_once():
    assert labour_cost(100.0, dollars("18.00")) == dollars("30.00")
    assert labour_cost(1.0, dollars("18.25")) == dollars("0.30")


def test_overhead_by_the_hour_or_as_a_share_of_labour():
    assert overhead_cost(OverheadPerHour(Decimal("3.333")), 90.0, dollars(30)) == dollars("5.00")
    assert overhead_cost(OverheadShare(Decimal("0.5")), 90.0, dollars("30.01")) == dollars("15.01")


def test_a_loom_wears_evenly_over_its_years():
    assert wear_per_year(dollars(2400), dollars(600), 12) == dollars(150)
    assert wear_per_year(dollars(1000), dollars(0), 3) == dollars("333.33")


@pytest.mark.parametrize(
    ("call", "code"),
    [
        (lambda: wear_per_year(dollars(10), dollars(1), 0), "wear.years"),
        (lambda: wear_per_year(dollars(10), dollars(11), 5), "wear.resale"),
        (lambda: overhead_rate(dollars(1000), 0), "overhead.no_hours"),
        (lambda: overhead_rate(dollars(1000), Decimal(-1)), "overhead.no_hours"),
        (lambda: overhead_share(dollars(1000), dollars(0)), "overhead.no_labour"),
    ],
)
def test_overhead_over_nothing_is_refused(call, code):
    with pytest.raises(NotPossible) as refusal:
        call()
    assert refusal.value.problems[0].code == code


@given(st.integers(0, 10**8), st.integers(0, 10**8), st.floats(0, 10_000), st.integers(0, 10_000), st.lists(st.integers(0, 10**6)))
def test_the_lines_of_a_job_add_up(cloth, warp, minutes, wage, bought):
    cost = job_cost(
        cloth=Money(cloth, "USD"),
        warp=Money(warp, "USD"),
        minutes=minutes,
        wage=Money(wage, "USD"),
        overhead=OverheadShare(Decimal("0.2")),
        bought_in=[Money(amount, "USD") for amount in bought],
    )
    lines = (cost.cloth, cost.warp, cost.labour, cost.overhead, cost.bought_in)
    assert cost.total.minor == sum(line.minor for line in lines)
    assert cost.materials == cost.cloth + cost.warp
    assert cost.bought_in.minor == sum(bought)


@given(st.integers(1, 10**9), st.integers(1, 5000), st.integers(0, 5000))
def test_overhead_applied_in_all_the_hours_of_the_year_is_the_budget_within_a_coin(budget, hours, actual):
    rate = overhead_rate(Money(budget, "USD"), hours)
    left = under_applied(rate, hours, Money(budget + actual, "USD"))
    assert abs(left.minor - actual) <= 1


def test_a_known_amount_at_a_known_price():
    assert money_estimate(Decimal("0.25"), sure(40)).middle == 10
