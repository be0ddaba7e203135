"""The one file that knows everybody: settings, the store, and the web application on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shop.store.backup import back_up
from shop.store.engine import Store, StoreUnavailable
from shop.store.migrate import migrate
from shop.web.app import create_app

if TYPE_CHECKING:
    from pathlib import Path

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


def copy_shop(settings: Settings, target: Path) -> Path:
    """Copy the whole shop to a new file, while it goes on working.

    Raises:
        Refusal: as ``shop.store.backup.back_up``.
    """
    return back_up(settings.database_url, target)


def application(settings: Settings, store: Store) -> Flask:
    """The web application on a store."""
    return create_app(settings, store, unreachable=(StoreUnavailable,))
