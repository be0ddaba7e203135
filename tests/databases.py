"""Databases to test on: a SQLite file, and a PostgreSQL found, or started from Debian's binaries.

``THRIFTLOOM_TEST_POSTGRES`` names a server by URL; else the server of this machine is tried; else one is started
in a folder of its own. Without any, PostgreSQL's half is skipped, or fails where ``THRIFTLOOM_ALL_TESTS`` is 1.
"""

from __future__ import annotations

import getpass
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import URL, create_engine, make_url, text
from sqlalchemy.exc import OperationalError
from sqlalchemy.pool import NullPool

from shop.settings import read_settings


@contextmanager
def postgresql_server() -> Iterator[URL]:
    """A server where databases may be made; the URL of its own ``postgres`` database."""
    given = os.environ.get("THRIFTLOOM_TEST_POSTGRES")
    if given:
        with tempfile.TemporaryDirectory() as folder:
            settings = read_settings({"THRIFTLOOM_DATABASE_URL": given}, instance=Path(folder))
        yield make_url(settings.database_url)
        return
    for host in (None, "127.0.0.1"):
        url = URL.create("postgresql+psycopg", username=getpass.getuser(), host=host, database="postgres")
        if _answers(url):
            yield url
            return
    binaries = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if not binaries:
        _none_found()
    with _started(binaries[-1].parent) as url:
        yield url


def _answers(url: URL) -> bool:
    engine = create_engine(url, poolclass=NullPool, connect_args={"connect_timeout": 2})
    try:
        with engine.connect() as connection:
            may_make = "SELECT rolcreatedb OR rolsuper FROM pg_roles WHERE rolname = current_user"
            return bool(connection.execute(text(may_make)).scalar())
    except OperationalError:
        return False


def _none_found() -> None:
    why = "no PostgreSQL: set THRIFTLOOM_TEST_POSTGRES or install Debian's postgresql package"
    if os.environ.get("THRIFTLOOM_ALL_TESTS") == "1":
        pytest.fail(why)
    pytest.skip(why)


@contextmanager
def _started(binaries: Path) -> Iterator[URL]:
    """A server of our own, on a socket in a folder of its own; as root it runs as another user."""
    folder = Path(tempfile.mkdtemp(prefix="loom-pg-"))
    user = None
    if os.geteuid() == 0:
        user = next(name for name in ("postgres", "nobody") if _is_user(name))
        shutil.chown(folder, user)
    data = folder / "data"

    def run(*words: str) -> None:
        subprocess.run(  # noqa: S603 - the words are ours
            words, user=user, cwd=folder, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )

    try:
        run(str(binaries / "initdb"), "-D", str(data), "-U", "loom", "-A", "trust", "-N", "-E", "UTF8")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off"
        control = (str(binaries / "pg_ctl"), "-D", str(data), "-w")
        run(*control, "-o", options, "-l", str(folder / "log"), "start")
        try:
            yield URL.create(
                "postgresql+psycopg", username="loom", database="postgres", query={"host": str(folder)}
            )
        finally:
            run(*control, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _is_user(name: str) -> bool:
    return any(one.pw_name == name for one in pwd.getpwall())


def administer(server: URL, *statements: str) -> None:
    """Run statements that make or drop databases."""
    engine = create_engine(server, poolclass=NullPool, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        for statement in statements:
            connection.execute(text(statement))


def written(url: URL) -> str:
    """A URL as a setting holds it."""
    return url.render_as_string(hide_password=False)
