"""The queue's pages: another order is looked at before it is kept; hours and days off badly written stay and change nothing."""

import re
from datetime import UTC, datetime, timedelta

import pytest

from shop.usecases import promises
from tests.builders import a_haul_at_home, a_job, a_kept_loom, a_planned_job, a_planned_quote, a_sheet

WEEK = {
    "monday": "4", "tuesday": "4", "wednesday": "4", "thursday": "4", "friday": "2.5", "saturday": "0", "sunday": "0",
    "off": "2026-07-01 - 2026-07-14\n2026-08-03", "country": "us", "drying": "2", "post": "3",
}  # fmt: skip


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    a_planned_job(sqlite_store, now, 1, name="First rug")
    a_planned_job(sqlite_store, now, 1, name="Second rug")
    a_job(sqlite_store, now, name="A rug of nobody knows what")
    return sqlite_store


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def test_the_queue_tells_days_and_what_another_order_moves(owner, bench):
    text = text_of(owner.get("/jobs/queue"))
    assert text.index("First rug") < text.index("Second rug")
    assert "not known" in text
    assert "Take them in this order" not in text
    looked = text_of(owner.get("/jobs/queue?place-1=2&place-2=1&place-3=3"))
    assert looked.index("Second rug") < looked.index("First rug")
    assert "later" in looked
    assert "earlier" in looked
    assert owner.press("/jobs/queue", "/jobs/queue?place-1=2&place-2=1", job=["2", "1", "3"]).status_code == 303
    text = text_of(owner.get("/jobs/queue"))
    assert text.index("Second rug") < text.index("First rug")


@pytest.mark.parametrize("asked", ["place-1=x", "place-9999999999999999999=1", "place-1=", "other=4", "place-7=1"])
def test_an_order_that_is_none_leaves_the_one_kept(owner, bench, asked):
    text = text_of(owner.get(f"/jobs/queue?{asked}"))
    assert text.index("First rug") < text.index("Second rug")


def test_hours_and_days_off_are_kept(owner, bench):
    assert owner.press("/jobs/queue/week", "/jobs/queue/week", **WEEK).status_code == 303
    week = promises.week_of(bench)
    assert (str(week.hours[4]), len(week.off), week.country, week.post) == ("2.5", 2, "US", 3)
    page = owner.get("/jobs/queue/week").get_data(as_text=True)
    assert "2026-07-01 - 2026-07-14\n2026-08-03" in page.replace("\r", "")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"off": "soon"}, "“soon” is no day"),
        ({"off": "2026-02-30"}, "“2026-02-30” is no day"),
        ({"off": "2026-07-14 - 2026-07-01"}, "cannot end on"),
        ({"country": "QQ"}, "no public holidays are known"),
        ({"monday": "25"}, "24"),
        (dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday"), "0"), "hours"),
        ({"drying": "1.5"}, "1.5"),
    ],
)
def test_a_week_badly_written_stays_and_changes_nothing(owner, bench, typed, sentence):
    answer = owner.press("/jobs/queue/week", "/jobs/queue/week", **{**WEEK, **typed})
    page = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert 'class="wrong"' in page
    assert sentence in page
    assert next(iter(typed.values())) in page
    assert promises.week_of(bench).revision == 0


def test_an_offer_is_told_when_its_rug_can_be_ready_and_how_sure_a_day_is(owner, bench, now):
    number = a_planned_quote(bench, now, 1)
    page = f"/offers/new?quote={number}"
    assert "it can be promised for" in text_of(owner.get(page))
    far = str(datetime.now(UTC).date() + timedelta(days=400))
    answer = owner.press(page, page, name="Asa", mail="", contact="", customer="", holds_until=far, promised=far, look="1")
    assert answer.status_code == 200
    assert "is kept with a chance of 99%" in text_of(answer)
    assert "None. An offer is made" in text_of(owner.get("/offers"))
