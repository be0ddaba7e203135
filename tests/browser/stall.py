"""A stall to stand at: a fair in the demo shop, and phones that are let in, cut off from the network, and killed."""

import os
import signal
import subprocess
import time
import urllib.request
from contextlib import contextmanager
from datetime import UTC, datetime

from playwright.sync_api import expect

from shop.store.engine import Store
from tests.a_fair import a_fair, a_phone, some_rugs
from tests.browser.conftest import CHROMIUM, QUIET
from tests.browser.watching import PHONE


@contextmanager
def at_the_store(shop):
    """The store of a shop that is open in this process as well."""
    store = Store(f"sqlite:///{shop.database}")
    try:
        yield store
    finally:
        store.close()


def a_stall(shop, *, rugs=39, **fair):
    """A fair with rugs; gives its number and the ids of the rugs."""
    now = datetime.now(UTC)
    with at_the_store(shop) as store:
        number = a_fair(store, now, **fair)
        return number, some_rugs(store, now, number, rugs)


def way_in(shop, fair, name):
    """The part of the address that lets a phone in."""
    with at_the_store(shop) as store:
        return f"/till#open={a_phone(store, datetime.now(UTC), fair, name)}"


@contextmanager
def at_a_phone(shop):
    """A phone in a customer's sight: it may lose the network, and nothing of its script may go wrong unsaid."""
    width, height = PHONE
    context = shop.chromium.new_context(base_url=shop.address, viewport={"width": width, "height": height}, locale="en-US")
    context.set_default_timeout(20_000)
    faults = []
    context.on("weberror", lambda error: faults.append(str(error.error)))
    context.on("request", lambda asked: None if asked.url.startswith(f"{shop.address}/") else faults.append(asked.url))
    try:
        yield context.new_page()
    finally:
        context.close()
    assert faults == []


def open_till(page, address):
    """Open the till on a phone, with signal, until it is kept there and runs from there."""
    page.goto(address)
    expect(page.locator("#sell")).to_be_visible()
    assert "open=" not in page.url
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")


def ready(page):
    page.wait_for_selector("body[data-ready=yes]")


def put(page, *numbers):
    """Put rugs into the basket by their numbers, and go to it."""
    for number in numbers:
        page.locator("#find").fill(str(number))
        page.locator("#find").press("Enter")
        expect(page.locator("#found")).to_contain_text(f"No. {number} ")
    page.get_by_role("link", name="Basket").click()
    expect(page.locator("#pay")).to_be_visible()


def sell(page, *numbers):
    """Sell rugs for what is due, in cash."""
    put(page, *numbers)
    page.locator("#sell-button").click()
    expect(page.locator("#done-heading")).to_have_text("Sold")
    page.get_by_role("button", name="Next customer").click()
    expect(page.locator("#sell")).to_be_visible()


class KilledPhone:
    """A phone of its own: a browser in a process of its own, with a memory that outlives it. It can be killed."""

    def __init__(self, playwright, memory):
        self._playwright, self._memory = playwright, memory
        self._process = self.page = None

    def switch_on(self, *, offline=False):
        """Start it; gives its page."""
        words = [
            CHROMIUM,
            *QUIET,
            "--headless=new",
            "--remote-debugging-port=0",
            f"--user-data-dir={self._memory}",
            "about:blank",
        ]
        marker = self._memory / "DevToolsActivePort"
        marker.unlink(missing_ok=True)
        self._process = subprocess.Popen(  # noqa: S603 - the words are ours
            [str(word) for word in words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
        )
        port = _port_in(marker)
        browser = self._playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{port}")
        context = browser.contexts[0]
        context.set_offline(offline)
        self.page = context.new_page()
        self.page.set_default_timeout(20_000)
        return self.page

    def kill(self):
        """As when it falls into the brook: it gets no chance to put anything in order."""
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()


def _port_in(marker):
    for _ in range(300):
        if marker.exists() and marker.read_text().strip():
            port = marker.read_text().split()[0]
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/json/version"):
                return port
        time.sleep(0.1)
    raise AssertionError("the browser did not start")
