"""``thriftloom migrate``: bring the database up to what this version needs."""

from __future__ import annotations

import os
from argparse import Namespace
from typing import Any

from shop.assemble import migrated_store
from shop.commands.speaking import say
from shop.settings import read_settings
from shop.words import mark


def add(commands: Any) -> None:
    """Add the verb."""
    commands.add_parser("migrate", help="bring the database up to date").set_defaults(run=run)


def run(_arguments: Namespace) -> int:
    """Migrate."""
    migrated_store(read_settings(os.environ)).close()
    say(mark("The database is up to date."))
    return 0
