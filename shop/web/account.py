"""One's own account: changing the password."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, url_for
from flask_login import current_user

from shop.core.errors import Problem, Refusal
from shop.usecases import account
from shop.web.entry import let_in
from shop.web.fields import PasswordField, SavingField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("account", __name__, url_prefix="/account")


class PasswordForm(ShopForm):
    """The old password, and the new one twice."""

    old = PasswordField(mark("The password you have now"), where="account.old", auto="current-password")
    new = PasswordField(
        mark("The new password"),
        hint=mark("At least 12 characters; several words in a row are good."),
        where="account.new",
        auto="new-password",
    )
    again = PasswordField(mark("The new password again"), auto="new-password")
    saving = SavingField()


@page("account/account.html")
class AccountPage:
    """One's own account."""

    form: PasswordForm


@room.get("")
def show_account() -> Response:
    """The page."""
    return show(AccountPage(form=PasswordForm(formdata=None)))


@room.post("")
def take_account() -> Response:
    """Change the password; this browser stays signed in, others do not."""
    form = PasswordForm()
    good = form.validate()
    if form.new.data and form.again.data and form.new.data != form.again.data:
        form.refuse(Problem("password.differs", form.again.where))
        good = False
    if good:
        try:
            person = account.change_password(
                store_now(),
                account_id=current_user.number,
                old=form.old.data,
                new=form.new.data,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            let_in(person)
            tell(mark("The password is changed."))
            return redirect(url_for("account.show_account"), 303)  # type: ignore[return-value]
    return show(AccountPage(form=form), status=422)
