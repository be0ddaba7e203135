"""An invoice or a credit note on paper: who, to whom, what, the tax at each rate, what was paid, and what is due.

It says what the European standard for the sums of an invoice (EN 16931) names; what else a country wants is for the shop to check.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shop.core.agreed import DISCOUNT, FOR_LESS
from shop.core.invoice import Taxed, Totals
from shop.core.money import Money
from shop.paper.letterhead import ShopHead, missing_note, sheet_texts
from shop.paper.press import Texts, printed
from shop.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoicePaper:
    """All that an invoice or a credit note says.

    Attributes:
        number: of its kind, without holes.
        day: the date on it.
        shop: whose it is.
        tax_number: of the shop; may be empty.
        buyer: the customer's name and address, in lines.
        supplied: the day that the rug was handed over; ``None`` before.
        totals: added up; every amount of a credit note has the other sign.
        quantities: of each line.
        tax_name: what the tax is called; empty says "Tax".
        no_tax: what to say where no tax is charged; empty says just that.
        paying: how to pay, in the shop's own words.
        due: the day by which what is left is to be paid, where anything is.
        of: number and day of the invoice that a credit note takes back; ``None`` on an invoice.
    """

    number: int
    day: date
    shop: ShopHead
    tax_number: str = ""
    buyer: tuple[str, ...] = ()
    supplied: date | None = None
    totals: Totals
    quantities: tuple[Decimal, ...]
    tax_name: str = ""
    no_tax: str = ""
    paying: str = ""
    due: date | None = None
    of: tuple[int, date] | None = None


def invoice_pdf(paper: InvoicePaper, words: Words) -> bytes:
    """The paper as a PDF."""
    return printed("invoice", invoice_texts(paper, words), day=paper.day, note=missing_note(words))


def invoice_texts(paper: InvoicePaper, words: Words) -> Texts:
    """Everything that stands on it, as finished text."""
    say, found = words.say, paper.totals
    heading = say("Credit note %(number)s", number=str(paper.number)) if paper.of else say("Invoice %(number)s", number=str(paper.number))
    taxed = any(one.tax_rate for one in found.taxes)
    return {
        **sheet_texts(paper.shop, words, title=say("%(paper)s from %(shop)s", paper=heading, shop=paper.shop.name), foot=heading),
        "heading": heading,
        "facts": [{"label": label, "value": value} for label, value in _facts(paper, words)],
        "to_label": say("To"),
        "to": [line for line in paper.buyer if line.strip()],
        "takes_back": _takes_back(paper, words),
        "columns": [say("What"), say("How many"), say("Amount without tax") if taxed else say("Amount")],
        "lines": [
            {"name": _line_name(line, words), "quantity": words.number(quantity), "amount": words.money(line.net)}
            for line, quantity in zip(found.lines, paper.quantities, strict=True)
        ],
        "sums": _sums(paper, words, taxed=taxed),
        "no_tax": "" if taxed else paper.no_tax.strip() or say("No tax is charged."),
        "paying_heading": say("How to pay"),
        "paying": paper.paying.strip() if not paper.of and found.due.minor > 0 else "",
        "local": say("What a paper like this must say differs by country; check the rules where you sell."),
    }


def _facts(paper: InvoicePaper, words: Words) -> list[tuple[str, str]]:
    say = words.say
    supplied = words.date(paper.supplied) if paper.supplied else say("not yet handed over")
    facts = [(say("Date"), words.date(paper.day)), (say("Date of supply"), supplied)]
    if paper.due:
        facts.append((say("To be paid by"), words.date(paper.due)))
    if paper.tax_number:
        facts.append((say("Our tax number"), paper.tax_number))
    return facts


def _takes_back(paper: InvoicePaper, words: Words) -> str:
    if paper.of is None:
        return ""
    number, day = paper.of
    return words.say("Takes back invoice %(number)s of %(day)s, whole.", number=str(number), day=words.date(day))


def _line_name(line: Taxed, words: Words) -> str:
    return words.say("Rag rug, woven by hand: %(name)s", name=line.name) if line.name else words.say("Rag rug, woven by hand")


def _adjustment_name(one: Taxed, words: Words) -> str:
    match one.name:
        case _ if one.name == DISCOUNT:
            return words.say("Discount")
        case _ if one.name == FOR_LESS:
            return words.say("Taken off when it was handed over")
    return one.name


def _sums(paper: InvoicePaper, words: Words, *, taxed: bool) -> list[dict[str, str]]:
    """From the lines to what is due, as EN 16931 goes: each sum follows from those above it."""
    say, found = words.say, paper.totals
    rows: list[tuple[str, Money, str]] = [(_adjustment_name(one, words), -one.net, "") for one in found.allowances]
    rows += [(_adjustment_name(one, words), one.net, "") for one in found.charges]
    if taxed:
        rows.append((say("Total without tax"), found.without_tax, "sum"))
        for one in found.taxes:
            label = say("%(tax)s, %(rate)s of %(amount)s", tax=paper.tax_name or say("Tax"), rate=words.percent(one.tax_rate, 3), amount=one.taxable)
            rows.append((label, one.tax, ""))
        if len(found.taxes) > 1:
            rows.append((say("Total tax"), found.tax, "sum"))
    rows.append((say("Total with tax") if taxed else say("Total"), found.with_tax, "total"))
    if not paper.of:
        if found.paid:
            rows.append((say("Paid already"), -found.paid, ""))
        if found.rounding:
            rows.append((say("Rounding"), found.rounding, ""))
        if found.due.minor < 0:
            rows.append((say("To be given back"), -found.due, "total"))
        else:
            rows.append((say("To pay"), found.due, "total"))
    return [{"label": label, "amount": words.money(amount), "kind": kind} for label, amount, kind in rows]
