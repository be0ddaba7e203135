"""The pages of fairs: written down, put right, begun and over; bad entries stay and change nothing."""

import re

import pytest

from shop.usecases import fair

PLAN = {
    "name": "Harvest fair", "place": "Lower meadow", "first_on": "2026-09-12", "last_on": "2026-09-13", "stall": "180", "travel": "42.50",
    "hours_stood": "16", "card_percent": "2.75", "card_fixed": "0.10", "card_share": "70", "tax_rate": "7", "tax_contained": "no",
    "price_step": "5", "price_points": "25 60 40", "opening_float": "80",
}  # fmt: skip


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def planned(owner):
    assert owner.press("/fairs/new", **PLAN).status_code == 303


def test_a_fair_is_written_down_and_shown(owner, sqlite_store):
    assert "No fair yet" in text_of(owner.get("/fairs"))
    planned(owner)
    assert "Harvest fair" in text_of(owner.get("/fairs"))
    text = text_of(owner.get("/fairs/1"))
    for said in ("$222.50", "2.75% of each sale by card, and $0.10", "7%, on top of the price", "Lower meadow"):
        assert said in text
    form = owner.get("/fairs/1/plan").get_data(as_text=True)
    assert 'value="25.00 40.00 60.00"' in form
    assert owner.press("/fairs/1/plan", **{**PLAN, "stall": "200"}).status_code == 303
    assert fair.fair(sqlite_store, number=1).stall.minor == 200_00


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"name": ""}, "Name of the fair"),
        ({"last_on": "2026-09-11"}, "The last day lies before the first."),
        ({"first_on": "soon"}, "soon"),
        ({"stall": "much"}, "much"),
        ({"card_percent": "60"}, "50%"),
        ({"price_points": "25 cheap"}, "cheap"),
        ({"price_points": "0"}, "A round price must be more than nothing."),
    ],
)
def test_bad_entries_stay_and_change_nothing(owner, sqlite_store, typed, sentence):
    answer = owner.press("/fairs/new", **{**PLAN, **typed})
    assert answer.status_code == 422
    html = answer.get_data(as_text=True)
    assert sentence in text_of(answer)
    for name, value in {**PLAN, **typed}.items():
        assert value in html, name
    assert fair.fairs(sqlite_store).fairs == ()


def test_a_fair_begins_and_ends_and_one_that_is_off_shows_no_buttons(owner):
    planned(owner)
    assert owner.press("/fairs/1/opened", "/fairs/1").status_code == 303
    assert "It is over" in text_of(owner.get("/fairs/1"))
    assert owner.press("/fairs/1/over", "/fairs/1").status_code == 303
    assert "It is on after all" in text_of(owner.get("/fairs/1"))
    planned(owner)
    assert owner.press("/fairs/2/called-off", "/fairs/2").status_code == 303
    assert "Call it off" not in text_of(owner.get("/fairs/2"))


def test_a_fair_that_is_none_is_told_so(owner):
    for address in ("/fairs/9", "/fairs/9/plan", "/fairs/99999999999999999999"):
        assert owner.get(address).status_code == 404
    assert owner.get("/fairs?below=99999999999999999999").status_code == 200


def test_the_list_asks_as_little_of_many_fairs_as_of_one(owner, sqlite_store, count_queries):
    planned(owner)
    with count_queries(sqlite_store) as one:
        owner.get("/fairs")
    for _ in range(12):
        planned(owner)
    with count_queries(sqlite_store) as many:
        owner.get("/fairs")
    assert len(many) == len(one)
