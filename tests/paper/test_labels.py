"""Labels: where they lie on every sheet, that a camera reads them, and that nothing leaves its label."""

from itertools import pairwise

import pytest
from PIL import ImageStat

from shop.paper.codes import QUIET, SMALLEST_MODULE, code_of
from shop.paper.label_sheets import SHEETS, offered_sheets, sheet_name, usual_sheet
from shop.paper.labels import code_fits, label_texts, next_label, sheets_needed
from shop.words import Words
from tests.paper.a_label import a_label, codes_read, pictures, printed_labels, some_labels
from tests.paper.a_paper import SWEDEN, US, a_shop, opened, text_of

every_sheet = pytest.mark.parametrize("key", sorted(SHEETS))
MARKUP = '#panic() *a* $x$ <b> "q" \\ // {{ }}'


def box(sheet, place):
    """Left, top, right and bottom of a label, in millimetres."""
    x, y = sheet.corner(place)
    return x, y, x + sheet.millimetres(sheet.width), y + sheet.millimetres(sheet.height)


@every_sheet
def test_the_labels_of_a_sheet_lie_on_it_side_by_side_with_even_margins(key):
    sheet = SHEETS[key]
    wide, high = sheet.size
    boxes = [box(sheet, place) for place in range(sheet.count)]
    left, top = boxes[0][:2]
    right, bottom = boxes[-1][2:]
    assert min(left, top) >= 3.9
    assert wide - right == pytest.approx(left, abs=0.11)
    assert high - bottom == pytest.approx(top, abs=0.11)
    for (x, y, x_end, y_end), (nx, ny, _, _) in pairwise(boxes):
        assert nx >= x_end - 1e-9 if ny == pytest.approx(y) else ny >= y_end - 1e-9 and nx < x + 1e-9


def test_a_sheet_is_called_by_its_measures_and_its_paper():
    assert sheet_name(SHEETS["a4-24"], US) == "24 labels of 63.5 × 33.9 mm on A4"
    assert sheet_name(SHEETS["letter-30"], US) == "30 labels of 2 5/8 × 1 in on Letter"
    assert sheet_name(SHEETS["letter-6"], US) == "6 labels of 4 × 3 1/3 in on Letter"
    assert sheet_name(SHEETS["a4-18"], US) == "18 labels of 60 × 45 mm on plain A4, to cut"
    assert "63,5 × 33,9 mm" in sheet_name(SHEETS["a4-24"], SWEDEN)
    assert len({sheet_name(sheet, US) for sheet in SHEETS.values()}) == len(SHEETS)


def test_the_paper_of_the_country_comes_first():
    assert usual_sheet(US).key == "letter-30"
    assert usual_sheet(SWEDEN).key == "a4-24"
    for words, paper in ((US, "us-letter"), (SWEDEN, "a4"), (Words("en_GB"), "a4")):
        papers = [sheet.paper for sheet in offered_sheets(words)]
        assert papers[0] == paper
        assert papers == sorted(papers, key=lambda one: one != paper)
        assert len(papers) == len(SHEETS)


@every_sheet
def test_every_code_of_a_sheet_is_read_back_within_its_own_label(key):
    sheet = SHEETS[key]
    begin = 3
    labels = some_labels(sheet.count)
    first, second = pictures(labels, sheet, begin=begin)
    read = codes_read(first)
    assert set(read) == {label.address for label in labels[: sheet.count - begin + 1]}
    assert set(codes_read(second)) == {label.address for label in labels[sheet.count - begin + 1 :]}
    for place, label in enumerate(labels[: sheet.count - begin + 1], begin - 1):
        left, top, right, bottom = box(sheet, place)
        x, y = read[label.address]
        assert (left + right) / 2 < x < right
        assert top < y < bottom


@every_sheet
def test_a_sheet_prints_as_an_accessible_pdf_of_its_own_size(key):
    sheet = SHEETS[key]
    pdf = opened(printed_labels(some_labels(sheet.count + 1), sheet))
    assert len(pdf.pages) == 2
    for page in pdf.pages:
        width, height = (float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height))
        assert (width, height) == pytest.approx(sheet.size, abs=0.05)
    assert b"pdfuaid" in pdf.trailer["/Root"]["/Metadata"].get_object().get_data()
    assert pdf.metadata.title == "Labels of Blue Door Rag Rugs"


def test_a_label_says_what_it_is_of():
    label = a_label(name="Rosa påslakan från Växjö", facts=("150 cm × 240 cm", "Cotton", "Blue basket"))
    text = text_of(printed_labels([label], SHEETS["a4-8"]))
    for part in ("42", "Rosa påslakan från Växjö", "150 cm × 240 cm", "Cotton", "Blue basket", "To wash"):
        assert part in text
    ready = text_of(printed_labels([a_label(to_wash=False)], SHEETS["a4-8"]))
    assert "To wash" not in ready


def test_a_code_tells_those_who_do_not_see_it_what_it_opens():
    told = label_texts([a_label()], SHEETS["a4-24"], shop=a_shop(), words=US)["labels"][0]["code"]["alt"]
    assert told == "Code that opens http://192.168.1.20:8000/cloth/pieces/42/draw"


