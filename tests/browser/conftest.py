"""A browser, and two shops to walk through with it: the demo, and one that is still empty."""

import os
import shutil
import sqlite3
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect, sync_playwright

from seed_demo import story
from shop.store.engine import Store
from tests.browser.serving import served
from tests.browser.watching import at_a_browser

CHROMIUM = os.environ.get("THRIFTLOOM_CHROMIUM", "/usr/bin/chromium")
QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)


@pytest.fixture(scope="session")
def playwright():
    """What browsers are worked by."""
    if not Path(CHROMIUM).exists():
        why = f"no Chromium at {CHROMIUM}: install Debian's chromium package or set THRIFTLOOM_CHROMIUM"
        if os.environ.get("THRIFTLOOM_ALL_TESTS") == "1":
            pytest.fail(why)
        pytest.skip(why)
    expect.set_options(timeout=20_000)  # a crowded machine is no fault of the code
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(playwright):
    """The browser."""
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(QUIET))
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def demo_database(sqlite_template, tmp_path_factory):
    """The demo shop, as a file to copy."""
    path = tmp_path_factory.mktemp("demo") / "shop.sqlite3"
    shutil.copy(sqlite_template, path)
    store = Store(f"sqlite:///{path}")
    story.build(store, datetime.now(UTC))
    store.close()
    return path


class Shop:
    """A shop that is open, and its owner's way in.

    Attributes:
        address: of its pages.
        app: the application.
        inside: what a browser keeps of being signed in; ``None`` at the door.
        database: its file.
    """

    def __init__(self, chromium, address, app, database):
        self.chromium, self.address, self.app = chromium, address, app
        self.inside, self.database = None, database

    def visit(self, **options):
        """A window on the shop, signed in if anybody is: ``with shop.visit() as page: ...``."""
        return at_a_browser(self.chromium, self.address, **{"storage_state": self.inside, **options})

    def everything(self):
        """All that its database holds, row by row."""
        with closing(sqlite3.connect(self.database)) as connection:
            return list(connection.iterdump())

    def let_in(self):
        """Sign in by the form, once for all windows."""
        with self.visit() as page:
            page.goto("/sign-in")
            page.get_by_label("Name").fill(story.NAME)
            page.get_by_label("Password").fill(story.PASSWORD)
            page.get_by_role("button", name="Sign in").click()
            page.wait_for_url("**/")
            self.inside = page.context.storage_state()
        return self


@contextmanager
def a_shop(chromium, database, folder):
    """A shop of its own, in a copy of a database."""
    path = folder / "shop.sqlite3"
    shutil.copy(database, path)
    with served(path, folder / "instance") as (address, app):
        yield Shop(chromium, address, app, path)


@pytest.fixture(scope="session")
def demo(chromium, demo_database, tmp_path_factory):
    """The demo shop, signed in; only looked at."""
    with a_shop(chromium, demo_database, tmp_path_factory.mktemp("looked-at")) as shop:
        yield shop.let_in()


@pytest.fixture(scope="module")
def worked_on(chromium, demo_database, tmp_path_factory):
    """The demo shop, signed in; to work in, for the tests of one file."""
    with a_shop(chromium, demo_database, tmp_path_factory.mktemp("worked-on")) as shop:
        yield shop.let_in()


@pytest.fixture
def empty_shop(chromium, sqlite_template, tmp_path):
    """A shop that nobody has opened yet."""
    with a_shop(chromium, sqlite_template, tmp_path) as shop:
        yield shop


# Everything that is looked for as a rule, and how large a thing to press is (WCAG 2.2).
RULES = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}


@pytest.fixture(scope="session")
def axe():
    """Looks at a page as the accessibility rules do; gives what it finds, in words."""
    rules = Axe()

    def look(page):
        found = rules.run(page, options=RULES)
        return [
            f"{one['id']}: {one['help']}: {[node['target'] for node in one['nodes']][:3]}"
            for one in found.response["violations"]
        ]

    return look
