"""Every sentence of the papers goes through the shop's language, and each is said somewhere."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.extract import extract_from_dir

import shop.paper
from shop.core.loom import Size
from shop.core.measure import Length
from shop.paper.advice import FIBRES, short_care
from shop.paper.calendar import DueDate, DueKind, calendar_file
from shop.paper.cost_sheet import cost_sheet_texts
from shop.paper.drawing import Ends
from shop.paper.invoice import invoice_texts
from shop.paper.job_card import MOST_BANDS, job_card_texts
from shop.paper.label_sheets import SHEETS, sheet_name
from shop.paper.labels import label_texts
from shop.paper.letterhead import missing_note
from shop.paper.money_paper import MoneyPaper, money_paper_texts
from shop.paper.packing_list import packing_list_texts
from shop.paper.price_list import price_list_texts
from shop.paper.quote import Material, TaxLine, quote_texts
from shop.paper.rug_label import rug_label_texts
from shop.paper.tag import SIZES, size_name, tag_texts
from shop.words import Words
from tests.paper.a_card import a_band, a_card, a_cut, a_rug_label
from tests.paper.a_label import a_label
from tests.paper.a_paper import a_cost_sheet, a_quote, a_rug, a_shop
from tests.paper.a_tag import DAY, a_listed_rug, a_tag
from tests.paper.an_invoice import an_invoice

GIVEN = {"Hall rug in blues", "Blue Door Rag Rugs", "Rag weft on a cotton warp", "Navy denim", "Sheeting"}


class Listening(Words):
    """Words that remember what they were asked to say."""

    __slots__ = ()
    heard: set[str] = set()  # noqa: RUF012 - one memory for all, as wanted

    def say(self, msgid, /, **values):
        self.heard.add(msgid)
        return super().say(msgid, **values)

    def say_n(self, singular, plural, number, /, **values):
        self.heard.add(singular)
        return super().say_n(singular, plural, number, **values)


def _written() -> set[str]:
    keywords = {"say": None, "say_n": (1, 2), "mark": None}
    folder = Path(shop.paper.__file__).parent
    found = extract_from_dir(folder, [("**.py", "python")], {}, keywords)
    return {message if isinstance(message, str) else message[0] for _, _, message, *_ in found}


def test_every_sentence_written_is_said_on_some_paper():
    words = Listening()
    words.heard.clear()
    tax = a_quote().tax
    some = Material("Scarf", "wool", "#aa3344")
    quotes = [
        a_quote(promised=a_quote().day),
        a_quote(materials=(some,), tax=TaxLine("", tax.rate, tax.amount, contained=True), copies=2),
        a_quote(
            rug=a_rug(bands=a_rug().bands * 4, panels=2), materials=tuple(Material(f, f) for f in FIBRES)
        ),
        *(a_quote(rug=a_rug(ends=ends)) for ends in Ends),
    ]
    for quote in quotes:
        quote_texts(quote, words)
    cost_sheet_texts(a_cost_sheet(), words)
    cost_sheet_texts(a_cost_sheet(number=""), words)
    label_texts([a_label()], SHEETS["a4-24"], shop=a_shop(), words=words)
    for sheet in SHEETS.values():
        sheet_name(sheet, words)
    many = tuple(a_band() for _ in range(MOST_BANDS + 2))
    for card in (a_card(bands=many), a_card(name="", cuts=(a_cut(strips=500),)), a_card(cuts=())):
        job_card_texts(card, words)
    for weight in ("", "3.2 lb"):
        rug_label_texts(a_rug_label(weight=weight), words)
    receipt = MoneyPaper(kind="Receipt", number="7", day=a_quote().day, shop=a_shop(), about="", rows=())
    for paper in (receipt, replace(receipt, is_request=True)):
        money_paper_texts(paper, words)
    for invoice in (an_invoice(), an_invoice(paid="1000", tax_rate="0"), an_invoice(of=(7, a_quote().day))):
        invoice_texts(invoice, words)
    short_care(words, ("wool",))
    for size in SIZES.values():
        size_name(size, words)
        size_name(size, replace(words, units="metric"))
        tag_texts([a_tag()], size, shop=a_shop(), words=words)
    listed = [a_listed_rug(price="")]
    price_list_texts(listed, shop=a_shop(), day=DAY, words=words)
    packing_list_texts(listed, together="", shop=a_shop(), day=DAY, words=words)
    noon = datetime(2026, 3, 17, 12, tzinfo=UTC)
    due = [DueDate(number=7, what="Hall rug", day=noon.date(), kind=kind, stamp=noon) for kind in DueKind]
    calendar_file(due, name="Blue Door Rag Rugs", words=words)
    missing_note(words)
    written = _written()
    assert len(written) > 50
    assert written - words.heard == set()


def test_nothing_on_a_sheet_is_said_without_the_catalogue(monkeypatch):
    monkeypatch.setattr(Words, "say", lambda _self, _msgid, /, **_values: "¤")
    monkeypatch.setattr(Words, "say_n", lambda _self, _one, _more, _number, /, **_values: "¤")
    quote = replace(a_quote(), number="1", rug=a_rug(size=Size(Length.of(1, "m"), Length.of(2, "m"))))
    for texts in (quote_texts(quote, Words()), cost_sheet_texts(a_cost_sheet(number="1"), Words())):
        english = {text for text in _texts(texts) if text.count(" ") > 1 and "¤" not in text}
        given = {quote.wording, *GIVEN, *quote.shop.address, *_given_to_the_sheet()}
        given |= {Words().date(day) for day in (quote.day, quote.holds_until)}
        assert english - given == set()


def _given_to_the_sheet() -> list[str]:
    sheet = a_cost_sheet()
    lines = [line for section in sheet.sections for line in section.lines]
    return [
        *sheet.notes,
        *(x for pair in sheet.facts for x in pair),
        *(x for li in lines for x in (li.name, li.formula, li.between)),
    ]


def _texts(value) -> list[str]:
    if isinstance(value, str):
        return [value]
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for each in inner for text in _texts(each)]
