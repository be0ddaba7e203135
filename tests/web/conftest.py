"""A shop's pages on an empty database, and ways to be in them."""

import re

import pytest

from shop.assemble import application
from shop.settings import read_settings
from shop.usecases import account
from shop.usecases.given import fresh_token
from shop.usecases.shop import ShopGiven

PASSWORD = "blue and madder stripes"


class Visitor:
    """Somebody with a browser: fetches a page, fills in its form, presses the button."""

    def __init__(self, app):
        self.client = app.test_client()

    def get(self, address, **options):
        return self.client.get(address, **options)

    def press(self, to, page=None, **typed):
        """Fill in the form of a page, keeping what stands in its hidden fields, and send it to an address."""
        return self.client.post(to, data={**self.hidden(page or to), **typed})

    def hidden(self, page):
        """The hidden fields of a page's form."""
        html = self.get(page).get_data(as_text=True)
        return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', html))

    def sign_in(self, name="astrid", password=PASSWORD):
        return self.press("/sign-in", name=name, password=password)


@pytest.fixture
def settings(tmp_path):
    """The settings of a shop of its own; three attempts to sign in."""
    return read_settings({"THRIFTLOOM_SIGN_IN_ATTEMPTS": "3"}, instance=tmp_path / "instance")


@pytest.fixture
def app(settings, sqlite_store):
    """The application, on an empty database."""
    return application(settings, sqlite_store)


@pytest.fixture
def visitor(app):
    """A browser at the door of an empty shop."""
    return Visitor(app)


@pytest.fixture
def open_shop(sqlite_store, now):
    """Opens the shop: an owner, and settings as given."""

    def opened(**given):
        shop = ShopGiven(**{"name": "Warp & Rag", **given})
        return account.open_shop(
            sqlite_store, name="astrid", password=PASSWORD, shop=shop, saving=fresh_token(), now=now
        )

    return opened


@pytest.fixture
def owner(app, open_shop):
    """The owner's browser, signed in to an American shop."""
    open_shop()
    inside = Visitor(app)
    inside.sign_in()
    return inside


@pytest.fixture
def page_of():
    """The text of an answer, its tags and all."""
    return lambda response: response.get_data(as_text=True)
