"""The first start: the shop gets its name and its owner. Afterwards this page is gone."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, Response, redirect

from shop.core.errors import Problem, Refusal
from shop.usecases import account
from shop.usecases.shop import ShopGiven
from shop.web.entry import let_in
from shop.web.fields import ChoiceField, PasswordField, SavingField, TextField
from shop.web.manner import UNITS, MannerForm
from shop.web.pages import page, show
from shop.web.shell import moment, speak_as, store_now, tell, words_now
from shop.words import Words, mark
from shop.words.locales import currency_names, locale_names, time_zones, usual_there

room = Blueprint("first_start", __name__)


USUAL: Final = "usual"
"""Chosen for a currency, a time zone or measures: whatever is usual in the country chosen."""
_IN_SHORT: Final = {"imperial": mark("inches"), "metric": mark("centimetres")}


def _usual(label: str) -> tuple[str, str]:
    return USUAL, words_now().say(label)


def _locales() -> list[tuple[str, str]]:
    """Each language and country, with what is usual there."""
    offered = []
    for locale, name in locale_names():
        usual = usual_there(locale)
        offered.append((locale, f"{name}: {usual.currency}, {words_now().say(_IN_SHORT[usual.units])}, {usual.city}"))
    return offered


def _currencies() -> list[tuple[str, str]]:
    return [_usual(mark("The usual one there")), *currency_names(words_now().locale)]


def _zones() -> list[tuple[str, str]]:
    return [_usual(mark("The usual one there")), *((zone, zone) for zone in time_zones())]


class FirstStartForm(MannerForm):
    """The shop, and who signs in. Currency, zone and measures follow the country unless they are chosen."""

    locale = ChoiceField(
        mark("Language and country"),
        hint=mark("Decides the language, and how numbers, dates and money are written. Behind each country stands what is usual there: its currency, its measures, its time zone."),
        choices=_locales,
        named=True,
        where="shop.locale",
    )
    currency = ChoiceField(
        mark("Currency"),
        hint=mark("Cannot change once money has been written down."),
        choices=_currencies,
        named=True,
        where="shop.currency",
    )
    time_zone = ChoiceField(mark("Time zone"), choices=_zones, named=True, where="shop.time_zone")
    units = ChoiceField(
        mark("Measures"),
        choices=((USUAL, mark("The usual ones there")), *UNITS),
        buttons=True,
        where="shop.units",
    )
    shop_name = TextField(mark("Name of the shop"), where="shop.name", auto="organization")
    name = TextField(mark("Your name for signing in"), where="account.name", auto="username")
    password = PasswordField(
        mark("Password"),
        hint=mark("At least 12 characters; several words in a row are good."),
        where="account.password",
        auto="new-password",
    )
    again = PasswordField(mark("The same password again"), auto="new-password")
    saving = SavingField()


@page("first_start/first_start.html")
class FirstStartPage:
    """Opening the shop."""

    form: FirstStartForm


@room.get("/first-start")
def show_first_start() -> Response:
    """The page, with an American shop filled in."""
    filled = {"locale": ShopGiven().locale, "currency": USUAL, "units": USUAL, "time_zone": USUAL}
    return show(FirstStartPage(form=FirstStartForm(formdata=None, data=filled)))


@room.post("/first-start")
def take_first_start() -> Response:
    """Open the shop, and go in."""
    form = FirstStartForm()
    good = form.validate()
    if form.password.data and form.again.data and form.password.data != form.again.data:
        form.refuse(Problem("password.differs", form.again.where))
        good = False
    if good:
        shop = _shop_of(form)
        try:
            person = account.open_shop(
                store_now(),
                name=form.name.data,
                password=form.password.data,
                shop=shop,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            let_in(person)
            speak_as(Words(shop.locale, shop.units, shop.time_zone, shop.currency))
            tell(mark("The shop is open. Welcome."))
            return redirect("/", 303)  # type: ignore[return-value]
    return show(FirstStartPage(form=form), status=422)


def _shop_of(form: FirstStartForm) -> ShopGiven:
    """The shop as it was described; what was left to be usual is taken from the country."""
    usual = usual_there(form.locale.data)

    def chosen(field: ChoiceField, there: str) -> str:
        return there if field.data == USUAL else str(field.data)

    return ShopGiven(
        name=form.shop_name.data,
        locale=form.locale.data,
        currency=chosen(form.currency, usual.currency),
        units=chosen(form.units, usual.units),
        time_zone=chosen(form.time_zone, usual.zone),
    )
