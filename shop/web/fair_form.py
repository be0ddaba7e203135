"""The form of a fair: its days, what the stall costs, how people pay there."""

from __future__ import annotations

from decimal import Decimal

from shop.core.money import Money, parse_money
from shop.usecases.fair import MOST_HOURS, MOST_TAX
from shop.usecases.fair_card import FairCard, FairGiven
from shop.web.fields import (
    ChoiceField,
    DateField,
    MoneyField,
    NumberField,
    ReadField,
    RevisionField,
    SavingField,
    ShareField,
    TextField,
)
from shop.web.forms import ShopForm
from shop.web.shell import words_now
from shop.words import mark

CONTAINED = (("no", mark("comes on top of the price")), ("yes", mark("is in the price")))
AMOUNTS = ("stall", "travel", "nights", "helper", "permits", "other", "card_fixed", "cash_step", "price_step", "opening_float")
NUMBERS = ("card_percent", "card_share", "hours_stood", "hours_travelled", "tax_rate")


def _points(text: str) -> tuple[Money, ...]:
    """Round prices, with spaces between."""
    words = words_now()
    return tuple(parse_money(one, words.currency, decimal_mark=words.decimal_mark) for one in text.split())


def _written(points: tuple[Money, ...]) -> str:
    return " ".join(words_now().typed_money(point) for point in points)


class FairForm(ShopForm):
    """A fair."""

    name = TextField(mark("Name of the fair"), where="fair.name")
    place = TextField(mark("Where"), needed=False, where="fair.place")
    first_on = DateField(mark("First day"), where="fair.first_on")
    last_on = DateField(mark("Last day"), where="fair.last_on")
    series = TextField(
        mark("Beside which others"), needed=False, where="fair.series",
        hint=mark("One name for a fair that is held again and again, so that its years stand side by side."),
    )  # fmt: skip
    stall = MoneyField(
        mark("Stall"), needed=False, where="fair.stall", hint=mark("Not again where it is in your yearly costs already.")
    )
    travel = MoneyField(mark("Travel"), needed=False, where="fair.travel")
    nights = MoneyField(mark("Nights"), needed=False, where="fair.nights")
    helper = MoneyField(mark("A helper"), needed=False, where="fair.helper")
    permits = MoneyField(mark("Permits"), needed=False, where="fair.permits")
    other = MoneyField(mark("Anything else"), needed=False, where="fair.other")
    hours_stood = NumberField(mark("Hours at the stall, setting up and taking down with them"), most=MOST_HOURS, needed=False, where="fair.hours_stood")
    hours_travelled = NumberField(mark("Hours on the road"), most=MOST_HOURS, needed=False, where="fair.hours_travelled")
    card_percent = ShareField(mark("The card reader keeps"), most=Decimal("0.5"), needed=False, where="fair.card_percent")
    card_fixed = MoneyField(mark("and for each sale"), needed=False, where="fair.card_fixed")
    card_share = ShareField(mark("Of the takings, by card"), needed=False, where="fair.card_share", hint=mark("A guess will do; the till will know."))
    tax_name = TextField(mark("What the tax is called"), needed=False, longest=40, where="fair.tax_name")
    tax_rate = ShareField(
        mark("Rate of tax there"), most=MOST_TAX, needed=False, where="fair.tax_rate",
        hint=mark("Some places tax by where the stall stands, and ask for a permit: ask the fair or the tax office."),
    )  # fmt: skip
    tax_contained = ChoiceField(mark("The tax"), choices=CONTAINED, where="fair.tax_contained")
    cash_step = MoneyField(
        mark("Cash is rounded to"), needed=False, where="fair.cash_step",
        hint=mark("Only where the smallest coin is larger than a cent, such as 0.05 or 1."),
    )  # fmt: skip
    price_step = MoneyField(mark("Round prices in steps of"), needed=False, where="fair.price_step")
    price_points = ReadField(
        mark("or just these round prices"), needed=False, where="fair.price_points", read=_points, written=_written,
        hint=mark("With spaces between, such as 25 40 60 90 120."),
    )  # fmt: skip
    opening_float = MoneyField(mark("Change in the box at the start"), needed=False, where="fair.opening_float")
    note = TextField(mark("A note"), needed=False, lines=3, longest=2000, where="fair.note")
    revision = RevisionField(default=0)
    saving = SavingField()

    def given(self) -> FairGiven:
        """The fair that a form without mistakes means; an amount left empty is nothing."""
        nothing = Money.zero(words_now().currency)
        return FairGiven(
            name=self.name.data,
            series=self.series.data or "",
            place=self.place.data or "",
            note=self.note.data or "",
            first_on=self.first_on.data,
            last_on=self.last_on.data,
            **{name: self[name].data or nothing for name in AMOUNTS},
            **{name: Decimal(self[name].data or 0) for name in NUMBERS},
            tax_name=self.tax_name.data or "",
            tax_contained=self.tax_contained.data == "yes",
            price_points=self.price_points.data or (),
        )


def form_of(fair: FairGiven) -> FairForm:
    """The form, filled in."""
    form = FairForm(formdata=None)
    for name in ("name", "series", "place", "note", "first_on", "last_on", "tax_name"):
        form[name].data = getattr(fair, name) or None
    for name in (*AMOUNTS, *NUMBERS):
        form[name].data = getattr(fair, name) or None
    form.price_points.data = fair.price_points or None
    form.tax_contained.data = "yes" if fair.tax_contained else "no"
    form.revision.data = fair.revision if isinstance(fair, FairCard) else 0
    return form
