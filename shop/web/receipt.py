"""A receipt of the till: a private page for whoever bought, its paper, and the letter that brings it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from flask import Blueprint, Response, url_for

from shop.core.errors import NotFound
from shop.paper.money_paper import MoneyPaper, money_paper_pdf
from shop.usecases import receipt as receipts
from shop.usecases import shop as shops
from shop.usecases.receipt import Receipt
from shop.web.errors import wrong
from shop.web.offer import letters_are_sent, pdf
from shop.web.order_forms import MEANS
from shop.web.pages import page, show
from shop.web.quote_papers import shop_head
from shop.web.security import limiter
from shop.web.shell import public_address, shell_now, store_now, words_now
from shop.words import Words
from shop.words.problems import problem_sentences

room = Blueprint("receipt", __name__, url_prefix="/receipt")

ATTEMPTS: Final = "120 per 15 minutes"
"""From one address; a link cannot be guessed anyhow."""


@page("till/receipt.html")
class ReceiptPage:
    """A receipt as whoever bought sees it."""

    title: str
    day: str
    rows: tuple[tuple[str, str], ...]
    paper: str
    undone: bool
    fair: str
    contact: tuple[str, ...]


@room.after_request
def keep_private(response: Response) -> Response:
    """No search engine lists it, and no address that it links to learns of it."""
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    response.headers["Cache-Control"] = "no-store"
    return response


@room.get("/<key>")
@limiter.limit(ATTEMPTS)
def show_receipt(key: str) -> Response:
    """The receipt, once its sale has been sent."""
    try:
        found = receipts.receipt(store_now(), key=key)
    except NotFound as refusal:
        return wrong(404, *problem_sentences(refusal.problems, words_now()))
    words = words_now()
    head = shop_head(shops.current(store_now()))
    context = ReceiptPage(
        title=_title(found, words),
        day=words.date(found.on),
        rows=receipt_rows(found, words),
        paper=url_for("receipt.print_receipt", key=key),
        undone=found.undone,
        fair=found.fair,
        contact=(*head.address, *head.contact),
    )
    return show(context)


def _title(found: Receipt, words: Words) -> str:
    return words.say("Receipt %(number)s", number=str(found.number))


def receipt_rows(found: Receipt, words: Words) -> tuple[tuple[str, str], ...]:
    """What stands on it: the rugs, what was bargained off, the tax, the total, and how it was paid."""
    say, money, off = words.say, words.money, found.bargained_off
    rows = [
        (
            " · ".join((say("No. %(number)s %(name)s", number=str(one.number), name=one.name), words.size(one.size))),
            money(one.asked if off else one.price),
        )
        for one in found.lines
    ]
    if off:
        rows.append((say("Bargained off"), money(-off)))
    if found.tax:
        tax = say("%(name)s %(rate)s", name=found.tax_name or say("Tax"), rate=words.percent(found.tax_rate, 2))
        rows.append((say("%(tax)s in it", tax=tax) if found.tax_contained else say("%(tax)s on top", tax=tax), money(found.tax)))
    if found.rounding:
        rows.append((say("Rounded for cash"), money(found.rounding)))
    rows.append((say("Paid: %(means)s", means=say(MEANS[found.means])), money(found.total)))
    if found.change:
        rows += [(say("Given"), money(found.given)), (say("Change"), money(found.change))]
    return tuple(rows)


@room.get("/<key>/receipt.pdf")
@limiter.limit(ATTEMPTS)
def print_receipt(key: str) -> Response:
    """The receipt on paper."""
    found = receipts.receipt(store_now(), key=key)
    words = words_now()
    paper = MoneyPaper(
        kind=words.say("Receipt"),
        number=str(found.number),
        day=found.on,
        shop=shop_head(shops.current(store_now())),
        about=found.fair,
        rows=receipt_rows(found, words),
        facts=((words.say("Undone"), words.say("This sale was undone, and its money given back.")),) if found.undone else (),
    )
    return pdf(money_paper_pdf(paper, words), f"receipt-{found.number}.pdf")


def letter_now() -> Callable[[Receipt], tuple[str, str]] | None:
    """Writes the letter that brings a receipt; ``None`` where no mail server is set."""
    if not letters_are_sent():
        return None
    words, shop = words_now(), shell_now().shop_name
    return lambda found: letter_of(found, words, shop)


def letter_of(found: Receipt, words: Words, shop: str) -> tuple[str, str]:
    """Subject and body: what stands on the receipt, and where it can be printed."""
    say = words.say
    subject = say("Your receipt from %(shop)s", shop=shop)
    lines = [f"{what}: {amount}" for what, amount in receipt_rows(found, words)]
    link = f"{public_address()}{url_for('receipt.show_receipt', key=found.key)}"
    body = "\n".join([_title(found, words), words.date(found.on), "", *lines, "", say("To print it: %(link)s", link=link), "", shop])
    return subject, body
