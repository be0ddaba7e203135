"""The first start: the shop gets its name and its owner. Afterwards this page is gone."""

from __future__ import annotations

from flask import Blueprint, Response, redirect

from shop.core.errors import Problem, Refusal
from shop.usecases import account
from shop.usecases.shop import ShopGiven
from shop.web.entry import let_in
from shop.web.fields import PasswordField, SavingField, TextField
from shop.web.manner import MannerForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("first_start", __name__)


class FirstStartForm(MannerForm):
    """The shop, and who signs in."""

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
    given = ShopGiven()
    filled = {
        "locale": given.locale,
        "currency": given.currency,
        "units": given.units,
        "time_zone": given.time_zone,
    }
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
        shop = ShopGiven(
            name=form.shop_name.data,
            locale=form.locale.data,
            currency=form.currency.data,
            units=form.units.data,
            time_zone=form.time_zone.data,
        )
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
            tell(mark("The shop is open. Welcome."))
            return redirect("/", 303)  # type: ignore[return-value]
    return show(FirstStartPage(form=form), status=422)
