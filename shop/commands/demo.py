"""``thriftloom demo``: an invented shop in a database of its own, to look around in."""

from __future__ import annotations

import os
from argparse import Namespace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from seed_demo import story
from shop.assemble import migrated_store
from shop.commands.quiet import solver_kept_quiet
from shop.commands.serve import at_address, serve, with_address
from shop.commands.speaking import complain, say
from shop.core.errors import Refusal
from shop.settings import PREFIX, read_settings
from shop.usecases import account
from shop.words import mark


def add(commands: Any) -> None:
    """Add the verb."""
    parser = commands.add_parser("demo", help="open an invented shop, in a database of its own")
    parser.add_argument("--no-serve", action="store_true", help="only build it")
    with_address(parser)
    parser.set_defaults(run=run)


def run(arguments: Namespace) -> int:
    """Build the invented shop where it is not built yet; then open its pages."""
    folder = Path(os.environ.get(f"{PREFIX}INSTANCE") or "instance") / "demo"
    settings = at_address(read_settings(os.environ, instance=folder), arguments)
    store = migrated_store(settings)
    now = datetime.now(UTC)
    if not account.has_owner(store):
        with solver_kept_quiet():
            story.build(store, now)
    elif not _is_the_demo(store, now):
        store.close()
        return complain(mark("This database belongs to another shop, so nothing was built in it."))
    say(mark("Sign in as %(name)s with the password %(password)s"), name=story.NAME, password=story.PASSWORD)
    if arguments.no_serve:
        store.close()
        return 0
    return serve(settings, store)


def _is_the_demo(store: Any, now: datetime) -> bool:
    try:
        account.sign_in(store, name=story.NAME, password=story.PASSWORD, now=now)
    except Refusal:
        return False
    return True
