"""The story's six hauls: sheets, drapes, jeans and shirts, and the numbers that their pieces came to bear."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Final

from seed_demo.workroom import dollars, inches
from shop.core.measure import Weight
from shop.usecases.haul import HaulGiven, PieceGiven

Fibres = tuple[tuple[str, Decimal], ...]
COTTON: Final[Fibres] = (("cotton", Decimal(1)),)
LINEN: Final[Fibres] = (("linen", Decimal(1)),)
WOOL: Final[Fibres] = (("wool", Decimal(1)),)
EASY_CARE: Final[Fibres] = (("cotton", Decimal("0.5")), ("polyester", Decimal("0.5")))

# The numbers on the labels, as they come: each haul below goes on where the one before ended.
UNDYED, UNDYED_TOO, INDIGO, MOSS, MOSS_TOO = 1, 2, 3, 4, 5
JEANS: Final = (6, 7, 8, 9)
CORDUROY: Final = 10
MADDER, ROSE, BLANKET = 11, 12, 13
TOWELS: Final = (14, 15, 16)
OCHRE_SHIRTS: Final = (17, 18, 19)
SLATE_SHIRT, SKY = 20, 21
TABLECLOTH, OCHRE, OCHRE_TOO, SMOKY = 22, 23, 24, 25
TEAL, PLUM, TICKING, WARP = 26, 27, 28, 29
VESTRY: Final = 6
"""The haul of these four."""


def jumble_sale(on: date) -> HaulGiven:
    """Sheets and drapes, already washed by whoever gave them."""
    return HaulGiven(
        place="Jumble sale, Nether Thrum chapel",
        on=on,
        pieces=(
            PieceGiven(
                name="Undyed cotton sheet",
                cloth="sheeting",
                colour="#e9dfc8",
                fibres=COTTON,
                width=inches(106),
                length=inches(98),
                paid=dollars("3.00"),
                tears=True,
                ready=True,
                count=2,
            ),
            PieceGiven(
                name="Indigo sheet",
                cloth="sheeting",
                colour="#2f4470",
                fibres=COTTON,
                width=inches(88),
                length=inches(98),
                paid=dollars("4.00"),
                tears=True,
                ready=True,
            ),
            PieceGiven(
                name="Moss green drape",
                cloth="quilting",
                colour="#6f7a45",
                fibres=COTTON,
                width=inches(88),
                length=inches(84),
                paid=dollars("3.50"),
                ready=True,
                count=2,
            ),
        ),
        trip=dollars("2.40"),
        note="The chapel keeps bedding back if asked the day before.",
    )


def mending_basket(on: date) -> HaulGiven:
    """Worn jeans, bought by the basket and weighed; what the trip cost is spread by weight."""
    return HaulGiven(
        place="The Mending Basket, Upper Thrum",
        on=on,
        pieces=(
            PieceGiven(
                name="Worn blue jeans, opened out",
                cloth="denim",
                colour="#43546f",
                fibres=COTTON,
                width=inches(34),
                length=inches(29),
                weight=Weight.of("9.3", "oz"),
                paid=dollars("1.75"),
                tears=False,
                count=4,
            ),
            PieceGiven(
                name="Charcoal corduroy skirt",
                cloth="corduroy",
                colour="#3c3b3d",
                fibres=COTTON,
                width=inches(48),
                length=inches(26),
                weight=Weight.of("9.6", "oz"),
                paid=dollars("2.25"),
                tears=False,
            ),
        ),
        tax=dollars("0.58"),
        discount=dollars("0.50"),
        trip=dollars("3.10"),
        spread_by="weight",
    )


def farm_sale(on: date) -> HaulGiven:
    """A household sold up: a dyer had lived there."""
    return HaulGiven(
        place="Farm sale at Fallow End",
        on=on,
        pieces=(
            PieceGiven(
                name="Madder red sheet",
                cloth="sheeting",
                colour="#9c3b2e",
                fibres=COTTON,
                width=inches(106),
                length=inches(98),
                paid=dollars("6.00"),
                tears=True,
            ),
            PieceGiven(
                name="Faded rose sheet",
                cloth="sheeting",
                colour="#c98b7b",
                fibres=COTTON,
                width=inches(80),
                length=inches(92),
                paid=dollars("3.50"),
                tears=True,
            ),
            PieceGiven(
                name="Walnut wool blanket",
                cloth="blanket",
                colour="#5b4636",
                fibres=WOOL,
                width=inches(84),
                length=inches(90),
                weight=Weight.of("4.9", "lb"),
                paid=dollars("9.00"),
                tears=True,
            ),
            PieceGiven(
                name="Sand bath towel",
                cloth="terry",
                colour="#d8c7a3",
                fibres=COTTON,
                width=inches(27),
                length=inches(50),
                paid=dollars("1.00"),
                tears=False,
                count=3,
            ),
        ),
        washing=dollars("4.50"),
        trip=dollars("6.20"),
        note="A dyer’s house; the madder has been washed many times and does not bleed.",
    )


def shirts(on: date) -> HaulGiven:
    """T-shirts by the bag, and a sheet that needs no ironing."""
    return HaulGiven(
        place="The Mending Basket, Upper Thrum",
        on=on,
        pieces=(
            PieceGiven(
                name="Ochre T-shirt, cut open",
                cloth="jersey",
                colour="#c8963e",
                fibres=COTTON,
                width=inches(42),
                length=inches(17),
                paid=dollars("0.75"),
                count=3,
            ),
            PieceGiven(
                name="Slate T-shirt, cut open",
                cloth="jersey",
                colour="#5d6670",
                width=inches(44),
                length=inches(18),
                paid=dollars("0.75"),
            ),
            PieceGiven(
                name="Sky blue easy-care sheet",
                cloth="sheeting",
                colour="#8fa6bd",
                fibres=EASY_CARE,
                width=inches(80),
                length=inches(94),
                paid=dollars("4.00"),
                tears=False,
            ),
        ),
        tax=dollars("0.44"),
    )


def landing(on: date) -> HaulGiven:
    """Last week's table at the landing; none of it washed yet."""
    return HaulGiven(
        place="Flea tables at Bobbin Landing",
        on=on,
        pieces=(
            PieceGiven(
                name="Straw linen tablecloth",
                colour="#d9c48a",
                fibres=LINEN,
                width=inches(68),
                length=inches(104),
                grams_per_m2=Decimal(190),
                paid=dollars("5.00"),
            ),
            PieceGiven(
                name="Ochre drape",
                cloth="quilting",
                colour="#bf8a2f",
                width=inches(90),
                length=inches(84),
                paid=dollars("3.00"),
                tears=True,
                count=2,
            ),
            PieceGiven(
                name="Sheet that smells of smoke",
                cloth="sheeting",
                colour="#b9b2a4",
                width=inches(80),
                length=inches(90),
                paid=dollars("0.50"),
            ),
        ),
        trip=dollars("4.00"),
        spread_by="evenly",
    )


