"""The shop that the pages are timed in: looms, rates, a price rule and twenty pieces of cloth, all invented."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from flask import Flask
from flask.testing import FlaskClient

from shop.assemble import application
from shop.settings import Settings, read_settings
from shop.store.engine import Store
from shop.usecases import price, rates
from shop.usecases.given import fresh_token
from tests.builders import (
    PASSWORD,
    a_haul_at_home,
    a_kept_loom,
    a_loom,
    a_plank,
    a_price_rule,
    a_shaft_loom,
    a_sheet,
    an_open_shop,
    inches,
    some_rates,
)

NOW = datetime(2026, 3, 17, 15, 30, tzinfo=UTC)
COLOURS = ("#2b3d6e", "#97291d", "#d8c9a8", "#5577aa", "#6b7a3c")


def fill(store: Store) -> None:
    """Open the shop and put everything in it, as its owner would."""
    an_open_shop(store, NOW)
    a_kept_loom(store, NOW)
    a_kept_loom(store, NOW, a_loom(a_shaft_loom()))
    a_kept_loom(store, NOW, a_loom(a_plank()))
    rates.change(store, rates=some_rates(), revision=0, saving=fresh_token(), now=NOW)
    price.change(store, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=NOW)
    sheets = [
        replace(
            a_sheet(),
            name=f"Sheet no. {place}",
            colour=COLOURS[place % 5],
            width=inches(70 + place),
            ready=place % 3 > 0,
        )
        for place in range(20)
    ]
    for first in range(0, 20, 5):
        a_haul_at_home(store, NOW, *sheets[first : first + 5])


def pages_of(store: Store, folder: Path) -> tuple[Flask, Settings]:
    """The shop's web application, its instance in that folder."""
    settings = read_settings({"THRIFTLOOM_SIGN_IN_ATTEMPTS": "1000"}, instance=folder)
    return application(settings, store), settings


def hidden_fields(page: str) -> dict[str, str]:
    """The hidden fields of a page's form."""
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page))


def signed_in(app: Flask) -> FlaskClient:
    """A browser of the owner's."""
    client = app.test_client()
    page = client.get("/sign-in").get_data(as_text=True)
    answer = client.post("/sign-in", data={**hidden_fields(page), "name": "Ida", "password": PASSWORD})
    if answer.status_code != 303:
        raise SystemExit("The owner could not sign in.")
    return client
