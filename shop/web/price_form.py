"""The form for the price rule: how a price comes from a cost, fees, tax, steps, deposit, and how long a quote holds."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from shop.core.errors import Problem, Unreadable
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.usecases.price import AREA_UNITS, LONGEST_HOLD, Pricing, PricingGiven
from shop.web.fields import (
    ChoiceField,
    MoneyField,
    NumberField,
    RevisionField,
    SavingField,
    ShareField,
    TextField,
)
from shop.web.forms import ShopForm
from shop.web.shell import words_now
from shop.words import mark

RULES: Final = (
    (PriceBy.MARKUP.value, mark("A markup: a share of the cost, put on top of it")),
    (PriceBy.MARGIN.value, mark("A margin: a share of the price, kept out of it")),
    (PriceBy.TRADE.value, mark("A trade price to shops first, by a markup; the retail price is a multiple of it")),
    (PriceBy.AREA.value, mark("So much for the area, whatever it cost")),
)
AREAS: Final = tuple(zip(AREA_UNITS, (mark("a square foot"), mark("a square metre")), strict=True))
CONTAINED: Final = (("no", mark("comes on top of the price")), ("yes", mark("is contained in the price")))
STEPS: Final = (("up", mark("up to the next step")), ("nearest", mark("to the nearest step")))
GUESSED: Final = ("share", "retail_times", "deposit", "holds_days")
"""Fields that show a starting guess while the rule has not been set."""


class PriceForm(ShopForm):
    """The price rule, and a cost to try it on."""

    saving = SavingField()
    revision = RevisionField(default=0)
    by = ChoiceField(mark("A price is"), choices=RULES, buttons=True, where="price.by")
    share = ShareField(
        mark("Markup or margin"), most=1000, needed=False, where="price.share",
        hint=mark("For the first three rules. A markup of 100 doubles the cost; a margin of 100 is impossible."),
    )  # fmt: skip
    retail_times = NumberField(
        mark("Retail price over trade price"), least=1, most=10, needed=False, where="price.retail_times"
    )
    area_rate = MoneyField(mark("Price for the area"), needed=False, where="price.area_rate")
    area_unit = ChoiceField(mark("for"), choices=AREAS, where="price.area_unit")
    fee_share = ShareField(
        mark("Fees, of the price"), needed=False, where="price.fee_share", hint=mark("What a card or a marketplace keeps.")
    )
    fee_fixed = MoneyField(mark("Fees, for each sale"), needed=False, where="price.fee_fixed")
    tax_name = TextField(
        mark("What the tax is called"), needed=False, longest=40, where="price.tax_name", hint=mark("As it is to stand on a quote.")
    )
    tax_rate = ShareField(mark("Rate of tax"), needed=False, where="price.tax_rate")
    tax_included = ChoiceField(mark("The tax"), choices=CONTAINED, where="price.tax_included")
    step = MoneyField(
        mark("Price steps"), needed=False, where="price.step", hint=mark("5 makes prices of 90, 95, 100. Empty: as it comes out.")
    )
    rounding = ChoiceField(mark("A price goes"), choices=STEPS, where="price.up")
    discount = ShareField(
        mark("Discount as a rule"), needed=False, where="price.discount", hint=mark("Every quote can have its own.")
    )
    deposit = ShareField(mark("Deposit, of what the customer pays"), needed=False, where="price.deposit")
    holds_days = NumberField(mark("Days a quote holds"), whole=True, least=1, most=LONGEST_HOLD, where="price.holds_days")
    cost = MoneyField(
        mark("Try it on a rug that costs"), needed=False, where="price.cost", hint=mark("Only to look; it is not kept.")
    )

    def given(self) -> PricingGiven:
        """What was given; what was left empty is nothing.

        Raises:
            Unreadable: the rule chosen lacks what it goes by.
        """
        usual, by = PricingGiven(), self.by.data
        if by != PriceBy.AREA.value and self.share.data is None:
            raise Unreadable(Problem("share.missing", "price.share"))
        if by == PriceBy.TRADE.value and self.retail_times.data is None:
            raise Unreadable(Problem("number.missing", "price.retail_times"))
        if by == PriceBy.AREA.value and self.area_rate.data is None:
            raise Unreadable(Problem("money.missing", "price.area_rate"))

        def share(name: str, empty: Decimal = Decimal(0)) -> Decimal:
            value = self[name].data
            return empty if value is None else Decimal(value)

        return PricingGiven(
            by=by,
            share=share("share", usual.share),
            retail_times=share("retail_times", usual.retail_times),
            area_rate=self.area_rate.data,
            area_unit=self.area_unit.data,
            fee_share=share("fee_share"),
            fee_fixed=self.fee_fixed.data,
            tax_name=self.tax_name.data or "",
            tax_rate=share("tax_rate"),
            tax_included=self.tax_included.data == "yes",
            step=self.step.data,
            up=self.rounding.data == "up",
            deposit=share("deposit"),
            discount=share("discount"),
            holds_days=self.holds_days.data,
        )


def form_of(pricing: Pricing, cost: Money) -> PriceForm:
    """The form, filled in."""
    amounts = {name: getattr(pricing, name) or None for name in ("area_rate", "fee_fixed", "step")}
    shares = {name: getattr(pricing, name) or None for name in ("fee_share", "tax_rate", "discount")}
    plain = ("by", "share", "retail_times", "area_unit", "tax_name", "deposit", "holds_days", "revision")
    form = PriceForm(
        formdata=None,
        data={
            **{name: getattr(pricing, name) for name in plain},
            **amounts,
            **shares,
            "tax_included": "yes" if pricing.tax_included else "no",
            "rounding": "up" if pricing.up else "nearest",
            "cost": cost,
        },
    )
    if not pricing.revision:
        form.area_unit.data = "ft2" if words_now().units == "imperial" else "m2"
        for name in GUESSED:
            form[name].basis = "guess"
    return form