def vestry(on: date) -> HaulGiven:
    """The vestry clear-out: curtains to dye, ticking, and a cone of warp that somebody's aunt had left."""
    return HaulGiven(
        place="Vestry clear-out, Nether Thrum",
        on=on,
        pieces=(
            PieceGiven(
                name="Curtain dyed teal",
                cloth="sheeting",
                colour="#2f7f80",
                fibres=COTTON,
                width=inches(44),
                length=inches(80),
                weight=Weight.of("9.4", "oz"),
                paid=dollars("3.00"),
                tears=True,
                condition="good",
                kept="Blue chest, top drawer",
                ready=True,
            ),
            PieceGiven(
                name="Plum sheet",
                cloth="sheeting",
                colour="#6b2f52",
                fibres=EASY_CARE,
                width=inches(66),
                length=inches(96),
                paid=dollars("2.50"),
                tears=True,
                condition="as new",
                kept="Shelf B",
                ready=True,
            ),
            PieceGiven(
                name="Mattress ticking",
                cloth="denim",
                colour="#a9b4c6",
                fibres=COTTON,
                width=inches(56),
                length=inches(60),
                paid=dollars("4.00"),
                condition="patchy",
                kept="Shelf B",
                ready=True,
            ),
            PieceGiven(
                name="Cone of carpet warp, natural",
                yarn="8/4",
                colour="#efe6d2",
                fibres=COTTON,
                weight=Weight.of(8, "oz"),
                paid=dollars("5.00"),
                kept="Shelf A",
                ready=True,
            ),
        ),
        tax=dollars("0.87"),
        trip=dollars("2.40"),
    )
