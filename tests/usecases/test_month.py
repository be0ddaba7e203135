"""The month of the open quotes: which are open, and what they come to together."""

from datetime import timedelta

import pytest

from shop.core.errors import Refusal
from shop.usecases import job
from shop.usecases.given import fresh_token
from shop.usecases.month import OPEN_FOR, month
from tests.builders import a_planned_quote, codes
from tests.usecases.woven_rugs import a_studio


def test_a_shop_without_quotes_has_no_month(store, now):
    a_studio(store, now)
    found = month(store, likely=0.5, now=now)
    assert (found.month, found.quotes) == (None, 0)


def test_open_quotes_add_up_and_those_begun_or_old_do_not_count(store, now):
    a_studio(store, now)
    numbers = [a_planned_quote(store, now, piece) for piece in (1, 2, 3)]
    three = month(store, likely=1.0, now=now)
    assert three.quotes == 3
    job.begin(store, name="Hall runner", quote=numbers[0], saving=fresh_token(), now=now)
    two = month(store, likely=1.0, now=now)
    assert two.quotes == 2
    assert two.month.hours.middle == pytest.approx(three.month.hours.middle * 2 / 3, rel=0.02)
    half = month(store, likely=0.5, now=now)
    assert half.month.income.middle == pytest.approx(two.month.income.middle / 2, rel=0.02)
    assert half.month.hours.low < half.month.hours.middle < half.month.hours.high
    assert month(store, likely=1.0, now=now + OPEN_FOR + timedelta(days=1)).month is None


def test_as_many_queries_however_many_quotes(store, now, count_queries):
    a_studio(store, now)
    a_planned_quote(store, now, 1)
    with count_queries(store) as one:
        month(store, likely=0.5, now=now)
    for piece in (2, 3, 4):
        a_planned_quote(store, now, piece)
    with count_queries(store) as four:
        month(store, likely=0.5, now=now)
    assert len(one) == len(four)


def test_a_chance_that_is_none_is_refused(store, now):
    with pytest.raises(Refusal) as refused:
        month(store, likely=1.5, now=now)
    assert codes(refused) == {("likely", "risk.likely")}
