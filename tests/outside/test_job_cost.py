"""Job cost and overhead against published job-order costing exercises. Figures only."""

from decimal import Decimal

import pytest

from shop.core.cost import (
    OverheadPerHour,
    OverheadShare,
    OverheadYear,
    job_cost,
    overhead_rate,
    overhead_share,
    under_applied,
)
from shop.core.errors import NotPossible
from shop.core.money import Money, total
from shop.core.price import with_markup


def dollars(amount):
    return Money.of(str(amount), "USD")


def a_job(*, materials, minutes, wage, overhead):
    return job_cost(
        cloth=dollars(materials),
        warp=dollars(0),
        minutes=minutes,
        wage=dollars(wage),
        overhead=overhead,
        bought_in=[],
    )


def test_a_rate_on_labour_cost_and_the_job_sheet():
    """J. J. Wild and others, managerial accounting, job-order exercise, as quoted on a page that works it."""
    share = overhead_share(dollars(747_500), dollars(575_000))
    assert share == Decimal("1.3")
    materials = total([dollars(5_000), dollars(7_020), dollars(3_330)], "USD")
    labour = total([dollars(700), dollars(1_250), dollars(1_250)], "USD")
    assert (materials, labour) == (dollars(15_350), dollars(3_200))
    job = a_job(materials=15_350, minutes=60.0, wage=3_200, overhead=OverheadShare(share))
    assert job.overhead == dollars(4_160)
    assert job.total == dollars(22_710)


def test_a_rate_by_the_hour_from_fixed_and_variable_overhead():
    """R. H. Garrison and others, Managerial Accounting, exercise, as quoted on a page that works it."""
    budget = dollars(748_000) + dollars(1) * 44_000
    rate = overhead_rate(budget, 44_000)
    assert rate == Decimal(18)
    job = a_job(materials=633, minutes=120.0, wage="115.50", overhead=OverheadPerHour(rate))
    assert (job.labour, job.overhead, job.total) == (dollars(231), dollars(36), dollars(900))
    assert Money.rounded(with_markup(job.total, Decimal("0.30")), "USD") == dollars(1_170)


@pytest.mark.parametrize(
    ("rate", "hours", "actual", "applied", "under"),
    [
        ("18.20", 11_500, 215_000, 209_300, 5_700),
        ("23.40", 10_800, 249_000, 252_720, -3_720),
        ("30", 18_200, 550_000, 546_000, 4_000),
    ],
)
def test_overhead_applied_and_what_was_spent(rate, hours, actual, applied, under):
    """The same book, exercises on under- and over-applied overhead: actual over applied is under-applied."""
    assert Money.rounded(Decimal(rate) * hours, "USD") == dollars(applied)
    assert under_applied(Decimal(rate), hours, dollars(actual)) == dollars(under)


@pytest.mark.parametrize(
    ("budget", "planned", "hours", "actual", "under", "suggested"),
    [(540_000, 18_000, 18_200, 550_000, 4_000, "30.22"), (209_300, 11_500, 11_500, 215_000, 5_700, "18.70")],
)
def test_a_year_of_overhead_and_the_rate_that_it_suggests(budget, planned, hours, actual, under, suggested):
    """The same exercises as a year; the next rate is what was spent over the hours that there were (own arithmetic)."""
    year = OverheadYear(budget=dollars(budget), planned=Decimal(planned), actual=dollars(actual), worked=Decimal(hours))
    assert year.under == dollars(under) == year.of_spending + year.of_hours
    assert year.applied + year.under == year.actual
    assert Money.rounded(year.suggested, "USD") == dollars(suggested)


@pytest.mark.parametrize("hours", [{"planned": Decimal(0)}, {"worked": Decimal(0)}])
def test_a_year_without_hours_is_an_error(hours):
    given = {"budget": dollars(900), "planned": Decimal(600), "actual": dollars(1_000), "worked": Decimal(500), **hours}
    with pytest.raises(NotPossible, match=r"overhead\.no_hours"):
        OverheadYear(**given)


def test_a_budgeted_rate():
    """The same kind of exercise: 540,000 over 18,000 hours."""
    assert overhead_rate(dollars(540_000), 18_000) == Decimal(30)


def test_overhead_as_a_percent_of_labour():
    """The same kind of exercise: materials 11,450, 360 hours at 15, overhead half of labour."""
    job = a_job(materials=11_450, minutes=360 * 60.0, wage=15, overhead=OverheadShare(Decimal("0.5")))
    assert job.total == dollars(19_550)


def test_overhead_over_no_hours_is_an_error():
    with pytest.raises(NotPossible, match=r"overhead\.no_hours"):
        overhead_rate(dollars(540_000), 0)
