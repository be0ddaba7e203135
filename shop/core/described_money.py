"""The money of a described rug: overhead and the rule for its price."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from shop.core.asking import Reader
from shop.core.cost import Overhead, OverheadPerHour, OverheadShare
from shop.core.keys import DEPOSIT_GUESS, MARKUP_GUESS, RoundHow, money_guess
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.price import LARGEST_MARKUP, PriceBy, PriceRule


def overhead_described(reader: Reader) -> Overhead:
    """How the job bears overhead: by the hour, or as a share of labour."""
    if reader.has("rates.overhead_percent"):
        if reader.has("rates.overhead_per_hour"):
            reader.note("overhead.twice", "rates.overhead_percent")
        return OverheadShare(reader.share("rates.overhead_percent", Decimal(0), most=Decimal(10)))
    return OverheadPerHour(reader.money("rates.overhead_per_hour", money_guess("overhead", reader.currency)).amount)


_RULES: Final[dict[str, PriceBy]] = {
    "markup": PriceBy.MARKUP,
    "margin": PriceBy.MARGIN,
    "trade_markup": PriceBy.TRADE,
    "per_square_foot": PriceBy.AREA,
    "per_square_metre": PriceBy.AREA,
    "asking": PriceBy.HAND,
}


def price_described(reader: Reader) -> PriceRule:
    """The one rule that is given, and everything else about the price."""
    chosen = [name for name in _RULES if reader.has(f"price.{name}")]
    if len(chosen) > 1:
        reader.note("price.two_rules", f"price.{chosen[1]}", one=chosen[0], other=chosen[1])
    name = chosen[0] if chosen else "markup"
    zero = Money.zero(reader.currency)
    share, area_rate, set_price = MARKUP_GUESS, Decimal(0), None
    if name == "margin":
        share = reader.share("price.margin", Decimal(0), most=Decimal(100))
        if share >= 1:
            reader.note("margin.range", "price.margin", share=share)
    elif name in ("markup", "trade_markup"):
        share = reader.share(f"price.{name}", MARKUP_GUESS, most=LARGEST_MARKUP)
    elif name == "asking":
        set_price = reader.money("price.asking", zero)
    else:
        unit = "ft" if name == "per_square_foot" else "m"
        side = Length.of(1, unit).to("m")
        area = Decimal(side.numerator**2) / Decimal(side.denominator**2)
        area_rate = reader.money(f"price.{name}", zero).amount / area
    return PriceRule(
        by=_RULES[name],
        share=share,
        retail_times=Decimal(repr(reader.number("price.retail_times", 2.0, 1, 10, guess=name == "trade_markup"))),
        area_rate=area_rate,
        set_price=set_price,
        fee_share=reader.share("price.fee_percent", Decimal(0), most=Decimal("0.9"), guess=False),
        fee_fixed=reader.money("price.fee_fixed", zero, guess=False),
        tax_rate=reader.share("price.tax_rate", Decimal(0), most=Decimal("0.99"), guess=False),
        tax_included=reader.yes("price.tax_included"),
        step=reader.money("price.round_to", zero, guess=False),
        up=reader.choice("price.round_how", RoundHow, RoundHow.UP, guess=False) is RoundHow.UP,
        discount=reader.share("price.discount", Decimal(0), guess=False),
        below_floor=reader.yes("price.below_floor"),
        deposit=reader.share("price.deposit", DEPOSIT_GUESS),
    )
