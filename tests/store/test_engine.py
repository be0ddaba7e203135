"""Reading and writing: one transaction each, kept whole or not at all."""

import sqlite3
import stat
import threading
from contextlib import closing

import pytest
from sqlalchemy import text

from shop.core.errors import Clash
from shop.store.account import Account
from shop.store.engine import Store, StoreUnavailable
from shop.store.numbering import Counter, take


def an_account(name, now, *, is_owner=False):
    return Account(
        name=name,
        name_key=name,
        is_owner=is_owner,
        password_hash="x",
        stamp="y",
        created_at=now,
        changed_at=now,
    )


def count(store):
    with store.reading() as session:
        return session.execute(text("SELECT count(*) FROM account")).scalar_one()


def test_what_is_written_stays(store, now):
    with store.writing() as session:
        session.add(an_account("ida", now))
    assert count(store) == 1


def test_the_file_of_a_new_database_is_its_owners_alone(tmp_path):
    path = tmp_path / "shop.sqlite3"
    store = Store(f"sqlite:///{path}")
    with store.writing() as session:
        session.execute(text("CREATE TABLE a (b)"))
        modes = {stat.S_IMODE(file.stat().st_mode) for file in tmp_path.iterdir()}
    store.close()
    assert modes == {0o600}


def test_when_anything_is_raised_nothing_stays(store, now):
    with pytest.raises(KeyError), store.writing() as session:  # noqa: PT012 - the whole act fails
        session.add(an_account("ida", now))
        session.flush()
        raise KeyError
    assert count(store) == 0


def test_a_reading_session_keeps_nothing(sqlite_store, now):
    with sqlite_store.reading() as session:
        session.add(an_account("ida", now))
        session.flush()
    assert count(sqlite_store) == 0


def test_postgresql_itself_refuses_to_write_while_reading(postgresql_store, now):
    with pytest.raises(Exception, match="read-only"), postgresql_store.reading() as session:  # noqa: PT012 - the whole act fails
        session.add(an_account("ida", now))
        session.flush()
    assert count(postgresql_store) == 0


def test_a_rival_is_told_of_as_a_clash(store, now):
    with store.writing() as session:
        session.add(an_account("ida", now, is_owner=True))
    with pytest.raises(Clash) as refused, store.writing() as session:
        session.add(an_account("eva", now, is_owner=True))
    assert [problem.code for problem in refused.value.problems] == ["store.clash"]
    assert count(store) == 1


def test_reading_sees_one_moment_throughout(store, now):
    with store.reading() as session:
        before = session.execute(text("SELECT count(*) FROM account")).scalar_one()
        with store.writing() as other:
            other.add(an_account("ida", now))
        assert session.execute(text("SELECT count(*) FROM account")).scalar_one() == before
    assert count(store) == before + 1


def test_sqlite_is_set_up_as_it_should_be(sqlite_store):
    with sqlite_store.reading() as session:
        told = {
            name: session.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "foreign_keys", "busy_timeout", "synchronous")
        }
    assert told == {"journal_mode": "wal", "foreign_keys": 1, "busy_timeout": 10_000, "synchronous": 2}


def test_a_writer_on_sqlite_takes_the_lock_at_once(sqlite_store):
    with closing(sqlite3.connect(sqlite_store.engine.url.database, timeout=0)) as other:
        with sqlite_store.reading() as session:
            session.execute(text("SELECT 1"))
            other.execute("BEGIN IMMEDIATE")
            other.rollback()
        with sqlite_store.writing() as session:
            session.execute(text("SELECT 1"))
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("BEGIN IMMEDIATE")


def test_a_database_that_is_not_there_is_unavailable():
    store = Store("postgresql+psycopg://nobody@127.0.0.1:1/nothing")
    with pytest.raises(StoreUnavailable), store.reading() as session:
        session.execute(text("SELECT 1"))
    store.close()


def together(count, act):
    """Do the same thing in so many threads at once; gives what came of each, or its error."""
    start, came = threading.Barrier(count), []

    def one():
        start.wait()
        try:
            came.append(act())
        except BaseException as error:  # noqa: BLE001 - shown by the assertion
            came.append(error)

    threads = [threading.Thread(target=one) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return came


def test_five_at_once_get_five_numbers(store):
    def act():
        with store.writing() as session:
            return take(session, "quote")[0]

    assert sorted(together(5, act)) == [1, 2, 3, 4, 5]


def test_five_that_read_and_then_write_lose_nothing(store):
    with store.writing() as session:
        take(session, "quote")

    def act():
        with store.writing() as session:
            row = session.get(Counter, "quote", with_for_update=True)
            row.last = row.last + 1

    assert together(5, act) == [None] * 5
    with store.writing() as session:
        assert take(session, "quote")[0] == 7


def test_numbers_taken_in_a_transaction_that_is_undone_are_given_again(store):
    with pytest.raises(KeyError), store.writing() as session:  # noqa: PT012 - the whole act fails
        assert list(take(session, "piece", 3)) == [1, 2, 3]
        raise KeyError
    with store.writing() as session:
        assert list(take(session, "piece", 2)) == [1, 2]


@pytest.mark.parametrize(("series", "wanted"), [("letter", 1), ("quote", 0), ("quote", -1)])
def test_there_are_no_numbers_of_an_unknown_series_and_never_none(store, series, wanted):
    with pytest.raises(ValueError, match="no such numbers"), store.writing() as session:
        take(session, series, wanted)
