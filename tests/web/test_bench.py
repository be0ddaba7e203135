"""The first page: what there is to do today, each with the page where it is done; and the job on each loom with its next step."""

import re
from decimal import Decimal

import pytest

from shop.core.amount import Share
from shop.core.measure import Length
from shop.usecases import clock, job_card
from shop.usecases.given import fresh_token
from shop.web import bench as bench_page
from tests.a_fair import a_fair
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_plank,
    a_planned_job,
    a_shaft_loom,
    a_sheet,
    drawn,
    held,
    inches,
)


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True, length=Length.of(250, "in")))
    return sqlite_store


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def test_cloth_short_is_told_with_its_amount_and_leads_to_the_plan(owner, bench, now):
    number = a_planned_job(bench, now, 1)
    assert "Blue striped sheet" not in text_of(owner.get("/"))
    drawn(bench, now, 1, a_job(bench, now, name="Something else"))
    answer = owner.get("/")
    assert re.search(rf"Job No. {number} Blue striped sheet: [0-9.]+ yd of strip lacking on the shelf", text_of(answer))
    assert f'href="/jobs/plan?job={number}"' in answer.get_data(as_text=True)
    assert owner.get(f"/jobs/plan?job={number}").status_code == 200


def test_cloth_held_and_gone_is_told_and_at_the_loom_it_leads_to_its_reach(owner, bench, now):
    number = a_planned_job(bench, now, 1)
    held(bench, now, number)
    drawn(bench, now, 1, number, Share(Decimal("0.05")))
    drawn(bench, now, 1, a_job(bench, now, name="Something else"))
    assert "what was held for it is gone from the shelf" in text_of(owner.get("/"))
    job_card.mark_rows(bench, job=number, rows=5, saving=fresh_token(), now=now)
    assert f'href="/jobs/{number}/reach"' in owner.get("/").get_data(as_text=True)
    assert owner.get(f"/jobs/{number}/reach").status_code == 200
    for line in job_card.card(bench, number=number).cuts:
        job_card.give_up(bench, job=number, cut=line.id, saving=fresh_token(), now=now)
    assert "Blue striped sheet will likely not reach" in text_of(owner.get("/"))


def test_of_many_chores_alike_the_first_are_told_and_how_many_more(owner, bench, now):
    for _ in range(bench_page.MOST_ALIKE + 4):
        a_planned_job(bench, now, 1)
    drawn(bench, now, 1, a_job(bench, now, name="Something else"))
    answer = owner.get("/")
    assert text_of(answer).count("of strip lacking on the shelf") == bench_page.MOST_ALIKE
    assert "and 4 more like the last" in text_of(answer)
    assert 'href="/jobs/plan"' in answer.get_data(as_text=True)


def test_the_job_on_each_loom_stands_first_with_its_next_step_and_an_idle_loom_is_named(owner, bench, now):
    a_kept_loom(bench, now, a_loom(a_plank()))
    assert "No job is on" not in text_of(owner.get("/"))
    number = a_planned_job(bench, now, 1, name="On the loom")
    job_card.mark_rows(bench, job=number, rows=5, saving=fresh_token(), now=now)
    for place in range(6):
        a_job(bench, now, name=f"Later {place}")
    text = text_of(owner.get("/"))
    assert f"Job No. {number} · weaving on Floor loom · next: weave on" in text
    assert text.index("On the loom") < text.index("Later 5")
    assert "Later 0" not in text
    assert "No job is on Plank." in text


def test_a_running_clock_and_a_fair_that_is_on_stand_on_the_bench(owner, bench, now):
    number = a_job(bench, now, name="By the clock")
    clock.start(bench, job=number, step="weave", saving=fresh_token(), now=now)
    fair = a_fair(bench, now)
    answer = owner.get("/")
    text = text_of(answer)
    assert f"By the clock Job No. {number} the clock runs on: Weave, since" in text
    assert "Saltmarsh Fair the fair is on" in text
    assert "Cloth in it $" in text
    html = answer.get_data(as_text=True)
    assert f'href="/fairs/{fair}/till"' in html
    assert f'href="/jobs/{number}/time"' in html


@pytest.mark.parametrize("task", list(bench_page.Task))
def test_every_kind_of_chore_has_a_page_where_all_of_them_are(owner, app, task):
    with app.test_request_context("/"):
        where = bench_page.url_for(bench_page.ALL_OF[task][1])
    assert owner.get(where).status_code == 200
