"""What a customer reads on a quote, and how it holds up against what people type."""

from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest

from shop.core.loom import Size
from shop.core.measure import Length
from shop.core.money import Money
from shop.paper.drawing import Band
from shop.paper.quote import Material, PriceLine, TaxLine, quote_pdf, quote_signs_lacking
from shop.words import Words
from tests.paper.a_paper import SWEDEN, US, a_quote, a_rug, a_shop, opened, tags_of, text_of

MARKUP = '#eval("1") $x^2$ *bold* _under_ @ref <label> `raw` \\ "quoted" #{panic()} // gone /* gone */ = no ~ --- \'s'


def test_says_what_is_agreed_on_one_page():
    pdf = quote_pdf(a_quote(), US)
    text = text_of(pdf)
    assert len(opened(pdf).pages) == 1
    for said in (
        "Blue Door Rag Rugs", "14 Mill Lane", "hello@bluedoor.example", "Q-14", "November 25, 2026",
        "Holds until December 25, 2026", "Miriam Oakes", "Hall rug in blues", "The denim is kept back for you.",
        "2 ft 6 in × 4 ft", "Navy denim · cotton", "Sheeting · fibre not known", "One rug, woven to order $185.00",
        "Postage $14.50", "Total without tax $199.50", "Sales tax 7% $13.97", "Total $213.47", "Deposit, before work starts $106.74",
        "Balance, when the rug is handed over $106.73", "non-slip mat", "open fire",
    ):  # fmt: skip
        assert said in text


def test_is_tagged_titled_and_in_a_language():
    pdf = quote_pdf(a_quote(), US)
    root = opened(pdf).trailer["/Root"]
    assert root["/Lang"] == "en-US"
    assert root["/MarkInfo"]["/Marked"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert opened(pdf).metadata.title == "Quote Q-14 from Blue Door Rag Rugs"
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    tags = tags_of(pdf)
    headings = [tag for tag, _ in tags if tag.startswith("H")]
    assert headings == ["H1"] + ["H2"] * 6
    (alt,) = [alt for tag, alt in tags if tag == "Figure"]
    assert "2 ft 6 in wide and 4 ft long" in alt
    assert "Navy denim 30%" in alt
    assert {"Table", "TH", "TD", "L", "LI", "P"} <= {tag for tag, _ in tags}


def test_is_in_the_language_that_it_declares():
    pdf = quote_pdf(a_quote(), SWEDEN)
    assert opened(pdf).trailer["/Root"]["/Lang"] == "sv-SE"
    text = text_of(pdf)
    for said in ("Offert", "25 november 2026", "76,2 cm × 121,9 cm", "halkskydd", "185,00 US$"):
        assert said in text
    for english in ("Quote", "Total", "Care", "Price", "Deposit", "cotton ", "Drawn"):
        assert english not in text.replace("Rag weft on a cotton warp", "")


def test_a_language_without_translations_is_declared_as_the_english_that_it_is():
    pdf = quote_pdf(a_quote(), Words("fr_FR", "metric", "Europe/Paris", "EUR"))
    assert opened(pdf).trailer["/Root"]["/Lang"] == "en"


@pytest.mark.parametrize(
    ("locale", "width"), [("en_US", 612), ("es_MX", 612), ("en_GB", 595), ("sv_SE", 595)]
)
def test_paper_is_that_of_the_country(locale, width):
    page = opened(quote_pdf(a_quote(), Words(locale))).pages[0]
    assert round(page.mediabox.width) == width


def test_what_people_type_is_never_markup():
    typed = a_quote(
        customer=MARKUP, title=MARKUP, wording=MARKUP, weave=MARKUP, terms=(MARKUP,), care=(MARKUP,),
        cautions=(MARKUP,), number=MARKUP, shop=a_shop(name=MARKUP, address=(MARKUP,)),
        materials=(Material(MARKUP, MARKUP, MARKUP),), lines=(PriceLine(MARKUP, Money(1, "USD")),),
        tax=TaxLine(MARKUP, Decimal("0.07"), Money(1, "USD"), contained=True),
    )  # fmt: skip
    pdf = quote_pdf(typed, US)
    shown = text_of(pdf).replace("-", "").replace(" ", "")
    assert shown.count(MARKUP.replace("-", "").replace(" ", "")) >= 12
    assert opened(pdf).metadata.title == f"Quote {MARKUP} from {MARKUP}"


def test_signs_that_the_letters_lack_are_boxes_and_said_so():
    quote = a_quote(customer="李明 Ann 😀", title="Matta åt Zoë, Łódź, Ελένη, Ольга, שרה")
    assert quote_signs_lacking(quote) == ("李", "明", "😀")
    pdf = quote_pdf(quote, US)
    text = text_of(pdf)
    assert "Quoted to □□ Ann □" in text
    assert "□ stands for a sign that the letters of this paper lack" in text
    for kept in ("Zoë, Łódź", "Ελένη", "Ольга", "Matta åt"):
        assert kept in text
    assert b"pdfuaid" in opened(pdf).trailer["/Root"]["/Metadata"].get_object().get_data()


def test_an_ordinary_quote_lacks_no_sign_and_says_nothing_of_it():
    assert quote_signs_lacking(a_quote()) == ()
    assert "stands for a sign" not in text_of(quote_pdf(a_quote(), US))


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("Ａｎｎ", "Ann"),
        ("\ud83d broken", "□ broken"),
        ("bell\x07 nul\x00 end", "bell nul end"),
        ("turned \u202eround", "turned round"),
        ("own \ue000 sign", "own □ sign"),
        ("﷼", "ریال"),
        ("e\u0301clair", "éclair"),
        ("☀\ufe0f", "☀"),
        ("x\U0001f468\u200d\U0001f469y", "x□□y"),
    ],
)
def test_odd_signs_never_fail_a_quote(typed, shown):
    text = text_of(quote_pdf(a_quote(customer=typed), US))
    assert shown.replace(" ", "") in text.replace(" ", "") or shown[::-1] in text


