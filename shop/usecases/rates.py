"""What an hour costs: the wage wanted, the year's overhead, and what is bought in for a rug as a rule."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.cost import Overhead, OverheadPerHour, OverheadShare, overhead_rate, wear_per_year
from shop.core.errors import Clash, Problem, Refusal
from shop.core.hours import STEPS
from shop.core.money import Money, total
from shop.store import rates as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given
from shop.usecases.shop import shop_in

LINE_KINDS: Final = ("rent", "power", "insurance", "tools", "fees", "loom_wear", "other")
WAYS: Final = ("none", "budget", "percent")
MOST_LINES: Final = 60
HOURS_IN_YEAR: Final = 8784


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetLine:
    """A line of the year's overhead budget.

    Attributes:
        kind: ``rent``, ``power``, ``insurance``, ``tools``, ``fees``, ``loom_wear`` or ``other``.
        name: in the owner's words, where the kind does not say it all.
        per_year: an amount a year; not on ``loom_wear``.
        cost, resale, years: of ``loom_wear``, which comes to ``(cost - resale) / years`` a year.
    """

    kind: str
    name: str = ""
    per_year: Money | None = None
    cost: Money | None = None
    resale: Money | None = None
    years: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RatesGiven:
    """The shop's rates as its owner sets them.

    Attributes:
        wage: wanted for an hour; ``None`` leaves the starting guess.
        pay: for an hour of a step (of ``shop.core.hours.STEPS``) that is not paid the wage.
        overhead: ``none``; ``budget``, the lines over the productive hours; or ``percent`` of labour.
        productive_hours: hours in a year spent on rugs.
        overhead_share: of labour; 0.25 is a quarter.
        lines: of the year's budget.
        postage, label, mat: bought in for a rug as a rule.
    """

    wage: Money | None = None
    pay: tuple[tuple[str, Money], ...] = ()
    overhead: str = "none"
    productive_hours: Decimal | None = None
    overhead_share: Decimal | None = None
    lines: tuple[BudgetLine, ...] = ()
    postage: Money | None = None
    label: Money | None = None
    mat: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rates(RatesGiven):
    """The shop's rates, and what they come to.

    Attributes:
        budget: the year's overhead, all lines together.
        overhead_per_hour: ``budget / productive_hours``, unrounded; ``None`` without hours.
        revision: goes up with each change; 0 before anything was set.
    """

    budget: Money
    overhead_per_hour: Decimal | None
    revision: int

    @property
    def borne(self) -> Overhead | None:
        """How a job bears overhead, as the arithmetic knows it; ``None`` before anything was set."""
        if not self.revision:
            return None
        if self.overhead == "percent" and self.overhead_share is not None:
            return OverheadShare(self.overhead_share)
        if self.overhead == "budget" and self.overhead_per_hour is not None:
            return OverheadPerHour(self.overhead_per_hour)
        return OverheadPerHour(Decimal(0))


def year_of(line: BudgetLine, currency: str) -> Money:
    """What a line comes to in a year.

    Raises:
        NotPossible: ``wear.years``, ``wear.resale``.
    """
    if line.kind == "loom_wear":
        nothing = Money.zero(currency)
        return wear_per_year(line.cost or nothing, line.resale or nothing, line.years or 0)
    return line.per_year or Money.zero(currency)


def current(store: Store) -> Rates:
    """The shop's rates."""
    with store.reading() as session:
        return rates_in(session, shop_in(session).currency)


def rates_in(session: Session, currency: str) -> Rates:
    """The rates, as part of another use case."""

    def money(minor: int | None) -> Money | None:
        return None if minor is None else Money(minor, currency)

    row = table.load(session)
    if row is None:
        return Rates(budget=Money.zero(currency), overhead_per_hour=None, revision=0)
    lines = tuple(
        BudgetLine(
            kind=line.kind,
            name=line.name,
            per_year=money(line.per_year),
            cost=money(line.cost),
            resale=money(line.resale),
            years=line.years,
        )
        for line in table.lines(session)
    )
    budget = total((year_of(line, currency) for line in lines), currency)
    return Rates(
        wage=money(row.wage),
        pay=tuple(
            (step, Money(minor, currency))
            for step in STEPS
            if (minor := getattr(row, f"pay_{step}")) is not None
        ),
        overhead=row.overhead,
        productive_hours=row.productive_hours,
        overhead_share=row.overhead_share,
        lines=lines,
        postage=money(row.postage),
        label=money(row.label),
        mat=money(row.mat),
        budget=budget,
        overhead_per_hour=overhead_rate(budget, row.productive_hours) if row.productive_hours else None,
        revision=row.revision,
    )


