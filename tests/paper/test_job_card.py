"""The job card and the rug's label on paper: what they say, and that they are documents anybody can read."""

import io

import pypdf
import pytest

from shop.core.loom import Size
from shop.core.measure import Length
from shop.paper.drawing import Band
from shop.paper.job_card import MOST_BANDS, job_card_pdf, job_card_texts
from shop.paper.rug_label import rug_label_pdf
from tests.paper.a_card import a_band, a_card, a_cut, a_rug_label
from tests.paper.a_paper import SWEDEN, US, a_rug


def pages(pdf):
    return pypdf.PdfReader(io.BytesIO(pdf))


def text_of(pdf):
    return "\n".join(page.extract_text() for page in pages(pdf).pages)


def test_the_card_says_what_to_cut_to_warp_and_to_weave():
    text = text_of(job_card_pdf(a_card(), US))
    for wanted in ("Job card 12", "Ask for the key.", "Navy denim, No. 7", "shelf B", "379", "8/4", "105", "Close the blade."):
        assert wanted in text, wanted


def test_ticks_stand_for_what_is_done():
    texts = job_card_texts(a_card(), US)
    (cut,) = texts["cuts"]
    assert (cut["boxes"], cut["ticked"]) == (24, 11)
    first, second = texts["bands"]
    assert (first["boxes"], first["ticked"]) == (5, 2)
    assert second["ticked"] == 0
    (done,) = job_card_texts(a_card(bands=(a_band(done=45),)), US)["bands"]
    assert done["ticked"] == done["boxes"]


@pytest.mark.parametrize("words", [US, SWEDEN])
@pytest.mark.parametrize(
    "card",
    [
        a_card(),
        a_card(rug=None, warp=(), cuts=(), bands=(), note="", name=""),
        a_card(cuts=(a_cut(strips=5000, cut=5000, kept="", band=""),) * 3),
        a_card(bands=tuple(a_band(panel="Panel 1" if not at else "") for at in range(MOST_BANDS + 20))),
        a_card(name="🧶" * 30, note="漢字", cuts=(a_cut(piece="x" * 400),)),
    ],
    ids=["usual", "empty", "many strips", "many bands", "odd letters"],
)
def test_every_card_can_be_printed(card, words):
    assert len(pages(job_card_pdf(card, words)).pages) >= 1


@pytest.mark.parametrize(
    "label",
    [
        a_rug_label(),
        a_rug_label(name="A very long name for a rug that nobody would remember by heart or write on a tag " * 2),
        a_rug_label(rug=a_rug(size=Size(Length.of(20, "in"), Length.of(240, "in")))),
        a_rug_label(rug=a_rug(size=Size(Length.of(240, "in"), Length.of(20, "in")), bands=(Band("#34466f", 1.0),))),
        a_rug_label(cloths=tuple(f"Cloth number {number}" for number in range(12))),
        a_rug_label(size="11 ft 11 7/8 in × 23 ft 11 7/8 in", weight="12.25 lb"),
    ],
    ids=["usual", "long name", "runner", "broad", "many cloths", "measured"],
)
def test_a_label_is_one_small_page(label):
    found = pages(rug_label_pdf(label, US))
    assert len(found.pages) == 1
    box = found.pages[0].mediabox
    assert (round(float(box.width) / 72 * 25.4), round(float(box.height) / 72 * 25.4)) == (105, 74)
    assert label.shop.name in found.pages[0].extract_text() or len(label.name) > 60 or len(label.cloths) > 3


def test_the_same_card_is_the_same_file():
    assert job_card_pdf(a_card(), US) == job_card_pdf(a_card(), US)
