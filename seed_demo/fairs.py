"""The story's fairs: a market in the rain that did not bear its cost, the next one that did, and a larger fair that is coming."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from seed_demo.days import days_before, press
from seed_demo.workroom import dollars
from shop.usecases import fair, fair_reckoning, fair_table, till_acts, whereabouts
from shop.usecases.fair_card import FairGiven
from shop.usecases.till import Manner
from shop.usecases.till_acts import SaleGiven

if TYPE_CHECKING:
    from shop.usecases import Store

MANNER: Final = Manner(read_length=lambda _: None, write_letter=None)
SERIES: Final = "Alder Green market"
WET, GOOD, TO_COME = 1, 2, 3


def _plan(now: datetime, days: int) -> FairGiven:
    """The market on the green, so many days ago."""
    begun = days_before(now, days).date
    nothing = dollars("0")
    return FairGiven(
        name=SERIES,
        series=SERIES,
        place="The green at Alder Green, by the pump",
        first_on=begun,
        last_on=begun,
        stall=dollars("45"),
        travel=dollars("18.60"),
        nights=nothing,
        helper=nothing,
        permits=dollars("5"),
        other=nothing,
        card_percent=Decimal("0.026"),
        card_fixed=dollars("0.10"),
        card_share=Decimal("0.6"),
        hours_stood=Decimal(8),
        hours_travelled=Decimal("2.5"),
        tax_name="Sales tax",
        tax_rate=Decimal("0.0625"),
        cash_step=nothing,
        price_step=dollars("5"),
        opening_float=dollars("120"),
    )


def go_to_fairs(store: Store, now: datetime) -> None:
    """Two markets on the same green, and a larger fair ahead. Their days are those of the first telling."""
    kept = {card.number: card for card in fair.fairs(store).fairs}
    over = {number for number, card in kept.items() if card.state == "over"}
    if WET not in over:
        _a_wet_one(store, now)
    if GOOD not in over:
        _a_good_one(store, now)
    if TO_COME not in kept or not fair_table.packed(store, number=TO_COME):
        _one_to_come(store, now)


def _packed(store: Store, number: int, now: datetime, rugs: tuple[tuple[int, str], ...], key: str) -> None:
    whereabouts.pack(store, fair=number, rugs=[(rug, dollars(price)) for rug, price in rugs], saving=press(f"{key}-packed"), now=now)
    fair.open_till(store, number=number, saving=press(f"{key}-open"), now=now)


def _a_wet_one(store: Store, now: datetime) -> None:
    day = days_before(now, 26)
    number = fair.keep(store, fair=replace(_plan(now, 26), note="Rain from noon."), saving=press("fair-wet"), now=day.at(8)).number
    _packed(store, number, day.at(8, 5), ((8, "265"), (10, "235"), (12, "185")), "wet")
    till_acts.sell(
        store, fair=number, given=SaleGiven(rugs=(12,), means="cash", given=dollars("200")), manner=MANNER, saving=press("wet-sale"), now=day.at(11)
    )
    till_acts.put_cash(store, fair=number, what="float", amount=dollars("120"), manner=MANNER, saving=press("wet-float"), now=day.at(8, 10))
    till_acts.put_cash(
        store, fair=number, what="counted", amount=dollars("316.06"), manner=MANNER, saving=press("wet-count"), now=day.at(17)
    )
    fair_reckoning.bring_home(store, number=number, saving=press("wet-home"), now=day.at(19))


def _a_good_one(store: Store, now: datetime) -> None:
    day = days_before(now, 7)
    number = fair.keep(store, fair=_plan(now, 7), saving=press("fair-good"), now=day.at(7)).number
    _packed(store, number, day.at(7, 5), ((1, "225"), (8, "280"), (10, "245")), "good")
    till_acts.put_cash(store, fair=number, what="float", amount=dollars("120"), manner=MANNER, saving=press("good-float"), now=day.at(8))
    till_acts.sell(
        store, fair=number, given=SaleGiven(rugs=(10,), together=dollars("240"), means="card"), manner=MANNER, saving=press("good-two"),
        now=day.at(11, 20),
    )  # fmt: skip
    till_acts.sell(
        store, fair=number, given=SaleGiven(rugs=(8,), means="cash", given=dollars("300")), manner=MANNER, saving=press("good-one"),
        now=day.at(15),
    )  # fmt: skip
    till_acts.put_cash(store, fair=number, what="counted", amount=dollars("417.50"), manner=MANNER, saving=press("good-count"), now=day.at(17))
    fair_reckoning.bring_home(store, number=number, saving=press("good-home"), now=day.at(19))


def _one_to_come(store: Store, now: datetime) -> None:
    day = days_before(now, 1)
    begins = now.date() + timedelta(days=23)
    plan = replace(
        _plan(now, 7), name="Midwinter fair in the Corn Hall", series="Midwinter fair", place="Corn Hall, Tarn Wick", first_on=begins,
        last_on=begins + timedelta(days=2), stall=dollars("160"), travel=dollars("41"), nights=dollars("170"), permits=dollars("12"),
        hours_stood=Decimal(26), hours_travelled=Decimal(5), note="Ask for the corner by the door.",
    )  # fmt: skip
    number = fair.keep(store, fair=plan, saving=press("fair-to-come"), now=day.at(20)).number
    whereabouts.pack(store, fair=number, rugs=[(7, dollars("235")), (13, dollars("95"))], saving=press("to-come-packed"), now=day.at(20, 15))