@pytest.mark.parametrize(
    ("currency", "locale", "minor", "shown"),
    [
        ("JPY", "en_US", 18500, "¥18,500"),
        ("KWD", "en_US", 18500, "KWD 18.500"),
        ("KWD", "sv_SE", 1850000, "1 850,000 KWD"),
        ("EUR", "de_DE", 123456, "1.234,56 €"),
        ("INR", "en_IN", 12345678, "₹1,23,456.78"),
        ("USD", "en_US", 10**15, "$10,000,000,000,000.00"),
    ],
)
def test_amounts_have_the_decimals_of_their_currency(currency, locale, minor, shown):
    amount = Money(minor, currency)
    quote = a_quote(each=amount, price=amount, total=amount, deposit=None, balance=None, tax=None, lines=())
    pdf = quote_pdf(quote, Words(locale, "metric", "UTC", currency))
    assert shown.replace(" ", "") in text_of(pdf).replace(" ", "")
    assert len(opened(pdf).pages) == 1


def test_contained_tax_stands_below_the_total_and_added_tax_above():
    added = text_of(quote_pdf(a_quote(), US))
    tax = TaxLine("", Decimal("0.25"), Money(4269, "USD"), contained=True)
    contained = text_of(quote_pdf(a_quote(tax=tax), US))
    assert added.index("Sales tax 7%") < added.index("Total $213.47")
    assert contained.index("Contained in the total: Tax 25% $42.69") > contained.index("Total $213.47")


def test_several_alike_name_the_price_of_each():
    text = text_of(quote_pdf(a_quote(copies=3, price=Money(55500, "USD")), US))
    assert "3 rugs, woven to order, at $185.00 each $555.00" in text
    assert "3 rugs alike" in text


