"""The page of the labels: what is chosen, what it says of the sheet and of the phone, and the PDF that it makes."""

import io
import re
from decimal import Decimal

import pytest
from pypdf import PdfReader

from shop.assemble import application
from shop.settings import read_settings
from shop.usecases import piece
from shop.usecases.given import fresh_token
from shop.web.labels import only_this_machine
from shop.words import Words
from tests.builders import a_blanket, a_cone, a_haul_at_home, a_sheet
from tests.paper.a_paper import text_of
from tests.web.a_haul import said
from tests.web.conftest import Visitor

PAGE, PDF = "/cloth/labels", "/cloth/labels/labels.pdf"


def numbers_in(text):
    """What stands in the field of the numbers."""
    return re.search(r'name="numbers"[^>]*value="([^"]*)"', text)[1]


def sheet_in(text):
    """The key of the sheet that is chosen."""
    return re.search(r'<option value="([^"]+)" selected>', text)[1]


def opened_by(pdf):
    """What the codes of a PDF open, as they tell those who do not see them."""
    found = []

    def walk(node):
        node = node.get_object() if hasattr(node, "get_object") else node
        for child in node if isinstance(node, list) else ():
            walk(child)
        if isinstance(node, dict):
            if "/Alt" in node:
                found.append(str(node["/Alt"]).removeprefix("Code that opens "))
            if "/S" in node and "/K" in node:
                walk(node["/K"])

    walk(PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/StructTreeRoot"]["/K"])
    return found


@pytest.fixture
def at_home(owner, sqlite_store, now):
    """An American shop with two hauls: three sheets, and a blanket that is ready."""
    a_haul_at_home(sqlite_store, now, a_sheet(count=3))
    a_haul_at_home(sqlite_store, now, a_blanket(ready=True), place="Barn sale")
    return owner


@pytest.fixture
def set_address(tmp_path, sqlite_store, owner):
    """Opens the shop again, with the address that phones are told."""

    def opened(address):
        settings = read_settings({"THRIFTLOOM_PUBLIC_ADDRESS": address}, instance=tmp_path / "studio")
        inside = Visitor(application(settings, sqlite_store))
        inside.sign_in()
        return inside

    return opened


def test_an_empty_shop_has_nothing_to_label(owner):
    answer = owner.get(PAGE)
    assert answer.status_code == 200
    assert "nothing to label yet" in said(answer)


def test_without_a_choice_it_is_the_newest_in_hand(at_home, sqlite_store, now):
    piece.give_away(sqlite_store, number=2, saving=fresh_token(), now=now)
    text = said(at_home.get(PAGE))
    assert numbers_in(text) == "1, 3-4"
    assert "3 labels, 1 sheet" in text
    assert "The next time begin at label 4 of the last sheet." in text


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        ("haul=1", "1-3"),
        ("haul=2", "4"),
        ("piece=4&piece=1", "4, 1"),
        ("numbers=1-2,%204", "1-2, 4"),
        ("show=to-wash", "1-3"),
        ("haul=x", "1-4"),
    ],
)
def test_pieces_are_chosen_by_haul_by_number_or_by_what_waits(at_home, query, numbers):
    answer = at_home.get(f"{PAGE}?{query}")
    assert answer.status_code == 200
    assert numbers_in(said(answer)) == numbers
    assert at_home.get(f"{PDF}?{query}").mimetype == "application/pdf"


def test_a_haul_that_is_not_there_is_not_there(at_home):
    assert at_home.get(f"{PAGE}?haul=99").status_code == 404
    assert at_home.get(f"{PDF}?haul=99").status_code == 404


def test_the_labels_come_as_a_pdf_with_what_each_piece_is(at_home):
    answer = at_home.get(f"{PDF}?haul=1&sheet=letter-10&begin=9")
    assert answer.mimetype == "application/pdf"
    assert answer.headers["Content-Disposition"] == 'inline; filename="labels.pdf"'
    assert len(PdfReader(io.BytesIO(answer.data)).pages) == 2
    text = text_of(answer.data)
    for part in ("Blue striped sheet", "81 in × 96 in", "Cotton", "To wash"):
        assert text.count(part) == 3, part
    blanket = text_of(at_home.get(f"{PDF}?piece=4").data)
    assert "fibre not known" in blanket
    assert "To wash" not in blanket


