"""Tags for rugs: cut to size, each code read back, nothing beyond its tag; and the two lists."""

import pytest
from PIL import ImageStat

from shop.paper.packing_list import packing_list_pdf, packing_list_texts
from shop.paper.price_list import price_list_pdf
from shop.paper.tag import SIZES, code_fits, sheets_needed, size_name, stripe_texts, tag_texts
from tests.paper.a_label import codes_read
from tests.paper.a_paper import SWEDEN, US, a_shop, opened, text_of
from tests.paper.a_tag import DAY, a_listed_rug, a_tag, pictures, printed_tags, some_tags

every_size = pytest.mark.parametrize("key", SIZES)
MARKUP = '#panic("x") [$a$] // <b>&amp; *bold* _it_ @ref \\'
USUAL = {"shop": a_shop(), "day": DAY, "words": US}


def box(size, place, words=US):
    """Where a tag lies on its sheet: left, top, right, bottom, in millimetres."""
    left, top = tag_texts([], size, shop=a_shop(), words=words)["corners"][place]
    return left, top, left + size.width, top + size.height


@every_size
def test_two_hundred_tags_are_each_read_back_within_their_own_tag(key):
    size, tags = SIZES[key], some_tags(200)
    sheets = pictures(tags, size)
    assert len(sheets) == sheets_needed(size, 200)
    for page, picture in enumerate(sheets):
        mine = tags[page * size.count : (page + 1) * size.count]
        read = codes_read(picture)
        assert set(read) == {tag.address for tag in mine}
        for place, tag in enumerate(mine):
            left, top, right, bottom = box(size, place)
            x, y = read[tag.address]
            assert (left + right) / 2 < x < right
            assert (top + bottom) / 2 < y < bottom


@every_size
@pytest.mark.parametrize(("words", "paper"), [(US, (215.9, 279.4)), (SWEDEN, (210, 297))], ids=["letter", "a4"])
def test_a_sheet_is_an_accessible_pdf_and_its_tags_lie_within_the_paper(key, words, paper):
    size = SIZES[key]
    pdf = opened(printed_tags(some_tags(size.count + 1), size, words=words))
    assert len(pdf.pages) == 2
    for page in pdf.pages:
        sides = [float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height)]
        assert sides == pytest.approx(paper, abs=0.05)
    assert b"pdfuaid" in pdf.trailer["/Root"]["/Metadata"].get_object().get_data()
    left, top, _, _ = box(size, 0, words)
    _, _, right, bottom = box(size, size.count - 1, words)
    room_for_marks = 5.5
    assert min(left, top, paper[0] - right, paper[1] - bottom) > room_for_marks


@every_size
def test_a_tag_says_all_that_a_buyer_asks(key):
    text = text_of(printed_tags([a_tag()], SIZES[key])).replace("\n", " ")
    for part in ("Farmhouse runner", "$475.00", "2 ft 2 in × 8 ft", "No. 42", "80% cotton, 20% unknown fibres"):
        assert part in text, part
    assert "Wash cold and mild, by itself. Do not wring; dry flat." in text
    assert ("non-slip mat" in text) == ("Blue Door Rag Rugs" in text) == SIZES[key].in_full


@every_size
def test_a_tag_says_that_tax_comes_on_top_where_it_does(key):
    told = "6.25% Sales tax comes on top."
    assert told in text_of(printed_tags([a_tag(tax=told)], SIZES[key])).replace("\n", " ")
    assert "tax" not in text_of(printed_tags([a_tag()], SIZES[key]))


@every_size
@pytest.mark.parametrize("long", [0.5, 1.5, 4, 1000])
def test_a_rug_is_drawn_to_its_proportions(key, long):
    size = SIZES[key]
    picture = pictures([a_tag(long=long, stripes=(("#000000", 1.0),))], size)[0]
    left, top, _, bottom = (int(side / 25.4 * 200) for side in box(size, 0))
    band = min(4.5, max(2.4, size.height * 0.065)) + size.width * 0.085
    edge = picture.crop((left + 12, top + 12, left + int((band + 0.5) / 25.4 * 200), bottom - 12))
    x, y, right, low = edge.point(lambda grey: 255 if grey < 40 else 0).getbbox()
    assert (low - y) / (right - x) == pytest.approx(min(long, 20), rel=0.15)


