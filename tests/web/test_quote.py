"""The quote page, the list of quotes, and their papers, as a weaver at a browser meets them."""

import html
import re
from decimal import Decimal

import pytest

from shop.core.loom import FrameLoom, Sett, ShaftLoom
from shop.core.measure import Length
from shop.core.money import Money
from shop.usecases import haul, loom, quote, rates
from shop.usecases.given import fresh_token
from shop.usecases.rates import RatesGiven
from shop.web.quote import number_of
from shop.web.shell import speak_as
from shop.words import Words

RUG = {
    "width": "25 in", "length": "37 1/2 in", "size": "", "tool": "rotary", "way": "along", "joins": "overlap",
    "new_kind": "sheeting", "new_colour": "#7d8a99",
}  # fmt: skip


@pytest.fixture
def looms(sqlite_store, now):
    """A frame and a shaft loom; their numbers."""
    frame = loom.LoomGiven(loom=FrameLoom(name="Kitchen frame", bar_places=(Length.of(30, "in"),)))
    shaft = loom.LoomGiven(loom=ShaftLoom(name="Big loom", sett=Sett(Decimal(8), "in")), yarn="8/4")
    keep = [loom.keep(sqlite_store, loom=one, saving=fresh_token(), now=now) for one in (frame, shaft)]
    return tuple(card.id for card in keep)


@pytest.fixture
def sheets(sqlite_store, now):
    """Three sheets brought home, their prices their costs."""
    pieces = tuple(
        haul.PieceGiven(
            name=name, colour=colour, cloth="sheeting", width=Length.of(80, "in"), length=Length.of(95, "in"),
            paid=Money(500, "USD"), ready=True,
        )
        for name, colour in (("Blue sheet", "#2b3d6e"), ("Madder sheet", "#97291d"), ("Striped <b>sheet</b>", "#d8c9a8"))
    )  # fmt: skip
    haul.bring_home(
        sqlite_store,
        haul=haul.HaulGiven(place="Harrow Thrift", on=now.date(), pieces=pieces),
        saving=fresh_token(),
        now=now,
    )
    return pieces


def text_of(response):
    """What the page says, without its tags."""
    page = response.get_data(as_text=True)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", page)))


def test_a_new_shop_sees_a_rug_to_begin_with_and_that_it_rests_on_guesses(owner):
    said = text_of(owner.get("/quotes/new"))
    assert "2 ft 1 in × 3 ft 1 1/2 in" in said
    assert "starting guess" in said
    assert "An hour earns" in said


def test_the_loom_that_cannot_make_it_says_what_it_can(owner, looms):
    said = text_of(owner.press("/quotes/new", act="reckon", **{**RUG, "width": "30 in", "length": "4 ft"}))
    assert "This loom cannot make a rug 48 in long" in said
    assert "Makes it in one piece." in said


def test_a_loom_chosen_against_its_nature_is_refused_beside_the_length(owner, looms):
    answer = owner.press("/quotes/new", act="save", loom=str(looms[0]), **{**RUG, "length": "60 in"})
    assert answer.status_code == 422
    page = answer.get_data(as_text=True)
    assert 'value="60 in"' in page
    assert 'aria-describedby="length-wrong"' in page
    assert "An hour earns <b" not in page


def test_chosen_cloths_share_the_rug_and_its_cost_comes_from_what_was_paid(owner, looms, sheets):
    said = text_of(
        owner.press("/quotes/new", act="reckon", piece=["1", "2"], repeats="3", **{**RUG, "share-1": "2"})
    )
    assert "in 6 bands" in owner.press(
        "/quotes/new", act="reckon", piece=["1", "2"], repeats="3", **RUG
    ).get_data(as_text=True)
    assert "enough in hand" in said
    assert "Blue sheet" in said


def test_names_are_shown_as_typed_and_never_as_markup(owner, looms, sheets):
    page = owner.press("/quotes/new", act="reckon", piece="3", **RUG).get_data(as_text=True)
    assert "Striped &lt;b&gt;sheet" in page
    assert "Striped <b>" not in page


