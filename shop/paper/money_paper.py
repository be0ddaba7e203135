"""An invoice, a receipt or a credit note: one plain page with its number, its day, and the amounts."""

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
        kind: invoice, receipt or credit note, in the shop's language.
        number: of its kind, without holes.
        day: the date on it.
        shop: whose it is.
        about: what it is for.
        rows: (what, amount), the amounts finished.
        note: anything more; may be empty.
    """

    kind: str
    number: int
    day: date
    shop: ShopHead
    about: str
    rows: tuple[tuple[str, str], ...]
    note: str = ""


def money_paper_pdf(paper: MoneyPaper, words: Words) -> bytes:
    """The paper as a PDF."""
    return printed("money_paper", money_paper_texts(paper, words), day=paper.day, note=missing_note(words))


def money_paper_texts(paper: MoneyPaper, words: Words) -> Texts:
    """Everything that stands on it, as finished text."""
    title = words.say("%(kind)s %(number)s", kind=paper.kind, number=str(paper.number))
    return {
        **sheet_texts(paper.shop, words, title=title, foot=title),
        "heading": title,
        "date": words.date(paper.day),
        "about": paper.about,
        "rows": [{"label": label, "amount": amount} for label, amount in paper.rows],
        "more": paper.note,
        "local": words.say("What a paper like this must say differs by country; check the rules where you sell."),
    }
