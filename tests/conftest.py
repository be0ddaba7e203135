"""Fixtures that every room's tests lean on: a shop's database, empty and migrated, on both databases.

``store`` runs a test twice, on SQLite and on PostgreSQL; ``sqlite_store`` once. A database is migrated once for a
whole run, and copied for each test.
"""

import shutil
import uuid
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime

import pytest
from hypothesis import settings
from sqlalchemy import event

from shop.store.engine import Store
from shop.store.migrate import migrate
from tests.databases import administer, postgresql_server, written

settings.register_profile("unhurried", deadline=None)  # a crowded machine is no fault of the code
settings.load_profile("unhurried")


@pytest.fixture
def now():
    """A Tuesday afternoon in the shop."""
    return datetime(2026, 3, 17, 15, 30, tzinfo=UTC)


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory):
    path = tmp_path_factory.mktemp("template") / "shop.sqlite3"
    migrate(f"sqlite:///{path}")
    return path


@pytest.fixture(scope="session")
def postgresql():
    with postgresql_server() as server:
        yield server


@pytest.fixture(scope="session")
def postgresql_template(postgresql):
    with a_postgresql_database(postgresql) as url:
        migrate(written(url))
        yield url


@contextmanager
def a_postgresql_database(server, template=None):
    """A database of its own, dropped afterwards; a copy of ``template``, or empty."""
    name = f"thriftloom_test_{uuid.uuid4().hex}"
    copied = f" TEMPLATE {template.database}" if template is not None else ""
    administer(server, f"CREATE DATABASE {name}{copied}")
    try:
        yield server.set(database=name)
    finally:
        administer(server, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture(params=["sqlite", "postgresql"])
def empty_url(request, tmp_path):
    """The URL of a database without any tables."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'empty.sqlite3'}"
        return
    with a_postgresql_database(request.getfixturevalue("postgresql")) as url:
        yield written(url)


@pytest.fixture
def sqlite_store(sqlite_template, tmp_path):
    """A shop's database in SQLite, migrated and empty."""
    path = tmp_path / "shop.sqlite3"
    shutil.copy(sqlite_template, path)
    store = Store(f"sqlite:///{path}")
    yield store
    store.close()


@pytest.fixture
def postgresql_store(postgresql, postgresql_template):
    """A shop's database in PostgreSQL, migrated and empty."""
    with a_postgresql_database(postgresql, postgresql_template) as url:
        store = Store(written(url))
        yield store
        store.close()


@pytest.fixture
def sqlite_shops(sqlite_template, tmp_path):
    """Makes one empty shop after another, in SQLite."""
    made = []

    def one():
        path = tmp_path / f"shop-{len(made)}.sqlite3"
        shutil.copy(sqlite_template, path)
        made.append(Store(f"sqlite:///{path}"))
        return made[-1]

    yield one
    for shop in made:
        shop.close()


@pytest.fixture
def postgresql_shops(postgresql, postgresql_template):
    """Makes one empty shop after another, in PostgreSQL."""
    with ExitStack() as kept:

        def one():
            url = kept.enter_context(a_postgresql_database(postgresql, postgresql_template))
            shop = Store(written(url))
            kept.callback(shop.close)
            return shop

        yield one


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request):
    """A shop's database, migrated and empty; the test runs on both."""
    return request.getfixturevalue(f"{request.param}_store")


@pytest.fixture
def count_queries():
    """What is said to a database meanwhile, with its values: ``with count_queries(store) as said: ...``."""

    @contextmanager
    def counting(store):
        said = []

        def note(_connection, _cursor, statement, parameters, *_rest):
            said.append((statement, parameters))

        event.listen(store.engine, "before_cursor_execute", note)
        try:
            yield said
        finally:
            event.remove(store.engine, "before_cursor_execute", note)

    return counting
