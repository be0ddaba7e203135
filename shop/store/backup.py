"""A copy of the whole shop, made while it goes on working (SQLite)."""

from __future__ import annotations

import secrets
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy import make_url

from shop.core.errors import Problem, Refusal


def back_up(url: str, target: Path) -> Path:
    """Copy a SQLite database to a new file, whole, checked, and readable by its owner alone.

    A PostgreSQL database is backed up with PostgreSQL's own ``pg_dump``, which this refuses to stand in for.

    Raises:
        Refusal: ``backup.postgresql``, ``backup.missing``, ``backup.exists``, ``backup.folder`` or
            ``backup.damaged``.
    """
    database = make_url(url)
    if database.get_backend_name() != "sqlite":
        raise Refusal(Problem("backup.postgresql"))
    source = Path(database.database or "")
    if not source.is_file():
        raise Refusal(Problem("backup.missing", values={"text": str(source)}))
    if target.exists():
        raise Refusal(Problem("backup.exists", values={"text": str(target)}))
    fresh = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        fresh.touch(mode=0o600, exist_ok=False)
    except OSError as error:
        raise Refusal(Problem("backup.folder", values={"text": str(target.parent)})) from error
    try:
        with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(fresh)) as new:
            old.backup(new)
            new.execute("PRAGMA journal_mode = DELETE")
            if new.execute("PRAGMA integrity_check").fetchone() != ("ok",):
                raise Refusal(Problem("backup.damaged", values={"text": str(source)}))
        target.hardlink_to(fresh)  # unlike a rename, never over a file that came in the meantime
    except FileExistsError as error:
        raise Refusal(Problem("backup.exists", values={"text": str(target)})) from error
    except (OSError, sqlite3.Error) as error:
        raise Refusal(Problem("backup.damaged", values={"text": str(source)})) from error
    finally:
        fresh.unlink(missing_ok=True)
    return target
