"""The money of an order: what was paid and given back, and the end of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.account_of_order import Happening
from shop.core.errors import Refusal
from shop.usecases import order_money
from shop.web.asked import number_of
from shop.web.forms import ShopForm, pressed
from shop.web.order_forms import EndForm, PayForm
from shop.web.order_page import money_page
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("order", __name__, url_prefix="/jobs")


@room.get("/<int:number>/money")
def show_money(number: int) -> Response:
    """The money of a job."""
    return money_page(order_money.money_of(store_now(), job=number))


@room.post("/<int:number>/money")
def record(number: int) -> Response:
    """Money that came, or went back."""
    form = PayForm(prefix="pay-")
    if form.validate():
        try:
            order_money.record(
                store_now(),
                job=number,
                what=Happening(form.what.data),
                amount=form.amount.data,
                means=form.means.data,
                reference=form.reference.data or "",
                on=form.on.data,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            _put_beside(form, refusal)
        else:
            tell(mark("Written down."))
            return _back(number)
    return money_page(order_money.money_of(store_now(), job=number), pay=form, status=422)


def _put_beside(form: ShopForm, refusal: Refusal) -> None:
    """Beside the amount, if nothing else is named; what is not there at all is not for this form to say."""
    if any(problem.code.endswith(".unknown") and problem.code != "choice.unknown" for problem in refusal.problems):
        raise refusal
    for problem in refusal.problems:
        form.refuse(problem if problem.where and problem.where not in ("came_to", "kept") else problem.at("amount"))


def _back(number: int) -> Response:
    return redirect(url_for("order.show_money", number=number), 303)  # type: ignore[return-value]


@room.post("/<int:number>/money/over")
def hand_over(number: int) -> Response:
    """The rug is handed over."""
    form = EndForm(prefix="over-")
    if form.validate():
        try:
            order_money.hand_over(
                store_now(), job=number, came_to=form.amount.data, saving=form.saving.data, now=moment()
            )
        except Refusal as refusal:
            _put_beside(form, refusal)
        else:
            tell(mark("The rug is handed over."))
            return _back(number)
    return money_page(order_money.money_of(store_now(), job=number), over=form, status=422)


@room.post("/<int:number>/money/cancelled")
def cancel(number: int) -> Response:
    """The order is cancelled."""
    form = EndForm(prefix="cancel-")
    if form.validate():
        try:
            order_money.cancel(store_now(), job=number, kept=form.amount.data, saving=form.saving.data, now=moment())
        except Refusal as refusal:
            _put_beside(form, refusal)
        else:
            tell(mark("The order is cancelled."))
            return _back(number)
    return money_page(order_money.money_of(store_now(), job=number), cancel=form, status=422)


def _press(act: Callable[..., Any], number: int, told: str, **given: Any) -> None:
    act(store_now(), job=number, saving=pressed(), now=moment(), **given)
    tell(told)


@room.post("/<int:number>/money/undone")
def undo(number: int) -> Response:
    """It was a mistake."""
    event = number_of(request.form.get("event", "")) or 0
    _press(order_money.undo, number, mark("Struck out. It stays in the record."), event=event)
    return _back(number)
