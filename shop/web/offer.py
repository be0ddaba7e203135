"""Offers: made from a saved quote, sent by a private link, kept with all their revisions."""

from __future__ import annotations

import re
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any, Final
from urllib.parse import quote as in_address

from flask import Blueprint, Response, current_app, redirect, request, url_for

from shop.core.errors import Problem, Refusal, Unreadable
from shop.core.order import OfferState
from shop.paper.quote import quote_pdf, quote_texts
from shop.usecases import customer as customers
from shop.usecases import drafting, outbox, promises
from shop.usecases import offer as offers
from shop.usecases.customer import CustomerGiven
from shop.usecases.drafting import OpenQuote
from shop.usecases.offer import OfferCard, OfferGiven, about_offer
from shop.web.asked import number_of
from shop.web.fields import DateField, ReadField, RevisionField, SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.labels import only_this_machine
from shop.web.letter_words import LETTER_STATES
from shop.web.pages import page, show
from shop.web.quote_papers import customer_quote
from shop.web.rug_drawing import drawing_of
from shop.web.shell import key_now, moment, public_address, store_now, tell, words_now
from shop.words import Words, mark
from shop.words.problems import problem_sentences

room = Blueprint("offer", __name__, url_prefix="/offers")

STATES: Final[dict[str, str]] = {
    OfferState.OFFERED.value: mark("offered"),
    OfferState.ACCEPTED.value: mark("accepted"),
    OfferState.DECLINED.value: mark("declined"),
    OfferState.WITHDRAWN.value: mark("withdrawn"),
    OfferState.LAPSED.value: mark("lapsed"),
}
MOST_KNOWN: Final = 200
"""Customers that are offered by name, the newest; whoever else is known is found by typing name or number."""
SHOWN: Final[dict[str, tuple[str | None, str]]] = {
    "open": (OfferState.OFFERED.value, mark("Open")),
    "accepted": (OfferState.ACCEPTED.value, mark("Accepted")),
    "all": (None, mark("All")),
}
"""What of the offers is shown: its word in the address, the state, its name."""


def _known(text: str) -> int:
    """The number of the customer who is meant: by number, as chosen from the list, or by a name that only they have."""
    if numbered := re.match(r"\s*([0-9]{1,12})(?![0-9])", text):
        return int(numbered[1])
    wanted = " ".join(text.split())
    found = customers.customers(store_now(), words=wanted, limit=8).customers
    called = [one for one in found if one.name.casefold() == wanted.casefold()] or found
    if len(called) != 1:
        raise Unreadable(Problem("customer.several" if called else "customer.unheard", values={"text": wanted[:40]}))
    return called[0].number


class OfferForm(ShopForm):
    """An offer to make."""

    customer = ReadField(
        mark("Somebody you know already"), read=_known, needed=False, where="customer",
        hint=mark("Their name or number. Left empty: a new customer, as written here."),
    )  # fmt: skip
    name = TextField(mark("Name"), needed=False, where="customer.name")
    mail = TextField(mark("E-mail"), needed=False, where="customer.mail")
    contact = TextField(mark("How else to reach them"), needed=False, lines=2, longest=400, where="customer.contact")
    address = TextField(mark("Address"), needed=False, lines=3, longest=600, where="customer.address", hint=mark("It stands on the invoice."))
    holds_until = DateField(mark("The offer holds until"), where="holds_until")
    promised = DateField(mark("The rug is ready by"), needed=False, where="promised")
    revision = RevisionField(default=0)
    saving = SavingField()


@page("offer/make.html")
class MakePage:
    """An offer to make of a quote."""

    form: OfferForm
    quote: int
    title: str
    size: str
    total: str
    people: tuple[tuple[int, str], ...]
    known: tuple[str, ...]
    ready: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferRow:
    """An offer in a list, or beside its other revisions."""

    address: str
    title: str
    quote: int
    revision: int
    customer: str
    size: str
    asking: str
    total: str
    deposit: str
    state: str
    offered: str
    until: str
    promised: str
    stripes: tuple[tuple[str, float], ...]
    shape: tuple[float, float]
    here: bool


@page("offer/list.html")
class OffersPage:
    """The offers, newest first."""

    rows: tuple[OfferRow, ...]
    drawers: tuple[tuple[str, str, str], ...]
    further: str


@page("offer/offer.html")
class OfferPage:
    """An offer, with all revisions of it."""

    row: OfferRow
    content: dict[str, Any]
    customer: int
    link: str
    unreachable: bool
    letter: str
    sendable: bool
    letters: tuple[tuple[str, str], ...]
    said: str
    closed: str
    job: int | None
    open: bool
    questions: tuple[tuple[str, str], ...]
    revisions: tuple[OfferRow, ...]
    act: PressForm


def public_link(card: OfferCard) -> str:
    """The private link of an offer, as a customer opens it."""
    return f"{public_address()}{url_for('answer.show_answer', token=card.token)}"


