"""The quote as the customer gets it: one page, tagged, with the rug drawn to scale.

Everything is in the dataclass already reckoned; nothing is worked out here but where it stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from shop.core.money import Money, total
from shop.paper.advice import care_lines, caution_lines, fibre_text, usual_terms
from shop.paper.drawing import RugDrawing, colour, drawing_texts
from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed, signs_lacking
from shop.words import Words

MOST_LINES: Final = 60
"""More materials, prices or terms than these are left to other papers."""


@dataclass(frozen=True, slots=True)
class Material:
    """A cloth or a yarn in the rug.

    Attributes:
        name: as the customer may read it.
        fibre: a fibre's key; ``None`` or ``"unknown"`` says that it is not known, ``""`` says nothing.
        mixture: of a mixed cloth, each fibre's key with its share; ``fibre`` is left aside then.
        colour: ``"#rrggbb"``.
    """

    name: str
    fibre: str | None = None
    colour: str = ""
    mixture: tuple[tuple[str, Decimal], ...] = ()

    def fibres(self) -> list[str | None]:
        """The keys of all its fibres; none where nothing is to be said."""
        if self.mixture:
            return [fibre for fibre, _ in self.mixture]
        return [] if self.fibre == "" else [self.fibre]

    def told(self, words: Words) -> str:
        """Its fibres in words."""
        if self.mixture:
            return ", ".join(f"{fibre_text(fibre, words)} {words.percent(share, 0)}" for fibre, share in self.mixture)
        return "" if self.fibre == "" else fibre_text(self.fibre, words)


@dataclass(frozen=True, slots=True)
class PriceLine:
    """A further line of the price, such as postage, or a discount as a negative amount."""

    label: str
    amount: Money


@dataclass(frozen=True, slots=True)
class TaxLine:
    """The tax.

    Attributes:
        label: what it is called there, such as "Sales tax" or "moms"; empty says "Tax".
        rate: a share, 0.25 is 25 %.
        amount: in money.
        contained: whether the prices above contain it; else it comes on top.
    """

    label: str
    rate: Decimal
    amount: Money
    contained: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerQuote:
    """All that a customer's quote says.

    Attributes:
        number: of the quote.
        day: the date on it.
        holds_until: the last day that it holds; ``None`` leaves it out.
        promised: the day by which the rug is to be ready; ``None`` leaves it out.
        shop: whose it is.
        customer: whom it is for; may be empty.
        title: what the rug is called; may be empty.
        wording: a few sentences of the weaver's own; blank lines part paragraphs.
        rug: its size and its drawing.
        weave: how it is woven, in the shop's words; may be empty.
        copies: how many alike.
        materials: cloth and warp.
        each: the price of one rug.
        price: of all copies, without the lines below.
        lines: postage, discount and the like.
        tax: ``None`` where none is charged.
        total: what is to be paid in all.
        deposit: to be paid before work starts; ``None`` where none is asked.
        balance: what is left to pay.
        terms: of the shop, after those that go for every rug.
        care, cautions: ``None`` takes the usual ones; the shop's own replace them.
        with_signing: whether to leave lines to accept it on.
    """

    number: str
    day: date
    holds_until: date | None = None
    promised: date | None = None
    shop: ShopHead
    customer: str = ""
    title: str = ""
    wording: str = ""
    rug: RugDrawing
    weave: str = ""
    copies: int = 1
    materials: tuple[Material, ...] = ()
    each: Money
    price: Money
    lines: tuple[PriceLine, ...] = ()
    tax: TaxLine | None = None
    total: Money
    deposit: Money | None = None
    balance: Money | None = None
    terms: tuple[str, ...] = ()
    care: tuple[str, ...] | None = None
    cautions: tuple[str, ...] | None = None
    with_signing: bool = True


def quote_pdf(quote: CustomerQuote, words: Words) -> bytes:
    """The quote as a PDF, in the shop's language, on the paper of its country.

    A sign that our letters lack is set as an open box and said so at the foot; ``quote_signs_lacking``
    tells which, before it is printed. The same quote is always the same file.
    """
    return printed("quote", quote_texts(quote, words), day=quote.day, note=missing_note(words))


def quote_signs_lacking(quote: CustomerQuote) -> tuple[str, ...]:
    """The signs of this quote that will be set as boxes; none as a rule."""
    return signs_lacking(
        quote.shop.name, *quote.shop.address, *quote.shop.contact, quote.number, quote.customer, quote.title,
        quote.wording, quote.weave, *(cloth.name for cloth in quote.materials),
        *(line.label for line in quote.lines), quote.tax.label if quote.tax else "",
        *quote.terms, *(quote.care or ()), *(quote.cautions or ()),
    )  # fmt: skip


def quote_texts(quote: CustomerQuote, words: Words) -> Texts:
    """Everything that stands on the quote, as finished text."""
    say = words.say
    heading = say("Quote")
    title = say("Quote %(number)s from %(shop)s", number=quote.number, shop=quote.shop.name)
    fibres = [fibre for cloth in quote.materials for fibre in cloth.fibres()]
    facts = [_fact(say("Number"), quote.number), _fact(say("Date"), words.date(quote.day))]
    if quote.holds_until:
        facts.append(_fact(say("Holds until"), words.date(quote.holds_until)))
    if quote.promised:
        facts.append(_fact(say("Ready by"), words.date(quote.promised)))
    care = care_lines(words, fibres) if quote.care is None else quote.care
    cautions = caution_lines(words, fibres) if quote.cautions is None else quote.cautions
    return {
        **sheet_texts(quote.shop, words, title=title, foot=title),
        "heading": heading,
        "customer_label": say("Quoted to"),
        "customer": quote.customer,
        "name": quote.title,
        "wording": quote.wording.strip(),
        "facts": facts,
        "rug": drawing_texts(quote.rug, words),
        "about_heading": say("The rug"),
        "about": _about(quote, words),
        "materials_heading": say("Woven of"),
        "materials": [
            {"name": cloth.name, "fibre": cloth.told(words), "colour": colour(cloth.colour)}
            for cloth in quote.materials[:MOST_LINES]
        ],
        "price_heading": say("Price"),
        "price_columns": [say("What for"), say("Amount")],
        "price_rows": _price_rows(quote, words),
        "terms_heading": say("What goes with it"),
        "terms": [*_agreed(quote, words), *usual_terms(words), *quote.terms[:MOST_LINES]],
        "care_heading": say("Care"),
        "care": list(care[:MOST_LINES]),
        "cautions_heading": say("Please mind"),
        "cautions": list(cautions[:MOST_LINES]),
        "accept": [say("Accepted: name"), say("Date")] if quote.with_signing else [],
    }


def _fact(label: str, value: str) -> dict[str, str]:
    return {"label": label, "value": value}


def _about(quote: CustomerQuote, words: Words) -> list[dict[str, str]]:
    say = words.say
    facts = [_fact(say("Size, width × length"), words.size(quote.rug.size))]
    if quote.rug.panels > 1:
        facts.append(
            _fact(say("Made up of"), words.say_n("%(n)s panel", "%(n)s panels, seamed", quote.rug.panels))
        )
    if quote.weave:
        facts.append(_fact(say("How woven"), quote.weave))
    if quote.copies > 1:
        facts.append(_fact(say("How many"), words.say_n("%(n)s rug", "%(n)s rugs alike", quote.copies)))
    return facts


def _price_rows(quote: CustomerQuote, words: Words) -> list[dict[str, str]]:
    say = words.say

    def row(label: str, amount: Money, kind: str = "") -> dict[str, str]:
        return {"label": label, "amount": words.money(amount), "kind": kind}

    label = say("One rug, woven to order")
    if quote.copies > 1:
        label = say("%(n)s rugs, woven to order, at %(each)s each", n=quote.copies, each=quote.each)
    rows = [row(label, quote.price)]
    rows += [row(line.label, line.amount) for line in quote.lines[:MOST_LINES]]
    if quote.tax and not quote.tax.contained:
        if quote.lines:
            before = total((line.amount for line in quote.lines), quote.price.currency) + quote.price
            rows.append(row(say("Total without tax"), before))
        rows.append(row(_tax_label(quote.tax, words), quote.tax.amount))
    rows.append(row(say("Total"), quote.total, "total"))
    if quote.tax and quote.tax.contained:
        name = _tax_label(quote.tax, words)
        rows.append(row(say("Contained in the total: %(tax)s", tax=name), quote.tax.amount))
    if quote.deposit:
        rows.append(row(say("Deposit, before work starts"), quote.deposit))
        if quote.balance is not None:
            rows.append(row(say("Balance, when the rug is handed over"), quote.balance))
    return rows


def _tax_label(tax: TaxLine, words: Words) -> str:
    name = tax.label or words.say("Tax")
    return words.say("%(tax)s %(rate)s", tax=name, rate=words.percent(tax.rate, 3))


def _agreed(quote: CustomerQuote, words: Words) -> list[str]:
    agreed = []
    if quote.holds_until:
        day = words.date(quote.holds_until)
        agreed.append(words.say("The price holds until %(day)s; it is agreed when you accept it.", day=day))
    if quote.deposit:
        agreed.append(words.say("Work starts when the deposit has come in."))
    return agreed
