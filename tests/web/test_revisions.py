"""The page of a quote's offers side by side: one scale, what changed in words and figures, and words for the drawings."""

import re
from datetime import date
from types import SimpleNamespace

import pytest

from shop.core.loom import Size
from shop.core.revision import Revision
from shop.web.revisions import what_changed
from shop.web.rug_drawing import TALLEST_BESIDE, WIDEST_BESIDE, rugs_beside
from shop.words import Words
from tests.builders import a_haul_at_home, a_kept_loom, a_planned_quote, a_sheet, inches, money, saved_again

OFFER = {"name": "Asa Lindqvist", "holds_until": "2099-01-01", "promised": "2099-02-01"}
WORDS = Words()
BLUE, RED = "#2b3d6e", "#97291d"


@pytest.fixture
def bench(owner, sqlite_store, now):
    a_kept_loom(sqlite_store, now)
    a_haul_at_home(sqlite_store, now, a_sheet(ready=True))
    a_planned_quote(sqlite_store, now, 1)
    return sqlite_store


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.get_data(as_text=True)))


def test_two_offers_stand_beside_each_other_and_the_first_stays_as_it_was(owner, bench, now):
    assert owner.press("/offers/new?quote=1", act="", **OFFER).status_code == 303
    assert "Side by side" not in text_of(owner.get("/offers/1"))
    alone = owner.get("/offers/1/revisions")
    assert "What changed" not in text_of(alone)
    saved_again(bench, now, 1, width=inches(10))
    assert owner.get("/offers/1/revisions").data == alone.data
    again = {**OFFER, "promised": "2099-02-03"}
    assert owner.press("/offers/new?quote=1", act="", **again).location == "/offers/2"
    assert 'href="/offers/2/revisions"' in owner.get("/offers/2").get_data(as_text=True)
    answer = owner.get("/offers/2/revisions")
    text = text_of(answer)
    assert "Offer 1 withdrawn Offer 2 offered" in text
    assert "From offer 1 to offer 2" in text
    assert re.search(r"Size: .+ instead of 1 ft × 2 ft 6 in, which is 2 in narrower\.", text)
    assert "Ready by: Feb 3, 2099 instead of Feb 1, 2099, 2 days later." in text
    html = answer.get_data(as_text=True)
    drawings = re.findall(r'aria-label="(Offer (\d): a rug [^"]+)"', html)
    assert [number for _, number in drawings] == ["1", "2"]
    assert all("Blue striped sheet 100%" in told for told, _ in drawings)
    assert owner.get("/offers/99/revisions").status_code == 404


def test_drawings_are_to_one_scale_in_pictures_of_one_height_and_fit():
    sizes = [Size(inches(24), inches(36)), Size(inches(30), inches(54)), Size(inches(20), inches(120))]
    drawn = rugs_beside([(size, [(BLUE, 0.5), (RED, 0.5)], "told") for size in sizes], WORDS)
    scales = {round(one.width / size.width.metres, 1) for one, size in zip(drawn, sizes, strict=True)}
    assert len(scales) == 1
    assert {round(one.height / size.length.metres, 1) for one, size in zip(drawn, sizes, strict=True)} == scales
    assert len({one.box[1] for one in drawn}) == len({one.rule for one in drawn}) == 1
    assert max(one.height for one in drawn) == pytest.approx(TALLEST_BESIDE)
    assert all(one.width <= WIDEST_BESIDE for one in drawn)
    assert all(sum(band.height for band in one.stripes) == pytest.approx(one.height, abs=0.02) for one in drawn)
    assert all(one.y + one.height < one.box[1] for one in drawn)
    assert rugs_beside([], WORDS) == ()


def an_offer(**changed):
    given = {
        "number": 1,
        "size": Size(inches(24), inches(36)),
        "cloths": ("Blue sheet", "Red curtain"),
        "stripes": ((BLUE, 0.5), (RED, 0.5)),
        "price": money("140.00"),
        "tax": money("8.40"),
        "total": money("148.40"),
        "deposit": None,
        "promised": None,
        "holds": date(2026, 4, 1),
    }
    return SimpleNamespace(revision=Revision(**{**given, **changed}))


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({}, "Nothing of what is shown here."),
        ({"size": Size(inches(30), inches(30))}, "Size: 2 ft 6 in × 2 ft 6 in instead of 2 ft × 3 ft, which is 6 in wider and 6 in shorter."),
        ({"cloths": ("Blue sheet", "Red curtain", "Straw cloth")}, "Now woven of Straw cloth too."),
        ({"cloths": ("Blue sheet",)}, "No longer woven of Red curtain."),
        ({"cloths": ("Blue sheet", "Blue sheet", "Red curtain")}, "Woven of other cloth of the same names."),
        ({"stripes": ((BLUE, 0.4), (RED, 0.2), (BLUE, 0.4))}, "Stripes: 3 stripes instead of 2 stripes."),
        ({"stripes": ((BLUE, 0.4), (RED, 0.6))}, "Stripes: 2 stripes as before, in other colours or widths."),
        ({"price": money("150.00")}, "Price: $150.00 instead of $140.00, $10.00 more."),
        ({"total": money("140.00")}, "Customer pays: $140.00 instead of $148.40, $8.40 less."),
        ({"tax": None}, "Tax: – instead of $8.40."),
        ({"deposit": money("70.00")}, "Deposit: $70.00 instead of –."),
        ({"price": money("150.00", "EUR")}, "Price: €150.00 instead of $140.00."),
        ({"promised": date(2026, 5, 1)}, "Ready by: May 1, 2026 instead of –."),
        ({"holds": date(2026, 4, 2)}, "Holds until: Apr 2, 2026 instead of Apr 1, 2026, a day later."),
        ({"holds": date(2026, 3, 28)}, "Holds until: Mar 28, 2026 instead of Apr 1, 2026, 4 days earlier."),
    ],
)
def test_what_changed_is_said_in_words_and_figures(changed, sentence):
    assert what_changed(an_offer(), an_offer(**changed), WORDS) == (sentence,)
