"""The quote page against bare Flask pages of the same size, through the application and through the server."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from itertools import count
from pathlib import Path
from threading import Thread
from typing import Any

import waitress
from flask import Flask
from werkzeug.test import EnvironBuilder, run_wsgi_app

from shop.commands.serve import THREADS
from shop.store.engine import Store
from shop.store.migrate import migrate
from tests.load.a_full_shop import fill, hidden_fields, pages_of, signed_in
from tests.load.bare import bare_app
from tests.load.side_by_side import say_ratio, side_by_side

AIM = 4
PAGE = "/quotes/new"
ASKED_FOR = {"length": "37 1/2 in", "tool": "rotary", "way": "along", "joins": "overlap", "new_kind": "sheeting",
             "new_colour": "#7d8a99", "piece": ["1", "2"], "repeats": "3"}  # fmt: skip


def run(*, turns: int, rows: int) -> None:
    """Time the quote page; ``rows`` is of no meaning here."""
    del rows
    with tempfile.TemporaryDirectory(prefix="loom-load-") as folder:
        url = f"sqlite:///{folder}/shop.sqlite3"
        migrate(url)
        store = Store(url)
        fill(store)
        app, _ = pages_of(store, Path(folder))
        client = signed_in(app)
        page = client.get(PAGE)
        cookie = client.get_cookie("thriftloom")
        headers = {"Cookie": f"{cookie.key}={cookie.value}"}
        size, values = len(page.data), _values_printed(store, Path(folder), headers)
        print(f"  the quote page, signed in: {size:,} bytes, {values:,} values printed; 20 pieces, 3 looms")
        bare = bare_app(size=size, values=values)
        _compare("called as WSGI", _called(app, headers), _called(bare, {}), turns)
        with _served(app) as ours, _served(bare) as plain:
            _compare("through waitress on loopback", _fetched(ours, headers), _fetched(plain, {}), turns)
        _reckon_again(app, headers, hidden_fields(page.get_data(as_text=True)), turns)
        store.close()


Fetch = Callable[[str], object]


def _compare(how: str, ours: Fetch, bare: Fetch, turns: int) -> None:
    print(f"  {how}:")
    things = {
        "the quote page": lambda: ours(PAGE),
        "a bare template": lambda: bare("/template"),
        "a bare string": lambda: bare("/string"),
    }
    timed = side_by_side(things, turns=turns, warm=20, often={"a bare template": 5, "a bare string": 20})
    for name, one in timed.items():
        print(f"    {name:16} {one}")
    page = timed["the quote page"]
    say_ratio("a bare template of the same size and values", page, timed["a bare template"], aim=AIM)
    say_ratio("a bare string of the same size", page, timed["a bare string"], aim=AIM)


def _called(app: Flask, headers: dict[str, str]) -> Fetch:
    """Fetches by calling the application with a fresh environment, and reads the whole answer."""

    def fetch(address: str) -> bytes:
        environ = EnvironBuilder(address, headers=headers).get_environ()
        return _answer(app, environ)

    return fetch


def _answer(app: Flask, environ: dict[str, Any]) -> bytes:
    body, status, _ = run_wsgi_app(app, environ, buffered=True)
    if not status.startswith("200"):
        raise SystemExit(f"The page answered {status}.")
    return b"".join(body)


@contextmanager
def _served(app: Flask) -> Iterator[HTTPConnection]:
    """The application served as the command serves it, and a browser's connection to it that is kept open."""
    server = waitress.create_server(app, host="127.0.0.1", port=0, threads=THREADS, ident=None)
    serving = Thread(target=server.run, daemon=True)
    serving.start()
    connection = HTTPConnection("127.0.0.1", server.effective_port)
    try:
        yield connection
    finally:
        connection.close()
        server.task_dispatcher.shutdown()
        server.close()
        serving.join(timeout=5)


def _fetched(connection: HTTPConnection, headers: dict[str, str]) -> Fetch:
    def fetch(address: str) -> bytes:
        connection.request("GET", address, headers=headers)
        answer = connection.getresponse()
        body = answer.read()
        if answer.status != 200:
            raise SystemExit(f"The page answered {answer.status}.")
        return body

    return fetch


def _values_printed(store: Store, folder: Path, headers: dict[str, str]) -> int:
    """How many values our templates print for the page, counted in an application of their own."""
    app, _ = pages_of(store, folder)
    printed = 0

    def counting(value: object) -> object:
        nonlocal printed
        printed += 1
        return value

    app.jinja_env.finalize = counting
    _called(app, headers)(PAGE)  # the first time, what is constant in a template is counted too
    printed = 0
    _called(app, headers)(PAGE)
    return printed


def _reckon_again(app: Flask, headers: dict[str, str], hidden: dict[str, str], turns: int) -> None:
    """What an open page asks for while somebody types: another width each time, so that no figure was written before."""
    wider = count(600)

    def reckon() -> bytes:
        typed = {**hidden, **ASKED_FOR, "width": f"{next(wider) / 10} mm"}
        builder = EnvironBuilder("/quotes/reckon", method="POST", headers=headers, data=typed)
        return _answer(app, builder.get_environ())

    timed = side_by_side({"typing": reckon}, turns=turns)["typing"]
    print(f"  figures for an open page, a width that is new each time, two cloths: {timed}")