@every_sheet
@pytest.mark.parametrize("length", [30, 80, 130])
def test_a_code_has_its_border_and_no_module_is_too_fine(key, length):
    sheet = SHEETS[key]
    address = "http://" + "a" * length
    assert code_fits(sheet, address)
    label = a_label(address=address)
    code = label_texts([label], sheet, shop=a_shop(), words=US)["labels"][0]["code"]
    assert code["across"] == code_of(address).modules + 2 * QUIET
    assert code["side"] / code["across"] >= SMALLEST_MODULE - 1e-9
    assert code["side"] <= min(sheet.millimetres(sheet.height), sheet.millimetres(sheet.width) * 0.6) + 1e-9
    assert set(codes_read(pictures([label], sheet, ppi=300)[0], 300)) == {address}


def test_an_address_too_long_for_a_small_label_is_known_beforehand():
    long = "http://" + "a" * 200
    assert not code_fits(SHEETS["a4-65"], long)
    assert code_fits(SHEETS["a4-8"], long)
    assert not code_fits(SHEETS["a4-8"], "http://" + "a" * 9000)


LONG = [
    "Grandmother’s long flannel nightgown with faded cornflowers, cut in two and hemmed all around",
    "W" * 120,
    "Supercalifragilistic" * 6,
    "å" * 120,
    "🧶" * 120,
]


@every_sheet
@pytest.mark.parametrize("name", LONG, ids=["words", "wide", "joined", "swedish", "wool"])
def test_what_is_too_long_is_cut_and_never_leaves_its_label(key, name):
    """A label alone on its sheet leaves ink within itself only, and its code is read."""
    sheet = SHEETS[key]
    if sheet.to_cut:
        sheet = SHEETS["a4-21"]  # one without marks
    label = a_label(987654321, name=name, facts=(name, name, name))
    picture = pictures([label], sheet, ppi=150, begin=2)[0]
    left, top, right, bottom = (int(side / 25.4 * 150) for side in box(sheet, 1))
    assert set(codes_read(picture, 150)) == {label.address}
    picture.paste(255, (left - 1, top - 1, right + 2, bottom + 2))
    assert ImageStat.Stat(picture).extrema == [(255, 255)]
    assert "…" in text_of(printed_labels([label], sheet))


def test_a_name_that_has_room_is_not_cut():
    name = "Grandmother’s long flannel nightgown"
    for key in ("a4-24", "a4-21", "a4-8", "a4-18", "letter-10", "letter-6", "letter-15"):
        assert name in text_of(printed_labels([a_label(name=name)], SHEETS[key])).replace("\n", " "), key


@pytest.mark.parametrize("colour", ["#ffffff", "#fffdf0", "#000000"])
def test_a_sample_has_an_outline_even_in_the_colour_of_the_paper(colour):
    blank = a_label(number=1, name=".", facts=(), to_wash=False, colour=colour)
    picture = pictures([blank], SHEETS["a4-8"])[0]
    x, first, last = (int(at / 25.4 * 200) for at in (40, 14, 30))
    down = [picture.getpixel((x, y)) for y in range(first, last)]
    outline = [y for y, grey in enumerate(down) if grey < 120]
    assert len({y // 10 for y in outline}) >= 2, down


def test_plain_paper_has_marks_to_cut_along_and_bought_labels_have_none():
    for key, sheet in SHEETS.items():
        picture = pictures([a_label()], sheet)[0]
        edge = picture.crop((0, 0, picture.width, int((sheet.corner(0)[1] - 0.5) / 25.4 * 200)))
        has_ink = ImageStat.Stat(edge).extrema[0][0] < 128
        assert has_ink == sheet.to_cut, key


@pytest.mark.parametrize(
    "name",
    [
        "Rosa påslakan från Växjö",
        "🧶 scarf",
        "李明",
        "שרה",
        MARKUP,
        "bell\x07\u202e",
        "e\u0301",
        "\ud83d",
        "",
    ],
)
def test_any_name_makes_a_label(name):
    label = a_label(name=name, facts=(name, "Cotton"))
    assert len(opened(printed_labels([label], SHEETS["a4-24"], shop=a_shop(name=name or "x"))).pages) == 1
    assert set(codes_read(pictures([label], SHEETS["a4-24"])[0])) == {label.address}


def test_two_hundred_labels_print_in_one_go():
    sheet = SHEETS["a4-24"]
    pdf = printed_labels(some_labels(200), sheet, begin=14)
    assert len(opened(pdf).pages) == sheets_needed(sheet, 200, begin=14) == 9
    assert next_label(sheet, 200, begin=14) == 22


@pytest.mark.parametrize(
    ("labels", "begin", "sheets", "after"),
    [(24, 1, 1, 1), (23, 1, 1, 24), (23, 2, 1, 1), (23, 3, 2, 2), (1, 24, 1, 1)],
)
def test_a_sheet_used_in_part_goes_on_where_it_was_left(labels, begin, sheets, after):
    sheet = SHEETS["a4-24"]
    assert (sheets_needed(sheet, labels, begin=begin), next_label(sheet, labels, begin=begin)) == (
        sheets,
        after,
    )
    assert len(opened(printed_labels(some_labels(labels), sheet, begin=begin)).pages) == sheets


def test_the_same_labels_are_the_same_file():
    assert printed_labels(some_labels(3), SHEETS["a4-24"]) == printed_labels(some_labels(3), SHEETS["a4-24"])
