"""The one file that knows everybody: settings, the store, and the web application on it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from shop.core.errors import Problem, Refusal
from shop.post import post_office
from shop.store.backup import back_up
from shop.store.engine import Store, StoreUnavailable, file_of
from shop.store.migrate import is_current, migrate
from shop.usecases import outbox
from shop.web.app import create_app

if TYPE_CHECKING:
    from flask import Flask

    from shop.settings import Settings


def migrated_store(settings: Settings) -> Store:
    """The store, its database brought up to this version first.

    Raises:
        StoreUnavailable: when the database cannot be reached.
        Refusal: when it cannot be brought up.
    """
    migrate(settings.database_url)
    return Store(settings.database_url)


def open_store(settings: Settings) -> Store:
    """The store as it is: nothing is made, and nothing brought up to this version.

    Raises:
        StoreUnavailable: when the database cannot be reached.
        Refusal: ``store.none`` when there is no database, ``migrate.needed`` when it is of another version.
    """
    file = file_of(settings.database_url)
    if file and not Path(file).is_file():
        raise Refusal(Problem("store.none", values={"file": file}))
    if not is_current(settings.database_url):
        raise Refusal(Problem("migrate.needed"))
    return Store(settings.database_url)


def copy_shop(settings: Settings, target: Path) -> Path:
    """Copy the whole shop to a new file, while it goes on working.

    Raises:
        Refusal: as ``shop.store.backup.back_up``.
    """
    return back_up(settings.database_url, target)


def application(settings: Settings, store: Store) -> Flask:
    """The web application on a store."""
    return create_app(settings, store, unreachable=(StoreUnavailable,))


def posting(settings: Settings, store: Store) -> Callable[[], outbox.Round] | None:
    """What sends the letters that are due; ``None`` when no mail server is set."""
    send = post_office(settings)
    if send is None:
        return None
    return lambda: outbox.send_due(store, send, now=datetime.now(UTC))
