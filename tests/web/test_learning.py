"""What your rugs say: the overview, the page of a number with its records and its picture, and what a quote tells of it."""

import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from shop.core.evidence import What
from shop.usecases import clock, rates
from shop.usecases.given import fresh_token
from shop.usecases.rugs_say import rugs_say
from tests.builders import a_job, a_kept_loom, some_rates
from tests.usecases.woven_rugs import a_bench, some_rugs

RUG = {
    "width": "25 in", "length": "37 1/2 in", "size": "", "tool": "rotary", "way": "along", "joins": "overlap",
    "new_kind": "sheeting", "new_colour": "#7d8a99",
}  # fmt: skip
LESSONS = ("packing", "take_up", "waste", "weave_per_row", "warp", "finish")


@pytest.fixture
def loom(owner, sqlite_store, now):
    """A shop with five woven rugs; gives the number of its loom."""
    del owner
    card = a_bench(sqlite_store, now)
    some_rugs(sqlite_store, now, 5)
    return card.id


@pytest.fixture
def bare_loom(owner, sqlite_store, now):
    """A loom on which nothing was woven; gives its number."""
    del owner
    return a_kept_loom(sqlite_store, now).id


def moment():
    """Now, as the pages have it."""
    return datetime.now(UTC)


def records(store, what):
    return [one for one in rugs_say(store).seen.records if one.what is what]


def test_a_shop_without_rugs_sees_its_guesses(owner, page_of, bare_loom):
    html = page_of(owner.get("/rates/your-rugs/"))
    assert "starting guess" in html
    assert "Learned from" not in html
    assert "Nothing has been seen of this yet." in page_of(owner.get(f"/rates/your-rugs/{bare_loom}/packing"))


def test_the_overview_says_how_many_rugs_each_figure_rests_on(owner, page_of, loom):
    html = page_of(owner.get("/rates/your-rugs/"))
    assert "Learned from 5 of your rugs and their 35 records." in html
    assert html.count("5 of your rugs on this loom") == len(LESSONS)
    assert "5 of your rugs cut so" in html
    assert f'href="/rates/your-rugs/{loom}/packing"' in html


@pytest.mark.parametrize("what", LESSONS)
def test_a_number_is_shown_as_a_picture_and_as_a_table(owner, page_of, loom, what):
    html = page_of(owner.get(f"/rates/your-rugs/{loom}/{what}"))
    svg = re.search(r"<svg viewBox=\"0 0 340 210\".*?</svg>", html, re.DOTALL)[0]
    assert svg.count("<circle") == 5
    assert "style=" not in html
    assert len(re.findall(r'<td class="num" data-label="The others expect">', html)) == 5


def test_a_record_is_set_aside_with_a_reason_and_taken_in_again(owner, page_of, loom, sqlite_store):
    address = f"/rates/your-rugs/{loom}/packing"
    key = f"{records(sqlite_store, What.PACKING)[0].source} weft.packing"
    answer = owner.press(f"{address}/aside", address, key=key, reason="")
    assert answer.status_code == 422
    assert records(sqlite_store, What.PACKING)[0].aside == ""
    before = page_of(owner.get(address))
    answer = owner.press(f"{address}/aside", address, key=key, reason="It was not my loom")
    assert answer.status_code == 303
    html = page_of(owner.get(address))
    assert "It was not my loom" in html
    assert "1 set aside" in html
    assert owner.press(f"{address}/restored", address, key=key).status_code == 303
    owner.get(address)  # says that it was taken in again
    assert figures(page_of(owner.get(address))) == figures(before)


def figures(html):
    """The figures of a page, without what stands in its hidden fields."""
    return re.findall(r"<(?:td|th|h2|p)[^>]*>([^<]*\d[^<]*)<", html)


