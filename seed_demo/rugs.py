"""The story's finished rugs: two from its jobs, the others woven before the book was kept; two outlets, and some sales."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from seed_demo.days import days_before, press
from seed_demo.jobs import BATH_MAT, DOORSTEP
from seed_demo.workroom import dollars, inches
from shop.core.errors import Clash
from shop.core.loom import Size
from shop.core.measure import Weight
from shop.usecases import outlet, rug, rug_from_job, rug_sale, sale, whereabouts
from shop.usecases.outlet import OutletGiven
from shop.usecases.rug import RugGiven

if TYPE_CHECKING:
    from shop.usecases import Store

CARE: Final = "Wash cold and mild, by itself. Do not wring; dry flat."
INDIGO, LINEN, MADDER, OCHRE, MOSS = "#2f4470", "#efe6d2", "#9c3b2e", "#c8963e", "#5d6b45"
SKY, WALNUT, PLUM, ROSE, SLATE = "#8fb0c4", "#5e4632", "#6a3a52", "#c98a86", "#59636b"
BEFORE: Final = (
    # name, days ago, width, length in inches, pounds, colours, fibres, cloth, hours, price
    ("Blue ladder", 210, 24, 36, "2.6", (INDIGO, LINEN), "100% cotton", "3.80", "6.5", "195"),
    ("Farmhouse runner", 204, 26, 96, "6.9", (INDIGO, LINEN, MADDER), "80% cotton, 20% unknown fibres", "11.50", "15", "475"),
    ("Madder and ochre hearth", 180, 30, 48, "4.4", (MADDER, OCHRE), "60% wool, 40% cotton", "9.20", "9.5", "285"),
    ("Moss doorway mat", 171, 20, 30, "1.9", (MOSS, LINEN), "100% cotton", "2.40", "5", "125"),
    ("Sky stripes for a bath", 150, 22, 34, "2.2", (SKY, LINEN, INDIGO), "100% cotton", "3.10", "6", "165"),
    ("Walnut hall rug", 133, 28, 60, "5.1", (WALNUT, OCHRE, LINEN), "55% wool, 45% unknown fibres", "10.40", "11", "335"),
    ("Plum bedside", 120, 24, 40, "2.8", (PLUM, ROSE), "100% cotton", "4.60", "7", "205"),
    ("Rose nursery round-and-round", 96, 27, 45, "3.3", (ROSE, LINEN, PLUM), "90% cotton, 10% polyester", "5.20", "8", "240"),
    ("Slate kitchen", 82, 24, 36, "2.7", (SLATE, LINEN), "100% cotton", "3.90", "6.5", "185"),
    ("Five o’clock porch runner", 64, 18, 54, "3.0", (OCHRE, SLATE, MADDER), "", "4.10", "7.5", "210"),
    ("Little cat mat", 51, 15, 18, "0.9", (MOSS,), "", "0.90", "2.5", "48"),
    ("Denim by the back door", 40, 20, 32, "3.1", (INDIGO, SKY), "100% cotton", "1.80", "6.5", "165"),
)  # fmt: skip
WEAVERS_HOUR, OVERHEAD_HOUR = "22.00", "3.40"


def lay_them_out(store: Store, now: datetime) -> None:
    """Every finished rug is entered, some go to two shops in the valley, and some are sold."""
    _those_of_before(store, now)
    _those_of_jobs(store, now)
    _outlets(store, now)
    _sales(store, now)


def _those_of_before(store: Store, now: datetime) -> None:
    day = days_before(now, 30)
    for place, (name, days, width, length, pounds, colours, fibres, cloth, hours, price) in enumerate(BEFORE):
        with suppress(Clash):  # told on an earlier day already, and dated from that one
            rug.enter(
                store,
                rug=RugGiven(
                    name=name,
                    made_on=days_before(now, days).date,
                    width=inches(width),
                    length=inches(length),
                    weight=Weight.of(pounds, "lb"),
                    stripes=_stripes(colours),
                    fibres=fibres,
                    care=CARE,
                    cloth=dollars(cloth),
                    warp=dollars("1.90"),
                    labour=dollars(WEAVERS_HOUR).share(Decimal(hours)),
                    overhead=dollars(OVERHEAD_HOUR).share(Decimal(hours)),
                    bought_in=dollars("0.85"),
                    minutes=Decimal(hours) * 60,
                    price=dollars(price),
                ),
                saving=press(f"rug-{place}"),
                now=day.at(14, place),
            )


def _stripes(colours: tuple[str, ...]) -> tuple[tuple[str, Decimal], ...]:
    """One colour is plain; of more, the first lies in the middle and the others come back at both ends."""
    ends = [(colour, Decimal(2)) for colour in colours[1:]]
    return (*ends, (colours[0], Decimal(6)), *reversed(ends))


def _those_of_jobs(store: Store, now: datetime) -> None:
    day = days_before(now, 3)
    rug_from_job.make(
        store,
        job=BATH_MAT,
        size=Size(inches(20), inches(31)),
        content={"fibres": "78% cotton, 22% polyester", "care": CARE},
        price=dollars("95"),
        saving=press("rug-of-bath-mat"),
        now=day.at(9),
    )
    rug_from_job.make(
        store,
        job=DOORSTEP,
        size=Size(inches(18), inches(29)),
        content={"fibres": "66% cotton, 34% polyester", "care": CARE},
        price=dollars("135"),
        saving=press("rug-of-doorstep"),
        now=day.at(9, 5),
    )


def _outlets(store: Store, now: datetime) -> None:
    day = days_before(now, 28)
    mill = outlet.keep(
        store,
        outlet=OutletGiven(name="The Mill Shop", contact="Tansy Orrell, 555-0171", share=Decimal("0.4"), note="Wants nothing wider than 30 in."),
        saving=press("outlet-mill"),
        now=day.at(10),
    )
    gallery = outlet.keep(
        store,
        outlet=OutletGiven(name="Gallery on Reed Street", contact="555-0126", share=Decimal("0.35")),
        saving=press("outlet-gallery"),
        now=day.at(10, 10),
    )
    whereabouts.send(store, outlet=mill.id, rugs=[2, 4, 9], note="With the bread van", saving=press("send-mill"), now=day.at(12))
    whereabouts.send(store, outlet=gallery.id, rugs=[3, 6], saving=press("send-gallery"), now=day.at(12, 5))
    rug_sale.sell_at_outlet(
        store, outlet_id=mill.id, number=9, price=dollars("185"), saving=press("sold-mill"), now=days_before(now, 12).at(16)
    )
    rug_sale.sell_at_outlet(
        store, outlet_id=gallery.id, number=3, price=dollars("270"), means="cheque", saving=press("sold-gallery"), now=days_before(now, 9).at(17)
    )


def _sales(store: Store, now: datetime) -> None:
    day = days_before(now, 8)
    rug_sale.sell_from_home(
        store, number=5, price=dollars("150"), means="cash", note="A neighbour, for cash", saving=press("sold-home"), now=day.at(11)
    )
    slip = rug_sale.sell_from_home(store, number=7, price=dollars("205"), means="card", saving=press("sold-slip"), now=day.at(15))
    sale.undo(store, number=slip.number, why="Too long for the bed; she brought it back", saving=press("sold-undone"), now=days_before(now, 6).at(10))
    whereabouts.give_away(store, number=11, note="The cat has it", saving=press("cat"), now=days_before(now, 4).at(9))
