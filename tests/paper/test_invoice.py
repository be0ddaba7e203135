"""Invoices, credit notes, receipts and requests on paper: what a customer reads, tagged, in the shop's language and currency."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from shop.core.agreed import Agreed, invoice_of
from shop.core.invoice import Adjustment, Invoice, Line, credit_note, totals
from shop.core.money import Money
from shop.paper.invoice import InvoicePaper, invoice_pdf, invoice_texts
from shop.paper.money_paper import MoneyPaper, money_paper_pdf
from tests.paper.a_paper import SWEDEN, US, a_shop, opened, tags_of, text_of


def usd(amount):
    return Money.of(amount, "USD")


def an_order(**changed):
    usual = {
        "name": "Hall rug in blues",
        "asking": usd("180.00"),
        "discount": usd("20.00"),
        "tax": usd("10.80"),
        "total": usd("190.80"),
        "tax_rate": Decimal("0.06"),
        "tax_included": False,
    }
    return Agreed(**{**usual, **changed})


def a_paper(found=None, **given):
    usual = {
        "number": 7,
        "day": date(2026, 11, 25),
        "shop": a_shop(),
        "tax_number": "VAT 12 345",
        "buyer": ("Miriam Oakes", "3 Weir Street", "Harrow Falls"),
        "supplied": date(2026, 11, 20),
        "due": date(2026, 12, 9),
        "totals": found or totals(invoice_of(an_order(), paid=usd("95.40"))),
        "quantities": (Decimal(1),),
        "tax_name": "Sales tax",
        "paying": "Mill Bank\nAccount 123",
    }
    return InvoicePaper(**{**usual, **given})


def test_it_says_all_that_was_agreed_and_each_sum_on_the_way_to_what_is_due():
    pdf = invoice_pdf(a_paper(), US)
    text = text_of(pdf)
    for said in (
        "Blue Door Rag Rugs", "14 Mill Lane", "Invoice 7", "To Miriam Oakes 3 Weir Street Harrow Falls",
        "Date November 25, 2026", "Date of supply November 20, 2026", "Our tax number VAT 12 345",
        "To be paid by December 9, 2026",
        "Rag rug, woven by hand: Hall rug in blues 1 $200.00", "Discount -$20.00", "Total without tax $180.00",
        "Sales tax, 6% of $180.00 $10.80", "Total with tax $190.80", "Paid already -$95.40", "To pay $95.40",
        "How to pay Mill Bank Account 123", "check the rules where you sell",
    ):  # fmt: skip
        assert said in text, said
    assert len(opened(pdf).pages) == 1
    assert "No tax is charged" not in text


def test_it_is_tagged_titled_and_in_a_language():
    pdf = invoice_pdf(a_paper(), US)
    root = opened(pdf).trailer["/Root"]
    assert (root["/Lang"], opened(pdf).metadata.title) == ("en-US", "Invoice 7 from Blue Door Rag Rugs")
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    tags = {tag for tag, _ in tags_of(pdf)}
    assert {"H1", "H2", "Table", "TH", "TD", "P"} <= tags


def test_a_credit_note_names_its_invoice_and_mirrors_it_without_asking_for_money():
    invoice = invoice_of(an_order(), paid=usd("95.40"))
    text = text_of(invoice_pdf(a_paper(credit_note(invoice), of=(7, date(2026, 11, 25)), quantities=(Decimal(-1),)), US))
    for said in (
        "Credit note 7", "Takes back invoice 7 of November 25, 2026, whole.", "Hall rug in blues -1 -$200.00",
        "Discount $20.00", "Sales tax, 6% of -$180.00 -$10.80", "Total with tax -$190.80",
    ):  # fmt: skip
        assert said in text, said
    for left_out in ("To pay", "Paid already", "How to pay"):
        assert left_out not in text


def test_contained_tax_is_taken_out_of_every_amount():
    price = an_order(asking=usd("120.00"), discount=usd("0"), tax=usd("20.00"), total=usd("120.00"), tax_rate=Decimal("0.2"), tax_included=True)
    text = text_of(invoice_pdf(a_paper(totals(invoice_of(price, paid=usd("0")))), US))
    for said in ("1 $100.00", "Total without tax $100.00", "Sales tax, 20% of $100.00 $20.00", "Total with tax $120.00", "To pay $120.00"):
        assert said in text, said
    assert "Paid already" not in text


@pytest.mark.parametrize(("words", "said"), [("", "No tax is charged."), ("Small business:\nno VAT.", "Small business: no VAT.")])
def test_without_tax_it_says_so_in_the_shops_words(words, said):
    price = an_order(tax=usd("0"), total=usd("180.00"), tax_rate=Decimal(0))
    text = text_of(invoice_pdf(a_paper(totals(invoice_of(price, paid=usd("0"))), no_tax=words), US))
    assert said in text
    assert "Total without tax" not in text
    assert "Total $180.00" in text


@pytest.mark.parametrize(("paid", "said"), [("190.80", "To pay $0.00"), ("200.00", "To be given back $9.20")])
def test_what_is_paid_is_not_asked_for_and_what_is_too_much_is_told(paid, said):
    text = text_of(invoice_pdf(a_paper(totals(invoice_of(an_order(), paid=usd(paid)))), US))
    assert said in text
    assert "How to pay" not in text


def test_each_rate_of_tax_stands_by_itself_with_what_it_is_on():
    invoice = Invoice(
        currency="USD",
        lines=(
            Line(name="Rug", quantity=Decimal(2), price=Decimal(50), tax_rate=Decimal("0.25")),
            Line(name="", quantity=Decimal("1.5"), price=Decimal(10), tax_rate=Decimal("0.08875")),
        ),
        charges=(Adjustment(name="Carriage", amount=usd("8.00"), tax_rate=Decimal("0.25")),),
        rounding=usd("-0.03"),
    )
    text = text_of(invoice_pdf(a_paper(totals(invoice), quantities=(Decimal(2), Decimal("1.5")), tax_name=""), US))
    for said in (
        "Rag rug, woven by hand: Rug 2 $100.00", "Rag rug, woven by hand 1.5 $15.00", "Carriage $8.00",
        "Tax, 8.875% of $15.00 $1.33", "Tax, 25% of $108.00 $27.00", "Total tax $28.33", "Rounding -$0.03", "To pay $151.30",
    ):  # fmt: skip
        assert said in text, said


def test_it_stands_whatever_people_type():
    odd = '#eval("1") $x$ *b* `r` <label> 漢字 🧶'
    paper = a_paper(buyer=(odd, "x" * 400), tax_number=odd, tax_name=odd, paying=f"{odd}\n\n\n{odd}", supplied=None)
    assert "not yet handed over" in text_of(invoice_pdf(paper, US))
    assert text_of(invoice_pdf(replace(paper, buyer=()), SWEDEN))


def test_the_same_invoice_is_the_same_file():
    assert invoice_pdf(a_paper(), US) == invoice_pdf(a_paper(), US)
    assert invoice_texts(a_paper(), US) == invoice_texts(a_paper(), US)


def test_a_request_says_by_when_how_and_what_to_write_on_the_payment():
    paper = MoneyPaper(
        kind="Deposit: request",
        number="12-1",
        day=date(2026, 11, 25),
        shop=a_shop(),
        to=("Miriam Oakes", "", "3 Weir Street"),
        about="Hall rug in blues",
        facts=(("To be paid by", "December 9, 2026"), ("Please write on the payment", "12-1")),
        rows=(("The rug costs, tax and all", "$190.80"), ("Deposit to pay now", "$95.40")),
        paying="Mill Bank\nAccount 123\n\nOr cash at the studio",
        is_request=True,
    )
    pdf = money_paper_pdf(paper, US)
    text = text_of(pdf)
    for said in (
        "Deposit: request 12-1", "To Miriam Oakes 3 Weir Street", "no invoice", "To be paid by December 9, 2026",
        "Please write on the payment 12-1", "Deposit to pay now $95.40", "Mill Bank Account 123 Or cash at the studio",
    ):  # fmt: skip
        assert said in text, said
    assert {"H1", "H2", "Table"} <= {tag for tag, _ in tags_of(pdf)}
    assert "How to pay" not in text_of(money_paper_pdf(replace(paper, paying=""), US))
