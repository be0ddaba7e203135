"""The page of what the cloth is worth on a day, and of the rule for waste."""

import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.usecases import habits
from tests.builders import a_haul_at_home, a_job, a_sheet, drawn, money
from tests.web.a_haul import said

PAGE = "/cloth/worth"
RULE = "/cloth/worth/waste"


@pytest.fixture
def worked(owner, sqlite_store, now):
    """A sheet of $10.01, home on the 14th of March; half of it drawn on the 17th."""
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True, paid=money("10.01")))
    a_job(sqlite_store, now)
    drawn(sqlite_store, now, 1, 1, Share(Decimal("0.5")))
    return sqlite_store


def amounts(text):
    """The amounts in each place, and what was paid."""
    table = re.search(r'<section class="sheet first".*?</table>', text, re.DOTALL)[0]
    return re.findall(r"<strong>\$([\d.]+)</strong>", table)


@pytest.mark.parametrize(
    ("day", "found"),
    [
        ("2026-03-13", ["0.00", "0.00", "0.00", "0.00", "0.00"]),
        ("2026-03-16", ["10.01", "0.00", "0.00", "0.00", "10.01"]),
        ("2026-03-17", ["5.00", "5.01", "0.00", "0.00", "10.01"]),
        ("", ["5.00", "5.01", "0.00", "0.00", "10.01"]),
    ],
)
def test_a_day_stands_as_it_was(owner, worked, day, found):
    answer = owner.get(f"{PAGE}?day={day}")
    assert answer.status_code == 200
    assert amounts(said(answer)) == found


def test_the_shelf_of_the_day_is_listed(owner, worked):
    text = said(owner.get(f"{PAGE}?day=2026-03-17"))
    assert re.search(r'class="num">50%</td>', text)
    assert 'href="/cloth/pieces/1"' in text
    assert "Nothing." in said(owner.get(f"{PAGE}?day=2026-03-01"))


def test_the_shelf_goes_on_over_the_page(owner, sqlite_store, now):
    a_haul_at_home(sqlite_store, now, *(a_sheet(count=17) for _ in range(3)))
    first = said(owner.get(f"{PAGE}?day=2026-03-17"))
    further = re.search(r'href="([^"]+below=[^"]+)"', first)[1]
    assert "day=2026-03-17" in further
    assert 'href="/cloth/pieces/1"' not in first
    assert 'href="/cloth/pieces/1"' in said(owner.get(further))


@pytest.mark.parametrize("day", ["soon", "2026-13-01", "²", "🧶" * 500])
def test_a_day_that_cannot_be_is_said_beside_it(owner, worked, day):
    answer = owner.client.get(PAGE, query_string={"day": day})
    text = said(answer)
    assert answer.status_code == 422
    assert 'class="wrong"' in text
    assert day[:40] in text


def test_a_day_to_come_is_refused(owner, worked):
    day = date(datetime.now(tz=UTC).year + 2, 1, 1) + timedelta(days=1)
    answer = owner.get(f"{PAGE}?day={day.isoformat()}")
    assert answer.status_code == 422
    assert 'class="wrong"' in said(answer)


@pytest.mark.parametrize("below", ["x", "²", "9" * 40, "-1"])
def test_a_page_asked_for_in_nonsense_is_still_a_page(owner, worked, below):
    assert owner.get(f"{PAGE}?below={below}").status_code == 200


def test_the_rule_is_set_once(owner, worked):
    assert 'value="5"' in said(owner.get(PAGE))
    hidden = owner.hidden(PAGE)
    for _ in range(2):
        answer = owner.client.post(RULE, data={**hidden, "usual_waste": "8"})
        assert (answer.status_code, answer.location) == (303, PAGE)
    kept = habits.current(worked)
    assert (kept.usual_waste, kept.revision) == (Decimal("0.08"), 1)
    assert 'value="8"' in said(owner.get(PAGE))
    assert owner.client.post(RULE, data={**hidden, "usual_waste": "9"}).status_code in (409, 422)
    assert habits.current(worked) == kept


@pytest.mark.parametrize("typed", ["", "101", "-1", "lots", "NaN", "🧶" * 500])
def test_a_rule_that_cannot_be_is_said_beside_it(owner, worked, typed):
    answer = owner.press(RULE, page=PAGE, usual_waste=typed)
    text = said(answer)
    assert answer.status_code == 422
    assert 'class="wrong"' in text
    assert f'value="{typed}"' in text
    assert habits.current(worked).revision == 0


def test_a_rule_changed_in_another_window_is_not_overwritten(owner, worked):
    late = owner.hidden(PAGE)
    owner.press(RULE, page=PAGE, usual_waste="8")
    answer = owner.client.post(RULE, data={**late, "usual_waste": "9"})
    assert answer.status_code in (409, 422)
    assert "The rule was changed in another window" in said(answer)
    assert habits.current(worked).usual_waste == Decimal("0.08")


def test_a_form_that_is_not_ours_does_nothing(owner, worked):
    assert owner.client.post(RULE, data={"usual_waste": "8", "revision": "0"}).status_code == 400
    assert habits.current(worked).revision == 0


def test_the_page_takes_as_many_queries_however_much_happened(owner, worked, now, count_queries):
    owner.get(PAGE)

    def asked():
        with count_queries(worked) as queries:
            owner.get(PAGE)
        return len(queries)

    few = asked()
    a_haul_at_home(worked, now, a_sheet(count=9, ready=True))
    for number in (1, 2, 3):
        drawn(worked, now, number, 1, Share(Decimal("0.1")))
    assert asked() == few
