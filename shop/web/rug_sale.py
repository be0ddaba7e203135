"""A rug sold from home, or by its outlet; and a sale that is taken back."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import rug_card as rugs
from shop.usecases import rug_page, rug_sale, sale
from shop.usecases.rug_card import RugCard
from shop.web.asked import number_of
from shop.web.fields import ChoiceField, DateField, MoneyField, SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.order_forms import MEANS
from shop.web.pages import page, show
from shop.web.rug_shown import RugShown, rug_shown
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark

room = Blueprint("rug_sale", __name__, url_prefix="/rugs")

LOST = frozenset({"rug.unknown", "rug.gone", "rug.sold", "rug.elsewhere", "outlet.unknown"})
"""After these the rug cannot be sold here, whatever is typed."""


class SaleForm(ShopForm):
    """A sale."""

    price = MoneyField(mark("What it brings"), where="sale.price")
    means = ChoiceField(mark("How it is paid"), choices=tuple(MEANS.items()), where="sale.means")
    on = DateField(mark("Day"), needed=False, where="sale.on")
    note = TextField(mark("A note"), needed=False, where="sale.note")
    saving = SavingField()


class UndoForm(ShopForm):
    """Why a sale is taken back."""

    why = TextField(mark("Why"), needed=False, where="why")
    saving = SavingField()


@page("rug/sell.html")
class SellPage:
    """A rug that is sold.

    Attributes:
        asked: what its tag says.
        tax: what is said of tax; empty where there is none.
        outlet: the name of the outlet that has it, ``outlet_id`` its id; empty and nought from home.
    """

    rug: RugShown
    form: SaleForm
    asked: str
    tax: str
    outlet: str
    outlet_id: int


@room.get("/<int:number>/sell")
def show_sell(number: int) -> Response:
    """The rug to be sold."""
    card = rugs.rug(store_now(), number=number)
    means = "transfer" if card.outlet else "cash"
    given = {"price": card.price, "means": means, "on": words_now().today(moment())}
    return _page(card, SaleForm(formdata=None, data=given))


@room.post("/<int:number>/sell")
def sell(number: int) -> Response:
    """Sell it, where it is."""
    card = rugs.rug(store_now(), number=number)
    form = SaleForm()
    outlet = number_of(request.form.get("outlet", ""))
    if form.validate():
        given = {
            "number": number,
            "price": form.price.data,
            "means": form.means.data,
            "note": form.note.data or "",
            "on": form.on.data,
            "saving": form.saving.data,
            "now": moment(),
        }
        try:
            made = (
                rug_sale.sell_at_outlet(store_now(), outlet_id=outlet, **given)
                if outlet
                else rug_sale.sell_from_home(store_now(), **given)
            )
        except Refusal as refusal:
            if any(problem.code in LOST for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(
                mark("Rug %(number)s is sold: sale %(sale)s, %(total)s."),
                number=str(number),
                sale=str(made.number),
                total=words_now().money(made.total),
            )
            return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]
    return _page(card, form, status=422)


@room.post("/<int:number>/sales/<int:of>/undo")
def undo(number: int, of: int) -> Response:
    """A sale is taken back."""
    form = UndoForm()
    if problems := [*form.why.problems, *form.saving.problems]:
        raise Refusal(*problems)
    sale.undo(store_now(), number=of, why=form.why.data or "", saving=form.saving.data, now=moment())
    tell(mark("Sale %(number)s is undone. It stays in the record."), number=str(of))
    return redirect(url_for("rug.show_rug", number=number), 303)  # type: ignore[return-value]


def _page(card: RugCard, form: SaleForm, *, status: int = 200) -> Response:
    words = words_now()
    found = rug_page.opened(store_now(), number=card.number)
    tax = ""
    if found.tax_rate and not card.outlet:
        name = found.tax_name or words.say("tax")
        tax = (
            words.say("The price contains %(share)s %(tax)s.", share=words.percent(found.tax_rate, 3), tax=name)
            if found.tax_included
            else words.say("%(share)s %(tax)s comes on top of it.", share=words.percent(found.tax_rate, 3), tax=name)
        )
    context = SellPage(
        rug=rug_shown(card),
        form=form,
        asked=words.money(card.price) if card.price is not None else "",
        tax=tax,
        outlet=card.where if card.outlet else "",
        outlet_id=card.outlet or 0,
    )
    return show(context, status=status)
