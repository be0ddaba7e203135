"""Everything out: each coin is there, and no cell reckons anything."""

import csv
import io
import json
from decimal import Decimal

import openpyxl
import pytest
from sqlalchemy import select

from seed_demo import story
from shop import cli
from shop.core.loom import Size
from shop.paper.sheets import Workbook, csv_lines, harmless
from shop.store.job import Job
from shop.store.order_money import OrderEvent
from shop.usecases import job_note, job_photograph, measuring
from shop.usecases.export import everything
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from shop.usecases.measuring import Measured
from tests.a_fair import a_fair, a_key, a_phone, an_entry, sent, some_cash, some_rugs
from tests.builders import a_haul_at_home, a_job, a_sheet, an_open_shop, inches
from tests.usecases.a_photograph import a_photograph

TABLES = [
    "hauls", "pieces", "jobs", "job notes", "job measures", "job photographs", "job cloth", "movements", "outlets", "rugs", "rug moves", "rug prices", "sales", "sale lines",
    "fairs", "packed rugs", "cash box", "wishes", "asked not bought", "money of orders",
]  # fmt: skip


@pytest.fixture
def demo(store, now):
    story.build(store, now)
    return store


def tables(store):
    with everything(store) as sheets:
        return {
            sheet.name: [dict(zip(sheet.columns, row, strict=True)) for row in sheet.rows()] for sheet in sheets
        }


def test_the_coins_that_go_out_are_those_of_the_proof(demo):
    found, proof = tables(demo), prove(demo)
    out = found["movements"]

    def lies(place):
        came = sum((row["cost"] for row in out if row["to"] == place), Decimal(0))
        return came - sum((row["cost"] for row in out if row["from"] == place), Decimal(0))

    assert -lies("outside") == proof.paid.amount
    assert lies("shelf") == proof.on_shelf.amount == sum(row["left"] for row in found["pieces"])
    assert lies("job") == proof.in_jobs.amount == sum(row["in job"] for row in found["job cloth"])
    assert lies("rug") == proof.in_rugs.amount == sum(row["in rug"] for row in found["job cloth"])
    assert lies("written off") == proof.written_off.amount
    assert (len(found["hauls"]), len(found["pieces"]), len(out)) == (proof.hauls, proof.pieces, proof.movements)


def test_what_is_remembered_of_a_job_goes_out_without_its_pictures(store, now):
    number = a_job(store, now)
    size = Size(inches(24), inches(36))
    for words in ("=Too tight", "Better"):
        job_note.add(store, job=number, words=words, saving=fresh_token(), now=now)
    slip = job_note.notes(store, job=number).page.notes[0].id
    job_note.strike(store, job=number, note=slip, saving=fresh_token(), now=now)
    measuring.measure(store, job=number, measured=Measured(size), saving=fresh_token(), now=now)
    content = a_photograph((60, 40))
    job_photograph.put_up(store, job=number, content=content, words="Done", saving=fresh_token(), now=now)
    found, at = tables(store), now.isoformat()
    assert [(row["note"], row["written at"], row["struck out at"]) for row in found["job notes"]] == [
        ("=Too tight", at, None),
        ("Better", at, at),
    ]
    (measured,) = found["job measures"]
    assert (measured["job"], measured["width mm"], measured["length mm"]) == (number, Decimal("609.6"), Decimal("914.4"))
    assert measured["weight g"] is None
    (photograph,) = found["job photographs"]
    assert (photograph["words"], photograph["points wide"], photograph["points high"]) == ("Done", 60, 40)
    assert not any(isinstance(cell, bytes) for rows in found.values() for row in rows for cell in row.values())


def test_rugs_their_ways_and_their_sales_go_out(demo):
    found = tables(demo)
    rugs, sales = {row["rug"]: row for row in found["rugs"]}, found["sales"]
    assert len(rugs) == 14
    assert {row["place"] for row in rugs.values()} == {"home", "fair", "outlet", "sold", "gone"}
    assert (rugs[14]["job"], rugs[14]["guessed"], rugs[1]["guessed"]) == (4, "no", "yes")
    assert rugs[1]["price"] == Decimal("195.00")
    assert rugs[1]["width mm"] == Decimal("609.6")
    came = [row["rug"] for row in found["rug moves"] if row["what"] == "came"]
    assert came == sorted(rugs)
    standing = {row["sale"] for row in sales if row["undone at"] is None}
    sold = {row["rug"] for row in found["sale lines"] if row["sale"] in standing}
    assert sold == {number for number, row in rugs.items() if row["place"] == "sold"}
    mill = next(row for row in sales if row["sale"] == 1)
    assert (mill["total"], mill["kept by outlet"], mill["tax"]) == (Decimal("185.00"), Decimal("74.00"), Decimal("0.00"))
    assert {row["rug"] for row in found["rug prices"]} == set(rugs)
    assert [row["keeps"] for row in found["outlets"]] == [Decimal("0.4"), Decimal("0.35")]


