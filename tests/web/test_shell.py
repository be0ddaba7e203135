"""The door and what stands around every page: first start, signing in and out, headers, error pages."""

import re

import pytest
from flask import abort

from shop.core.described import plan_of
from shop.core.described_cutting import KEYS as PLAN_KEYS
from shop.core.keys import KEYS
from shop.usecases import account
from shop.usecases import shop as shop_room
from shop.web.entry import safe_address
from shop.web.security import static_address

FIRST = {
    "shop_name": "Warp & Rag",
    "locale": "sv_SE",
    "currency": "SEK",
    "units": "metric",
    "time_zone": "Europe/Stockholm",
    "name": "astrid",
    "password": "a good long password",
    "again": "a good long password",
}


@pytest.mark.parametrize("address", ["/", "/shop", "/sign-in", "/guide/start", "/nowhere"])
def test_every_page_of_an_empty_shop_leads_to_opening_it(visitor, address):
    answer = visitor.get(address)
    assert (answer.status_code, answer.location) == (303, "/first-start")


def test_opening_the_shop_signs_in_and_closes_that_page(visitor, sqlite_store):
    answer = visitor.press("/first-start", **FIRST)
    assert (answer.status_code, answer.location) == (303, "/")
    assert "Warp &amp; Rag" in visitor.get("/guide").get_data(as_text=True)
    assert visitor.get("/first-start").location == "/"
    shop = shop_room.current(sqlite_store)
    assert (shop.name, shop.locale, shop.currency, shop.units) == ("Warp & Rag", "sv_SE", "SEK", "metric")


@pytest.mark.parametrize(
    ("locale", "usual"),
    [
        ("sv_SE", ("SEK", "metric", "Europe/Stockholm")),
        ("en_US", ("USD", "imperial", "America/New_York")),
        ("en_ZA", ("ZAR", "metric", "Africa/Johannesburg")),
    ],
)
def test_what_is_left_to_be_usual_follows_the_country(visitor, sqlite_store, locale, usual):
    visitor.press(
        "/first-start", **{**FIRST, "locale": locale, "currency": "usual", "units": "usual", "time_zone": "usual"}
    )
    shop = shop_room.current(sqlite_store)
    assert (shop.locale, shop.currency, shop.units, shop.time_zone) == (locale, *usual)


def test_the_first_page_offers_what_is_usual_and_greets_in_the_language_chosen(visitor, page_of):
    html = page_of(visitor.get("/first-start"))
    assert "svenska (Sverige): SEK, centimetres, Stockholm" in html
    assert html.count('value="usual" selected') == 2
    visitor.press("/first-start", **{**FIRST, "currency": "usual"})
    html = page_of(visitor.get("/"))
    assert "Verkstaden är öppen" in html
    assert "The shop is open" not in html


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"again": "another password"}, "The two passwords are not the same."),
        ({"password": "short", "again": "short"}, "A password needs at least 12 characters."),
        ({"shop_name": " "}, "Please fill this in."),
        ({"locale": "xx_XX"}, "“xx_XX” is not one of the choices."),
        ({"name": "a\u0000b" + "x" * 500}, "That is too long to be read here"),
    ],
)
def test_a_wrong_entry_opens_nothing_and_keeps_what_was_typed(
    visitor, sqlite_store, page_of, wrong, sentence
):
    answer = visitor.press("/first-start", **{**FIRST, **wrong})
    assert answer.status_code == 422
    assert sentence in page_of(answer)
    assert 'value="Warp &amp; Rag"' in page_of(answer) or "shop_name" in wrong
    assert FIRST["password"] not in page_of(answer)
    assert not account.has_owner(sqlite_store)


def test_a_stranger_is_asked_to_sign_in_and_comes_to_the_page_asked_for(visitor, open_shop):
    open_shop()
    answer = visitor.get("/guide/cloth?x=1")
    assert answer.location == "/sign-in?next=/guide/cloth?x%3D1"
    answer = visitor.press("/sign-in?next=/guide/cloth", name="Astrid ", password="blue and madder stripes")
    assert (answer.status_code, answer.location) == (303, "/guide/cloth")
    assert visitor.get("/guide/cloth").status_code == 200


@pytest.mark.parametrize(
    "address",
    [
        "https://elsewhere.example/",
        "//elsewhere.example",
        "/\\elsewhere.example",
        "shop",
        "",
        "/a\nb",
        "javascript:x",
        "//[x",
    ],
)
def test_nobody_is_sent_elsewhere_after_signing_in(address):
    assert safe_address(address) == "/"


def test_a_wrong_password_says_not_which_was_wrong(visitor, open_shop, page_of):
    open_shop()
    wrong_password = visitor.sign_in(password="not the one I have")
    wrong_name = visitor.sign_in(name="bertil")
    for answer in (wrong_password, wrong_name):
        assert answer.status_code == 422
        assert "That name and password do not go together." in page_of(answer)


def test_attempts_to_sign_in_are_limited_even_with_the_right_password(visitor, open_shop, page_of):
    open_shop()
    for _ in range(3):
        assert visitor.sign_in(password="not the one I have").status_code == 422
    answer = visitor.sign_in()
    assert answer.status_code == 429
    assert "Please wait a little" in page_of(answer)


def test_signing_out_needs_a_press_and_ends_the_session(owner):
    assert owner.get("/sign-out").status_code == 405
    assert owner.get("/guide").status_code == 200
    assert owner.press("/sign-out", page="/guide").location == "/sign-in"
    assert owner.get("/guide").location.startswith("/sign-in")