def content_of(opened: OpenQuote, words: Words, form: OfferForm) -> OfferGiven:
    """The offer that a form without mistakes means: all that the customer reads, and the same on paper."""
    day = words.today(moment())
    quote = customer_quote(opened, words, day=day, holds_until=form.holds_until.data, promised=form.promised.data)
    texts = {key: value for key, value in quote_texts(quote, words).items() if key not in ("customer", "accept")}
    texts["drawing"] = asdict(drawing_of(opened.reckoning, words))
    return OfferGiven(
        content=texts,
        paper=quote_pdf(quote, words),
        deposit=quote.deposit,
        holds_until=form.holds_until.data,
        promised=form.promised.data,
    )


@room.get("")
def show_offers() -> Response:
    """The offers."""
    shown = request.args.get("show", "") if request.args.get("show", "") in SHOWN else "open"
    found = offers.offers(
        store_now(), state=SHOWN[shown][0], below=number_of(request.args.get("below", "")), key=key_now(), now=moment()
    )
    say = words_now().say
    context = OffersPage(
        rows=tuple(_row(one) for one in found.offers),
        drawers=tuple(
            (say(name), url_for("offer.show_offers", show=word if word != "open" else None), "page" if word == shown else "")
            for word, (_, name) in SHOWN.items()
        ),
        further=url_for("offer.show_offers", show=shown, below=found.further) if found.further else "",
    )
    return show(context)


def _row(one: OfferCard, here: int | None = None) -> OfferRow:
    words = words_now()
    return OfferRow(
        address=url_for("offer.show_offer", offer_id=one.id),
        title=one.title or words.say("Quote %(number)s", number=str(one.quote)),
        quote=one.quote,
        revision=one.revision,
        customer=one.customer.name,
        size=words.size(one.size),
        asking=words.money(one.asking),
        total=words.money(one.total),
        deposit=words.money(one.deposit) if one.deposit else "–",
        state=words.say(STATES[one.state.value]),
        offered=words.date(words.today(one.offered_at), "medium"),
        until=words.date(one.holds_until, "medium"),
        promised=words.date(one.promised, "medium") if one.promised else "–",
        stripes=one.stripes,
        shape=(one.size.width.metres, one.size.length.metres),
        here=one.id == here,
    )


@room.get("/new")
def new_offer() -> Response:
    """An offer to make of the quote that is named."""
    opened = drafting.open_quote(store_now(), number=number_of(request.args.get("quote", "")) or 0)
    words = words_now()
    form = OfferForm(formdata=None)
    form.name.data, form.contact.data = opened.quote.customer_name, opened.quote.customer_contact
    if "@" in opened.quote.customer_contact and len(opened.quote.customer_contact.split()) == 1:
        form.mail.data, form.contact.data = opened.quote.customer_contact, ""
    form.holds_until.data = words.today(moment()) + timedelta(days=opened.planned.room.pricing.holds_days)
    form.revision.data = opened.quote.revision
    return _make_page(opened, form)


def _ready(opened: OpenQuote, asked: date | None, words: Words) -> tuple[str, ...]:
    """When the rug can be ready, and the chance of a day that the customer asks for; where it cannot be told, why."""
    try:
        found = promises.can_be_ready(store_now(), reckoning=opened.reckoning, asked=asked, now=moment())
    except Refusal as refusal:
        return tuple(problem_sentences(refusal.problems, words))
    there = found.promise.there
    said = [
        words.say(
            "After all that is in the queue it can be promised for %(day)s; 8 of 10 such rugs would be there between %(low)s and %(high)s.",
            day=words.date(found.promise.promised, "medium"),
            low=words.date(there.low, "medium"),
            high=words.date(there.high, "medium"),
        )
    ]
    if asked is not None and found.chance is not None:
        share = words.percent(min(0.99, max(0.01, found.chance)), 0)
        said.append(words.say("%(day)s is kept with a chance of %(share)s.", day=words.date(asked, "medium"), share=share))
    return tuple(said)


def _make_page(opened: OpenQuote, form: OfferForm, *, asked: date | None = None, status: int = 200) -> Response:
    words = words_now()
    find = form.name.data or ""
    people = customers.customers(store_now(), words=find, limit=8).customers if find else ()
    context = MakePage(
        form=form,
        quote=opened.quote.number,
        title=opened.quote.title,
        size=words.size(opened.quote.size),
        total=words.money(opened.quote.total),
        people=tuple((one.number, f"{one.name} · {one.mail or one.contact}".rstrip(" ·")) for one in people),
        known=tuple(f"{one.number}: {one.name}" for one in customers.customers(store_now(), limit=MOST_KNOWN).customers),
        ready=_ready(opened, asked, words),
    )
    return show(context, status=status)


