"""The shop's own settings."""

import pytest

from shop.core.errors import Clash, Refusal
from shop.usecases import price, quote, rates
from shop.usecases import shop as shop_room
from shop.usecases.given import fresh_token
from tests.builders import (
    a_draft,
    a_haul_at_home,
    a_kept_loom,
    a_price_rule,
    a_quote,
    a_shaft_loom,
    a_shop,
    an_open_shop,
    codes,
    money,
    some_rates,
)
from tests.builders import a_loom as a_loom_given


def change(store, now, shop, revision=1, saving=None):
    return shop_room.change(store, shop=shop, revision=revision, saving=saving or fresh_token(), now=now)


def test_before_it_is_opened_a_shop_has_harmless_settings(store):
    shop = shop_room.current(store)
    assert (shop.revision, shop.name, shop.currency, shop.units) == (0, "", "USD", "imperial")


def test_what_is_set_is_what_is_shown(store, now):
    an_open_shop(store, now)
    wanted = a_shop(
        name="Trasmattan", locale="sv_SE", currency="SEK", units="metric", time_zone="Europe/Stockholm",
        address=("Strandgatan 1", "", "  Visby "), contact="tel. 0000\r\nmail: x@example.org ",
        mark=("#AABBCC", "#112233"),
    )  # fmt: skip
    shop = change(store, now, wanted)
    assert shop == shop_room.current(store)
    assert (shop.name, shop.locale, shop.currency, shop.units) == ("Trasmattan", "sv_SE", "SEK", "metric")
    assert shop.address == ("Strandgatan 1", "Visby")
    assert shop.contact == "tel. 0000\nmail: x@example.org"
    assert shop.mark == ("#aabbcc", "#112233")
    assert shop.revision == 2


def test_every_problem_is_told_at_once_and_nothing_changes(store, now):
    an_open_shop(store, now)
    before = shop_room.current(store)
    wrong = a_shop(
        name=" ", locale="zz_QQ", currency="ABC", units="cubits", time_zone="../../etc/passwd",
        mark=("red", "#fff"), contact="a\0b", address=("x" * 10_000,),
    )  # fmt: skip
    with pytest.raises(Refusal) as refused:
        change(store, now, wrong)
    assert codes(refused) == {
        ("shop.name", "text.missing"),
        ("shop.locale", "locale.unknown"),
        ("shop.currency", "money.currency"),
        ("shop.units", "choice.unknown"),
        ("shop.time_zone", "zone.unknown"),
        ("shop.mark", "colour.unreadable"),
        ("shop.contact", "text.control"),
        ("shop.address", "text.long"),
    }
    assert shop_room.current(store) == before


@pytest.mark.parametrize("mark", [(), ("#000000",) * 10])
def test_a_mark_has_a_few_colours(store, now, mark):
    an_open_shop(store, now)
    with pytest.raises(Refusal) as refused:
        change(store, now, a_shop(mark=mark))
    assert codes(refused) == {("shop.mark", "shop.colours")}


def test_a_change_made_in_the_meantime_is_not_lost(store, now):
    an_open_shop(store, now)
    change(store, now, a_shop(name="Hers"))
    with pytest.raises(Clash) as refused:
        change(store, now, a_shop(name="His"))
    assert codes(refused) == {("", "shop.changed")}
    assert shop_room.current(store).name == "Hers"


def test_the_same_press_twice_is_one_change(store, now):
    an_open_shop(store, now)
    token = fresh_token()
    first = change(store, now, a_shop(name="Once"), saving=token)
    assert change(store, now, a_shop(name="Once"), saving=token) == first


def record_wage(store, now):
    rates.change(store, rates=some_rates(), revision=0, saving=fresh_token(), now=now)


def record_price(store, now):
    price.change(store, pricing=a_price_rule(), revision=0, saving=fresh_token(), now=now)


@pytest.mark.parametrize(
    "record",
    [
        a_quote,
        a_haul_at_home,
        record_wage,
        record_price,
        lambda store, now: a_kept_loom(store, now, a_loom_given(a_shaft_loom())),
    ],
)
def test_the_currency_stays_once_money_is_recorded(store, now, record):
    an_open_shop(store, now)
    assert not shop_room.current(store).currency_fixed
    record(store, now)
    assert shop_room.current(store).currency_fixed
    with pytest.raises(Refusal) as refused:
        change(store, now, a_shop(currency="JPY"))
    assert codes(refused) == {("shop.currency", "shop.currency_fixed")}
    assert change(store, now, a_shop(name="Another name")).currency == "USD"


def test_a_loom_without_a_price_fixes_no_currency(store, now):
    an_open_shop(store, now)
    a_kept_loom(store, now)
    assert change(store, now, a_shop(currency="KWD")).currency == "KWD"
    saved = quote.save_draft(
        store,
        draft=a_draft(asking=money("44.500", "KWD"), total=money("44.500", "KWD")),
        saving=fresh_token(),
        now=now,
    )
    assert saved.asking == money("44.500", "KWD")
