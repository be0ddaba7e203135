"""Customers: found as you type, kept, merged, given out and erased."""

from __future__ import annotations

import json
from dataclasses import dataclass

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.money import Money
from shop.usecases import customer as customers
from shop.usecases import forgetting
from shop.usecases.customer import CustomerCard, CustomerGiven
from shop.web.asked import number_of
from shop.web.fields import NumberField, RevisionField, SavingField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.offer import STATES
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("customer", __name__, url_prefix="/customers")


class CustomerForm(ShopForm):
    """A customer."""

    name = TextField(mark("Name"), where="customer.name", auto="off")
    mail = TextField(mark("E-mail"), needed=False, where="customer.mail")
    contact = TextField(mark("How else to reach them"), needed=False, lines=2, longest=400, where="customer.contact")
    address = TextField(mark("Address"), needed=False, lines=3, longest=600, where="customer.address")
    note = TextField(mark("A note"), needed=False, lines=2, longest=2000, where="customer.note")
    revision = RevisionField(default=0)
    saving = SavingField()

    def given(self) -> CustomerGiven:
        """The customer that a form without mistakes means."""
        return CustomerGiven(
            name=self.name.data,
            mail=self.mail.data or "",
            contact=self.contact.data or "",
            address=self.address.data or "",
            note=self.note.data or "",
        )


class MergeForm(ShopForm):
    """Into whom."""

    into = NumberField(mark("Into customer number"), whole=True, least=1, most=10**12, where="into")
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class CustomerRow:
    """A customer in the list."""

    number: int
    address: str
    name: str
    reach: str


@page("customer/list.html")
class CustomersPage:
    """The customers, newest first."""

    rows: tuple[CustomerRow, ...]
    find: str
    further: str


@dataclass(frozen=True, slots=True)
class OfferRow:
    """An offer that a customer had."""

    address: str
    title: str
    quote: int
    state: str
    total: str
    when: str


@page("customer/customer.html")
class CustomerPage:
    """A customer; ``number`` is ``None`` for a new one, ``photographed`` names their rugs that have photographs, with addresses."""

    number: int | None
    name: str
    form: CustomerForm
    merge: MergeForm
    act: PressForm
    known: bool
    merged_into: int | None
    offers: tuple[OfferRow, ...]
    photographed: tuple[tuple[str, str], ...]


@room.get("")
def show_customers() -> Response:
    """The customers, or those that are looked for."""
    find = request.args.get("find", "")[:200]
    found = customers.customers(store_now(), words=find, below=number_of(request.args.get("below", "")))
    rows = tuple(
        CustomerRow(one.number, url_for("customer.show_customer", number=one.number), one.name, one.mail or one.contact)
        for one in found.customers
    )
    further = url_for("customer.show_customers", find=find or None, below=found.further) if found.further else ""
    return show(CustomersPage(rows=rows, find=find, further=further))


@room.get("/new")
def new_customer() -> Response:
    """A new customer."""
    return _page(None, CustomerForm(formdata=None))


@room.post("/new")
def keep_new() -> Response:
    """Keep a new customer."""
    return _keep(None)


@room.get("/<int:number>")
def show_customer(number: int) -> Response:
    """A customer."""
    found = customers.customer(store_now(), number=number)
    return _page(found, _filled(found.card))


@room.post("/<int:number>")
def keep_customer(number: int) -> Response:
    """Keep a customer as changed."""
    return _keep(number)


def _keep(number: int | None) -> Response:
    form = CustomerForm()
    if form.validate():
        try:
            card = customers.keep(
                store_now(),
                customer=form.given(),
                number=number,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "customer.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("%(name)s is kept."), name=card.name)
            return redirect(url_for("customer.show_customer", number=card.number), 303)  # type: ignore[return-value]
    found = customers.customer(store_now(), number=number) if number is not None else None
    return _page(found, form, status=422)


def _filled(card: CustomerCard) -> CustomerForm:
    form = CustomerForm(formdata=None)
    form.name.data, form.mail.data, form.contact.data = card.name, card.mail, card.contact
    form.address.data, form.note.data, form.revision.data = card.address, card.note, card.revision
    return form


def _page(
    found: customers.CustomerWithOffers | None, form: CustomerForm, *, merge: MergeForm | None = None, status: int = 200
) -> Response:
    words = words_now()
    card = found.card if found else None
    context = CustomerPage(
        number=card.number if card else None,
        name=card.name if card else "",
        form=form,
        merge=merge or MergeForm(formdata=None),
        act=PressForm(formdata=None),
        known=card is None or card.state == "known",
        merged_into=card.merged_into if card else None,
        offers=tuple(
            OfferRow(
                address=url_for("offer.show_offer", offer_id=one.id),
                title=one.title,
                quote=one.quote,
                state=words.say(STATES[one.state]),
                total=words.money(Money(one.total, one.currency)),
                when=words.date(words.today(one.offered_at), "medium"),
            )
            for one in found.offers
        )
        if found
        else (),
        photographed=tuple(
            (one.name, url_for("job_photograph.show_photographs", number=one.number))
            for one in (found.jobs if found else ())
            if one.photographs
        ),
    )
    return show(context, status=status)


@room.post("/<int:number>/merged")
def merge(number: int) -> Response:
    """Two entries are one person."""
    form = MergeForm()
    found = customers.customer(store_now(), number=number)
    if not form.validate():
        return _page(found, _filled(found.card), merge=form, status=422)
    try:
        card = customers.merge(store_now(), number=number, into=form.into.data, saving=form.saving.data, now=moment())
    except Refusal as refusal:
        for problem in refusal.problems:
            form.refuse(problem.at("into"))
        return _page(found, _filled(found.card), merge=form, status=422)
    tell(mark("Both are one now: %(name)s."), name=card.name)
    return redirect(url_for("customer.show_customer", number=card.number), 303)  # type: ignore[return-value]


@room.post("/<int:number>/erased")
def erase(number: int) -> Response:
    """Erase a person; what was sold and paid stays."""
    forgetting.erase(store_now(), number=number, saving=pressed(), now=moment())
    tell(mark("The person is erased; the accounts stay."))
    return redirect(url_for("customer.show_customer", number=number), 303)  # type: ignore[return-value]


@room.get("/<int:number>/kept.json")
def give_out(number: int) -> Response:
    """All that is kept of a person, to hand to them."""
    kept = json.dumps(forgetting.given_out(store_now(), number=number), ensure_ascii=False, indent=2)
    answer = Response(kept, mimetype="application/json")
    answer.headers["Content-Disposition"] = f'attachment; filename="customer-{number}.json"'
    return answer
