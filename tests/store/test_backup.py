"""A copy of the whole shop."""

import sqlite3
import stat
from contextlib import closing

import pytest

from shop.core.errors import Refusal
from shop.store.backup import back_up
from shop.store.engine import Store
from shop.usecases import account
from tests.builders import an_open_shop, codes


def test_a_copy_holds_what_the_shop_holds_even_what_is_still_in_the_log(sqlite_store, now, tmp_path):
    an_open_shop(sqlite_store, now)
    target = back_up(sqlite_store.url, tmp_path / "copy.sqlite3")
    copy = Store(f"sqlite:///{target}")
    assert account.has_owner(copy)
    copy.close()
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_a_copy_is_made_while_somebody_writes(sqlite_store, tmp_path):
    with sqlite_store.writing() as session:
        session.connection().exec_driver_sql("INSERT INTO counter VALUES ('quote', 5)")
        back_up(sqlite_store.url, tmp_path / "copy.sqlite3")
    with closing(sqlite3.connect(tmp_path / "copy.sqlite3")) as copy:
        assert copy.execute("SELECT count(*) FROM counter").fetchone() == (0,)


def test_nothing_is_ever_written_over(sqlite_store, tmp_path):
    there = tmp_path / "copy.sqlite3"
    there.write_text("older")
    with pytest.raises(Refusal) as refused:
        back_up(sqlite_store.url, there)
    assert codes(refused) == {("", "backup.exists")}
    assert there.read_text() == "older"


def test_a_folder_that_is_not_there_is_told(sqlite_store, tmp_path):
    with pytest.raises(Refusal) as refused:
        back_up(sqlite_store.url, tmp_path / "nowhere" / "copy.sqlite3")
    assert codes(refused) == {("", "backup.folder")}


def test_a_database_that_is_not_there_is_told(tmp_path):
    with pytest.raises(Refusal) as refused:
        back_up(f"sqlite:///{tmp_path / 'none.sqlite3'}", tmp_path / "copy.sqlite3")
    assert codes(refused) == {("", "backup.missing")}
    assert list(tmp_path.iterdir()) == []


def test_a_damaged_database_is_told_and_no_copy_left(tmp_path):
    (tmp_path / "shop.sqlite3").write_bytes(b"not a database at all" * 500)
    with pytest.raises(Refusal) as refused:
        back_up(f"sqlite:///{tmp_path / 'shop.sqlite3'}", tmp_path / "copy.sqlite3")
    assert codes(refused) == {("", "backup.damaged")}
    assert [path.name for path in tmp_path.iterdir()] == ["shop.sqlite3"]


def test_postgresql_has_its_own_way(tmp_path):
    with pytest.raises(Refusal) as refused:
        back_up("postgresql+psycopg://ida@/shop", tmp_path / "copy")
    assert codes(refused) == {("", "backup.postgresql")}