def test_saving_keeps_the_quote_and_its_page_shows_what_was_saved(owner, looms, sheets, sqlite_store):
    answer = owner.press(
        "/quotes/new",
        act="save",
        piece="1",
        loom=str(looms[0]),
        customer_name="Ines Okafor",
        title="Hall rug",
        **RUG,
    )
    assert answer.status_code == 303
    address = answer.headers["Location"]
    said = text_of(owner.get(address))
    assert "Quote 1 is saved as a draft." in said
    kept = quote.open_quote(sqlite_store, number=1)
    assert kept.customer_name == "Ines Okafor"
    assert kept.figures["warp"]["passes"] == 50
    assert kept.figures["price"]["asking"] == kept.asking.plain()


def test_the_same_press_twice_saves_once(owner, looms, sqlite_store):
    hidden = owner.hidden("/quotes/new")
    for _ in range(2):
        answer = owner.client.post("/quotes/new", data={**hidden, **RUG, "act": "save"})
        assert answer.headers["Location"].endswith("/quotes/1")
    assert len(quote.quotes(sqlite_store).quotes) == 1


def test_a_quote_saved_elsewhere_meanwhile_is_not_overwritten(owner, looms, sqlite_store):
    owner.press("/quotes/new", act="save", title="First", **RUG)
    old = owner.hidden("/quotes/1")
    owner.press("/quotes/1", act="save", title="Second", **RUG)
    answer = owner.client.post("/quotes/1", data={**old, **RUG, "act": "save", "title": "Third"})
    assert answer.status_code == 422
    assert 'value="Third"' in answer.get_data(as_text=True)
    assert quote.open_quote(sqlite_store, number=1).title == "Second"


def test_figures_stay_as_saved_when_the_shop_moves_on_and_reckoning_anew_shows_today(
    owner, looms, sheets, sqlite_store, now
):
    owner.press("/quotes/new", act="save", piece="1", loom=str(looms[0]), **RUG)
    before = quote.open_quote(sqlite_store, number=1).asking
    card = loom.loom(sqlite_store, loom_id=looms[0])
    changed = loom.LoomGiven(
        loom=FrameLoom(name="Kitchen frame", bar_places=card.loom.bar_places), packing=Decimal(9)
    )
    loom.keep(
        sqlite_store, loom=changed, loom_id=card.id, revision=card.revision, saving=fresh_token(), now=now
    )
    said = text_of(owner.get("/quotes/1"))
    assert "have changed since this was saved" in said
    assert f"${before.plain()}" in said
    anew = text_of(owner.press("/quotes/1", act="reckon", piece="1", loom=str(looms[0]), **RUG))
    assert f"Asking price ${before.plain()}" not in anew


def test_a_name_corrected_leaves_the_price_as_it_was_saved(owner, looms, sheets, sqlite_store, now):
    owner.press("/quotes/new", act="save", piece="1", loom=str(looms[0]), customer_name="Inez", **RUG)
    before = quote.open_quote(sqlite_store, number=1)
    rates.change(
        sqlite_store, rates=RatesGiven(wage=Money(99_00, "USD")), revision=0, saving=fresh_token(), now=now
    )
    loom.put_away(sqlite_store, loom_id=looms[0])
    page = owner.get("/quotes/1").get_data(as_text=True)
    assert "Kitchen frame" in page
    typed = {"piece": "1", "loom": str(looms[0]), "repeats": "1", "rugs_on_warp": "1"}
    typed |= {"new_width": "81 in", "new_length": "96 in", "new_share": "1"}
    answer = owner.press("/quotes/1", act="save", customer_name="Ines", **{**RUG, **typed})
    assert answer.status_code == 303
    after = quote.open_quote(sqlite_store, number=1)
    assert after.customer_name == "Ines"
    assert (after.total, after.figures, after.described) == (before.total, before.figures, before.described)


