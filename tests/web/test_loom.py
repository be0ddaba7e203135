"""The pages for looms: choosing a kind, keeping, changing, putting away, and every wrong entry told beside its field."""

from decimal import Decimal

import pytest

from shop.core.cloth import ClothKind
from shop.core.loom import FrameLoom, PlankLoom, Sett, ShaftLoom
from shop.core.measure import Length
from shop.usecases import loom
from shop.usecases.loom import LoomGiven
from shop.usecases.loom_sample import loom_sample, packing_counted, warp_on
from tests.builders import a_kept_loom, a_loom, a_plank, a_shaft_loom, inches

FRAME = {
    "name": "Porch frame",
    "pegs": "25",
    "spacing": "1 in",
    "length": "37 1/2 in",
    "bar_places": "30 in\n2 ft",
    "passes_per_peg": "2",
    "turn": "1",
    "tail": "10",
    "counted_cloth": "sheeting",
}
SHAFT = {
    "name": "Countermarch",
    "sett": "12.5",
    "sett_unit": "in",
    "width": "3 ft",
    "yarn": "8/4",
    "yarn_price": "14.50",
    "yarn_unit": "lb",
    "draw_in": "7",
    "take_up": "8 %",
    "relaxation": "5",
    "waste": "27",
    "selvedge_ends": "4",
    "hem": "3",
    "cut_space": "0",
    "strip": "1 in",
    "counted_cloth": "sheeting",
}
PLANK = {"name": "Plank", "pegs": "24", "spacing": "1", "knot": "6", "yarn_unit": "lb", "counted_cloth": "sheeting"}
TYPED = {"frame": FRAME, "shaft": SHAFT, "plank": PLANK}


def only(store):
    (card,) = loom.looms(store)
    return card


def field_of(html, name):
    """Everything from a field's own entry to the next label: its value, its hints, what is wrong with it."""
    return html.split(f'name="{name}"', 1)[1].split("<label", 1)[0]


def test_a_shop_without_looms_says_what_to_do(owner, page_of):
    html = page_of(owner.get("/looms", follow_redirects=True))
    assert "No loom stands here yet." in html
    assert 'href="/looms/new"' in html


def test_each_kind_is_explained_before_it_is_entered(owner, page_of):
    html = page_of(owner.get("/looms/new"))
    for kind in TYPED:
        assert f'href="/looms/new/{kind}"' in html
    assert html.count('<svg class="loom-drawing"') == 3


def test_an_unknown_kind_is_not_there(owner):
    assert owner.get("/looms/new/jacquard").status_code == 404
    assert owner.press("/looms/new/jacquard", page="/looms/new/frame").status_code == 404


def test_a_frame_is_kept(owner, sqlite_store):
    answer = owner.press("/looms/new/frame", **FRAME)
    assert (answer.status_code, answer.location) == (303, "/looms/")
    card = only(sqlite_store)
    assert card.loom == FrameLoom(name="Porch frame", bar_places=(inches(24), inches(30)))
    assert (card.yarn, card.packing, card.strip) == ("", None, None)


def test_a_shaft_loom_is_kept_with_its_yarn(owner, sqlite_store):
    assert owner.press("/looms/new/shaft", **SHAFT).status_code == 303
    card = only(sqlite_store)
    assert card.loom == ShaftLoom(name="Countermarch", sett=Sett(Decimal("12.5"), "in"))
    assert (card.yarn, card.yarn_price.amount, card.yarn_price.unit) == ("8/4", Decimal("14.50"), "lb")
    assert card.strip == inches(1)


def test_a_plank_is_kept(owner, sqlite_store):
    assert owner.press("/looms/new/plank", **PLANK).status_code == 303
    assert only(sqlite_store).loom == PlankLoom(name="Plank")


