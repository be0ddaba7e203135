"""The shop's rule for a price: how it comes from the cost, fees, tax, steps, deposit, and how long a quote holds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Final

from shop.core.errors import Clash, Problem
from shop.core.measure import LENGTH_UNITS, NM_PER_METRE
from shop.core.money import Money
from shop.core.price import LARGEST_MARKUP, PriceBy, PriceRule
from shop.store import price as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given
from shop.usecases.shop import shop_in

LONGEST_HOLD: Final = 730
AREA_UNITS: Final = ("ft2", "m2")
RULES: Final = tuple(by.value for by in PriceBy if by is not PriceBy.HAND)
SHARES: Final = ("share", "fee_share", "tax_rate", "deposit", "discount")


@dataclass(frozen=True, slots=True, kw_only=True)
class PricingGiven:
    """The price rule as its owner sets it.

    Attributes:
        by: ``markup``, ``margin``, ``trade`` or ``area``.
        share: the markup or margin (0.35 is 35 %), or the markup to the trade price.
        retail_times: a retail price over its trade price.
        area_rate: an amount for an ``area_unit``, ``ft2`` or ``m2``.
        fee_share: what card or marketplace keep of the price; ``fee_fixed`` besides, for each sale.
        tax_name: what the tax is called on a quote, such as *sales tax*.
        tax_rate: a share, ``tax_included`` in prices or on top.
        step: price steps; nothing leaves a price as it comes out. ``up`` to the next, or to the nearest.
        deposit: the part of the total to pay first, a share.
        discount: off the price as a rule, a share.
        holds_days: how many days a quote holds.
    """

    by: str = "markup"
    share: Decimal = Decimal("0.35")
    retail_times: Decimal = Decimal(2)
    area_rate: Money | None = None
    area_unit: str = "ft2"
    fee_share: Decimal = Decimal(0)
    fee_fixed: Money | None = None
    tax_name: str = ""
    tax_rate: Decimal = Decimal(0)
    tax_included: bool = False
    step: Money | None = None
    up: bool = True
    deposit: Decimal = Decimal("0.5")
    discount: Decimal = Decimal(0)
    holds_days: int = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Pricing(PricingGiven):
    """The shop's price rule.

    Attributes:
        currency: of its amounts.
        revision: goes up with each change; 0 while all of it is a starting guess.
    """

    currency: str
    revision: int

    @property
    def rule(self) -> PriceRule:
        """The rule as the arithmetic knows it."""
        nothing = Money.zero(self.currency)
        side = Decimal(LENGTH_UNITS["ft" if self.area_unit == "ft2" else "m"]) / NM_PER_METRE
        return PriceRule(
            by=PriceBy(self.by),
            share=self.share,
            retail_times=self.retail_times,
            area_rate=(self.area_rate or nothing).amount / side**2,
            fee_share=self.fee_share,
            fee_fixed=self.fee_fixed or nothing,
            tax_rate=self.tax_rate,
            tax_included=self.tax_included,
            step=self.step or nothing,
            up=self.up,
            discount=self.discount,
            deposit=self.deposit,
        )


def current(store: Store) -> Pricing:
    """The shop's price rule."""
    with store.reading() as session:
        return pricing_in(session, shop_in(session).currency)


def pricing_in(session: Session, currency: str) -> Pricing:
    """The price rule, as part of another use case."""
    row = table.load(session)
    if row is None:
        return Pricing(currency=currency, revision=0)
    return Pricing(
        by=row.price_by,
        share=row.share,
        retail_times=row.retail_times,
        area_rate=Money(row.area_rate, currency),
        area_unit=row.area_unit,
        fee_share=row.fee_share,
        fee_fixed=Money(row.fee_fixed, currency),
        tax_name=row.tax_name,
        tax_rate=row.tax_rate,
        tax_included=row.tax_included,
        step=Money(row.step, currency),
        up=row.up,
        deposit=row.deposit,
        discount=row.discount,
        holds_days=row.holds_days,
        currency=currency,
        revision=row.revision,
    )


