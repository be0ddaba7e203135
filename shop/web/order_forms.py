"""The forms on the page of an order's money."""

from __future__ import annotations

from typing import Final

from shop.core.account_of_order import Happening
from shop.core.money_request import Asked
from shop.usecases import order_money
from shop.web.fields import ChoiceField, DateField, MoneyField, SavingField, TextField
from shop.web.forms import ShopForm
from shop.words import mark

WHATS: Final[dict[Happening, str]] = {
    Happening.DEPOSIT_ASKED: mark("Deposit asked"),
    Happening.PAYMENT: mark("Paid"),
    Happening.REFUND: mark("Given back"),
    Happening.TIP: mark("Tip"),
    Happening.HANDED_OVER: mark("Handed over"),
    Happening.CANCELLED: mark("Cancelled"),
}
MEANS: Final[dict[str, str]] = {
    "cash": mark("cash"),
    "card": mark("card"),
    "transfer": mark("bank transfer"),
    "cheque": mark("cheque"),
    "other": mark("another way"),
}
ASKED: Final[dict[str, str]] = {
    Asked.DEPOSIT.value: mark("the deposit"),
    Asked.BALANCE.value: mark("the balance"),
}


class PayForm(ShopForm):
    """Money that came, or went back."""

    what = ChoiceField(
        mark("What"),
        choices=tuple((one.value, WHATS[one]) for one in order_money.PAID),
        default=Happening.PAYMENT.value,
        where="what",
    )
    amount = MoneyField(mark("Amount"), where="amount")
    means = ChoiceField(mark("How"), choices=tuple(MEANS.items()), default="cash", where="means")
    on = DateField(mark("When"), where="on")
    reference = TextField(mark("What stands on the slip"), needed=False, where="reference")
    saving = SavingField()


class RequestForm(ShopForm):
    """A request to write."""

    what = ChoiceField(mark("What for"), choices=tuple(ASKED.items()), default=Asked.BALANCE.value, where="what")
    due = DateField(mark("To be paid by"), where="due")
    saving = SavingField()


class EndForm(ShopForm):
    """Handed over, or cancelled."""

    amount = MoneyField(mark("Amount"), where="amount")
    saving = SavingField()
