"""The form for what an hour costs: the wage, the lines of the year's overhead, and what is bought in."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, Final

from wtforms import Form, FormField

from shop.core.errors import NotPossible, Problem
from shop.core.hours import STEPS
from shop.usecases.rates import HOURS_IN_YEAR, LINE_KINDS, MOST_LINES, WAYS, BudgetLine, Rates, RatesGiven
from shop.usecases.rates_sample import wage_guess
from shop.web.fields import (
    ChoiceField,
    MoneyField,
    NumberField,
    RevisionField,
    SavingField,
    ShareField,
    TextField,
)
from shop.web.forms import RowList, ShopForm
from shop.web.shell import words_now
from shop.web.step_names import STEP_NAMES
from shop.words import mark

LINES: Final[Mapping[str, str]] = {
    "rent": mark("Rent"),
    "power": mark("Power and heat"),
    "insurance": mark("Insurance"),
    "tools": mark("Tools and supplies"),
    "fees": mark("Fees and memberships"),
    "other": mark("Something else"),
}
"""The kinds of line that are so much a year; wear of looms is entered apart."""
WEAR: Final = next(kind for kind in LINE_KINDS if kind not in LINES)
BORNE: Final = tuple(
    zip(
        WAYS,
        (
            mark("Not at all: it comes out of my pay"),
            mark("By the hour: the year’s costs over the hours I truly make rugs"),
            mark("As a share of the labour"),
        ),
        strict=True,
    )
)
BLANK_YEARLY, BLANK_WEAR = 3, 1
"""Blank rows that a page has at its first, and that a press for more gives."""
MORE: Final = "rows"
"""The value of the button that gives more blank rows."""


class Row(Form):
    """A row of the budget. All of it may stay empty; then it is no row."""

    def is_empty(self) -> bool:
        """Whether nothing was written in it (what is only chosen does not count)."""
        written = [field for field in self if not isinstance(field, ChoiceField)]
        return not any((field.raw_data[0] if field.raw_data else field.data) for field in written)


class YearlyRow(Row):
    """So much a year."""

    kind = ChoiceField(mark("What for"), choices=tuple(LINES.items()), needed=False)
    name = TextField(mark("In your words"), needed=False, longest=120)
    per_year = MoneyField(mark("Cost a year"), needed=False)

    def line(self) -> BudgetLine:
        """The line."""
        return BudgetLine(kind=self.kind.data or "other", name=self.name.data or "", per_year=self.per_year.data)


class WearRow(Row):
    """A loom or tool that wears out."""

    name = TextField(mark("Loom or tool"), needed=False, longest=120)
    cost = MoneyField(mark("What it cost"), needed=False)
    resale = MoneyField(mark("It will fetch"), needed=False)
    years = NumberField(mark("Years it serves"), needed=False, most=200)

    def line(self) -> BudgetLine:
        """The line."""
        years = None if self.years.data is None else Decimal(self.years.data)
        return BudgetLine(
            kind=WEAR, name=self.name.data or "", cost=self.cost.data, resale=self.resale.data, years=years
        )


def _pay_field(step: str) -> MoneyField:
    return MoneyField(STEP_NAMES[step], needed=False, where=f"rates.pay.{step}")


class RatesForm(ShopForm):
    """What an hour costs."""

    saving = SavingField()
    revision = RevisionField(default=0)
    wage = MoneyField(
        mark("Wage wanted for an hour"), needed=False, where="rates.wage",
        hint=mark("Your own pay, as a cost of the rug. It is not profit."),
    )  # fmt: skip
    pay_wash = _pay_field("wash")
    pay_cut = _pay_field("cut")
    pay_warp = _pay_field("warp")
    pay_weave = _pay_field("weave")
    pay_finish = _pay_field("finish")
    pay_office = _pay_field("office")
    overhead = ChoiceField(mark("How a rug bears the year’s costs"), choices=BORNE, buttons=True, where="rates.overhead")
    productive_hours = NumberField(
        mark("Hours a year spent making rugs"), needed=False, most=HOURS_IN_YEAR, where="rates.productive_hours",
        hint=mark("Washing, cutting, warping, weaving, finishing: not fairs, not accounts."),
    )  # fmt: skip
    overhead_share = ShareField(mark("Share of the labour"), needed=False, most=10, where="rates.overhead_share")
    yearly = RowList(FormField(YearlyRow), max_entries=MOST_LINES)
    wear = RowList(FormField(WearRow), max_entries=MOST_LINES)
    postage = MoneyField(mark("Postage and wrapping"), needed=False, where="rates.postage")
    label = MoneyField(mark("Label"), needed=False, where="rates.label")
    mat = MoneyField(
        mark("Non-slip mat"), needed=False, where="rates.mat",
        hint=mark("On a hard floor a rug without one slips, and people fall."),
    )  # fmt: skip

    @property
    def pay(self) -> dict[str, Any]:
        """The fields of the steps' pay, by step, in order."""
        return {step: self[f"pay_{step}"] for step in STEPS}

    @property
    def pays_steps(self) -> bool:
        """Whether anything was written about the pay of a step."""
        return any(field.errors or any(field.raw_data or ()) or field.data is not None for field in self.pay.values())

    def rows(self) -> list[Any]:
        """The rows that say something, in order."""
        forms = [entry.form for entry in (*self.yearly, *self.wear)]
        return [form for form in forms if not form.is_empty()]

    def given(self) -> RatesGiven:
        """What was given; each row's fields learn by which path a refusal will name them.

        Raises:
            NotPossible: ``overhead.unborne``: costs of the year are filled in, and rugs are to bear none of them.
        """
        rows = self.rows()
        for place, row in enumerate(rows):
            for field in row:
                field.where = f"rates.lines.{place}.{field.short_name}"
        if rows and self.overhead.data == "none":
            raise NotPossible(Problem("overhead.unborne", "rates.overhead"))
        hours = self.productive_hours.data
        return RatesGiven(
            wage=self.wage.data,
            pay=tuple((step, field.data) for step, field in self.pay.items() if field.data is not None),
            overhead=self.overhead.data,
            productive_hours=None if hours is None else Decimal(hours),
            overhead_share=self.overhead_share.data,
            lines=tuple(row.line() for row in rows),
            postage=self.postage.data,
            label=self.label.data,
            mat=self.mat.data,
        )

    def more_rows(self) -> None:
        """A few blank rows more, as many as the budget can have."""
        there = {row.form.kind.data for row in self.yearly}
        fresh = [kind for kind in LINES if kind not in there][:BLANK_YEARLY]
        fresh += ["other"] * (BLANK_YEARLY - len(fresh))
        for kind in fresh[: MOST_LINES - len(self.yearly)]:
            self.yearly.append_entry({"kind": kind})
        for _ in range(min(BLANK_WEAR, MOST_LINES - len(self.wear))):
            self.wear.append_entry()

    def tell_guesses(self) -> None:
        """Say the starting guess of the wage."""
        words = words_now()
        self.wage.guess = words.money(wage_guess(words.currency))


def form_of(rates: Rates) -> RatesForm:
    """The form, filled in, with a few blank rows."""
    plain = ("wage", "overhead", "productive_hours", "overhead_share", "postage", "label", "mat", "revision")
    form = RatesForm(
        formdata=None,
        data={
            **{name: getattr(rates, name) for name in plain},
            **{f"pay_{step}": amount for step, amount in rates.pay},
            "yearly": [
                {"kind": line.kind, "name": line.name, "per_year": line.per_year}
                for line in rates.lines
                if line.kind != WEAR
            ],
            "wear": [
                {"name": line.name, "cost": line.cost, "resale": line.resale, "years": line.years}
                for line in rates.lines
                if line.kind == WEAR
            ],
        },
    )
    form.more_rows()
    form.tell_guesses()
    return form


def sent_form() -> RatesForm:
    """The form as it was sent."""
    form = RatesForm()
    form.tell_guesses()
    return form
