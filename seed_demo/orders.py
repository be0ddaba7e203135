"""The story's orders: what people asked for, and the quotes that answered them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from seed_demo import hauls
from seed_demo.days import days_before, press
from seed_demo.workroom import FLOOR_LOOM, FRAME, PLANK, dollars, inches
from shop.core.cloth import ClothKind
from shop.core.price import PriceBy
from shop.core.stripe_plan import By
from shop.core.strips import Tool
from shop.usecases import drafting, loom, planning
from shop.usecases.chosen import Chosen, NewCloth, StripeLine, Stripes
from shop.usecases.drafting import Customer

if TYPE_CHECKING:
    from shop.usecases import Store


KITCHEN: Final = Stripes(
    lines=(
        StripeLine(cloth=hauls.INDIGO, by=By.ROWS, amount=Decimal(10), border=True),
        StripeLine(cloth=hauls.UNDYED, by=By.ROWS, amount=Decimal(6), border=True),
        StripeLine(cloth=hauls.INDIGO, by=By.LENGTH, length=inches(2.5)),
        StripeLine(cloth=hauls.UNDYED, second=hauls.INDIGO, by=By.LENGTH, length=inches(2)),
        StripeLine(cloth=hauls.UNDYED, by=By.LENGTH, length=inches(3.5)),
        StripeLine(cloth=hauls.INDIGO, by=By.ROWS, amount=Decimal(4)),
        StripeLine(cloth=hauls.UNDYED),
    ),
    mirrored=True,
)
"""Indigo ends, then broader and broader bands to the undyed middle, and back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Somebody's wish.

    Attributes:
        key: names its press.
        days: ago.
        loom: by name.
        width, length: in inches.
        cloths: (number on the label, part of the rug).
        chosen: whatever else was chosen.
    """

    key: str
    days: int
    who: str
    contact: str
    title: str
    loom: str
    width: float
    length: float
    cloths: tuple[tuple[int, int], ...]
    chosen: dict[str, object] = field(default_factory=dict)


def answer_them(store: Store, now: datetime) -> None:
    """Each wish is planned with the cloth and rates there are, and kept as a draft."""
    looms = {card.loom.name: card.id for card in loom.looms(store)}
    for order in _wishes():
        chosen = Chosen(
            width=inches(order.width),
            length=inches(order.length),
            loom_id=looms[order.loom],
            pieces=tuple((number, Decimal(part)) for number, part in order.cloths),
            **order.chosen,  # type: ignore[arg-type]
        )
        drafting.keep(
            store,
            plan=planning.planned(store, chosen=chosen),
            customer=Customer(name=order.who, contact=order.contact, title=order.title),
            number=None,
            revision=0,
            saving=press(f"order-{order.key}"),
            now=days_before(now, order.days).at(19, 15),
        )


def _wishes() -> Iterator[Order]:
    yield Order(
        key="bath-mat",
        days=44,
        who="Oswin Tarrow",
        contact="oswin@tarrow.example",
        title="Sand bath mat",
        loom=FRAME,
        width=20,
        length=30,
        cloths=((hauls.UNDYED, 6), *((number, 1) for number in hauls.TOWELS)),
        chosen={"tool": Tool.SCISSORS},
    )
    yield Order(
        key="back-step",
        days=38,
        who="Halloran Pim",
        contact="555-0117",
        title="Sky and denim mat for the back step",
        loom=PLANK,
        width=18,
        length=30,
        cloths=((hauls.SKY, 8), *((number, 1) for number in hauls.JEANS)),
        chosen={"price_by": PriceBy.AREA, "area_rate": dollars("34.00")},
    )
    yield Order(
        key="hearth",
        days=31,
        who="Ottoline Grice",
        contact="The Lock House, Bobbin Landing",
        title="Walnut and madder hearth rug",
        loom=FLOOR_LOOM,
        width=30,
        length=48,
        cloths=((hauls.BLANKET, 5), (hauls.MADDER, 3)),
        chosen={"bought_in": (("label", dollars("0.85")), ("mat", dollars("11.50")))},
    )
    yield Order(
        key="kitchen",
        days=26,
        who="Benedetta Ashgrove-Moll",
        contact="benedetta@mollbakery.example",
        title="Kitchen rug, indigo and undyed",
        loom=FLOOR_LOOM,
        width=24,
        length=36,
        cloths=((hauls.INDIGO, 5), (hauls.UNDYED, 6)),
        chosen={"stripes": KITCHEN, "rugs_on_warp": 2, "tool": Tool.TEAR},
    )
    yield Order(
        key="hall-runner",
        days=21,
        who="Quill & Daughter, bookbinders",
        contact="post@quillanddaughter.example",
        title="Long runner for the shop’s hall",
        loom=FLOOR_LOOM,
        width=30,
        length=96,
        cloths=(
            (hauls.UNDYED, 3),
            (hauls.SKY, 2),
            (hauls.INDIGO, 2),
            (hauls.MADDER, 1),
            (hauls.UNDYED_TOO, 3),
        ),
        chosen={"repeats": 4, "price_by": PriceBy.MARGIN, "share": Decimal("0.3")},
    )
    yield Order(
        key="friend",
        days=17,
        who="Marigold Lindenby",
        contact="",
        title="Bedside rug for my sister, for the thread alone",
        loom=FLOOR_LOOM,
        width=24,
        length=40,
        cloths=((hauls.ROSE, 4), (hauls.UNDYED_TOO, 5)),
        chosen={"repeats": 3, "price_by": PriceBy.HAND, "set_price": dollars("9.00")},
    )
    yield Order(
        key="stripes",
        days=7,
        who="Calloway Stint",
        contact="555-0163",
        title="Five colours, round and round",
        loom=FLOOR_LOOM,
        width=36,
        length=60,
        cloths=(
            (hauls.INDIGO, 5),
            (hauls.UNDYED, 6),
            (hauls.OCHRE, 2),
            (hauls.MADDER, 5),
            (hauls.MOSS, 4),
        ),
        chosen={"repeats": 4},
    )
    yield Order(
        key="big-one",
        days=5,
        who="The Thrum Valley Grange",
        contact="hall@thrumgrange.example\n555-0188",
        title="A rug for the meeting room, in two panels",
        loom=FLOOR_LOOM,
        width=60,
        length=84,
        cloths=(
            (hauls.MOSS, 3),
            (hauls.OCHRE, 2),
            (hauls.TABLECLOTH, 3),
            (hauls.MOSS_TOO, 3),
            (hauls.OCHRE_TOO, 2),
        ),
        chosen={
            "new_cloth": NewCloth(colour="#e9dfc8", paid=dollars("4.00"), share=Decimal(11)),
            "repeats": 2,
        },
    )
    yield Order(
        key="doorway",
        days=3,
        who="Fenella Okonkwo-Byre",
        contact="fenella@byre.example",
        title="Ochre doorway rug",
        loom=FRAME,
        width=25,
        length=37.5,
        cloths=((hauls.OCHRE, 12), (hauls.OCHRE_TOO, 12), *((number, 1) for number in hauls.OCHRE_SHIRTS)),
        chosen={"bought_in": (("label", dollars("0.85")), ("postage", dollars("14.00")))},
    )
    yield Order(
        key="porch",
        days=1,
        who="Lysander Cobb",
        contact="",
        title="Porch runner, cloth still to be found",
        loom=PLANK,
        width=18,
        length=54,
        cloths=((hauls.JEANS[3], 1), (hauls.CORDUROY, 1)),
        chosen={
            "new_cloth": NewCloth(
                kind=ClothKind.FLANNEL,
                colour="#8a4a3a",
                width=inches(54),
                length=inches(72),
                paid=dollars("3.50"),
                share=Decimal(11),
            ),
            "discount": Decimal("0.1"),
        },
    )
