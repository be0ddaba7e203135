"""Bringing a database up to what this version needs, one whole step or not at all.

Migrating goes over an engine of its own. On SQLite it has foreign keys off, because changing a table there
means rebuilding it, which would take its children along; they are checked before anything is kept. Two that
migrate at once take turns.
"""

from __future__ import annotations

from typing import Final

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from alembic.util.exc import CommandError
from sqlalchemy import Connection, text
from sqlalchemy.exc import DBAPIError

from shop import places
from shop.core.errors import Problem, Refusal
from shop.store.engine import StoreUnavailable, is_out_of_reach, make_engine, writing_engine

LOCK: Final = 8_417_306_112
"""A number of ours, by which migrations on PostgreSQL take turns."""


def migrate(url: str, *, to: str = "head") -> str | None:
    """Bring the database to a revision, the newest as a rule; gives the revision that it then has.

    Args:
        url: of the database; a SQLite file is made where there is none.
        to: a revision's name, ``head``, or ``base`` for an empty database.

    Raises:
        StoreUnavailable: when the database cannot be reached.
        Refusal: ``migrate.newer`` when the database belongs to a newer version than this;
            ``migrate.foreign_keys`` when rows would point at nothing.
    """
    engine = writing_engine(make_engine(url, foreign_keys=False))
    try:
        with engine.begin() as connection:
            return _moved(connection, to)
    except CommandError as error:
        raise Refusal(Problem("migrate.newer")) from error
    except DBAPIError as error:
        if is_out_of_reach(error):
            raise StoreUnavailable(str(error.orig)) from error
        raise
    finally:
        engine.dispose()


def _moved(connection: Connection, to: str) -> str | None:
    on_sqlite = connection.dialect.name == "sqlite"
    if not on_sqlite:
        connection.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": LOCK})
    settings = config(connection)
    before = _revision(connection)
    if before is not None:
        ScriptDirectory.from_config(settings).get_revision(before)
    if to == "base" or (before is not None and to != "head" and _is_below(settings, to, before)):
        command.downgrade(settings, to)
    else:
        command.upgrade(settings, to)
    if on_sqlite and connection.exec_driver_sql("PRAGMA foreign_key_check").first() is not None:
        raise Refusal(Problem("migrate.foreign_keys"))
    return _revision(connection)


def _is_below(settings: Config, to: str, before: str) -> bool:
    above = ScriptDirectory.from_config(settings).iterate_revisions(before, "base")
    return to in {script.revision for script in above} and to != before


def config(connection: Connection | None = None) -> Config:
    """Alembic's settings, for this connection if there is one."""
    settings = Config()
    settings.set_main_option("script_location", str(places.migrations()).replace("%", "%%"))
    if connection is not None:
        settings.attributes["connection"] = connection
    return settings


def _revision(connection: Connection) -> str | None:
    return MigrationContext.configure(connection).get_current_revision()


def is_current(url: str) -> bool:
    """Whether the database is at the newest revision."""
    engine = make_engine(url)
    try:
        with engine.connect() as connection:
            return _revision(connection) == ScriptDirectory.from_config(config()).get_current_head()
    except DBAPIError as error:
        if is_out_of_reach(error):
            raise StoreUnavailable(str(error.orig)) from error
        raise
    finally:
        engine.dispose()