@room.post("/new")
def make_offer() -> Response:
    """Offer the quote that is named."""
    opened = drafting.open_quote(store_now(), number=number_of(request.args.get("quote", "")) or 0)
    form = OfferForm()
    if form.validate() and "look" in request.form:
        return _make_page(opened, form, asked=form.promised.data)
    if not form.errors:
        who: CustomerGiven | int = form.customer.data or CustomerGiven(
            name=form.name.data or "", mail=form.mail.data or "", contact=form.contact.data or "", address=form.address.data or ""
        )
        try:
            made = offers.offer(
                store_now(),
                quote=opened.quote.number,
                revision=form.revision.data or 0,
                given=content_of(opened, words_now(), form),
                customer=who,
                key=key_now(),
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            for problem in refusal.problems:
                form.refuse(problem.at("customer") if problem.code == "customer.unknown" else problem)
        else:
            tell(mark("It is offered. Send the link, or the paper."))
            return redirect(url_for("offer.show_offer", offer_id=made.id), 303)  # type: ignore[return-value]
    return _make_page(opened, form, status=422)


@room.get("/<int:offer_id>")
def show_offer(offer_id: int) -> Response:
    """An offer."""
    words = words_now()
    card = offers.offer_by_id(store_now(), offer_id=offer_id, key=key_now(), now=moment())
    revisions = offers.offers_of_quote(store_now(), quote=card.quote, key=key_now(), now=moment())
    link = public_link(card)
    row = _row(card)
    context = OfferPage(
        row=row,
        content=dict(card.content),
        customer=card.customer.number,
        link=link,
        unreachable=only_this_machine(public_address()),
        letter=_letter(card, link, words),
        sendable=bool(letters_are_sent() and card.customer.mail and card.state is OfferState.OFFERED),
        letters=tuple(
            (words.datetime(one.put_at), words.say(LETTER_STATES[one.state]))
            for one in outbox.letters(store_now(), about=about_offer(card.id), limit=5).letters
        ),
        said=card.said,
        closed=words.datetime(card.closed_at) if card.closed_at else "",
        job=card.job,
        open=card.state is OfferState.OFFERED,
        questions=tuple((words.datetime(at), said) for at, said in card.questions),
        revisions=tuple(_row(one, card.id) for one in revisions) if len(revisions) > 1 else (),
        act=PressForm(formdata=None),
    )
    return show(context)


def letters_are_sent() -> bool:
    """Whether a mail server is set."""
    return bool(current_app.extensions["thriftloom_settings"].smtp_host)


def _written(card: OfferCard, link: str, words: Words) -> tuple[str, str]:
    """Subject and body of the letter that brings the link."""
    say = words.say
    subject = say("Your rug: %(title)s", title=card.title or say("Quote %(number)s", number=str(card.quote)))
    body = say(
        "Here is the offer for your rug: %(link)s\n\nYou can accept it there until %(day)s, or write to me if you have a question.",
        link=link,
        day=words.date(card.holds_until),
    )
    return subject, body


def _letter(card: OfferCard, link: str, words: Words) -> str:
    """The letter that opens in the weaver's own mail program."""
    subject, body = _written(card, link, words)
    return f"mailto:{in_address(card.customer.mail)}?subject={in_address(subject)}&body={in_address(body)}"


@room.post("/<int:offer_id>/letter")
def send_letter(offer_id: int) -> Response:
    """Send the link by e-mail."""
    card = offers.offer_by_id(store_now(), offer_id=offer_id, key=key_now(), now=moment())
    subject, body = _written(card, public_link(card), words_now())
    offers.send(
        store_now(), offer_id=offer_id, subject=subject, body=body, key=key_now(), saving=pressed(), now=moment()
    )
    tell(mark("The letter is in the outbox and goes out in a moment."))
    return redirect(url_for("offer.show_offer", offer_id=offer_id), 303)  # type: ignore[return-value]


@room.get("/<int:offer_id>/offer.pdf")
def print_offer(offer_id: int) -> Response:
    """The offer on paper, as it was given."""
    return pdf(offers.paper_of(store_now(), offer_id=offer_id), f"offer-{offer_id}.pdf")


def pdf(content: bytes, name: str) -> Response:
    """A PDF to look at."""
    answer = Response(content, mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return answer


@room.post("/<int:offer_id>/withdrawn")
def withdraw(offer_id: int) -> Response:
    """Take it back."""
    return _press(offer_id, offers.withdraw, mark("It is withdrawn."))


@room.post("/<int:offer_id>/link")
def renew_link(offer_id: int) -> Response:
    """Make another link."""
    return _press(offer_id, offers.renew_link, mark("There is a new link; the old one opens nothing any more."))


def _press(offer_id: int, act: Any, told: str) -> Response:
    act(store_now(), offer_id=offer_id, key=key_now(), saving=pressed(), now=moment())
    tell(told)
    return redirect(url_for("offer.show_offer", offer_id=offer_id), 303)  # type: ignore[return-value]


