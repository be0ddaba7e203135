"""What is typed in at the desk of a fair's till."""

from __future__ import annotations

from typing import Final

from shop.web.fields import ChoiceField, MoneyField, NumberField, SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.order_forms import MEANS
from shop.web.till_shown import CASH
from shop.words import mark


class PhoneForm(ShopForm):
    """A phone to let in."""

    name = TextField(mark("What you call the phone"), longest=60, where="name", hint=mark("Such as: mine, or the helper’s."))
    saving = SavingField()


class SaleForm(ShopForm):
    """A sale to type in."""

    rugs = TextField(mark("Numbers of the rugs"), where="rugs", hint=mark("Such as 12, or 12, 15."))
    together = MoneyField(
        mark("All together for"), needed=False, where="together",
        hint=mark("Left empty: what their tags say. Without a tax that comes on top."),
    )  # fmt: skip
    means = ChoiceField(mark("How"), choices=tuple(MEANS.items()), default="cash", where="means")
    given = MoneyField(mark("Given"), needed=False, where="given", hint=mark("In cash. Left empty: just what was due."))
    mail = TextField(mark("E-mail for the receipt"), needed=False, longest=254, where="mail")
    note = TextField(mark("Note"), needed=False, where="note")
    saving = SavingField()


class CashForm(ShopForm):
    """Something to say of the box."""

    what = ChoiceField(mark("What"), choices=tuple(CASH.items()), default="float", where="what")
    amount = MoneyField(mark("Amount"), where="amount")
    note = TextField(mark("Note"), needed=False, where="note")
    saving = SavingField()


class AnotherForm(ShopForm):
    """It was another rug."""

    rug = NumberField(mark("It was really rug No."), whole=True, least=1, most=10**12, where="rug")
    saving = SavingField()


FORMS: Final[dict[str, type[ShopForm]]] = {"phone": PhoneForm, "sale": SaleForm, "cash": CashForm, "another": AnotherForm}
