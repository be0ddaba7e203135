"""Somebody at a browser, watched: nothing may be said on the console, and nothing may be asked of anybody else."""

import os
import re
from contextlib import contextmanager
from pathlib import Path

import pytest

SHOTS = Path(__file__).resolve().parent / "shots"
DESK, PHONE = (1280, 900), (360, 780)
_STATUS = "Failed to load resource: the server responded with a status of"


class Watch:
    """Gathers what went wrong in a browser's windows without the page saying so."""

    def __init__(self, context, address):
        self.faults = []
        self._address = address
        context.on("console", self._said)
        context.on("weberror", lambda error: self.faults.append(f"script: {error.error}"))
        context.on("request", self._asked)
        context.on("response", self._answered)

    def _said(self, message):
        # A page that answers "this cannot be" is a page like any other: its status is looked at where it is asked.
        if message.type in ("error", "warning") and not message.text.startswith(_STATUS):
            self.faults.append(f"console: {message.text}")

    def _asked(self, request):
        if not request.url.startswith((f"{self._address}/", "data:")):
            self.faults.append(f"asked elsewhere: {request.url}")

    def _answered(self, response):
        is_page = response.request.is_navigation_request()
        if response.status >= 500 or (response.status >= 400 and not is_page):
            self.faults.append(f"{response.status}: {response.url}")


@contextmanager
def at_a_browser(chromium, address, *, size=DESK, **options):
    """A window on a shop; at the end, nothing must have gone wrong unsaid.

    Args:
        chromium: the browser.
        address: of the shop.
        size: of the window, CSS pixels.
        options: of the browser's context.
    """
    width, height = size
    context = chromium.new_context(
        base_url=address, viewport={"width": width, "height": height}, locale="en-US", **options
    )
    context.set_default_timeout(15_000)
    watch = Watch(context, address)
    try:
        yield context.new_page()
    finally:
        context.close()
    if watch.faults:
        pytest.fail("went wrong unsaid: " + "; ".join(sorted(set(watch.faults))[:8]))


def resize(page, width, height=900):
    """Make the window another width."""
    page.set_viewport_size({"width": width, "height": height})


def scrolls_sideways(page):
    """By how many CSS pixels the page is wider than its window, once it is there: a link just pressed may be on its way."""
    page.wait_for_load_state("load")
    return page.locator("html").evaluate("root => root.scrollWidth - root.clientWidth")


def widest_things(page):
    """What sticks out at the right, for whoever has to mend it."""
    return page.evaluate(
        """() => [...document.querySelectorAll('body *')]
          .filter((e) => e.getBoundingClientRect().right > document.scrollingElement.clientWidth + 0.5
            && getComputedStyle(e).position !== 'absolute')
          .map((e) => e.tagName.toLowerCase() + '.' + (e.getAttribute('class') || '') + ' ' + e.textContent.trim().slice(0, 40))
          .slice(0, 6)"""
    )


def open_all(page):
    """Open everything that can be opened, so that what lies in it is looked at too."""
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")


def shoot(page, name):
    """A picture of the whole page, where pictures are wanted."""
    if os.environ.get("THRIFTLOOM_SHOTS"):
        SHOTS.mkdir(exist_ok=True)
        page.screenshot(
            path=SHOTS / f"{re.sub(r'[^a-z0-9-]+', '-', name.lower()).strip('-')}.png", full_page=True
        )