@pytest.mark.parametrize("kind", TYPED)
def test_a_kept_loom_is_shown_as_it_was_typed_and_kept_again_unchanged(owner, sqlite_store, page_of, kind):
    owner.press(f"/looms/new/{kind}", **TYPED[kind])
    before = only(sqlite_store)
    address = f"/looms/{before.id}"
    html = page_of(owner.get(address))
    assert TYPED[kind]["name"] in html
    assert owner.press(address, **TYPED[kind]).status_code == 303
    after = only(sqlite_store)
    assert (after.loom, after.yarn, after.strip) == (before.loom, before.yarn, before.strip)
    assert after.revision == before.revision + 1


@pytest.mark.parametrize("kind", TYPED)
def test_a_new_loom_shows_its_guesses_marked_and_leaves_its_own_measures_empty(owner, page_of, kind):
    html = page_of(owner.get(f"/looms/new/{kind}"))
    assert 'class="basis guess"' in html
    for name in ("width",) if kind == "shaft" else ("pegs", "spacing"):
        assert 'value=""' in field_of(html, name)


def test_rows_counted_say_how_tightly_the_loom_packs(owner, sqlite_store, page_of):
    """Two-inch strips of sheeting on a frame beat down to two rows an inch: k is about 6.5."""
    owner.press("/looms/new/frame", **FRAME, counted_rows="2", counted_strip="2 in")
    card = only(sqlite_store)
    assert card.packing == packing_counted(Decimal(2), inches(2), ClothKind.SHEETING)
    assert abs(card.packing - Decimal("6.5")) < Decimal("0.05")
    assert "measured" in page_of(owner.get("/looms/"))


def test_a_count_without_its_strip_is_asked_for(owner, sqlite_store, page_of):
    answer = owner.press("/looms/new/frame", **FRAME, counted_rows="2")
    assert answer.status_code == 422
    assert "Please write a length" in field_of(page_of(answer), "counted_strip")
    assert loom.looms(sqlite_store) == ()


def test_looking_keeps_nothing_and_shows_what_it_comes_to(owner, sqlite_store, page_of):
    answer = owner.press("/looms/new/frame", **FRAME, act="look")
    html = page_of(answer)
    assert answer.status_code == 200
    assert loom.looms(sqlite_store) == ()
    for told in ("2 ft 1 in", "12 pegs on each end", "24 strips up and down", 'value="Porch frame"'):
        assert told in html


def test_what_it_comes_to_is_the_arithmetic_s_own(owner, page_of):
    html = page_of(owner.press("/looms/new/shaft", **SHAFT, act="look"))
    given = LoomGiven(loom=a_shaft_loom(), yarn="8/4")
    sample = loom_sample(given, units="imperial", currency="USD")
    assert f"{sample.warp.ends} ends of" in html
    assert sample.warp == warp_on(given.loom, sample.made)


