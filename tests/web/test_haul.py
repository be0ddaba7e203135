"""The form by which cloth comes home: reads strictly, keeps what was typed, and changes nothing unless all is well."""

import re
from decimal import Decimal

import pytest

from shop.core.money import Money
from shop.usecases import haul
from tests.web.a_haul import NEW, a_haul_typed, a_piece_typed, nothing_is_home, said


@pytest.fixture
def inside(visitor, open_shop):
    """The owner's browser, signed in to a shop of the given manner."""

    def entered(**given):
        open_shop(**given)
        visitor.sign_in()
        return visitor

    return entered


@pytest.mark.parametrize(
    ("typed", "fibres"),
    [
        ({"fibres": ""}, ()),
        ({"fibres": "wool"}, (("wool", Decimal(1)),)),
        (
            {"fibres": "cotton", "mixed": "polyester", "mixed_share": "35"},
            (("cotton", Decimal("0.65")), ("polyester", Decimal("0.35"))),
        ),
    ],
)
def test_a_fibre_may_be_unknown_one_or_mixed(owner, sqlite_store, typed, fibres):
    owner.press(NEW, **a_haul_typed(**a_piece_typed(0, **typed)))
    home = haul.haul(sqlite_store, haul_id=1).pieces[0].fibres
    assert tuple((fibre.value, share) for fibre, share in home) == fibres


def test_more_places_keep_what_was_typed(owner, sqlite_store):
    typed = a_haul_typed(**{"haul-pieces-1-width": "5 parsecs"})
    text = said(owner.press(NEW, **typed, more="y"))
    assert "Piece 6" in text
    assert "Piece 7" not in text
    for kept in ('value="Rose sheet"', 'value="5 parsecs"', 'value="Jumble sale"'):
        assert kept in text
    assert re.search(r'<option value="twin" selected>', text)
    assert nothing_is_home(sqlite_store)
    again = said(owner.client.post(NEW, data={**owner.hidden(NEW), **typed, "haul-rows": "6", "more": "y"}))
    assert "Piece 9" in again


def test_a_page_has_so_many_places_and_no_more(owner):
    text = said(owner.press(NEW, **{**a_haul_typed(), "haul-rows": "60"}, more="y"))
    assert "Piece 60" in text
    assert "Piece 61" not in text
    assert 'name="more"' not in text


def test_a_place_left_empty_between_others_is_passed_over(owner, sqlite_store):
    typed = a_haul_typed(**a_piece_typed(2, name="Third", paid="0"))
    typed = {key: text for key, text in typed.items() if "pieces-1-" not in key}
    assert owner.press(NEW, **typed).status_code == 303
    assert [p.name for p in haul.haul(sqlite_store, haul_id=1).pieces] == ["Rose sheet", "Third"]


def test_a_problem_found_late_still_stands_beside_its_own_piece(owner, sqlite_store):
    """The third place is the second piece of the haul: the problem is shown at the third."""
    typed = a_haul_typed(**{"haul-spread_by": "weight"}, **a_piece_typed(2, name="Unweighed", weight=""))
    typed["haul-pieces-0-weight"] = "1 lb"
    typed = {key: text for key, text in typed.items() if "pieces-1-" not in key}
    text = said(owner.press(NEW, **typed))
    assert re.search(r'id="haul-pieces-2-weight-wrong"><p>Please write a weight', text)
    assert '<a href="#haul-pieces-2-weight">Piece 3, Weight, if weighed: ' in text
    assert nothing_is_home(sqlite_store)


WRONG = {
    "no place": ({"haul-place": ""}, "Please fill this in."),
    "no day": ({"haul-on": ""}, "Please give a day."),
    "a day to come": ({"haul-on": "2999-01-01"}, "That day is still to come."),
    "a day in words": ({"haul-on": "last week"}, "“last week” is not a day we can read."),
    "a discount beyond the prices": (
        {"haul-discount": "12"},
        "The discount is larger than what the pieces cost.",
    ),
    "less than nothing": ({"haul-tax": "-1"}, "“-1” is less than nothing."),
    "half a cent": ({"haul-tax": "1.005"}, "An amount in USD cannot have so many decimals."),
    "a fortune": ({"haul-trip": "9" * 20}, "That is more money than this can hold."),
    "a wrong decimal mark": ({"haul-pieces-0-paid": "3,5"}, "“3,5” could be meant in two ways."),
    "no price": ({"haul-pieces-0-paid": ""}, "Please write an amount, like 12.50."),
    "no name": ({"haul-pieces-0-name": ""}, "Please fill this in."),
    "no size": ({"haul-pieces-1-width": "", "haul-pieces-1-length": ""}, "Please write a length"),
    "no length": ({"haul-pieces-1-length": ""}, "Please write a length"),
    "no width to speak of": ({"haul-pieces-1-width": "0"}, "A length of nothing will not do here."),
    "a negative width": ({"haul-pieces-1-width": "-5 in"}, "“-5 in” is less than nothing."),
    "an absurd width": ({"haul-pieces-1-width": "1000000 ft"}, "is longer than anything woven here."),
    "a long width": ({"haul-pieces-1-width": "400 ft"}, "This must be at most "),
    "a thread": ({"haul-pieces-1-width": "1 mm"}, "This must be at least 3/8 in."),
    "a unit of the stars": ({"haul-pieces-1-width": "5 parsecs"}, "“parsecs” is no unit we know."),
    "a weight in yards": ({"haul-pieces-1-weight": "2 yd"}, "“yd” is no unit we know."),
    "no weight at all": ({"haul-pieces-1-weight": "0 lb"}, "A weight of nothing will not do here."),
    "a ton": ({"haul-pieces-1-weight": "2000 kg"}, "This must be at most "),
    "a colour by name": ({"haul-pieces-1-colour": "blue"}, "“blue” is not a colour we can read."),
    "none alike": ({"haul-pieces-1-count": "0"}, "This must be at least 1."),
    "too many alike": ({"haul-pieces-1-count": "51"}, "This must be at most 50."),
    "half a piece": ({"haul-pieces-1-count": "1.5"}, "This must be a whole number."),
    "a size unheard of": ({"haul-pieces-0-sheet": "emperor"}, "“emperor” is not one of the choices."),
    "a fibre unheard of": ({"haul-pieces-0-fibres": "asbestos"}, "“asbestos” is not one of the choices."),
    "a fibre twice": (
        {"haul-pieces-0-fibres": "wool", "haul-pieces-0-mixed": "wool", "haul-pieces-0-mixed_share": "50"},
        "A fibre is named twice.",
    ),
    "mixed with what": ({"haul-pieces-0-mixed": "wool"}, "Please choose one."),
    "all of it mixed": (
        {"haul-pieces-0-fibres": "wool", "haul-pieces-0-mixed_share": "100"},
        "This must be at most 99%.",
    ),
    "ten thousand letters": ({"haul-pieces-1-name": "🧶" * 10_000}, "use at most 120 characters."),
    "a long place": ({"haul-place": "x" * 10_000}, "use at most 120 characters."),
    "spread by whim": ({"haul-spread_by": "whim"}, "“whim” is not one of the choices."),
}


