"""Signing in, and out."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, redirect, request
from flask_login import current_user

from shop.core.errors import Refusal
from shop.usecases import account
from shop.web.entry import let_in, let_out, safe_address
from shop.web.fields import PasswordField, TextField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.security import give_back_attempt, limiter
from shop.web.shell import moment, store_now
from shop.words import mark

room = Blueprint("sign_in", __name__)


class SignInForm(ShopForm):
    """A name and a password."""

    name = TextField(mark("Name"), auto="username")
    password = PasswordField(mark("Password"), auto="current-password")


@page("sign_in/sign_in.html")
class SignInPage:
    """The way in."""

    form: SignInForm


def _attempts() -> str:
    settings = current_app.extensions["thriftloom_settings"]
    return f"{settings.sign_in_attempts} per {settings.sign_in_minutes} minutes"


@room.get("/sign-in")
def show_sign_in() -> Response:
    """The page."""
    return show(SignInPage(form=SignInForm(formdata=None)))


@room.post("/sign-in")
@limiter.limit(_attempts)
def take_sign_in() -> Response:
    """Sign in. An attempt counts against the address it came from before it is looked at; a right one is given back."""
    form = SignInForm()
    if form.validate():
        try:
            person = account.sign_in(
                store_now(), name=form.name.data, password=form.password.data, now=moment()
            )
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            give_back_attempt()
            let_in(person)
            return redirect(safe_address(request.args.get("next", "/")), 303)  # type: ignore[return-value]
    return show(SignInPage(form=form), status=422)


@room.post("/sign-out")
def leave() -> Response:
    """Sign out, here and wherever else this account is signed in."""
    if current_user.is_authenticated:
        account.sign_out(store_now(), account_id=current_user.number, now=moment())
    let_out()
    return redirect("/sign-in", 303)  # type: ignore[return-value]
