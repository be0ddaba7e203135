"""The page of the history of orders: what is asked in its address, its links, and the tables that it gives."""

import csv
import io
import re
from dataclasses import fields

import pytest
from openpyxl import load_workbook

from shop.assemble import application
from shop.usecases import history as orders
from shop.usecases import job, quote
from shop.usecases.given import fresh_token
from shop.web import history
from shop.web.pages import PAGES
from tests.builders import (
    a_draft,
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_sheet,
    drawn,
    inches,
    money,
)
from tests.web.test_pages import used

HEADS = [
    "Job", "Rug", "Customer", "State", "Begun", "Ended", "Quote", "Loom", "Width, mm", "Length, mm", "Currency", "Agreed",
    "Came to", "Received", "Paid in full", "Cost of the cloth", "Left after cloth", "Profit",
]  # fmt: skip


@pytest.fixture
def app(settings, sqlite_store):
    made = application(settings, sqlite_store)
    if history.room.name not in made.blueprints:
        made.register_blueprint(history.room)
    return made


@pytest.fixture
def bench(owner, sqlite_store, now):
    """A rug that is ready, No. 1, and a job without a quote, No. 2."""
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    number = a_planned_job(sqlite_store, now, 1)
    drawn(sqlite_store, now, 1, number)
    job.weave(sqlite_store, number=number, saving=fresh_token(), now=now)
    a_job(sqlite_store, now, name="Kitchen <mat>")
    return sqlite_store


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def csv_of(answer):
    return list(csv.reader(io.StringIO(answer.get_data().decode("utf-8-sig"), newline="")))


def test_template_and_page_hold_one_another(app):
    declared = {field.name for field in fields(PAGES["history/history.html"])}
    assert used(app.jinja_env, "history/history.html") == declared


def test_an_empty_shop_has_an_empty_history(owner):
    answer = owner.get("/jobs/history")
    assert answer.status_code == 200
    assert "No orders yet." in text_of(answer)
    assert csv_of(owner.get("/jobs/history.csv")) == [HEADS]


def test_each_order_stands_there_with_its_links(owner, bench):
    answer = owner.get("/jobs/history")
    html, text = answer.get_data(as_text=True), text_of(answer)
    for wanted in ("Hall runner", "ready", "Asa Lindqvist", "Mar 17, 2026", "$4.00", "1 ft × 2 ft 6 in"):
        assert wanted in text, wanted
    assert html.count("/quotes/new?like=1") == 1
    assert 'href="/jobs/2"' in html
    assert "Kitchen &lt;mat&gt;" in html
    again = owner.get("/quotes/new?like=1&again=yes").get_data(as_text=True)
    kept = quote.open_quote(bench, number=1)
    assert kept.title
    assert f'name="title" type="text" value="{kept.title}"' in again
    assert f'name="customer_name" type="text" value="{kept.customer_name}"' in again


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("find=RUNN", "1"),
        ("find=mat", "2"),
        ("find=2", "2"),
        ("state=ready", "1"),
        ("state=open", "2"),
        ("state=finished", "1"),
        ("state=waiting", "2"),
        ("state=weaving", ""),
        ("state=called+off", ""),
        ("least=0", ""),
        ("loom=Peg+frame", "1"),
        ("wide=12+in&long=30", "1"),
        ("wide=13", ""),
        ("piece=1", "1"),
        ("piece=7", ""),
        ("paid=no", "1"),
        ("paid=yes", ""),
        ("since=2026-03-17&until=2026-03-17", "21"),
        ("since=2026-03-18", ""),
        ("until=9999-12-31&since=0001-01-01", "21"),
        ("find=zebra", ""),
        ("find=%20", "21"),
        ("below=2", "1"),
        ("below=nonsense", "21"),
        ("below=0", "21"),
        ("below=999999999999999999", "21"),
    ],
)
def test_what_is_asked_in_the_address_is_shown(owner, bench, asked, found):
    answer = owner.get(f"/jobs/history?{asked}")
    assert answer.status_code == 200
    shown = re.findall(r'<th scope="row"><a href="/jobs/(\d+)"', answer.get_data(as_text=True))
    assert "".join(shown) == found
    if "below" not in asked:
        for name in ("csv", "xlsx"):
            assert owner.get(f"/jobs/history.{name}?{asked}").status_code == 200
        assert "".join(row[0] for row in csv_of(owner.get(f"/jobs/history.csv?{asked}"))[1:]) == found


