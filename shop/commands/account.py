"""``thriftloom account``: make the owner's account, or set a new password, at the machine itself."""

from __future__ import annotations

import getpass
import os
import sys
from argparse import Namespace
from datetime import UTC, datetime
from typing import Any

from shop.assemble import migrated_store
from shop.commands.speaking import complain, say, terminal_words
from shop.settings import read_settings
from shop.usecases import account
from shop.usecases.given import fresh_token
from shop.words import mark


def add(commands: Any) -> None:
    """Add the verb and its two parts."""
    parser = commands.add_parser("account", help="make the owner's account, or set a new password")
    parts = parser.add_subparsers(required=True, metavar="create|password")
    for name, run, what in (
        ("create", _create, "make the owner's account"),
        ("password", _password, "set a new password; old sign-ins end"),
    ):
        part = parts.add_parser(name, help=what)
        part.add_argument("name", help="the name to sign in with")
        part.set_defaults(run=run)


def _create(arguments: Namespace) -> int:
    store = migrated_store(read_settings(os.environ))
    try:
        password = _asked()
        if password is None:
            return complain(mark("The two passwords are not the same."))
        account.open_shop(
            store, name=arguments.name, password=password, saving=fresh_token(), now=datetime.now(UTC)
        )
    finally:
        store.close()
    say(mark("The account %(name)s is made."), name=arguments.name)
    return 0


def _password(arguments: Namespace) -> int:
    store = migrated_store(read_settings(os.environ))
    try:
        password = _asked()
        if password is None:
            return complain(mark("The two passwords are not the same."))
        account.set_password(store, name=arguments.name, new=password, now=datetime.now(UTC))
    finally:
        store.close()
    say(mark("The password is changed."))
    return 0


def _asked() -> str | None:
    """The password: asked twice at a terminal, else the first line of standard input."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    words = terminal_words()
    first = getpass.getpass(words.say("Password: "))
    return first if getpass.getpass(words.say("The same again: ")) == first else None
