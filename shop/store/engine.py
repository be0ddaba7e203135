"""The way to the database: a ``Store`` that gives out a session for reading or for writing.

On SQLite a writer takes the write lock at once (``BEGIN IMMEDIATE``): read, think, write is then one act, and
nobody's change is lost. On PostgreSQL a writer locks the rows that it means to change.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from time import monotonic
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import (
    DatabaseError,
    DBAPIError,
    IntegrityError,
    InterfaceError,
    InternalError,
    OperationalError,
)
from sqlalchemy.orm import Session, sessionmaker

from shop.core.errors import Clash, Problem

__all__ = ["Session", "Store", "StoreUnavailable", "make_engine", "writing_engine"]

BUSY_MILLISECONDS: Final = 10_000
ASKS_AGAIN_MILLISECONDS: Final = 15
WRITER_WAITS: Final = 60.0
"""Seconds that a writer waits for the others on SQLite."""
_BEGIN: Final = "thriftloom_begin"
_AS_WRITER: Final = "BEGIN IMMEDIATE"


class StoreUnavailable(Exception):
    """The database cannot be reached, is locked for too long, or has not been migrated."""


def make_engine(url: str, *, foreign_keys: bool = True) -> Engine:
    """An engine for a database URL; on SQLite with our pragmas and our own BEGIN.

    Args:
        url: ``sqlite:///FILE`` or ``postgresql+psycopg://...``.
        foreign_keys: off only while migrating SQLite, where changing a table means rebuilding it.
    """
    options: dict[str, Any] = {
        "json_serializer": partial(json.dumps, ensure_ascii=False, allow_nan=False),
        "hide_parameters": True,  # a log is read by others than the shop's owner
    }
    if url.startswith("sqlite"):
        options["connect_args"] = {"timeout": BUSY_MILLISECONDS / 1000}
    else:
        options["connect_args"] = {"connect_timeout": 5, "application_name": "thriftloom"}
        options["pool_pre_ping"] = True
    engine = create_engine(url, **options)
    if engine.dialect.name == "sqlite":
        _on_sqlite(engine, foreign_keys=foreign_keys)
    return engine


def file_of(url: str) -> str | None:
    """The file of a SQLite database; ``None`` for any other."""
    parts = make_url(url)
    return parts.database if parts.get_backend_name() == "sqlite" else None


def _on_sqlite(engine: Engine, *, foreign_keys: bool) -> None:
    file = engine.url.database
    if file and file != ":memory:" and not file.startswith("file:"):

        @event.listens_for(engine, "do_connect")
        def for_the_owner_alone(_dialect: Any, _record: Any, _args: Any, _named: Any) -> None:
            if Path(file).parent.is_dir():  # where it is not, connecting says so
                Path(file).touch(mode=0o600)

    @event.listens_for(engine, "connect")
    def set_up(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # the driver begins nothing by itself
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout = {BUSY_MILLISECONDS}")
        cursor.execute("PRAGMA journal_mode = WAL")
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.execute(f"PRAGMA foreign_keys = {'ON' if foreign_keys else 'OFF'}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        how = connection.get_execution_options().get(_BEGIN, "BEGIN")
        if how == _AS_WRITER and _has_its_turn(connection):
            return
        connection.exec_driver_sql(how)


def _has_its_turn(connection: Connection) -> bool:
    """Wait for the write lock, asking often; whether it came.

    SQLite's own waiting asks ever more seldom, so that one who has waited long loses to those who have just come. Here
    everybody asks every few milliseconds, and has the same chance each time.
    """
    raw: Any = connection.connection.driver_connection
    until = monotonic() + WRITER_WAITS
    raw.execute(f"PRAGMA busy_timeout = {ASKS_AGAIN_MILLISECONDS}")
    try:
        while monotonic() < until:
            with suppress(sqlite3.OperationalError):
                raw.execute(_AS_WRITER)
                return True
    finally:
        raw.execute(f"PRAGMA busy_timeout = {BUSY_MILLISECONDS}")
    return False


def writing_engine(engine: Engine) -> Engine:
    """The same engine, whose transactions begin as a writer's do."""
    return engine.execution_options(**{_BEGIN: _AS_WRITER})


def _reading_engine(engine: Engine) -> Engine:
    if engine.dialect.name == "sqlite":
        return engine
    return engine.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)


class Store:
    """One shop's database."""

    def __init__(self, url: str) -> None:
        self.url: Final = url
        self.engine: Final = make_engine(url)
        self._read = sessionmaker(_reading_engine(self.engine), expire_on_commit=False, autoflush=False)
        self._write = sessionmaker(writing_engine(self.engine), expire_on_commit=False)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one moment of the shop and changes nothing.

        Raises:
            StoreUnavailable: when the database cannot be reached.
        """
        with _told_plainly(), self._read() as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session that is saved at the end, whole, or not at all when anything is raised.

        Raises:
            StoreUnavailable: when the database cannot be reached or stays locked.
            Clash: ``store.clash`` when somebody else saved a rival in the meantime.
        """
        with _told_plainly(), self._write.begin() as session:
            yield session

    def close(self) -> None:
        """Give back every connection."""
        self.engine.dispose()


@contextmanager
def _told_plainly() -> Iterator[None]:
    try:
        yield
    except IntegrityError as error:
        raise Clash(Problem("store.clash")) from error
    except DBAPIError as error:
        if is_out_of_reach(error):
            raise StoreUnavailable(str(error.orig)) from error
        raise


def is_out_of_reach(error: DBAPIError) -> bool:
    """Whether this says that the database itself cannot be used: not reached, not one at all, or damaged."""
    if isinstance(error, OperationalError | InterfaceError | InternalError) or error.connection_invalidated:
        return True
    return type(error) is DatabaseError or error.statement is None  # refused before anything was asked of it
