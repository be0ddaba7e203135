"""The drawing of a rug: in proportion, in words, and never in need of good manners."""

import json
import re

import pytest

from shop.core.cloth import Fibre
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom
from shop.paper.advice import FIBRES, fibre_text
from shop.paper.drawing import UNDYED, Band, Ends, drawing_texts, ends_of
from shop.paper.quote import quote_pdf
from tests.paper.a_paper import US, a_quote, a_rug, opened


def test_each_loom_leaves_its_own_ends():
    looms = (FrameLoom(), ShaftLoom(), PlankLoom())
    assert [ends_of(loom) for loom in looms] == [Ends.LOOPS, Ends.FRINGE, Ends.KNOTS]


def test_bands_are_in_proportion_whatever_they_add_up_to():
    texts = drawing_texts(a_rug(bands=(Band("#000000", 3), Band("#ffffff", 1), Band("#ff0000", 0))), US)
    assert [band["share"] for band in texts["bands"]] == [0.75, 0.25]


def test_a_rug_without_stripes_is_undyed_all_over():
    assert drawing_texts(a_rug(bands=()), US)["bands"] == [{"colour": UNDYED, "share": 1.0}]


@pytest.mark.parametrize("colour", ["", "red", "#12", "#12345g", 'rgb("#000000")', "#1234567"])
def test_what_is_no_colour_is_undyed(colour):
    assert drawing_texts(a_rug(bands=(Band(colour, 1),)), US)["bands"][0]["colour"] == UNDYED


def test_the_words_name_sizes_stripes_and_ends():
    alt = drawing_texts(a_rug(ends=Ends.LOOPS), US)["alt"]
    assert alt == (
        "Drawing of the rug, 2 ft 6 in wide and 4 ft long. "
        "3 stripes: Navy denim 30%, Sheeting 40%, #34466f 30%. Loops of the rag warp at both ends."
    )


def test_many_stripes_are_told_in_part():
    alt = drawing_texts(a_rug(bands=(Band("#34466f", 1, "Denim"),) * 20), US)["alt"]
    assert alt.count("Denim") == 8
    assert "20 stripes" in alt
    assert "And 12 more." in alt


@pytest.mark.parametrize("ends", list(Ends))
@pytest.mark.parametrize(("across", "rows"), [(0, 0), (1, 1), (50, 75), (20_000, 100_000)])
def test_every_kind_of_end_and_any_count_can_be_drawn(ends, across, rows):
    pdf = quote_pdf(a_quote(rug=a_rug(ends=ends, across=across, rows=rows)), US)
    assert len(opened(pdf).pages) == 1
    assert len(pdf) < 200_000


def test_stripes_are_painted_in_their_colours_and_lengths():
    quote = a_quote(rug=a_rug(bands=(Band("#ff0000", 3), Band("#00ff00", 1)), rows=4, across=4))
    content = opened(quote_pdf(quote, US)).pages[0].get_contents().get_data().decode("latin-1")
    heights = {paint: _height_after(content, paint) for paint in ("1 0 0", "0 1 0")}
    assert heights["1 0 0"] / heights["0 1 0"] == pytest.approx(3, rel=0.01)  # less the hair of overlap


def _height_after(content: str, paint: str) -> float:
    """The height of the rectangle that is filled in a colour: it begins at nought and goes down to its foot."""
    path = content.split(f"{paint} scn", 1)[1].split(" h", 1)[0].split("\nh", 1)[0]
    return max(float(y) for y in re.findall(r"[-0-9.]+ ([-0-9.]+) l", path))


def test_every_fibre_of_the_cloth_has_a_name():
    assert set(FIBRES) == {fibre.value for fibre in Fibre}
    assert fibre_text("no such", US) == fibre_text(None, US) == "fibre not known"


def test_the_texts_can_be_handed_over():
    assert json.loads(json.dumps(drawing_texts(a_rug(), US))) == drawing_texts(a_rug(), US)