@pytest.mark.parametrize(
    ("name", "typed"),
    [
        ("state", "nonsense"), ("paid", "perhaps"), ("since", "soon"), ("until", "2026-13-45"), ("loom", "Nobody’s"),
        ("wide", "-3 in"), ("wide", "NaN"), ("long", "9" * 80), ("piece", "one"), ("piece", "0"), ("piece", "1.5"),
        ("piece", "9" * 30), ("find", "x" * 201), ("wide", "\0"),
        ("least", "much"), ("most", "-1"), ("most", "9" * 30),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told_beside_its_entry_and_asks_nothing(owner, bench, name, typed):
    answer = owner.get("/jobs/history", query_string={name: typed})
    html = answer.get_data(as_text=True)
    assert answer.status_code == 422
    assert f'id="{name}-wrong"' in html
    assert html.count('<th scope="row">') == 2
    assert len(csv_of(owner.get("/jobs/history.csv", query_string={name: typed}))) == 3


@pytest.mark.parametrize("odd", ["%00", "%ff%fe", "%F0%9F%A7%B6", "%25_", "a" * 199, "٣", "=1+1", "😀 0", "<script>"])
def test_any_search_has_an_answer(owner, bench, odd):
    for address in ("/jobs/history", "/jobs/history.csv", "/jobs/history.xlsx"):
        assert owner.get(f"{address}?find={odd}").status_code == 200
    assert "<script>alert" not in owner.get(f"/jobs/history?find={odd}").get_data(as_text=True)


def test_pages_lead_on_with_what_is_asked(owner, bench, now):
    for turn in range(32):
        a_job(bench, now, name=f"Mat {turn}")
    html = owner.get("/jobs/history?find=mat&state=open").get_data(as_text=True)
    assert html.count('<th scope="row">') == 30
    further = re.search(r'href="(/jobs/history\?[^"]*below=[^"]*)"', html)[1].replace("&amp;", "&")
    after = owner.get(further).get_data(as_text=True)
    assert "find=mat" in further
    assert re.findall(r'<th scope="row"><a href="/jobs/(\d+)"', after) == ["4", "3", "2"]
    assert 'href="/jobs/history?find=mat&amp;state=open"' in after  # back to the newest
    assert len(csv_of(owner.get("/jobs/history.csv?find=mat"))) == 1 + 33


def test_no_more_is_carried_out_than_so_many(owner, bench, monkeypatch):
    monkeypatch.setattr(orders.all_of, "__kwdefaults__", {"sought": None, "most": 1})
    assert [row[0] for row in csv_of(owner.get("/jobs/history.csv"))[1:]] == ["2"]


def test_both_tables_say_the_same_and_numbers_stay_numbers(owner, bench):
    answer = owner.get("/jobs/history.csv")
    assert answer.mimetype == "text/csv"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="orders.csv"'
    rows = csv_of(answer)
    assert rows[0] == HEADS
    agreed = orders.history(bench).orders[1].agreed.amount
    assert rows[2][:11] == ["1", "Hall runner", "Asa Lindqvist", "ready", "2026-03-17", "2026-03-17", "1", "Peg frame", "304.8", "762", "USD"]
    assert rows[2][11:] == [str(agreed), "", "0.00", "no", "4.00", "", ""]
    assert rows[1] == ["2", "Kitchen <mat>", "", "waiting", "2026-03-17", "", "", "", "", "", "USD", "", "", "0.00", "", "0.00", "", ""]
    answer = owner.get("/jobs/history.xlsx")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="orders.xlsx"'
    sheet = load_workbook(io.BytesIO(answer.data)).active
    cells = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert cells[0] == HEADS
    assert (cells[2][0], cells[2][8], cells[2][11], cells[2][15]) == (1, 304.8, float(agreed), 4)


def test_no_cell_is_a_formula(owner, bench, now):
    for name in ("=1+1", "+cmd", "-2", "@sum", '=HYPERLINK("http://x")'):
        draft = a_draft(title=name, customer_name=name, described={"document": {"loom": {"name": name}}})
        kept = quote.save_draft(bench, draft=draft, saving=fresh_token(), now=now)
        a_job(bench, now, name=name, quote=kept.number)
    for row in csv_of(owner.get("/jobs/history.csv"))[1:6]:
        assert all(row[place].startswith("'") for place in (1, 2, 7)), row
    sheet = load_workbook(io.BytesIO(owner.get("/jobs/history.xlsx").data)).active
    assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row)
    assert "'=1+1" in [cell.value for cell in sheet["B"]]


def test_a_quote_that_holds_no_rug_to_be_read_harms_nothing(owner, bench, now):
    kept = quote.save_draft(
        bench, draft=a_draft(asking=money("0"), total=money("0"), described={}), saving=fresh_token(), now=now
    )
    a_job(bench, now, quote=kept.number)
    assert "$0.00" in text_of(owner.get("/jobs/history"))
    assert owner.get("/jobs/history.csv?loom=Peg+frame").status_code == 200
    assert inches(24) == orders.history(bench).orders[0].size.width


def test_strangers_find_the_door_shut(app, bench):
    stranger = app.test_client()
    for address in ("/jobs/history", "/jobs/history.csv", "/jobs/history.xlsx"):
        answer = stranger.get(address)
        assert answer.status_code == 303
        assert "/sign-in" in answer.location
