"""A receipt or a request for money: one plain page with its number, its day, the amounts, and how to pay."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyPaper:
    """All that such a paper says.

    Attributes:
        kind: what it is, in the shop's language.
        number: of a receipt its number, of a request its reference.
        day: the date on it.
        shop: whose it is.
        to: the customer's name and address, in lines.
        about: what it is for.
        facts: (what, value), such as the day by which to pay.
        rows: (what, amount), the amounts finished; the last is what it comes to.
        paying: how to pay, in the shop's own words; blank lines part paragraphs.
        is_request: it asks for money and is no tax document.
    """

    kind: str
    number: str
    day: date
    shop: ShopHead
    to: tuple[str, ...] = ()
    about: str
    facts: tuple[tuple[str, str], ...] = ()
    rows: tuple[tuple[str, str], ...]
    paying: str = ""
    is_request: bool = False


def money_paper_pdf(paper: MoneyPaper, words: Words) -> bytes:
    """The paper as a PDF."""
    return printed("money_paper", money_paper_texts(paper, words), day=paper.day, note=missing_note(words))


def money_paper_texts(paper: MoneyPaper, words: Words) -> Texts:
    """Everything that stands on it, as finished text."""
    title = words.say("%(kind)s %(number)s", kind=paper.kind, number=paper.number)
    return {
        **sheet_texts(paper.shop, words, title=title, foot=title),
        "heading": title,
        "date": words.date(paper.day),
        "about": paper.about,
        "to_label": words.say("To"),
        "to": [line for line in paper.to if line.strip()],
        "facts": [{"label": label, "value": value} for label, value in paper.facts],
        "rows": [{"label": label, "amount": amount} for label, amount in paper.rows],
        "paying_heading": words.say("How to pay"),
        "paying": paper.paying.strip(),
        "local": words.say("This asks for payment and is no invoice.")
        if paper.is_request
        else words.say("What a paper like this must say differs by country; check the rules where you sell."),
    }
