"""The proof of the ledger: it holds for what was done in the shop, and names the row of whatever was changed behind it."""
# ruff: noqa: S608, ISC004 - statements are put together of words of this file

import json
from contextlib import contextmanager
from decimal import Decimal

import pytest
from sqlalchemy import text

from shop import cli
from shop.core.amount import Share
from shop.usecases import draw, job, later_cost, piece, split
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import a_haul_at_home, a_job, a_sheet, an_open_shop, drawn, inches, money

HALF = Share(Decimal("0.5"))


@pytest.fixture
def worked(store, now):
    """A shop that has done one of everything; pieces 1 to 3 and job 1 have the same ids."""
    an_open_shop(store, now)
    home = a_haul_at_home(store, now, a_sheet(ready=True, paid=money("10.01")), a_sheet(ready=True, paid=money("7.00")))

    def do(act, **given):
        return act(store, saving=fresh_token(), now=now, **given)

    later_cost.add_cost(store, haul_id=home.id, cost=money("1.01"), note="dye", saving=fresh_token(), now=now)
    do(split.split, number=1, width=inches(20), length=inches(30))
    a_job(store, now)
    a_job(store, now, name="Mat")
    drawn(store, now, 1, 1, HALF)
    do(draw.give_back, number=1, job=1, amount=HALF)
    do(draw.waste, number=1, job=1, amount=HALF)
    wrong = drawn(store, now, 2, 1, HALF)
    do(piece.undo, number=2, step_id=wrong.step_id)
    drawn(store, now, 2, 2, HALF)
    do(job.weave, number=2)
    do(piece.give_away, number=3)
    assert prove(store).faults == ()
    return store


TABLES = ("movement", "piece", "job_cloth", "haul")


@contextmanager
def from_outside(store):
    """A connection as of another program, that no rule of the database holds back more than it must."""
    engine = store.engine
    with engine.connect() as connection:
        if engine.dialect.name == "sqlite":
            connection.exec_driver_sql("COMMIT")
            connection.exec_driver_sql("PRAGMA foreign_keys = OFF")
            connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
            connection.exec_driver_sql("BEGIN")
        else:
            connection.execute(text("SET session_replication_role = replica"))
        yield connection
        connection.commit()
    engine.dispose()


def change(store, *statements):
    with from_outside(store) as connection:
        for statement in statements:
            assert connection.execute(text(statement)).rowcount > 0, statement