def change(store: Store, *, pricing: PricingGiven, revision: int, saving: str, now: datetime) -> Pricing:
    """Set the price rule, all of it.

    Raises:
        Refusal: with every problem found, at ``price.share`` and so on: ``choice.unknown``,
            ``markup.range``, ``margin.range``, ``fee.range``, ``tax.range``, ``deposit.range``,
            ``discount.range``, ``number.small``, ``number.large``, ``number.finer``, ``money.missing``,
            ``money.negative``, ``money.large``, ``money.mixed``, ``text.long``, ``text.control``.
        Clash: ``price.changed`` when it has been changed since the form was shown.
    """
    with store.writing() as session:
        currency = shop_in(session).currency
        if presses.claim(session, act="price.change", token=saving, given=pricing, now=now) is None:
            _put(session, pricing, currency, revision, now)
            presses.settle(session, act="price.change", token=saving, about=1)
            session.flush()
        return pricing_in(session, currency)


def _put(session: Session, pricing: PricingGiven, currency: str, revision: int, now: datetime) -> None:
    given = Given()
    row = table.load(session, lock=True)
    _check(given, pricing)
    nothing = Money.zero(currency)
    tax_name = given.line("price.tax_name", pricing.tax_name, most=40)
    area_rate = given.amount("price.area_rate", pricing.area_rate or nothing, currency)
    if pricing.by == PriceBy.AREA.value and pricing.area_rate is None:
        given.note("money.missing", "price.area_rate")
    fee_fixed = given.amount("price.fee_fixed", pricing.fee_fixed or nothing, currency)
    step = given.amount("price.step", pricing.step or nothing, currency)
    given.done()
    if (0 if row is None else row.revision) != revision:
        raise Clash(Problem("price.changed"))
    if row is None:
        row = table.PriceRow(id=1)
        session.add(row)
    row.price_by, row.share, row.retail_times = pricing.by, pricing.share, pricing.retail_times
    row.area_rate, row.area_unit = area_rate, pricing.area_unit
    row.fee_share, row.fee_fixed = pricing.fee_share, fee_fixed
    row.tax_name, row.tax_rate, row.tax_included = tax_name, pricing.tax_rate, pricing.tax_included
    row.step, row.up = step, pricing.up
    row.deposit, row.discount, row.holds_days = pricing.deposit, pricing.discount, pricing.holds_days
    row.revision, row.updated_at = revision + 1, now


def _check(given: Given, pricing: PricingGiven) -> None:
    given.choice("price.by", pricing.by, RULES)
    given.choice("price.area_unit", pricing.area_unit, AREA_UNITS)
    given.number("price.retail_times", pricing.retail_times, 1, 10)
    given.count("price.holds_days", pricing.holds_days, 1, LONGEST_HOLD)
    for name in SHARES:
        if not getattr(pricing, name).is_finite():
            given.note("share.missing", f"price.{name}")
            return
    if pricing.by == PriceBy.MARGIN.value:
        if not 0 <= pricing.share < 1:
            given.note("margin.range", "price.share", share=pricing.share)
    elif not 0 <= pricing.share <= LARGEST_MARKUP:
        given.note("markup.range", "price.share", share=pricing.share)
    if not 0 <= pricing.tax_rate < 1:
        given.note("tax.range", "price.tax_rate", rate=pricing.tax_rate)
    elif not 0 <= pricing.fee_share < 1 - _contained(pricing):
        given.note("fee.range", "price.fee_share", share=pricing.fee_share)
    if not 0 <= pricing.deposit <= 1:
        given.note("deposit.range", "price.deposit", share=pricing.deposit)
    if not 0 <= pricing.discount <= 1:
        given.note("discount.range", "price.discount", share=pricing.discount)
    if not given.problems:
        for name in SHARES:
            given.number(f"price.{name}", getattr(pricing, name), 0, 100)


def _contained(pricing: PricingGiven) -> Decimal:
    """The part of the price that contained tax takes."""
    return pricing.tax_rate / (1 + pricing.tax_rate) if pricing.tax_included else Decimal(0)