def test_a_quick_measurement_is_written_down_and_struck_out(owner, page_of, loom, sqlite_store):
    address = f"/rates/your-rugs/{loom}/weave_per_row"
    wrong = owner.press(f"{address}/measured", address, minutes="9", count="none", second="12 in")
    assert wrong.status_code == 422
    assert 'value="none"' in page_of(wrong)
    assert owner.press(f"{address}/measured", address, minutes="9", count="3", second="12 in").status_code == 303
    (quick,) = [one for one in records(sqlite_store, What.ROW) if one.source.startswith("measured")]
    assert quick.value == 3
    assert "1 quick measurement" in page_of(owner.get(address))
    measurement = quick.source.split()[1]
    assert owner.press(f"{address}/struck", address, measurement=measurement).status_code == 303
    assert "1 quick measurement" not in page_of(owner.get(address))


def test_how_long_a_pace_holds_is_set_and_forgotten(owner, loom, sqlite_store):
    assert owner.press("/rates/your-rugs/", days="5").status_code == 422
    assert owner.press("/rates/your-rugs/", days="365").status_code == 303
    assert rugs_say(sqlite_store).half_life == 365
    assert owner.press("/rates/your-rugs/", days="").status_code == 303
    assert rugs_say(sqlite_store).half_life is None
    assert loom


@pytest.mark.parametrize("address", ["99/packing", "1/nothing", "rotary/packing", "1/cut_per_m", "spoon/cut_per_m"])
def test_a_number_that_is_not_there_is_not_found(owner, loom, address):
    assert loom == 1
    assert owner.get(f"/rates/your-rugs/{address}").status_code == 404


def test_a_quote_says_how_sure_it_is_and_from_which_rugs(owner, page_of, loom):
    assert loom
    html = page_of(owner.get("/quotes/new"))
    assert "5 of your rugs on this loom" in html
    assert "it would be one in ten" in html


def test_a_quote_without_rugs_of_ones_own_says_so_and_what_to_measure(owner, page_of, bare_loom):
    assert bare_loom
    html = page_of(owner.get("/quotes/new"))
    assert "None of your own rugs speaks of it yet" in html
    assert re.search(r'href="/rates/your-rugs/\d+/packing#measure"', html)


def test_the_overview_says_how_estimates_turned_out(owner, page_of, loom):
    assert loom
    html = page_of(owner.get("/rates/your-rugs/"))
    assert "How the last year’s estimates turned out" in html
    part = html.split('id="held"')[1].split("</section>")[0]
    told = {name: (int(held), int(whole)) for name, held, whole in re.findall(r'row">([^<]+)</th>.*?Between">(\d+) of (\d+)', part)}
    assert told["Weave"][1] == told["The rug’s weight"][1] == 5
    assert all(held <= whole for held, whole in told.values())


def test_the_month_of_the_open_quotes_is_shown_as_a_picture_and_a_table(owner, page_of, loom):
    assert loom
    assert "No quote is open" in page_of(owner.get("/quotes/month"))
    assert owner.press("/quotes/new", act="save", piece="1", title="Mat", **RUG).status_code == 303
    for likely in ("", "80", "nonsense", "900"):
        html = page_of(owner.get(f"/quotes/month?likely={likely}"))
        assert html.count('<svg viewBox="0 0 340 30"') == 3
        assert 'value="80"' in html or likely != "80"


def test_the_last_year_is_held_against_its_plan(owner, page_of, bare_loom, sqlite_store):
    assert "No year is planned" in page_of(owner.get("/rates/last-year"))
    assert bare_loom
    rates.change(sqlite_store, rates=some_rates(), revision=0, saving=fresh_token(), now=moment())
    assert "less than three months" in page_of(owner.get("/rates/last-year"))
    job = a_job(sqlite_store, moment(), name="Mat")
    for days, minutes in ((360, 6000), (10, 12_000)):
        on = moment() - timedelta(days=days)
        clock.type_in(sqlite_store, job=job, step="weave", minutes=Decimal(minutes), saving=fresh_token(), now=on)
    html = page_of(owner.get("/rates/last-year?spent=1,300"))
    assert "$1,300.00" in html
    assert "too little" in html
    assert 'class="mistakes"' in page_of(owner.get("/rates/last-year?spent=much"))