def test_changing_the_password_ends_other_sessions_but_not_this_one(app, owner):
    other = type(owner)(app)
    other.sign_in()
    answer = owner.press(
        "/account",
        old="blue and madder stripes",
        new="an even longer password",
        again="an even longer password",
    )
    assert answer.status_code == 303
    assert owner.get("/guide").status_code == 200
    assert other.get("/guide").location.startswith("/sign-in")


def test_the_old_password_must_be_right(owner, page_of):
    answer = owner.press(
        "/account", old="not it", new="an even longer password", again="an even longer password"
    )
    assert answer.status_code == 422
    assert "That is not the password you have now." in page_of(answer)


def test_a_form_that_is_not_ours_is_refused(owner, page_of, sqlite_store):
    answer = owner.client.post("/shop", data={"name": "Stolen"})
    assert answer.status_code == 400
    assert "This form was opened before you signed in" in page_of(answer)
    assert shop_room.current(sqlite_store).name == "Warp & Rag"


def test_every_answer_carries_the_guards(owner):
    for address in ("/guide", "/nowhere", "/sign-in"):
        headers = owner.get(address).headers
        assert "script-src 'self'" in headers["Content-Security-Policy"]
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
        assert headers["Cache-Control"] == "no-store"


def test_the_session_cookie_is_kept_from_scripts_and_other_sites(visitor, open_shop):
    open_shop()
    cookie = visitor.sign_in().headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_a_file_of_ours_is_kept_long_under_an_address_that_changes_with_it(app, visitor):
    with app.test_request_context("/"):
        address = static_address("thriftloom.css")
    with visitor.get(address) as kept:
        assert kept.status_code == 200
        assert "immutable" in kept.headers["Cache-Control"]
    assert re.search(r"v=[0-9a-f]{12}$", address)


@pytest.mark.parametrize(
    ("status", "heading"),
    [(400, "That could not be read"), (403, "This is not open to you"), (404, "There is nothing here"),
     (413, "That is too much at once"), (429, "Please wait a little"), (500, "Something broke on our side"),
     (418, "That could not be read"), (503, "The shop’s books are out of reach")],
)  # fmt: skip
def test_each_kind_of_trouble_has_its_page(app, owner, page_of, status, heading):
    app.view_functions["guide.show_guide"] = lambda: abort(status)
    answer = owner.get("/guide")
    assert answer.status_code == status
    assert heading in page_of(answer)


def test_a_break_shows_no_stack(app, owner, page_of):
    app.view_functions["guide.show_guide"] = lambda: 1 / 0
    answer = owner.get("/guide")
    assert answer.status_code == 500
    assert "Something broke on our side" in page_of(answer)
    assert "ZeroDivision" not in page_of(answer)
    assert "Traceback" not in page_of(answer)


def test_a_database_out_of_reach_has_a_page_that_needs_none(app, owner, settings, page_of):
    for path in settings.instance.parent.glob("shop.sqlite3*"):
        path.unlink()
    app.extensions["thriftloom_store"].close()
    answer = owner.get("/guide")
    assert answer.status_code == 503
    assert "The database does not answer." in page_of(answer)


def test_a_sending_too_large_is_refused_plainly(owner, page_of):
    answer = owner.client.post("/shop", data={"name": "x" * 2_000_000})
    assert answer.status_code == 413
    assert "larger than this page takes" in page_of(answer)


@pytest.mark.parametrize(
    "chapter", ["start", "looms", "cloth", "rates", "quote", "sure", "formulas", "file", "cautions", "backup"]
)
def test_every_chapter_of_the_guide_opens(owner, chapter):
    assert owner.get(f"/guide/{chapter}").status_code == 200


def test_the_guide_names_all_that_a_described_rug_may_hold(owner, page_of):
    html = page_of(owner.get("/guide/file")).split('id="left-out"')[0]
    tables = re.split(r"<caption><code>\[+", html)
    told = {part.split("]")[0]: set(re.findall(r"<code>(\w+)</code>", part)) for part in tables[1:]}
    top = set(KEYS[""]) - set(told) - {"measured", "guessed"}
    assert not top
    assert "“measured”" in html
    assert told == {name: set(keys) for name, keys in KEYS.items() if name}


def test_the_guide_names_all_that_a_described_cutting_plan_may_hold(owner, page_of):
    tables = re.split(r"<caption><code>\[+", page_of(owner.get("/guide/plan")))
    told = {part.split("]")[0]: set(re.findall(r"<code>(\w+)</code>", part)) for part in tables[1:]}
    assert told == {name: set(keys) for name, keys in PLAN_KEYS.items() if name not in ("", "shop")}


def test_the_guide_tells_what_is_taken_for_everything_that_may_be_guessed(owner, page_of):
    html = page_of(owner.get("/guide/file")).split('id="left-out"')[1]
    told = set(re.findall(r"<code>([\w.]+)</code></th>", html))
    for kind in ("frame", "shaft", "plank"):
        for rule in ({}, {"trade_markup": 0.5}):
            plan = plan_of({"loom": {"kind": kind}, "price": rule})
            assert set(plan.assumed) - {"rug.width", "rug.length", "price.trade_markup"} <= told


def test_an_unknown_chapter_is_not_there(owner):
    assert owner.get("/guide/../../etc").status_code == 404


def test_a_swedish_shop_speaks_swedish(app, open_shop, page_of):
    open_shop(locale="sv_SE", units="metric", currency="SEK")
    browser = app.test_client()
    html = page_of(browser.get("/sign-in"))
    assert '<html lang="sv">' in html
    assert "Logga in" in html