def test_what_is_not_given_leaves_no_trace():
    bare = a_quote(
        holds_until=None, customer="", title="", wording="", weave="", materials=(), lines=(), tax=None,
        deposit=None, balance=None, care=(), cautions=(), with_signing=False,
        shop=a_shop(address=(), contact=(), colours=()),
    )  # fmt: skip
    pdf = quote_pdf(bare, US)
    text = text_of(pdf)
    for absent in (
        "Holds until",
        "Quoted to",
        "Woven of",
        "Sales tax",
        "Deposit",
        "Care",
        "Please mind",
        "Accepted",
    ):
        assert absent not in text
    assert [tag for tag, _ in tags_of(pdf) if tag.startswith("H")] == ["H1", "H2", "H2", "H2"]


@pytest.mark.parametrize("name", ["W" * 200, "Anna-Maria " * 18, "å" * 200])
def test_a_name_of_200_letters_keeps_within_its_page(name):
    pdf = quote_pdf(a_quote(customer=name, title=name), US)
    shown = text_of(pdf).replace(" ", "").replace("-", "")
    assert name.replace(" ", "").replace("-", "") in shown
    assert _rightmost(pdf) < opened(pdf).pages[0].mediabox.width - 50


def test_long_text_flows_on_to_further_pages():
    long = a_quote(wording="A sentence of the weaver's own. " * 300, terms=("And one more thing.",) * 40)
    pdf = quote_pdf(long, US)
    text = text_of(pdf)
    assert len(opened(pdf).pages) > 1
    assert text.count("And one more thing.") == 40
    assert "Total $213.47" in text
    assert "Accepted: name" in text
    assert f"1 / {len(opened(pdf).pages)}" in text


def test_ten_thousand_letters_without_a_space_are_still_a_quote():
    pdf = quote_pdf(a_quote(wording="x" * 20_000, customer="y" * 20_000), US)
    assert "Total $213.47" in text_of(pdf)


@pytest.mark.parametrize(
    ("width", "length"), [("2 in", "2 in"), ("5 m", "30 cm"), ("60 cm", "20 m"), ("1 m", "1 m")]
)
def test_rugs_of_any_shape_fit_on_one_page(width, length):
    (w, wu), (le, lu) = width.split(), length.split()
    size = Size(Length.of(w, wu), Length.of(le, lu))
    pdf = quote_pdf(a_quote(rug=a_rug(size=size, panels=3)), US)
    assert len(opened(pdf).pages) == 1


def test_a_hundred_stripes_and_many_cloths_print():
    bands = tuple(Band(f"#{i * 2:02x}6040", 1 + i % 3, f"Cloth {i}") for i in range(100))
    cloths = tuple(Material(f"Cloth {i}", "wool", f"#{i * 2:02x}6040") for i in range(40))
    text = text_of(quote_pdf(a_quote(rug=a_rug(bands=bands), materials=cloths), US))
    assert "Cloth 39 · wool" in text
    assert "felt and shrink" in text


def test_the_same_quote_is_the_same_file():
    assert quote_pdf(a_quote(), US) == quote_pdf(a_quote(), US)
    assert quote_pdf(a_quote(), US) != quote_pdf(a_quote(number="Q-15"), US)


def test_several_threads_print_at_once():
    quotes = [a_quote(number=f"Q-{n}", customer=f"Customer {n} {chr(0x4E00 + n)}") for n in range(24)]
    with ThreadPoolExecutor(6) as pool:
        papers = list(pool.map(lambda quote: quote_pdf(quote, US), quotes))
    for n, pdf in enumerate(papers):
        assert f"Customer {n} □" in text_of(pdf)
        assert f"Q-{n}" in text_of(pdf)


def _rightmost(pdf: bytes) -> float:
    """How far to the right any text begins."""
    found = [0.0]

    def visit(text, _cm, tm, _font, _size):
        if text.strip():
            found.append(tm[4])

    for page in opened(pdf).pages:
        page.extract_text(visitor_text=visit)
    return max(found)
