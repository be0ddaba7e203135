"""The shop's own settings: name, address, mark, and how it writes."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, url_for

from shop.core.errors import Refusal
from shop.usecases import shop as shop_room
from shop.usecases.shop import Shop, ShopGiven
from shop.web.fields import ColourField, NumberField, RevisionField, SavingField, TextField
from shop.web.manner import MannerForm
from shop.web.pages import page, show
from shop.web.shell import MARK, moment, speak_as, store_now, tell
from shop.words import Words, mark

room = Blueprint("shop", __name__, url_prefix="/shop")

STRIPES = 9
"""The most stripes that a mark has."""


class SettingsForm(MannerForm):
    """All of the shop's settings."""

    name = TextField(mark("Name of the shop"), longest=120, where="shop.name", auto="organization")
    contact = TextField(
        mark("Telephone, mail, web"),
        hint=mark("As it is to stand on a quote."),
        lines=3,
        longest=2000,
        needed=False,
        where="shop.contact",
    )
    paying = TextField(
        mark("How customers pay you"),
        hint=mark("As it is to stand on a request and on an invoice: the bank and the account, or where else the money goes."),
        lines=4,
        longest=2000,
        needed=False,
        where="shop.paying",
    )
    tax_number = TextField(
        mark("Tax number"),
        hint=mark("As it is to stand on an invoice, with what it is called there."),
        longest=120,
        needed=False,
        where="shop.tax_number",
    )
    no_tax = TextField(
        mark("What an invoice says where no tax is charged"),
        hint=mark("Some places want a sentence that tells why. Ask the tax office or an accountant which."),
        lines=2,
        longest=400,
        needed=False,
        where="shop.no_tax",
    )
    address = TextField(mark("Address"), lines=4, longest=1000, needed=False, where="shop.address")
    count = NumberField(
        mark("How many stripes"),
        least=1,
        most=STRIPES,
        whole=True,
        hint=mark("The first so many colours are used."),
    )
    stripe_1 = ColourField(mark("Stripe 1"))
    stripe_2 = ColourField(mark("Stripe 2"))
    stripe_3 = ColourField(mark("Stripe 3"))
    stripe_4 = ColourField(mark("Stripe 4"))
    stripe_5 = ColourField(mark("Stripe 5"))
    stripe_6 = ColourField(mark("Stripe 6"))
    stripe_7 = ColourField(mark("Stripe 7"))
    stripe_8 = ColourField(mark("Stripe 8"))
    stripe_9 = ColourField(mark("Stripe 9"))
    revision = RevisionField(default=0)
    saving = SavingField()

    def stripes(self) -> list[ColourField]:
        """The fields of the mark's colours, from the top."""
        return [self[f"stripe_{number}"] for number in range(1, STRIPES + 1)]

    def given(self) -> ShopGiven:
        """What was given."""
        return ShopGiven(
            name=self.name.data,
            contact=self.contact.data or "",
            paying=self.paying.data or "",
            tax_number=self.tax_number.data or "",
            no_tax=self.no_tax.data or "",
            address=tuple((self.address.data or "").splitlines()),
            mark=tuple(field.data for field in self.stripes()[: self.count.data]),
            locale=self.locale.data,
            currency=self.currency.data,
            units=self.units.data,
            time_zone=self.time_zone.data,
        )


@page("shop/shop.html")
class ShopPage:
    """The shop's settings."""

    form: SettingsForm


def _filled(shop: Shop) -> dict[str, object]:
    colours = [*shop.mark, *MARK, *MARK][:STRIPES]
    return {
        "name": shop.name,
        "contact": shop.contact,
        "paying": shop.paying,
        "tax_number": shop.tax_number,
        "no_tax": shop.no_tax,
        "address": "\n".join(shop.address),
        "count": len(shop.mark),
        **{f"stripe_{number}": colour for number, colour in enumerate(colours, 1)},
        "locale": shop.locale,
        "currency": shop.currency,
        "units": shop.units,
        "time_zone": shop.time_zone,
        "revision": shop.revision,
    }


@room.get("")
def show_shop() -> Response:
    """The page."""
    return show(ShopPage(form=SettingsForm(formdata=None, data=_filled(shop_room.current(store_now())))))


@room.post("")
def take_shop() -> Response:
    """Change the settings."""
    form = SettingsForm()
    if form.validate():
        try:
            shop_room.change(
                store_now(),
                shop=form.given(),
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            given = form.given()
            speak_as(Words(given.locale, given.units, given.time_zone, given.currency))
            tell(mark("Saved."))
            return redirect(url_for("shop.show_shop"), 303)  # type: ignore[return-value]
    return show(ShopPage(form=form), status=422)