@pytest.mark.parametrize(
    ("kind", "name", "typed", "sentence"),
    [
        ("frame", "name", "", "Please fill this in."),
        ("frame", "name", "🧶" * 10_000, "use at most 120 characters"),
        ("frame", "pegs", "", "Please write a number."),
        ("frame", "pegs", "0", "This must be at least 1."),
        ("frame", "pegs", "-3", "This must be at least 1."),
        ("frame", "pegs", "1000000", "This must be at most 1,000."),
        ("frame", "pegs", "2.5", "This must be a whole number."),
        ("frame", "pegs", "NaN", "is not a number we can read"),
        ("frame", "pegs", "🧶", "is not a number we can read"),
        ("frame", "pegs", "9" * 10_000, "use at most 40 characters"),
        ("frame", "spacing", "0", "A length of nothing will not do here."),
        ("frame", "spacing", "1 mm", "This must be at least 1/8 in."),
        ("frame", "spacing", "5 parsecs", "is no unit we know"),
        ("frame", "spacing", "1,5 in", "could be meant in two ways"),
        ("frame", "spacing", "2 lb", "is no unit we know"),
        ("frame", "length", "-37 in", "is less than nothing"),
        ("frame", "length", "500 m", "This must be at most"),
        ("frame", "length", "99999999 yd", "longer than anything woven here"),
        ("frame", "bar_places", "30 in\nthree feet", "is not a length we can read"),
        ("frame", "bar_places", "0 in", "A length of nothing will not do here."),
        ("frame", "bar_places", "1 in\n" * 60, "A bar can have at most 50 places."),
        ("frame", "passes_per_peg", "0", "This must be at least 1."),
        ("frame", "packing", "0", "This must be at least 0.2."),
        ("frame", "weft_take_up", "0.5", "This must be at least 1."),
        ("frame", "weft_take_up", "1,5", "could be meant in two ways"),
        ("frame", "strip", "2 m", "This must be at most"),
        ("frame", "counted_rows", "0", "This must be at least 0.05."),
        ("frame", "counted_cloth", "silk", "is not one of the choices"),
        ("shaft", "sett", "0", "This must be at least 0.1."),
        ("shaft", "sett", "0.5", "is outside 1 to 100 ends to the inch"),
        ("shaft", "sett", "twelve", "is not a number we can read"),
        ("shaft", "sett_unit", "ell", "is not one of the choices"),
        ("shaft", "width", "", "Please write a length"),
        ("shaft", "width", "50 m", "This must be at most"),
        ("shaft", "draw_in", "100", "This must be at most 50%."),
        ("shaft", "draw_in", "-1", "This must be at least 0%."),
        ("shaft", "take_up", "a little", "is not a percentage we can read"),
        ("shaft", "yarn", "8/0", "is not a yarn we can read"),
        ("shaft", "yarn", "cotton", "is not a yarn we can read"),
        ("shaft", "yarn", "1 tex", "is finer or thicker than any warp yarn we know"),
        ("shaft", "yarn_price", "-1", "is less than nothing"),
        ("shaft", "yarn_price", "14.505", "cannot have so many decimals"),
        ("shaft", "yarn_unit", "stone", "is not one of the choices"),
        ("shaft", "selvedge_ends", "101", "This must be at most 100."),
        ("shaft", "waste", "30 m", "This must be at most"),
        ("plank", "pegs", "1e400", "is not a number we can read"),
        ("plank", "knot", "3 m", "This must be at most"),
    ],
)
def test_a_wrong_entry_is_told_beside_its_field_and_keeps_nothing(
    owner, sqlite_store, page_of, kind, name, typed, sentence
):
    answer = owner.press(f"/looms/new/{kind}", **{**TYPED[kind], name: typed})
    html = page_of(answer)
    assert answer.status_code == 422
    assert sentence in field_of(html, name)
    assert 'aria-invalid="true"' in html
    assert "Nothing has been changed yet." in html
    if name != "name":
        assert f'value="{TYPED[kind]["name"]}"' in html
    if typed and not name.endswith(("_unit", "_cloth")):
        assert typed.splitlines()[0] in html
    assert loom.looms(sqlite_store) == ()


def test_every_mistake_is_told_at_once(owner, page_of):
    html = page_of(owner.press("/looms/new/frame", **{**FRAME, "pegs": "0", "length": "x", "turn": "-1 in"}))
    assert "3 things need another look" in html


def test_the_same_press_twice_is_one_loom(owner, sqlite_store):
    hidden = owner.hidden("/looms/new/frame")
    for _ in range(2):
        assert owner.client.post("/looms/new/frame", data={**hidden, **FRAME}).status_code == 303
    assert only(sqlite_store).revision == 1


def test_two_looms_of_one_name_are_refused_beside_the_name(owner, sqlite_store, page_of):
    owner.press("/looms/new/frame", **FRAME)
    answer = owner.press("/looms/new/plank", **{**PLANK, "name": " porch FRAME "})
    assert answer.status_code == 422
    assert "There is a loom called" in field_of(page_of(answer), "name")
    assert len(loom.looms(sqlite_store)) == 1