def test_a_rug_without_a_price_has_a_line_to_write_it_on():
    size = SIZES["middle"]
    priced, open_price = (pictures([a_tag(price=price)], size)[0] for price in ("$475.00", ""))
    left, top, right, _ = (int(side / 25.4 * 200) for side in box(size, 0))
    words = (left + 90, top, right - 200, top + 200)
    assert ImageStat.Stat(open_price.crop(words)).mean[0] > ImageStat.Stat(priced.crop(words)).mean[0]
    assert "$" not in text_of(printed_tags([a_tag(price="")], size))


@every_size
@pytest.mark.parametrize("name", ["W" * 120, "Supercalifragilistic" * 6, "🧶" * 120, MARKUP, "李明", "", "bell\x07\u202e"])
def test_what_is_too_long_is_cut_and_never_leaves_its_tag(key, name):
    size = SIZES[key]
    tag = a_tag(987654321, name=name, content=name, care=name, size=name, price=name[:30])
    picture = pictures([tag], size)[0]
    assert set(codes_read(picture)) == {tag.address}
    first = [int(side / 25.4 * 200) for side in box(size, 0)]
    second = [int(side / 25.4 * 200) for side in box(size, 1)]
    inside = picture.crop((second[0] + 3, second[1] + 3, second[2] - 3, second[3] - 3))
    assert ImageStat.Stat(inside).extrema == [(255, 255)]
    assert ImageStat.Stat(picture.crop((first[0], first[1], first[2], first[3]))).extrema[0][0] < 64
    assert len(opened(printed_tags([tag], size)).pages) == 1


@every_size
def test_marks_to_cut_along_stand_around_the_tags(key):
    size = SIZES[key]
    picture = pictures([a_tag()], size)[0]
    left, top, right, _ = box(size, 0)
    for x in (left, right):
        column = picture.crop(tuple(int(at / 25.4 * 200) for at in (x - 0.6, top - 5, x + 0.6, top - 2)))
        assert ImageStat.Stat(column).extrema[0][0] < 128


def test_a_code_that_would_be_too_fine_is_known_beforehand():
    long = "http://" + "a" * 300
    assert not code_fits(SIZES["small"], long)
    assert code_fits(SIZES["large"], long)
    assert not code_fits(SIZES["large"], "http://" + "a" * 9000)


def test_sizes_are_told_in_the_shop_s_words():
    assert size_name(SIZES["small"], US) == "Small, 2.4 × 1.5 in, 21 on a sheet"
    assert "60 × 37 mm" in size_name(SIZES["small"], SWEDEN)
    assert len({size_name(size, US) for size in SIZES.values()}) == len(SIZES)


def test_stripes_add_up_whatever_was_given():
    for stripes in ((), (("#112233", 0.0),), (("#112233", 3.0), ("no colour", 1.0))):
        drawn = stripe_texts(stripes)
        assert sum(one["share"] for one in drawn) == pytest.approx(1)


def test_the_price_list_names_each_rug_and_leaves_open_what_is_open():
    rugs = [a_listed_rug(number) for number in range(1, 60)] + [a_listed_rug(60, price="", name="Cat mat")]
    pdf = price_list_pdf(rugs, title="Midsummer fair", tax="Sales tax of 6% comes on top.", **USUAL)
    text = text_of(pdf)
    assert len(opened(pdf).pages) > 2
    for part in ("Prices", "Midsummer fair", "Sales tax of 6% comes on top.", "Cat mat", "to be agreed", "$475.00", "November 25"):
        assert part in text, part


def test_the_packing_list_has_boxes_and_sums():
    rugs = [a_listed_rug(number) for number in range(1, 40)]
    pdf = packing_list_pdf(rugs, title="Midsummer fair", together="$18,525.00", weight="269 lb", also=("The float",), **USUAL)
    text = text_of(pdf)
    for part in ("Packing list", "39 rugs to pack · 269 lb · $18,525.00", "Home again", "And also", "The float", "6.9 lb"):
        assert part in text, part
    assert "And also" not in text_of(packing_list_pdf(rugs[:1], together="$475.00", **USUAL))
    assert packing_list_texts(rugs[:1], together="", **USUAL)["sums"] == "1 rug to pack"


@pytest.mark.parametrize("name", ["🧶 scarf", "李明", MARKUP, "", "x" * 400])
def test_any_name_goes_on_a_list(name):
    for pdf in (
        price_list_pdf([a_listed_rug(name=name, content=name)], title=name, **USUAL),
        packing_list_pdf([a_listed_rug(name=name)], title=name, together="", also=(name,), **USUAL),
    ):
        assert len(opened(pdf).pages) == 1


def test_the_same_tags_are_the_same_file():
    assert printed_tags(some_tags(3), SIZES["small"]) == printed_tags(some_tags(3), SIZES["small"])
