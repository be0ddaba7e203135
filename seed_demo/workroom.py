"""The story's workroom: the sign, three looms, what an hour costs, the price rule, and the work timed."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from seed_demo.days import TIME_ZONE, days_before, press
from shop.core.loom import FrameLoom, PlankLoom, Sett, ShaftLoom
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.warp import PricePerWeight
from shop.usecases import loom, pace, price, rates, shop
from shop.usecases.loom import LoomGiven
from shop.usecases.pace import PaceGiven
from shop.usecases.price import PricingGiven
from shop.usecases.rates import BudgetLine, RatesGiven
from shop.usecases.shop import ShopGiven

if TYPE_CHECKING:
    from shop.usecases import Store

OPENED: Final = 350
"""Days ago."""
FRAME: Final = "Window frame"
FLOOR_LOOM: Final = "Big floor loom"
PLANK: Final = "Porch plank"


def dollars(amount: str) -> Money:
    """An amount in the shop's currency."""
    return Money.of(amount, "USD")


def inches(value: float | str) -> Length:
    """A length as the shop says it."""
    return Length.of(str(value), "in")


def put_up_the_sign(store: Store, now: datetime) -> None:
    """The shop's name, where it stands, and its mark: a little rug in indigo, linen, ochre and madder."""
    given = ShopGiven(
        name="Lindenby Rag Rugs",
        address=("The Old Dairy, 3 Shuttle Row", "Nether Thrum, Westermark 00000"),
        contact="555-0142\nrugs@lindenby.example",
        paying="Westermark Savings Bank, account 555-0142-7, for Lindenby Rag Rugs\n\nOr cash or a cheque at the Old Dairy.",
        tax_number="Sales tax permit 00-0000",
        mark=("#2f4470", "#efe6d2", "#c8963e", "#9c3b2e", "#c8963e", "#efe6d2", "#2f4470"),
        locale="en_US",
        currency="USD",
        units="imperial",
        time_zone=TIME_ZONE,
    )
    day = days_before(now, OPENED)
    shop.change(store, shop=given, revision=0, saving=press("shop"), now=day.at(9))


def set_up_the_looms(store: Store, now: datetime) -> None:
    """A peg frame with an end bar that moves, a floor loom, and a plank of pegs for the porch."""
    day = days_before(now, OPENED - 1)
    frame = LoomGiven(
        loom=FrameLoom(
            name=FRAME,
            pegs=25,
            spacing=inches(1),
            length=inches("37.5"),
            bar_places=(inches(20), inches(24), inches(30)),
        ),
        strip=inches(2),
    )
    floor_loom = LoomGiven(
        loom=ShaftLoom(name=FLOOR_LOOM, sett=Sett(Decimal(8), "in"), width=inches(40)),
        yarn="8/4",
        yarn_price=PricePerWeight(Decimal("13.80"), "lb"),
        strip=inches(1),
        weft_take_up=Decimal("1.15"),
    )
    plank = LoomGiven(
        loom=PlankLoom(name=PLANK, pegs=26, spacing=inches("0.75"), knot=inches(7)),
        yarn="8/4",
        yarn_price=PricePerWeight(Decimal("13.80"), "lb"),
        strip=inches("1.5"),
    )
    for hour, (name, given) in enumerate(
        (("frame", frame), ("floor", floor_loom), ("plank", plank)), start=10
    ):
        loom.keep(store, loom=given, saving=press(f"loom-{name}"), now=day.at(hour))


def reckon_an_hour(store: Store, now: datetime) -> None:
    """The wage she wants, and a year's overhead over the hours she weaves, the wear of two looms in it."""
    given = RatesGiven(
        wage=dollars("22.00"),
        overhead="budget",
        productive_hours=Decimal(900),
        lines=(
            BudgetLine(kind="rent", name="The dairy, half of it", per_year=dollars("1500")),
            BudgetLine(kind="power", name="Light, heat, washing machine", per_year=dollars("640")),
            BudgetLine(kind="insurance", per_year=dollars("310")),
            BudgetLine(kind="tools", name="Blades, shuttles, a better lamp", per_year=dollars("180")),
            BudgetLine(kind="fees", name="Stalls at four fairs", per_year=dollars("420")),
            BudgetLine(
                kind="loom_wear",
                name=FLOOR_LOOM,
                cost=dollars("1400"),
                resale=dollars("500"),
                years=Decimal(15),
            ),
            BudgetLine(kind="loom_wear", name=FRAME, cost=dollars("90"), years=Decimal(6)),
        ),
        label=dollars("0.85"),
    )
    rates.change(
        store, rates=given, revision=0, saving=press("rates"), now=days_before(now, OPENED - 2).at(20)
    )


def choose_a_price_rule(store: Store, now: datetime) -> None:
    """A markup on the cost, the card's fee paid out of it, sales tax on top, in steps of five dollars."""
    given = PricingGiven(
        by="markup",
        share=Decimal("0.25"),
        fee_share=Decimal("0.029"),
        fee_fixed=dollars("0.30"),
        tax_name="Sales tax",
        tax_rate=Decimal("0.0625"),
        step=dollars("5"),
        deposit=Decimal("0.5"),
        holds_days=30,
    )
    price.change(
        store, pricing=given, revision=0, saving=press("price"), now=days_before(now, OPENED - 2).at(21)
    )


def time_the_work(store: Store, now: datetime, *, by: str) -> None:
    """What she has timed, what she sets by feeling; whatever she leaves out stays a starting guess."""
    timed = {
        ("shaft", "weave_per_row"): "0.17",
        ("shaft", "weave_per_row_m"): "0.26",
        ("shaft", "warp_per_end"): "1.1",
        ("frame", "weave_per_row"): "0.35",
        ("frame", "weave_per_row_m"): "1.9",
        ("any", "cut_rotary_per_m"): "0.3",
        ("any", "cut_tear_per_m"): "0.12",
    }
    felt = {("any", "office"): "40", ("any", "finish_per_edge"): "18", ("shaft", "warp_set_up"): "60"}
    given = [
        PaceGiven(loom_kind=on, key=key, minutes=Decimal(m), measured=True) for (on, key), m in timed.items()
    ]
    given += [PaceGiven(loom_kind=on, key=key, minutes=Decimal(m)) for (on, key), m in felt.items()]
    pace.change(
        store,
        paces=tuple(given),
        revision=0,
        by=by,
        saving=press("paces"),
        now=days_before(now, 120).at(17, 30),
    )
