"""The shop's settings: changed whole or not at all, and by whoever saw them last."""

import pytest

from shop.usecases import shop as shop_room

TYPED = {
    "name": "Rag & Reed",
    "address": "2 Loom Lane\nWeaverton",
    "contact": "rag@reed.example",
    "count": "3",
    **{f"stripe_{number}": f"#00000{number}" for number in range(1, 10)},
    "locale": "en_GB",
    "currency": "GBP",
    "units": "metric",
    "time_zone": "Europe/London",
}


def test_the_settings_are_changed(owner, sqlite_store):
    assert owner.press("/shop", **TYPED).status_code == 303
    shop = shop_room.current(sqlite_store)
    assert shop.name == "Rag & Reed"
    assert shop.address == ("2 Loom Lane", "Weaverton")
    assert shop.mark == ("#000001", "#000002", "#000003")
    assert (shop.locale, shop.currency, shop.units) == ("en_GB", "GBP", "metric")


def test_the_same_press_twice_is_one_act(owner, sqlite_store):
    hidden = owner.hidden("/shop")
    for _ in range(2):
        assert owner.client.post("/shop", data={**hidden, **TYPED}).status_code == 303
    assert shop_room.current(sqlite_store).revision == 2


def test_a_change_seen_by_nobody_is_not_overwritten(owner, sqlite_store, page_of):
    stale = owner.hidden("/shop")
    owner.press("/shop", **TYPED)
    answer = owner.client.post("/shop", data={**stale, **TYPED, "name": "Lost"})
    assert answer.status_code == 422
    assert "changed in another window" in page_of(answer)
    assert shop_room.current(sqlite_store).name == "Rag & Reed"


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "Please fill this in."),
        ({"count": "0"}, "This must be at least 1."),
        ({"count": "2.5"}, "This must be a whole number."),
        ({"count": "NaN"}, "“NaN” is not a number we can read."),
        ({"count": "1e400"}, "“1e400” is not a number we can read."),
        ({"stripe_1": "red"}, "“red” is not a colour we can read."),
        ({"stripe_1": "#12345g"}, "is not a colour we can read."),
        ({"currency": "DOGE"}, "“DOGE” is not one of the choices."),
        ({"name": "🧶" * 10_000}, "That is too long to be read here: use at most 120 characters."),
    ],
)
def test_a_wrong_entry_changes_nothing(owner, sqlite_store, page_of, wrong, sentence):
    answer = owner.press("/shop", **{**TYPED, **wrong})
    assert answer.status_code == 422
    html = page_of(answer)
    assert sentence in html
    assert 'aria-invalid="true"' in html
    assert "2 Loom Lane" in html
    assert shop_room.current(sqlite_store).name == "Warp & Rag"
