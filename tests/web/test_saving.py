"""A form pressed twice, pressed again with other content, or damaged on the way: nothing is taken for saved that was not."""

import re

import pytest

from shop.usecases import quote as quotes
from shop.usecases import rates as rates_room
from shop.usecases import shop as shop_room
from shop.usecases.given import fresh_token

OTHER = "An earlier press of this page was saved, with other content."
RUG = {"width": "25 in", "length": "37 1/2 in", "size": "", "act": "save"}


def unseen(html):
    """The hidden fields of a page."""
    return dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', html))


def chosen(html):
    """Whatever is chosen, ticked or filled in on a page already."""
    lists = re.findall(r'<select id="[^"]*" name="([^"]+)".*?</select>', html, re.DOTALL)
    found = {}
    for name in lists:
        part = html.split(f'name="{name}"', 1)[1].split("</select>")[0]
        picked = re.search(r'<option value="([^"]*)" selected', part)
        found[name] = picked[1] if picked else ""
    found |= dict(re.findall(r'<input type="radio" name="([^"]+)" value="([^"]*)"[^>]* checked', html))
    found |= dict(re.findall(r'<input id="[^"]*" name="([^"]+)" type="(?:text|color|date)" value="([^"]*)"', html))
    return found | unseen(html)


@pytest.fixture
def filled(owner, page_of):
    """The form of a page as it comes: what stands in it, seen or not."""
    return lambda address: chosen(page_of(owner.get(address)))


def test_a_new_quote_pressed_twice_is_one_quote(owner, sqlite_store, filled):
    form = {**filled("/quotes/new"), **RUG, "customer_name": "Inga"}
    one, two = (owner.client.post("/quotes/new", data=form) for _ in range(2))
    assert (one.status_code, one.location) == (two.status_code, two.location) == (303, "/quotes/1")
    assert len(quotes.quotes(sqlite_store).quotes) == 1


def test_a_saved_quote_pressed_twice_is_one_change(owner, sqlite_store, filled):
    owner.client.post("/quotes/new", data={**filled("/quotes/new"), **RUG})
    form = {**filled("/quotes/1"), **RUG, "customer_name": "Inga", "width": "20 in"}
    for _ in range(2):
        answer = owner.client.post("/quotes/1", data=form)
        assert (answer.status_code, answer.location) == (303, "/quotes/1")
    assert quotes.open_quote(sqlite_store, number=1).revision == 2


def test_a_quote_edited_after_a_press_is_not_called_saved_and_the_next_press_saves_it(
    owner, sqlite_store, filled, page_of
):
    form = {**filled("/quotes/new"), **RUG, "customer_name": "Inga"}
    owner.client.post("/quotes/new", data=form)
    answer = owner.client.post("/quotes/new", data={**form, "customer_name": "Bertil"})
    html = page_of(answer)
    assert answer.status_code == 422
    assert OTHER in html
    assert 'value="Bertil"' in html
    assert [line.customer_name for line in quotes.quotes(sqlite_store).quotes] == ["Inga"]
    answer = owner.client.post("/quotes/new", data={**form, "customer_name": "Bertil", **unseen(html)})
    assert answer.location == "/quotes/2"
    assert quotes.open_quote(sqlite_store, number=2).customer_name == "Bertil"


@pytest.mark.parametrize(
    ("address", "typed", "other", "kept"),
    [
        ("/shop", {"name": "Madder"}, {"name": "Indigo"}, lambda store: shop_room.current(store).name),
        ("/rates/", {"wage": "21.00"}, {"wage": "22.00"}, lambda store: rates_room.current(store).wage.plain()),
        ("/quotes/1", {**RUG, "title": "Madder"}, {**RUG, "title": "Indigo"}, lambda store: quotes.open_quote(store, number=1).title),
    ],
)  # fmt: skip
def test_edited_after_a_press_the_next_press_saves_on_top_of_it(
    owner, sqlite_store, filled, page_of, address, typed, other, kept
):
    owner.client.post("/quotes/new", data={**filled("/quotes/new"), **RUG})
    form = filled(address)
    assert owner.client.post(address, data={**form, **typed}).status_code == 303
    answer = owner.client.post(address, data={**form, **other})
    html = page_of(answer)
    assert (answer.status_code, OTHER in html) == (422, True)
    first = kept(sqlite_store)
    assert owner.client.post(address, data={**form, **other, **unseen(html)}).status_code == 303
    assert kept(sqlite_store) != first


def test_the_next_press_still_gives_way_to_a_change_from_another_window(owner, sqlite_store, filled, page_of, now):
    form = filled("/shop")
    owner.client.post("/shop", data={**form, "name": "Madder"})
    there = shop_room.current(sqlite_store)
    given = shop_room.ShopGiven(name="From the other window")
    shop_room.change(sqlite_store, shop=given, revision=there.revision, saving=fresh_token(), now=now)
    html = page_of(owner.client.post("/shop", data={**form, "name": "Indigo"}))
    answer = owner.client.post("/shop", data={**form, "name": "Indigo", **unseen(html)})
    assert answer.status_code == 422
    assert "changed in another window" in page_of(answer)
    assert shop_room.current(sqlite_store).name == "From the other window"


@pytest.mark.parametrize("token", ["", "short", "x" * 65, "sixteen letters!", "å" * 20])
def test_a_damaged_token_is_told_and_the_next_press_saves(owner, sqlite_store, filled, page_of, token):
    form = {**filled("/shop"), "name": "Indigo"}
    answer = owner.client.post("/shop", data={**form, "saving": token})
    html = page_of(answer)
    assert answer.status_code == 422
    assert "This form lacks its mark of being ours." in html
    assert "'" not in unseen(html)["saving"]
    assert shop_room.current(sqlite_store).name == "Warp & Rag"
    assert owner.client.post("/shop", data={**form, **unseen(html)}).status_code == 303
    assert shop_room.current(sqlite_store).name == "Indigo"


@pytest.mark.parametrize("revision", ["-1", "two", "1e3", "9" * 5000, "²", "1 "])
@pytest.mark.parametrize("address", ["/shop", "/rates/", "/rates/price/", "/rates/minutes/", "/looms/new/frame", "/quotes/new"])
def test_a_damaged_revision_is_told_in_our_words(owner, filled, page_of, address, revision):
    answer = owner.client.post(address, data={**filled(address), "act": "save", "name": "X", "revision": revision})
    html = page_of(answer)
    assert answer.status_code == 422
    assert "This form no longer says what it was made from." in html
    assert "integer" not in html


@pytest.mark.parametrize("row", ["²", "9" * 5000, "-1", "x", "0 ", "१"])
@pytest.mark.parametrize("name", ["yearly", "wear"])
def test_a_row_called_by_no_number_is_no_row(owner, filled, row, name):
    answer = owner.client.post("/rates/", data={**filled("/rates/"), "wage": "20", f"{name}-{row}-name": "Rent"})
    assert answer.status_code == 303


def test_a_piece_s_button_without_its_token_does_nothing(owner, page_of):
    token = owner.hidden("/account")["csrf_token"]
    answer = owner.client.post("/cloth/pieces/1/ready", data={"csrf_token": token, "saving": "x"})
    assert answer.status_code == 422
    assert "This form lacks its mark of being ours." in page_of(answer)
