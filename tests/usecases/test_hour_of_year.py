"""The last year's hours against those planned: what was borne too little, and the rate that it suggests."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.core.errors import Refusal
from shop.usecases import clock, rates
from shop.usecases.given import fresh_token
from shop.usecases.hour_of_year import hour_of_year
from tests.builders import a_job, an_open_shop, codes, money, some_rates


def worked(store, now, hours, job):
    clock.type_in(store, job=job, step="weave", minutes=Decimal(60 * hours), saving=fresh_token(), now=now)


@pytest.fixture
def studio(store, now):
    """A shop with a planned year, and a job; gives the store and the job."""
    an_open_shop(store, now)
    rates.change(store, rates=some_rates(), revision=0, saving=fresh_token(), now=now)
    return store, a_job(store, now)


def test_a_year_that_was_not_planned_tells_nothing(store, now):
    an_open_shop(store, now)
    found = hour_of_year(store, spent=None, now=now)
    assert (found.planned, found.year) == (False, None)


def test_hours_that_were_planned_and_not_worked_leave_overhead_unborne(studio, now):
    store, job = studio
    planned = rates.current(store)
    half = planned.productive_hours / 2
    worked(store, now - timedelta(days=400), 10, job)
    worked(store, now - timedelta(days=30), half, job)
    found = hour_of_year(store, spent=None, now=now)
    assert (found.worked, found.since) == (half, None)
    assert found.year.of_spending == money("0")
    assert abs(found.year.under.minor * 2 - planned.budget.minor) <= 2
    assert found.year.suggested == pytest.approx(planned.overhead_per_hour * 2)


def test_a_part_of_a_year_is_stretched_and_too_little_of_it_tells_nothing(studio, now):
    store, job = studio
    worked(store, now, 50, job)
    assert hour_of_year(store, spent=None, now=now + timedelta(days=30)).year is None
    found = hour_of_year(store, spent=money("1000"), now=now + timedelta(days=182))
    assert found.year.worked == pytest.approx(Decimal(50) * 365 / 182, abs=Decimal("0.01"))
    assert found.since == now.date()
    assert found.year.actual == money("1000")


def test_time_struck_out_does_not_count_and_another_currency_is_refused(studio, now):
    store, job = studio
    worked(store, now, 50, job)
    entry = clock.time_of(store, job=job).lines[0]
    clock.strike(store, job=job, entry=entry.id, saving=fresh_token(), now=now)
    found = hour_of_year(store, spent=None, now=now + timedelta(days=200))
    assert (found.worked, found.year) == (0, None)
    with pytest.raises(Refusal) as refused:
        hour_of_year(store, spent=money("10", "SEK"), now=now)
    assert codes(refused) == {("spent", "money.currency")}
