"""The weaver's own sheet: every figure with its formula, its doubt and its origin."""

from shop.core.described import plan_of
from shop.core.reckon import reckon
from shop.core.spread import Basis
from shop.paper.cost_sheet import SheetSection, cost_sheet_pdf, sections_of
from shop.words.explained import sheet_in_words
from tests.paper.a_paper import SWEDEN, US, a_cost_sheet, a_line, opened, tags_of, text_of


def test_says_every_figure_with_its_formula_and_origin():
    text = text_of(cost_sheet_pdf(a_cost_sheet(), US))
    for said in (
        "For the shop only", "Q-14", "Floor loom, 36 in", "50.5 in ÷ 0.193 in", "262 207 to 331 starting guess",
        "measured here", "as set", "What it costs", "$211.21 $186.10 to $240.00", "8 of 10", "rotary cutter",
    ):  # fmt: skip
        assert said in text


def test_is_tagged_titled_and_in_a_language():
    pdf = cost_sheet_pdf(a_cost_sheet(), US)
    root = opened(pdf).trailer["/Root"]
    assert root["/Lang"] == "en-US"
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    assert opened(pdf).metadata.title == "Cost sheet of quote Q-14, for the shop only"
    tags = [tag for tag, _ in tags_of(pdf)]
    assert [tag for tag in tags if tag.startswith("H")] == ["H1", "H2", "H2", "H2"]
    assert tags.count("Table") == 2


def test_every_page_repeats_the_heads_of_the_columns_and_whom_it_is_for():
    pdf = cost_sheet_pdf(a_cost_sheet(sections=(SheetSection("Weft", (a_line(),) * 90),)), US)
    pages = opened(pdf).pages
    assert len(pages) > 2
    for page in pages[:-1]:
        text = page.extract_text()
        assert "Where from" in text
        assert "for the shop only" in text


def test_figures_that_are_known_need_no_legend():
    sure = a_cost_sheet(sections=(SheetSection("Warp", (a_line("Ends", between="", basis=None),)),))
    text = text_of(cost_sheet_pdf(sure, US))
    assert "not known for sure" not in text
    assert "starting guess" not in text


def test_a_sheet_without_a_quote_names_none():
    pdf = cost_sheet_pdf(a_cost_sheet(number="", title="", facts=(), sections=(), notes=()), US)
    assert opened(pdf).metadata.title == "Cost sheet, for the shop only"
    assert "Quote" not in text_of(pdf)


def test_is_in_swedish_where_the_shop_is():
    pdf = cost_sheet_pdf(a_cost_sheet(), SWEDEN)
    assert opened(pdf).trailer["/Root"]["/Lang"] == "sv-SE"
    text = text_of(pdf)
    assert "Endast för verkstaden" in text
    assert "enligt inställning" in text
    for english in ("For the shop", "Where from", "starting guess", "measured"):
        assert english not in text


def test_what_people_type_is_never_markup():
    typed = '#panic() $x$ *b* \\ "q" 李'
    sheet = a_cost_sheet(title=typed, notes=(typed,), sections=(SheetSection(typed, (a_line(typed),)),))
    text = text_of(cost_sheet_pdf(sheet, US))
    assert text.count('#panic() $x$ *b* \\ "q" □') == 4


def test_a_reckoning_is_printed_whole():
    described = {
        "rug": {"width": "30 in", "length": "48 in"},
        "loom": {"kind": "shaft", "sett": "12.5/in", "yarn": "8/4", "yarn_price": "14.50/lb"},
        "cloth": {"name": "Navy denim", "paid": "4.00", "width": "40 in", "length": "60 in"},
        "rates": {"wage": "18.00"},
        "hours": {"office": 45},
        "price": {"margin": 0.2},
    }
    for words in (US, SWEDEN):
        spoken = sheet_in_words(reckon(plan_of(described)), words)
        sections = sections_of(spoken, words)
        assert [section.heading for section in sections] == [part.title for part in spoken if part.lines]
        lines = {line.name: line for section in sections for line in section.lines}
        marks = {line.basis for line in lines.values()}
        assert {Basis.GUESS, Basis.SETTING, None} <= marks
        assert sum(line.is_total for line in lines.values()) >= 2
        pdf = cost_sheet_pdf(a_cost_sheet(sections=sections), words)
        shown = text_of(pdf).replace(" ", "").replace("-", "")
        for line in lines.values():
            assert line.name.replace(" ", "").replace("-", "") in shown
            assert line.value.replace(" ", "").replace("\u00a0", "") in shown