def change(store: Store, *, rates: RatesGiven, revision: int, saving: str, now: datetime) -> Rates:
    """Set the shop's rates, all of them.

    Raises:
        Refusal: with every problem found, at ``rates.wage``, ``rates.pay.cut``, ``rates.lines.0.per_year`` and so on:
            ``money.missing``, ``money.negative``, ``money.large``, ``money.mixed``, ``number.small``, ``number.large``,
            ``number.missing``, ``choice.unknown``, ``wear.years``, ``wear.resale``, ``overhead.no_hours``,
            ``rates.lines``, ``rates.pay_twice``.
        Clash: ``rates.changed`` when they have been changed since the form was shown.
    """
    with store.writing() as session:
        currency = shop_in(session).currency
        if presses.claim(session, act="rates.change", token=saving, given=rates, now=now) is None:
            _put(session, rates, currency, revision, now)
            presses.settle(session, act="rates.change", token=saving, about=1)
            session.flush()
        return rates_in(session, currency)


def _put(session: Session, rates: RatesGiven, currency: str, revision: int, now: datetime) -> None:
    given = Given()
    row = table.load(session, lock=True)
    amounts = {
        name: given.money(f"rates.{name}", getattr(rates, name), currency)
        for name in ("wage", "postage", "label", "mat")
    }
    pay = _pay(given, rates.pay, currency)
    given.choice("rates.overhead", rates.overhead, WAYS)
    if rates.productive_hours is not None:
        given.number("rates.productive_hours", rates.productive_hours, 0, HOURS_IN_YEAR)
    if rates.overhead == "budget" and not rates.productive_hours:
        given.note("overhead.no_hours", "rates.productive_hours")
    if rates.overhead_share is not None:
        given.number("rates.overhead_share", rates.overhead_share, 0, 10)
    elif rates.overhead == "percent":
        given.note("number.missing", "rates.overhead_share")
    if len(rates.lines) > MOST_LINES:
        given.note("rates.lines", "rates.lines", most=MOST_LINES)
    lines = [_line(given, place, line, currency) for place, line in enumerate(rates.lines)]
    given.done()
    if (0 if row is None else row.revision) != revision:
        raise Clash(Problem("rates.changed"))
    if row is None:
        row = table.RatesRow(id=1)
        session.add(row)
    for name, amount in (amounts | pay).items():
        setattr(row, name, amount)
    row.overhead, row.productive_hours = rates.overhead, rates.productive_hours
    row.overhead_share = rates.overhead_share
    row.revision, row.updated_at = revision + 1, now
    table.replace_lines(session, lines)


def _pay(given: Given, pay: tuple[tuple[str, Money], ...], currency: str) -> dict[str, int | None]:
    """Each step's column with its amount; none for a step that is paid the wage."""
    columns: dict[str, int | None] = {f"pay_{step}": None for step in STEPS}
    for step, amount in pay:
        at = f"rates.pay.{step}"
        if columns.get(f"pay_{given.choice(at, step, STEPS)}") is not None:
            given.note("rates.pay_twice", at)
        columns[f"pay_{step}"] = given.money(at, amount, currency)
    return columns


def _line(given: Given, place: int, line: BudgetLine, currency: str) -> table.OverheadLine:
    at = f"rates.lines.{place}"
    kind = given.choice(f"{at}.kind", line.kind, LINE_KINDS)
    row = table.OverheadLine(place=place, kind=kind, name=given.line(f"{at}.name", line.name))
    if kind != "loom_wear":
        if line.per_year is None:
            given.note("money.missing", f"{at}.per_year")
        row.per_year = given.money(f"{at}.per_year", line.per_year, currency)
        return row
    before = len(given.problems)
    if line.cost is None:
        given.note("money.missing", f"{at}.cost")
    row.cost = given.money(f"{at}.cost", line.cost, currency)
    row.resale = given.money(f"{at}.resale", line.resale, currency) or 0
    row.years = given.number(f"{at}.years", line.years or Decimal(0), 0, 200)
    if len(given.problems) == before:
        try:
            year_of(line, currency)
        except Refusal as refusal:
            given.problems.extend(problem.at(f"{at}.{problem.where}") for problem in refusal.problems)
    return row