def test_a_cone_says_its_yarn_and_a_piece_where_it_is_kept(owner, sqlite_store, now):
    mixed = (("cotton", Decimal("0.6")), ("polyester", Decimal("0.4")))
    home = a_haul_at_home(sqlite_store, now, a_cone(kept="Yarn box"), a_sheet(fibres=mixed, kept="Top shelf"))
    cone, sheet = home.pieces
    text = text_of(owner.get(f"{PDF}?haul={home.id}&sheet=letter-6").data)
    words = Words()
    assert f"Warp yarn {cone.yarn}" in text
    assert f"{words.weight(cone.weight)} · {words.strip_length(cone.length.metres)}" in text
    assert "Yarn box" in text
    assert "Cotton 60%, Polyester 40%" in text
    assert "Top shelf" in text
    assert numbers_in(said(owner.get(f"{PAGE}?haul={home.id}"))) == f"{cone.number}-{sheet.number}"


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("numbers=", "Say which pieces"),
        ("numbers=seven", "“seven” is not the number of a piece."),
        ("numbers=1-9", "There is no piece 5-9 here."),
        ("numbers=1-999", "At most 300 labels"),
        ("piece=x", "“x” is not the number of a piece."),
        ("numbers=1&begin=31", "This must be at most 30."),
        ("numbers=1&begin=25&sheet=a4-24", "This must be at most 24."),
        ("numbers=1&begin=0", "This must be at least 1."),
        ("numbers=1&begin=1.5", "whole number"),
        ("numbers=1&sheet=nonsense", "is not one of the choices"),
    ],
)
@pytest.mark.parametrize("address", [PAGE, PDF])
def test_what_cannot_be_printed_is_said_beside_its_field(at_home, address, query, sentence):
    answer = at_home.get(f"{address}?{query}")
    text = said(answer)
    assert answer.status_code == 422
    assert answer.mimetype == "text/html"
    assert sentence in text
    assert "label-sheet" not in text
    assert 'aria-invalid="true"' in text


def test_everything_wrong_is_said_at_once_and_what_was_typed_is_kept(at_home):
    text = said(at_home.get(f"{PDF}?numbers=x%3Cb%3E&begin=99&sheet=a4-8"))
    assert "“x<b>” is not the number of a piece." in text
    assert "This must be at most 8." in text
    assert 'value="99"' in text
    assert sheet_in(text) == "a4-8"
    assert b"<b>" not in at_home.get(f"{PDF}?numbers=x%3Cb%3E").data


@pytest.mark.parametrize(
    "query", ["numbers=%00", "begin=%F0%9F%A7%B6", "sheet=%22", "piece=" + "9" * 5000, "haul=²"]
)
def test_nonsense_is_answered_with_a_page(at_home, query):
    assert at_home.get(f"{PAGE}?{query}").status_code in (200, 422)


def test_the_codes_open_the_address_that_is_set(set_address, at_home):
    studio = set_address("http://192.168.1.20:8000/")
    page_text = said(studio.get(f"{PAGE}?numbers=2"))
    assert "The first code opens http://192.168.1.20:8000/cloth/pieces/2/draw" in page_text
    assert "A phone could not open these codes." not in page_text
    assert opened_by(studio.get(f"{PDF}?numbers=2-3").data) == [
        "http://192.168.1.20:8000/cloth/pieces/2/draw",
        "http://192.168.1.20:8000/cloth/pieces/3/draw",
    ]


def test_without_it_they_open_the_address_that_the_page_was_reached_by(at_home):
    answer = at_home.get(f"{PDF}?numbers=2", base_url="http://loom.studio.example:8000")
    # Signing in again would be needed there: the cookie belongs to the other name.
    assert answer.status_code == 303
    local = said(at_home.get(f"{PAGE}?numbers=2"))
    assert "The first code opens http://localhost/cloth/pieces/2/draw" in local
    assert "A phone could not open these codes." in local
    assert "THRIFTLOOM_PUBLIC_ADDRESS" in local


def test_an_address_that_leads_back_to_itself_is_warned_of_though_it_is_set(set_address, at_home):
    assert "A phone could not open these codes." in said(set_address("http://127.0.0.1:8000").get(PAGE))