def test_fairs_and_what_happened_at_them_go_out(store, now):
    an_open_shop(store, now)
    number = a_fair(store, now, stall=90_00)
    rugs = some_rugs(store, now, number, 2)
    wish = {"name": "Asa", "contact": "asa@example.org", "words": "in greens", "width": "24", "length": ""}
    sent(
        store,
        a_phone(store, now, number),
        some_cash(a_key(1), "put in", 5_00),
        an_entry(a_key(2), "wish", wish),
        an_entry(a_key(3), "refused", {"rug": rugs[1], "asked": 50_00, "offered": None}),
    )
    found = tables(store)
    (fair,) = found["fairs"]
    assert (fair["fair"], fair["stall"], fair["tax rate"], fair["first day"]) == (1, Decimal("90.00"), Decimal("0.06"), "2026-03-17")
    assert [(row["fair"], row["rug"], row["price"]) for row in found["packed rugs"]] == [(1, 1, Decimal("45.00")), (1, 2, Decimal("50.00"))]
    assert [(row["what"], row["amount"]) for row in found["cash box"]] == [("put in", Decimal("5.00"))]
    (wished,) = found["wishes"]
    assert (wished["name"], wished["width mm"], wished["quote"]) == ("Asa", Decimal("609.6"), None)
    assert [(row["rug"], row["asked"], row["offered"]) for row in found["asked not bought"]] == [(2, Decimal("50.00"), None)]


def test_payments_go_out(store, now):
    number = a_job(store, now)
    with store.writing() as session:
        job = session.execute(select(Job.id)).scalar_one()
        paid = {"what": "payment", "amount": 120_00, "currency": "USD", "means": "card", "reference": "slip 7"}
        session.add(OrderEvent(job_id=job, on=now.date(), at=now, undone_at=None, **paid))
    (row,) = tables(store)["money of orders"]
    assert (row["job"], row["what"], row["amount"], row["reference"]) == (number, "payment", Decimal("120.00"), "slip 7")


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r", " ="])
def test_text_that_a_spreadsheet_would_reckon_is_made_harmless(sign):
    text = f"{sign}HYPERLINK(1)"
    assert harmless(text) == f"'{text}"
    (_bom, _head, line) = csv_lines(("name",), [[text]])
    assert next(csv.reader(io.StringIO(line, newline="")))[0].startswith("'")
    written = io.BytesIO()
    book = Workbook(written)
    book.add("cloth", ("name",), [[text]])
    book.close()
    cell = openpyxl.load_workbook(io.BytesIO(written.getvalue())).active["A2"]
    assert (cell.data_type, str(cell.value)[0]) == ("s", "'")


def test_numbers_stay_numbers():
    assert harmless(-3) == -3
    assert harmless(Decimal("-3.50")) == Decimal("-3.50")
    assert list(csv_lines(("n",), [[Decimal("-3.50")]]))[-1] == "-3.50\r\n"


@pytest.fixture
def shop_in_a_folder(tmp_path, monkeypatch, sqlite_store, now):
    for name in ("LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("THRIFTLOOM_INSTANCE", str(tmp_path / "instance"))
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", sqlite_store.url)
    a_haul_at_home(sqlite_store, now, a_sheet(name="=2+3"))
    return sqlite_store


def test_the_command_writes_every_table(shop_in_a_folder, tmp_path, capsys):
    folder = tmp_path / "out" / "today"
    assert cli.main(["export", str(folder)]) == 0
    names = {path.name for path in folder.iterdir()}
    assert names == {f"{name.replace(' ', '-')}.csv" for name in TABLES} | {"thriftloom.xlsx"}
    with (folder / "pieces.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["name"], row["paid"], row["width mm"]) == ("'=2+3", "4.00", "2057.4")
    book = openpyxl.load_workbook(folder / "thriftloom.xlsx")
    assert book.sheetnames == TABLES
    assert "thriftloom.xlsx" in capsys.readouterr().out


def test_files_that_are_there_are_not_written_over(shop_in_a_folder, tmp_path, capsys):
    (tmp_path / "kept.txt").write_text("mine")
    assert cli.main(["export", str(tmp_path)]) == 2
    assert "There are files in" in capsys.readouterr().err
    assert cli.main(["export", str(tmp_path / "kept.txt")]) == 2


def test_a_database_that_is_not_there_is_told(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("THRIFTLOOM_INSTANCE", str(tmp_path / "instance"))
    monkeypatch.delenv("THRIFTLOOM_DATABASE_URL", raising=False)
    assert cli.main(["export", str(tmp_path / "out")]) == 2
    assert cli.main(["check", "--json"]) == 2
    assert "There is no database at" in capsys.readouterr().err


def test_the_check_says_where_the_money_is(shop_in_a_folder, capsys):
    assert cli.main(["check", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert (told["paid"], told["on_shelf"], told["in_jobs"], told["in_rugs"], told["written_off"]) == (
        "4.00",
        "4.00",
        "0.00",
        "0.00",
        "0.00",
    )


def test_what_is_written_meanwhile_stands_in_none_of_the_files(store, now):
    """The files are of one moment, in whichever order they are read."""
    a_haul_at_home(store, now, a_sheet())
    with everything(store) as sheets:
        pieces = next(sheet for sheet in sheets if sheet.name == "pieces")
        before = list(pieces.rows())
        a_haul_at_home(store, now, a_sheet())
        assert list(pieces.rows()) == before
    assert len(tables(store)["pieces"]) == 2