@contextmanager
def put_back_after(store):
    """Whatever is changed meanwhile is as before at the end."""
    with from_outside(store) as connection:
        for table in TABLES:
            connection.execute(text(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}"))
    yield
    with from_outside(store) as connection:
        for table in TABLES:
            connection.execute(text(f"DELETE FROM {table}"))
            connection.execute(text(f"INSERT INTO {table} SELECT * FROM kept_{table} ORDER BY 1"))
            connection.execute(text(f"DROP TABLE kept_{table}"))


def drawn_entry(number):
    return f"(SELECT min(id) FROM movement WHERE kind = 'drawn' AND piece_id = {number})"


CORRUPTIONS = {
    "a draw costs more": ([f"UPDATE movement SET cost = cost + 1 WHERE id = {drawn_entry(1)}"], "movement"),
    "a draw costs more, and all balances with it": (
        [
            f"UPDATE movement SET cost = cost + 1 WHERE id = {drawn_entry(1)}",
            "UPDATE piece SET left_cost = left_cost - 1 WHERE id = 1",
            "UPDATE job_cloth SET cost = cost + 1 WHERE piece_id = 1 AND job_id = 1",
        ],
        "movement",
    ),
    "a draw takes more": ([f"UPDATE movement SET share = share + 7 WHERE id = {drawn_entry(1)}"], "piece"),
    "a draw of another piece": ([f"UPDATE movement SET piece_id = 3 WHERE id = {drawn_entry(1)}"], "movement"),
    "a draw into another job": ([f"UPDATE movement SET job_id = 2 WHERE id = {drawn_entry(1)}"], "movement"),
    "a draw that is a gift": ([f"UPDATE movement SET kind = 'given away' WHERE id = {drawn_entry(1)}"], "movement"),
    "a draw that goes elsewhere": ([f"UPDATE movement SET target = 'rug' WHERE id = {drawn_entry(1)}"], "movement"),
    "a draw is gone": ([f"DELETE FROM movement WHERE id = {drawn_entry(1)}"], "movement"),
    "coming home is gone": (["DELETE FROM movement WHERE kind = 'brought home' AND piece_id = 1"], "piece"),
    "a piece came for less": (
        ["UPDATE movement SET cost = cost - 1 WHERE kind = 'brought home' AND piece_id = 2"], "piece"
    ),
    "only half of a piece came": (
        ["UPDATE movement SET share = 500000000 WHERE kind = 'brought home' AND piece_id = 2"], "movement"
    ),
    "a reversal is gone": (["DELETE FROM movement WHERE kind = 'reversed'"], "piece"),
    "a reversal names another": (
        [f"UPDATE movement SET reverses_id = {drawn_entry(1)} WHERE kind = 'reversed'"], "movement"
    ),
    "a reversal names nothing": (["UPDATE movement SET reverses_id = 999999 WHERE kind = 'reversed'"], "movement"),
    "a reversal gives back less": (["UPDATE movement SET cost = cost - 1 WHERE kind = 'reversed'"], "movement"),
    "what is left of a piece": (['UPDATE piece SET "left" = "left" - 1 WHERE id = 1'], "piece"),
    "what the rest has cost": (["UPDATE piece SET left_cost = left_cost + 1 WHERE id = 1"], "piece"),
    "what a piece came for": (["UPDATE piece SET came = came + 1 WHERE id = 1"], "piece"),
    "what was paid later": (["UPDATE piece SET later = later + 1 WHERE id = 1"], "piece"),
    "the price on a piece": (["UPDATE piece SET paid = paid + 1 WHERE id = 1"], "haul"),
    "the state of a piece": (["UPDATE piece SET state = 'set aside to wash' WHERE id = 1"], "piece"),
    "a piece is gone": (["DELETE FROM piece WHERE id = 3"], "piece"),
    "the trip of a haul": (["UPDATE haul SET trip = trip + 1"], "haul"),
    "a haul is gone": (["DELETE FROM haul"], "haul"),
    "what lies in a job": (["UPDATE job_cloth SET share = share + 1 WHERE job_id = 1 AND piece_id = 1"], "job_cloth"),
    "what cloth in a job cost": (["UPDATE job_cloth SET cost = cost + 1 WHERE job_id = 1 AND piece_id = 1"], "job_cloth"),
    "what a rug cost": (["UPDATE job_cloth SET rug_cost = rug_cost + 1 WHERE job_id = 2"], "job_cloth"),
    "the cloth of a job is gone": (["DELETE FROM job_cloth WHERE job_id = 1 AND piece_id = 1"], "job_cloth"),
    "half of a cut is gone": (["DELETE FROM movement WHERE kind = 'cut off'"], "movement"),
    "cloth came from nowhere": (
        [
            'INSERT INTO movement (piece_id, kind, share, cost, source, target, job_id, "on", at, note) '
            'SELECT piece_id, kind, share, cost, source, target, job_id, "on", at, note '
            f"FROM movement WHERE id = {drawn_entry(2)}"
        ],
        "piece",
    ),
}


def test_whatever_is_changed_behind_the_shop_is_found_and_named(worked):
    for how, (statements, table) in CORRUPTIONS.items():
        with put_back_after(worked):
            change(worked, *statements)
            found = prove(worked)
            assert not found.holds, how
            assert table in {fault.table for fault in found.faults}, how
        assert prove(worked).faults == (), how


def by_command(store, monkeypatch, capsys, *words):
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", store.url)
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    code = cli.main(["check", *words])
    return code, capsys.readouterr().out


def test_the_command_says_where_the_money_is(worked, monkeypatch, capsys):
    code, out = by_command(worked, monkeypatch, capsys, "--json")
    told = json.loads(out)
    assert code == 0
    assert told["ok"] is True
    assert told["faults"] == []
    paid = told["paid"]
    assert paid == told["receipts"] == "18.02"
    assert (told["hauls"], told["pieces"]) == (1, 3)
    code, out = by_command(worked, monkeypatch, capsys)
    assert code == 0
    assert "Paid for cloth" in out
    assert "The ledger holds" in out


def test_the_command_names_the_row_and_ends_with_one(worked, monkeypatch, capsys):
    change(worked, "UPDATE piece SET left_cost = left_cost + 1 WHERE id = 1")
    code, out = by_command(worked, monkeypatch, capsys, "--json")
    told = json.loads(out)
    assert code == 1
    assert told["ok"] is False
    assert [(one["table"], one["id"], one["problem"]) for one in told["faults"]] == [("piece", 1, "ledger.balance")]
    code, out = by_command(worked, monkeypatch, capsys)
    assert code == 1
    assert "Piece 1 does not stand at what its entries come to." in out


def test_the_command_ends_with_two_where_there_is_no_database(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("THRIFTLOOM_DATABASE_URL", f"sqlite:///{tmp_path / 'none' / 'shop.sqlite3'}")
    assert cli.main(["check"]) == 2
    assert capsys.readouterr().err
