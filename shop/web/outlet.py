"""Outlets: the shops that have rugs on sale or return, what each has, and what each sold."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import outlet as outlets
from shop.usecases import rug_card as rugs
from shop.usecases import whereabouts
from shop.usecases.outlet import OutletCard, OutletGiven
from shop.web.asked import number_of
from shop.web.fields import RevisionField, SavingField, ShareField, TextField
from shop.web.forms import PressForm, ShopForm, pressed
from shop.web.pages import page, show
from shop.web.rug_shown import RugShown, rug_shown
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("outlet", __name__, url_prefix="/rugs/outlets")

AT_HOME = 100
"""Rugs at home that are offered to be sent."""


class OutletForm(ShopForm):
    """An outlet."""

    name = TextField(mark("Its name"), where="outlet.name")
    share = ShareField(mark("It keeps"), hint=mark("Of each price; 30 to 40%% is usual."), most=Decimal("0.95"), where="outlet.share")
    contact = TextField(mark("How to reach it"), needed=False, lines=2, longest=400, where="outlet.contact")
    note = TextField(mark("A note"), needed=False, lines=2, longest=2000, where="outlet.note")
    revision = RevisionField()
    saving = SavingField()

    def given(self) -> OutletGiven:
        """What was given."""
        return OutletGiven(
            name=self.name.data, share=self.share.data, contact=self.contact.data or "", note=self.note.data or ""
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletShown:
    """An outlet in words; ``worth`` the prices of its rugs together."""

    name: str
    address: str
    share: str
    rugs: int
    worth: str
    contact: str
    note: str
    closed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SoldShown:
    """A sale of an outlet, in words; ``rug`` and ``address`` of the first rug in it."""

    number: int
    when: str
    rug: str
    address: str
    total: str
    kept: str
    undone: bool


@page("outlet/list.html")
class OutletsPage:
    """The outlets, with a form for another; those that take no more stand apart."""

    outlets: tuple[OutletShown, ...]
    closed: tuple[OutletShown, ...]
    form: OutletForm


@page("outlet/outlet.html")
class OutletPage:
    """An outlet with what it has.

    Attributes:
        rugs: that it has; ``home`` those that can be sent to it.
        sums: (what, how much) of all that it sold.
        more: there are more at home than are offered here.
    """

    outlet: OutletShown
    number: int
    rugs: tuple[RugShown, ...]
    home: tuple[RugShown, ...]
    more: bool
    sales: tuple[SoldShown, ...]
    sums: tuple[tuple[str, str], ...]
    form: OutletForm
    act: PressForm


@room.get("")
def show_outlets() -> Response:
    """The outlets."""
    return _list(OutletForm(formdata=None, data={"share": outlets.USUAL_SHARE}))


@room.post("")
def add() -> Response:
    """A new one."""
    form = OutletForm()
    if form.validate():
        try:
            card = outlets.keep(store_now(), outlet=form.given(), saving=form.saving.data, now=moment())
        except Refusal as refusal:
            form.refuse(refusal)
        else:
            tell(mark("%(name)s takes rugs now."), name=card.name)
            return _to(card.id)
    return _list(form, status=422)


def _list(form: OutletForm, *, status: int = 200) -> Response:
    store = store_now()
    context = OutletsPage(
        outlets=tuple(_shown(card) for card in outlets.outlets(store)),
        closed=tuple(_shown(card) for card in outlets.outlets(store, closed=True)),
        form=form,
    )
    return show(context, status=status)


@room.get("/<int:number>")
def show_outlet(number: int) -> Response:
    """An outlet with what it has."""
    return _page(number, None)


@room.post("/<int:number>")
def change(number: int) -> Response:
    """Change what is known of it."""
    form = OutletForm()
    if form.validate():
        try:
            outlets.keep(
                store_now(),
                outlet=form.given(),
                outlet_id=number,
                revision=form.revision.data or 0,
                saving=form.saving.data,
                now=moment(),
            )
        except Refusal as refusal:
            if any(problem.code == "outlet.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Kept."))
            return _to(number)
    return _page(number, form, status=422)


@room.post("/<int:number>/send")
def send(number: int) -> Response:
    """Rugs go to it."""
    return _press(number, whereabouts.send, mark("They are on their way."), outlet=number, rugs=_ticked())


@room.post("/<int:number>/back")
def take_back(number: int) -> Response:
    """Rugs come home from it."""
    return _press(number, whereabouts.take_back, mark("They are at home."), rugs=_ticked())


@room.post("/<int:number>/closed")
def close(number: int) -> Response:
    """Nothing is sent to it any more."""
    return _press(number, outlets.close, mark("Nothing is sent there any more."), outlet_id=number)


@room.post("/<int:number>/open")
def open_again(number: int) -> Response:
    """It takes rugs again."""
    return _press(number, outlets.open_again, mark("It takes rugs again."), outlet_id=number)


def _ticked() -> list[int]:
    return [number_of(one) or 0 for one in dict.fromkeys(request.form.getlist("rug")[: AT_HOME * 2])]


def _press(number: int, act: Callable[..., Any], told: str, **given: Any) -> Response:
    act(store_now(), saving=pressed(), now=moment(), **given)
    tell(told)
    return _to(number)


def _to(number: int) -> Response:
    return redirect(url_for("outlet.show_outlet", number=number), 303)  # type: ignore[return-value]


def _shown(card: OutletCard) -> OutletShown:
    words = words_now()
    return OutletShown(
        name=card.name,
        address=url_for("outlet.show_outlet", number=card.id),
        share=words.percent(card.share),
        rugs=card.rugs,
        worth=words.money(card.worth),
        contact=card.contact,
        note=card.note,
        closed=card.closed_at is not None,
    )


def _page(number: int, form: OutletForm | None, *, status: int = 200) -> Response:
    words = words_now()
    found = outlets.outlet(store_now(), outlet_id=number)
    card = found.card
    at_home = rugs.rugs(store_now(), shown="home", limit=AT_HOME) if card.closed_at is None else rugs.RugPage((), None)
    say = words.say
    context = OutletPage(
        outlet=_shown(card),
        number=card.id,
        rugs=tuple(rug_shown(one) for one in found.rugs),
        home=tuple(rug_shown(one) for one in at_home.rugs),
        more=at_home.further is not None,
        sales=tuple(
            SoldShown(
                number=one.number,
                when=words.date(one.on, "medium"),
                rug=words.all_of([rug.name for rug in one.rugs]),
                address=url_for("rug.show_rug", number=one.rugs[0].number),
                total=words.money(one.total),
                kept=words.money(one.kept),
                undone=one.undone,
            )
            for one in found.sales
        ),
        sums=(
            (say("Rugs sold"), words.number(found.sold)),
            (say("They brought"), words.money(found.brought)),
            (say("It kept"), words.money(found.kept)),
            (say("Left for the shop"), words.money(found.brought - found.kept)),
        )
        if found.sold
        else (),
        form=form
        or OutletForm(
            formdata=None,
            data={
                "name": card.name,
                "share": card.share,
                "contact": card.contact,
                "note": card.note,
                "revision": card.revision,
            },
        ),
        act=PressForm(formdata=None),
    )
    return show(context, status=status)