def test_a_price_that_changes_with_a_save_is_told(owner, looms, sheets, sqlite_store, now):
    owner.press("/quotes/new", act="save", piece="1", loom=str(looms[0]), **RUG)
    before = quote.open_quote(sqlite_store, number=1).total
    rates.change(
        sqlite_store, rates=RatesGiven(wage=Money(99_00, "USD")), revision=0, saving=fresh_token(), now=now
    )
    anew = owner.press("/quotes/1", act="reckon", piece="1", loom=str(looms[0]), **RUG)
    hidden = dict(
        re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', anew.get_data(as_text=True))
    )
    assert hidden["anew"] == "yes"
    data = {**hidden, **RUG, "act": "save", "piece": "1", "loom": str(looms[0])}
    answer = owner.client.post("/quotes/1", data=data)
    after = quote.open_quote(sqlite_store, number=1).total
    assert after != before
    said = text_of(owner.get(answer.headers["Location"]))
    assert f"it was ${before.plain()}" in said


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("width", "", "Please write a length"),
        ("width", "0", "A length of nothing will not do here"),
        ("width", "-3 in", "is less than nothing"),
        ("width", "5 parsecs", "no unit we know"),
        ("width", "2,5 m", "could be meant in two ways"),
        ("width", "900 km", "no unit we know"),
        ("width", "300 m", "can be at most"),
        ("width", "1 mm", "A rug must measure at least"),
        ("width", "🧶", "is not a length we can read"),
        ("width", "9" * 10_000, "too long to be read here"),
        ("length", "NaN", "is not a length we can read"),
        ("strip", "0 in", "A length of nothing will not do here"),
        ("strip", "3 m", "No strip"),
        ("repeats", "2.5", "whole number"),
        ("repeats", "1000000", "at most 100"),
        ("rows_counted", "Infinity", "is not a number we can read"),
        ("share", "1e400", "is not a percentage we can read"),
        ("set_price", "12.345", "cannot have so many decimals"),
        ("discount", "150", "at most 100%"),
        ("minutes_weave", "-5", "at least 0"),
        ("tool", "teeth", "is not one of the choices"),
        ("title", "x" * 10_000, "too long"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_kept(
    owner, looms, sheets, sqlite_store, field, typed, said
):
    answer = owner.press("/quotes/new", act="save", piece="1", **{**RUG, field: typed})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert quote.quotes(sqlite_store).quotes == ()
    if field != "tool":
        assert html.escape(typed[:200], quote=True) in answer.get_data(as_text=True)


def test_a_margin_of_all_of_the_price_is_explained(owner, looms):
    answer = owner.press("/quotes/new", act="reckon", price_by="margin", **{**RUG, "share": "100"})
    assert answer.status_code == 422
    assert "percentage" in text_of(answer) or "margin" in text_of(answer)


@pytest.mark.parametrize("gone", [{"loom": "77"}, {"piece": "99"}, {"piece": ["1", "12345678901234567"]}])
def test_what_the_shop_does_not_have_is_refused_and_not_replaced(owner, looms, sheets, sqlite_store, gone):
    answer = owner.press("/quotes/new", act="save", **{**RUG, **gone})
    assert answer.status_code == 422
    assert quote.quotes(sqlite_store).quotes == ()


def test_a_share_that_is_no_number_is_said_beside_its_piece(owner, looms, sheets):
    answer = owner.press("/quotes/new", act="reckon", piece="1", **{**RUG, "share-1": "lots"})
    assert answer.status_code == 422
    page = answer.get_data(as_text=True)
    assert 'value="lots"' in page
    assert 'id="share-1-wrong"' in page


def test_a_customary_size_needs_no_typing(owner, looms):
    said = text_of(
        owner.press("/quotes/new", act="reckon", **{**RUG, "width": "", "length": "", "size": "4"})
    )
    assert "3 ft × 5 ft" in said


def test_only_the_figures_are_sent_to_an_open_page(owner, looms):
    hidden = owner.hidden("/quotes/new")
    answer = owner.client.post("/quotes/reckon", data={**hidden, **RUG, "width": "20 in"})
    page = answer.get_data(as_text=True)
    assert answer.status_code == 200
    assert "<html" not in page
    assert 'id="comes-to"' in page
    assert "1 ft 8 in × 3 ft 1 1/2 in" in page
    assert 'id="loom-says-' in page


def test_every_figure_opens_to_its_formula_with_its_values(owner, looms):
    page = owner.get("/quotes/new").get_data(as_text=True)
    figures = re.findall(r'<summary><span class="figure-name">.*?</details>', page, re.DOTALL)
    assert len(figures) > 25
    for figure in figures:
        assert '<p class="formula">' in figure


def test_the_papers_print(owner, looms, sheets):
    owner.press("/quotes/new", act="save", piece=["1", "2"], customer_name="Ines", **RUG)
    for paper in ("quote.pdf", "cost-sheet.pdf"):
        answer = owner.get(f"/quotes/1/{paper}")
        assert answer.status_code == 200
        assert answer.mimetype == "application/pdf"
        assert answer.data.startswith(b"%PDF")
        assert "attachment" in owner.get(f"/quotes/1/{paper}?download=1").headers["Content-Disposition"]


def test_a_quote_like_another_begins_with_its_choices(owner, looms, sheets):
    owner.press("/quotes/new", act="save", piece="2", title="First", **{**RUG, "width": "20 in"})
    page = owner.get("/quotes/new?like=1").get_data(as_text=True)
    assert re.search(r'value="2" id="piece-2" checked', page)
    assert 'value="20 in"' in page
    assert "First" not in page


def test_unknown_quotes_are_not_found(owner):
    for address in ("/quotes/7", "/quotes/7/quote.pdf", "/quotes/new?like=7", "/quotes/99999999999999999999"):
        assert owner.get(address).status_code == 404


def test_the_list_finds_by_customer_rug_and_number(owner, looms):
    owner.press("/quotes/new", act="save", customer_name="Ines Okafor", title="Hall", **RUG)
    owner.press("/quotes/new", act="save", customer_name="Bo Lind", title="Bath mat", **RUG)
    said = text_of(owner.get("/quotes"))
    assert said.index("Bo Lind") < said.index("Ines Okafor")
    for words, found, other in (
        ("oka", "Ines Okafor", "Bo Lind"),
        ("MAT", "Bo Lind", "Ines"),
        ("1", "Ines", "Bo Lind"),
        (" quote  2 ", "Bo Lind", "Ines"),
    ):
        said = text_of(owner.get("/quotes", query_string={"find": words}))
        assert found in said
        assert other not in said
    assert "No quote here has" in text_of(owner.get("/quotes?find=zzz"))
    assert "No quote here has" in text_of(owner.get("/quotes/?find=Quote+999"))


def test_a_quote_is_found_by_what_it_is_called_in_the_shops_language(app):
    with app.test_request_context():
        speak_as(Words("sv_SE", "metric", "Europe/Stockholm", "SEK"))
        for find, number in (("Offert 3", "3"), ("offert 12", "12"), ("Quote 3", "3"), ("Offert", ""), ("3", "")):
            assert number_of(find) == number


def test_pages_ask_as_many_questions_of_a_full_shop_as_of_an_empty_one(
    owner, looms, sheets, sqlite_store, count_queries, now
):
    def asked(address):
        owner.get("/quotes/new")  # whatever was saved since is learned from once
        with count_queries(sqlite_store) as said:
            assert owner.get(address).status_code == 200
        return len(said)

    owner.press("/quotes/new", act="save", piece="1", title="First", **RUG)
    pages = ("/", "/quotes", "/quotes/new", "/quotes/1", "/quotes?find=first")
    before = [asked(page) for page in pages]
    for number in range(30):
        owner.press("/quotes/new", act="save", piece=["1", "2"], title=f"First {number}", **RUG)
    haul.bring_home(
        sqlite_store,
        haul=haul.HaulGiven(place="Elsewhere", on=now.date(), pieces=sheets * 10),
        saving=fresh_token(),
        now=now,
    )
    assert [asked(page) for page in pages] == before


def test_a_door_without_a_key_shows_no_quotes(visitor, open_shop):
    open_shop()
    for address in ("/quotes", "/quotes/new", "/quotes/1", "/quotes/1/quote.pdf"):
        assert visitor.get(address).status_code in (302, 303)
    assert visitor.client.post("/quotes/reckon", data=RUG).status_code in (302, 303, 400)