def test_a_change_seen_by_nobody_is_not_overwritten(owner, sqlite_store, page_of):
    owner.press("/looms/new/frame", **FRAME)
    address = f"/looms/{only(sqlite_store).id}"
    stale = owner.hidden(address)
    owner.press(address, **{**FRAME, "pegs": "30"})
    answer = owner.client.post(address, data={**stale, **FRAME, "pegs": "20"})
    assert answer.status_code == 422
    assert "This loom was changed in another window" in page_of(answer)
    assert 'value="20"' in field_of(page_of(answer), "pegs")
    assert only(sqlite_store).loom.pegs == 30


def test_a_loom_is_put_away_and_taken_out_again(owner, sqlite_store, now, page_of):
    card = a_kept_loom(sqlite_store, now, a_loom(a_plank()))
    for _ in range(2):
        assert owner.press(f"/looms/{card.id}/put-away", page=f"/looms/{card.id}").status_code == 303
    assert loom.looms(sqlite_store) == ()
    assert "Put away" in page_of(owner.get("/looms/"))
    assert "This loom is put away" in page_of(owner.get(f"/looms/{card.id}"))
    assert owner.press(f"/looms/{card.id}/take-out", page="/looms/").status_code == 303
    assert only(sqlite_store).id == card.id


def test_putting_away_needs_a_press(owner, sqlite_store, now):
    card = a_kept_loom(sqlite_store, now)
    assert owner.get(f"/looms/{card.id}/put-away").status_code == 405
    assert owner.client.post(f"/looms/{card.id}/put-away").status_code == 400
    assert only(sqlite_store).id == card.id


def test_a_loom_whose_name_is_taken_stays_put_away(owner, sqlite_store, now, page_of):
    card = a_kept_loom(sqlite_store, now)
    loom.put_away(sqlite_store, loom_id=card.id)
    a_kept_loom(sqlite_store, now)
    answer = owner.press(f"/looms/{card.id}/take-out", page="/looms/")
    assert answer.status_code == 409
    assert "There is a loom called Peg frame already." in page_of(answer)


@pytest.mark.parametrize("number", ["999", "0", "9" * 30])
def test_a_loom_that_is_not_there_has_no_page(owner, number):
    assert owner.get(f"/looms/{number}").status_code == 404


def test_a_loom_too_small_for_any_rug_says_so(owner, page_of):
    html = page_of(owner.press("/looms/new/plank", **{**PLANK, "pegs": "1", "spacing": "1 in"}, act="look"))
    assert "A rug must measure at least 2 in." in html


def test_a_metric_shop_types_and_reads_centimetres(visitor, open_shop, sqlite_store, page_of):
    open_shop(locale="sv_SE", units="metric", currency="SEK")
    visitor.sign_in()
    typed = {**SHAFT, "sett": "2,5", "sett_unit": "cm", "width": "1,2 m", "yarn_price": "120,50", "yarn_unit": "kg",
             "waste": "60", "hem": "8", "strip": "2,5 cm", "draw_in": "7,5"}  # fmt: skip
    assert visitor.press("/looms/new/shaft", **typed).status_code == 303
    card = only(sqlite_store)
    assert card.loom.sett == Sett(Decimal("2.5"), "cm")
    assert card.loom.width == Length.of(120, "cm")
    assert card.loom.draw_in == 0.075
    html = page_of(visitor.get(f"/looms/{card.id}"))
    for told in ('value="2,5"', 'value="7,5"', 'value="120,50"'):
        assert told in html



def test_a_metric_shop_is_offered_round_metric_guesses(visitor, open_shop, page_of):
    open_shop(units="metric", currency="SEK", locale="sv_SE")
    visitor.sign_in()
    html = page_of(visitor.get("/looms/new/shaft"))
    assert 'value="70 cm"' in html
    assert 'value="8 cm"' in html
    assert "350,00\u00a0kr per kilo" in html
    assert "2,5 cm" in html