@pytest.mark.parametrize(("wrong", "sentence"), WRONG.values(), ids=WRONG)
def test_a_wrong_entry_brings_nothing_home_and_is_kept(owner, sqlite_store, wrong, sentence):
    answer = owner.press(NEW, **a_haul_typed(**wrong))
    assert answer.status_code == 422
    text = said(answer)
    assert sentence in text
    assert 'class="mistakes"' in text
    assert 'aria-invalid="true"' in text
    assert 'value="Rose sheet"' in text or wrong.get("haul-pieces-0-name") == ""
    for name, typed in wrong.items():
        if typed and "colour" not in name and not name.endswith(("sheet", "fibres", "mixed", "spread_by")):
            assert f'value="{typed}"' in text
    assert nothing_is_home(sqlite_store)


def test_a_haul_of_nothing_is_refused(owner, sqlite_store):
    typed = {key: text for key, text in a_haul_typed(**{"haul-discount": ""}).items() if "pieces" not in key}
    answer = owner.press(NEW, **typed)
    assert answer.status_code == 422
    assert "A haul needs at least one piece of cloth." in said(answer)
    assert nothing_is_home(sqlite_store)


@pytest.mark.parametrize("rows", ["", "0", "-1", "²", "9" * 5000, "many", "1e3", "999"])
def test_a_count_of_places_that_is_nonsense_breaks_nothing(owner, rows):
    answer = owner.press(NEW, **{**a_haul_typed(**{"haul-place": ""}), "haul-rows": rows})
    assert answer.status_code == 422
    assert 'value="Rose sheet"' in said(answer)


@pytest.mark.parametrize(
    ("currency", "typed", "minor"), [("JPY", "300", 300), ("KWD", "1.275", 1275), ("USD", "0", 0)]
)
def test_money_has_the_decimals_of_its_currency(inside, sqlite_store, currency, typed, minor):
    browser = inside(currency=currency)
    sent = a_haul_typed(**{"haul-tax": "", "haul-trip": "", "haul-discount": ""})
    browser.press(NEW, **{**sent, "haul-pieces-0-paid": typed, "haul-pieces-1-paid": "1"})
    home = haul.haul(sqlite_store, haul_id=1)
    assert home.pieces[0].cost == Money(minor, currency)
    assert browser.get("/cloth").status_code == 200


@pytest.mark.parametrize(("currency", "typed"), [("JPY", "300.5"), ("KWD", "1.2755")])
def test_finer_than_the_smallest_coin_is_refused(inside, sqlite_store, currency, typed):
    browser = inside(currency=currency)
    sent = {
        **a_haul_typed(**{"haul-tax": "", "haul-trip": "", "haul-discount": ""}),
        "haul-pieces-1-paid": "1",
    }
    answer = browser.press(NEW, **{**sent, "haul-pieces-0-paid": typed})
    assert f"An amount in {currency} cannot have so many decimals." in said(answer)
    assert nothing_is_home(sqlite_store)


def test_a_swedish_shop_types_and_reads_its_own_way(inside, sqlite_store):
    browser = inside(locale="sv_SE", units="metric", currency="SEK")
    sent = a_haul_typed(**{"haul-tax": "", "haul-trip": "", "haul-discount": "1,50"})
    sent.update({"haul-pieces-0-paid": "12,50", "haul-pieces-1-paid": "1", "haul-pieces-1-width": "1,5 m"})
    assert browser.press(NEW, **sent).status_code == 303
    assert haul.haul(sqlite_store, haul_id=1).pieces[1].width.metres == 1.5
    text = said(browser.get("/cloth"))
    assert 'value="5 cm"' in text
    assert "\xa0kr" in text
