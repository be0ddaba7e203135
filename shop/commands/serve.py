"""``thriftloom serve``: bring the database up to date, then open the shop's pages."""

from __future__ import annotations

import dataclasses
import logging
import os
import socket
import threading
from argparse import Namespace
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Final

import waitress

from shop.assemble import application, migrated_store, posting
from shop.commands.log import open_log
from shop.commands.speaking import complain, say
from shop.settings import Settings, read_settings
from shop.words import mark

if TYPE_CHECKING:
    from shop.usecases import Store

THREADS = 8
POST_EVERY: Final = 15.0
"""Seconds between two looks into the outbox."""
GIVEN_TO_END: Final = 5.0
"""Seconds that a letter on its way has to end when the shop closes; one that does not is uncertain."""


def add(commands: Any) -> None:
    """Add the verb."""
    parser = commands.add_parser("serve", help="open the shop's pages in a browser")
    with_address(parser)
    parser.set_defaults(run=run)


def with_address(parser: Any) -> None:
    """Add the options that say where to listen."""
    parser.add_argument("--host", help="address to listen on (default: the setting, 127.0.0.1)")
    parser.add_argument("--port", type=int, help="port to listen on (default: the setting, 8000)")


def run(arguments: Namespace) -> int:
    """Serve until interrupted."""
    settings = at_address(read_settings(os.environ), arguments)
    return serve(settings, migrated_store(settings))


def at_address(settings: Settings, arguments: Namespace) -> Settings:
    """The settings with the address that the command line names."""
    named: dict[str, Any] = {}
    if arguments.host:
        named["host"] = arguments.host
    if arguments.port is not None:
        named["port"] = arguments.port
    return dataclasses.replace(settings, **named)


def serve(settings: Settings, store: Store) -> int:
    """Open the pages on a store, until interrupted."""
    open_log(settings.log_level)
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    try:
        listening = socket.create_server((settings.host, settings.port), family=family)
    except (OSError, OverflowError) as error:
        store.close()
        return complain(
            mark("Cannot listen on %(host)s, port %(port)s: %(reason)s. Name another one with --port."),
            host=settings.host,
            port=str(settings.port),
            reason=getattr(error, "strerror", None) or str(error),
        )
    server = waitress.create_server(application(settings, store), sockets=[listening], threads=THREADS, ident=None)
    shown = f"[{settings.host}]" if ":" in settings.host else settings.host
    say(
        mark("The shop is open at %(address)s (stop it with Ctrl+C)."),
        address=f"http://{shown}:{settings.port}/",
    )
    try:
        with letters_going_out(posting(settings, store)):
            server.run()
    except KeyboardInterrupt:
        say(mark("The shop is closed."))
    finally:
        server.close()
        store.close()
    return 0


@contextmanager
def letters_going_out(post: Callable[[], object] | None, *, every: float = POST_EVERY) -> Iterator[None]:
    """Meanwhile send what is due, every so many seconds; nothing goes out when ``post`` is ``None``."""
    if post is None:
        yield
        return
    closed = threading.Event()

    def rounds() -> None:
        while not closed.wait(every):
            try:
                post()
            except Exception as error:  # noqa: BLE001 - whatever came in between, the next round is another try
                logging.getLogger("thriftloom").warning("A round of letters was broken off: %s", type(error).__name__)

    sender = threading.Thread(target=rounds, name="letters", daemon=True)
    sender.start()
    try:
        yield
    finally:
        closed.set()
        sender.join(GIVEN_TO_END)
