"""The price rule: its form, and beside it what it makes of a round cost."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.usecases import price as price_room
from shop.usecases.price import Pricing, PricingGiven
from shop.usecases.rates_sample import PriceSample, price_sample, round_cost
from shop.web.pages import page, show
from shop.web.price_form import PriceForm, form_of
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import Words, mark

room = Blueprint("price", __name__, url_prefix="/rates/price")


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the worked price."""

    name: str
    amount: str
    main: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceComesTo:
    """What the rule makes of a cost.

    Attributes:
        headline: in a sentence.
        lines: from the cost to what is left.
        kept_apart: the share as a markup and as a margin, each with its price, so that they are never confused.
        below: the rule came out below what a sale costs, and the price was raised.
    """

    headline: str
    lines: tuple[Line, ...]
    kept_apart: tuple[str, ...]
    below: bool


@page("rates/price.html")
class PricePage:
    """The price rule: the form, and what it comes to."""

    form: PriceForm
    comes_to: PriceComesTo | None
    unset: bool


def comes_to(pricing: Pricing, cost: Money) -> PriceComesTo:
    """What a rule makes of a cost, in words.

    Raises:
        Refusal: figures that contradict one another.
    """
    words, sample = words_now(), price_sample(pricing, cost)
    price, say, money = sample.price, words.say, words.money
    asking = say("A rug that costs %(cost)s would be asked at %(asking)s.", cost=cost, asking=price.asking)
    if pricing.by == PriceBy.AREA.value:
        asking = say("A rug of 6 square feet that costs %(cost)s would be asked at %(asking)s.", cost=cost, asking=price.asking)
        if words.units == "metric":
            asking = say("A rug of 0.56 m² that costs %(cost)s would be asked at %(asking)s.", cost=cost, asking=price.asking)
    lines = [Line(say("It costs"), money(cost))]
    if price.trade is not None:
        lines.append(Line(say("Price to shops"), money(price.trade)))
    lines.append(Line(say("Asking price"), money(price.asking), main=True))
    if price.tax:
        name = pricing.tax_name or say("Tax")
        how = say("%(tax)s in it", tax=name) if pricing.tax_included else say("%(tax)s on top", tax=name)
        lines.append(Line(how, money(price.tax)))
    lines += [
        Line(say("The customer pays"), money(price.total), main=True),
        Line(say("Deposit"), money(price.deposit)),
    ]
    if price.fees:
        lines.append(Line(say("Fees take"), money(price.fees)))
    lines += [
        Line(say("Left after fees and tax"), money(price.net)),
        Line(say("Above what it cost"), money(price.net - cost)),
    ]
    return PriceComesTo(
        headline=asking, lines=tuple(lines), kept_apart=_kept_apart(pricing, sample, words), below=price.raised
    )


def _kept_apart(pricing: Pricing, sample: PriceSample, words: Words) -> tuple[str, ...]:
    """The same share by both rules."""
    if pricing.by == PriceBy.AREA.value:
        return ()
    say, share = words.say, words.percent(pricing.share)
    told = [say("A markup of %(share)s makes %(cost)s into %(price)s.", share=share, cost=sample.cost, price=sample.as_markup)]
    if sample.as_margin is not None:
        told.append(
            say("A margin of %(share)s makes %(cost)s into %(price)s.", share=share, cost=sample.cost, price=sample.as_margin)
        )
    else:
        told.append(say("A margin of %(share)s is impossible: it would leave nothing for the cost.", share=share))
    other = words.percent(sample.other) if sample.other is not None else ""
    if pricing.by == PriceBy.MARGIN.value:
        told.append(say("Your margin of %(share)s is a markup of %(other)s.", share=share, other=other))
    else:
        told.append(say("Your markup of %(share)s is a margin of %(other)s.", share=share, other=other))
    return tuple(told)


@room.get("/")
def show_price() -> Response:
    """The page."""
    pricing = price_room.current(store_now())
    cost = round_cost(pricing.currency)
    return _page(form_of(pricing, cost), comes_to(pricing, cost), unset=not pricing.revision)


@room.post("/")
def take_price() -> Response:
    """Change the rule, or only show what it comes to."""
    form = PriceForm()
    if not form.validate():
        return _page(form, None, status=422)
    currency = words_now().currency
    try:
        given = form.given()
        cost = form.cost.data or round_cost(currency)
        found = comes_to(_whole(given, currency), cost)
        if request.form.get("act") == "look":
            return _page(form, found)
        price_room.change(
            store_now(), pricing=given, revision=form.revision.data or 0, saving=form.saving.data, now=moment()
        )
    except Refusal as refusal:
        form.refuse(refusal)
        return _page(form, None, status=422)
    tell(mark("Saved."))
    return redirect(url_for("price.show_price"), 303)  # type: ignore[return-value]


def _whole(given: PricingGiven, currency: str) -> Pricing:
    values = {name: getattr(given, name) for name in PricingGiven.__dataclass_fields__}
    return Pricing(**values, currency=currency, revision=0)


def _page(form: PriceForm, found: PriceComesTo | None, *, unset: bool = False, status: int = 200) -> Response:
    return show(PricePage(form=form, comes_to=found, unset=unset), status=status)