@pytest.mark.parametrize(
    ("address", "is_so"),
    [
        ("http://localhost", True),
        ("http://loom.localhost:80", True),
        ("http://127.0.0.1:8000", True),
        ("http://127.9.9.9", True),
        ("http://[::1]:8000", True),
        ("http://0.0.0.0:8000", True),
        ("http://192.168.1.20:8000", False),
        ("http://[fd00::20]", False),
        ("https://localhost.example", False),
        ("http://studio.local", False),
    ],
)
def test_only_this_machine_is_told_from_the_others(address, is_so):
    assert only_this_machine(address) is is_so


@pytest.mark.parametrize("address", [PAGE, PDF])
def test_an_address_too_long_for_the_labels_is_said_beside_the_sheet(at_home, address):
    deep = "http://localhost/" + "a" * 200
    assert at_home.get(f"{address}?numbers=1&sheet=a4-8", base_url=deep).status_code == 200
    small = at_home.get(f"{address}?numbers=1&sheet=a4-65", base_url=deep)
    assert small.status_code == 422
    assert "too fine to read" in said(small)


def test_any_address_that_can_be_set_goes_on_the_smallest_labels(set_address, at_home):
    studio = set_address("http://studio.example/" + "a" * 98)
    answer = studio.get(f"{PDF}?numbers=1&sheet=a4-65")
    assert answer.status_code == 200
    assert opened_by(answer.data) == ["http://studio.example/" + "a" * 98 + "/cloth/pieces/1/draw"]


def test_the_sheet_is_remembered_once_it_was_printed_on(at_home):
    assert sheet_in(said(at_home.get(PAGE))) == "letter-30"
    at_home.get(f"{PAGE}?sheet=a4-8")
    assert sheet_in(said(at_home.get(PAGE))) == "letter-30"
    at_home.get(f"{PDF}?sheet=a4-8")
    assert sheet_in(said(at_home.get(PAGE))) == "a4-8"


def test_a_swedish_shop_begins_with_its_own_paper(sqlite_store, app, open_shop, now):
    open_shop(locale="sv_SE", currency="SEK", units="metric", time_zone="Europe/Stockholm")
    inside = Visitor(app)
    inside.sign_in()
    a_haul_at_home(
        sqlite_store, now, a_sheet(paid=a_sheet().paid.__class__(4000, "SEK"), name="Rosa påslakan")
    )
    assert sheet_in(said(inside.get(PAGE))) == "a4-24"
    text = text_of(inside.get(PDF).data)
    assert "Rosa påslakan" in text
    assert "205,7 cm × 243,8 cm" in text


def test_plain_paper_is_cut_with_care(at_home):
    assert "A rotary cutter is a razor" in said(at_home.get(f"{PAGE}?sheet=letter-15"))
    assert "A rotary cutter is a razor" not in said(at_home.get(f"{PAGE}?sheet=letter-30"))


def test_the_picture_shows_what_is_used_and_what_will_be_printed(at_home):
    text = at_home.get(f"{PAGE}?haul=1&sheet=letter-10&begin=4").get_data(as_text=True)
    drawing = re.search(r'<svg class="label-sheet".*?</svg>', text, re.DOTALL)[0]
    assert re.findall(r"<text[^>]*>(\d+)</text>", drawing) == ["1", "2", "3"]
    assert drawing.count("<g ") == 10
    assert drawing.count('fill="#ebe2cf"') == 3


def test_the_cloth_and_a_haul_lead_here(at_home):
    assert f'href="{PAGE}"' in said(at_home.get("/cloth"))
    assert f'href="{PAGE}?haul=2"' in said(at_home.get("/cloth/hauls/2"))


@pytest.mark.parametrize("address", [PAGE, PDF])
def test_as_many_queries_however_many_labels(at_home, sqlite_store, now, count_queries, address):
    with count_queries(sqlite_store) as few:
        at_home.get(f"{address}?numbers=1")
    for _ in range(3):
        a_haul_at_home(sqlite_store, now, a_sheet(count=40))
    with count_queries(sqlite_store) as many:
        at_home.get(f"{address}?numbers=1-120")
    assert len(many) == len(few)


@pytest.mark.parametrize("address", [PAGE, PDF])
def test_strangers_see_no_labels(visitor, open_shop, address):
    open_shop()
    assert visitor.get(address).status_code == 303
