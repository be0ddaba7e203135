"""What is chosen for a rug; written down with its quote, and read back from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import Final, TypeVar, cast

from shop.core.cloth import FLAT_SHEETS, ClothKind, Fibre
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.stripe_plan import By
from shop.core.strips import Join, Tool, Way

Table = Mapping[str, object]
E = TypeVar("E", bound=Enum)

NEW: Final = 0
CHANCE: Final = -1
"""What stands for the cloth still to be bought, and for several by chance, where a stripe names its cloth by number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewCloth:
    """A cloth that is still to be bought.

    Attributes:
        kind: of cloth, for its usual weight.
        fibre: what it is spun of; unknown unless it is known.
        colour: ``#rrggbb``.
        width: of one piece; ``length`` likewise.
        paid: what one piece will cost.
        share: of the rug.
    """

    kind: ClothKind = ClothKind.SHEETING
    fibre: Fibre = Fibre.UNKNOWN
    colour: str = "#7d8a99"
    width: Length = FLAT_SHEETS["full"][0]
    length: Length = FLAT_SHEETS["full"][1]
    paid: Money | None = None
    share: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripeLine:
    """A stripe as it is chosen.

    Attributes:
        cloth: the number of a piece, ``NEW`` for the cloth still to be bought, ``CHANCE`` for several in turn by chance:
            those that have no stripe of their own, or all.
        second: a cloth that takes turns with it, row by row.
        by: how its length is said; ``amount`` its rows, or its share of the rug; ``length`` its length.
        border: it stands at both ends.
    """

    cloth: int
    second: int | None = None
    by: By = By.REST
    amount: Decimal = Decimal(0)
    length: Length | None = None
    border: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stripes:
    """The stripes of a rug, chosen one by one.

    Attributes:
        lines: from the end that is woven first.
        mirrored: the last is the middle, and then they go back.
        to_the_end: they come again until the rug is full.
        seed: keeps what is by chance as it is; ``least`` and ``most`` are the rows of its small stripes.
    """

    lines: tuple[StripeLine, ...]
    mirrored: bool = False
    to_the_end: bool = False
    seed: int = 1
    least: int = 2
    most: int = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """What is chosen for a rug; ``None`` leaves a thing to the shop's own setting or a starting guess.

    Attributes:
        width: asked for; ``length`` likewise.
        loom_id: which loom; 0 for the first that can make it.
        rugs_on_warp: rugs that share the warp of a shaft loom.
        strip: width of a strip.
        tool: strips are made with; ``way`` each piece is cut; ``joins``: how.
        pieces: (number, share of the rug) of each piece of cloth in hand.
        new_cloth: cloth still to be bought.
        repeats: how often the run of cloths, or of stripes, is repeated.
        stripes: one by one, where they are so chosen.
        rows_per_inch: counted by the weaver on this loom with such cloth.
        minutes: of whole steps, where known.
        price_by: the rule for this rug; the shop's own when ``None``.
        share: its markup or margin.
        area_rate: its amount for a square foot or metre.
        set_price: a price set by hand.
        discount: off the price.
        bought_in: postage, label, mat.
    """

    width: Length
    length: Length
    loom_id: int = 0
    rugs_on_warp: int = 1
    strip: Length | None = None
    tool: Tool = Tool.ROTARY
    way: Way = Way.ALONG
    joins: Join = Join.OVERLAP
    pieces: tuple[tuple[int, Decimal], ...] = ()
    new_cloth: NewCloth | None = None
    repeats: int = 1
    stripes: Stripes | None = None
    rows_per_inch: Decimal | None = None
    minutes: tuple[tuple[str, Decimal], ...] = ()
    price_by: PriceBy | None = None
    share: Decimal | None = None
    area_rate: Money | None = None
    set_price: Money | None = None
    discount: Decimal | None = None
    bought_in: tuple[tuple[str, Money], ...] | None = None


def written_down(chosen: Chosen) -> dict[str, object]:
    """The choices as plain tables: lengths in whole nanometres, money and numbers as text."""
    new = chosen.new_cloth
    return {
        "width": chosen.width.nm,
        "length": chosen.length.nm,
        "loom": chosen.loom_id,
        "rugs_on_warp": chosen.rugs_on_warp,
        "strip": chosen.strip.nm if chosen.strip else None,
        "tool": chosen.tool.value,
        "way": chosen.way.value,
        "joins": chosen.joins.value,
        "pieces": [[number, str(share)] for number, share in chosen.pieces],
        "new_cloth": None
        if new is None
        else {
            "kind": new.kind.value,
            "fibre": new.fibre.value,
            "colour": new.colour,
            "width": new.width.nm,
            "length": new.length.nm,
            "paid": _money(new.paid),
            "share": str(new.share),
        },
        "repeats": chosen.repeats,
        "stripes": None if chosen.stripes is None else _stripes_down(chosen.stripes),
        "rows_per_inch": _number(chosen.rows_per_inch),
        "minutes": {step: str(minutes) for step, minutes in chosen.minutes},
        "price_by": chosen.price_by.value if chosen.price_by else None,
        "share": _number(chosen.share),
        "area_rate": _money(chosen.area_rate),
        "set_price": _money(chosen.set_price),
        "discount": _number(chosen.discount),
        "bought_in": None
        if chosen.bought_in is None
        else {name: amount.plain() for name, amount in chosen.bought_in},
    }


def read_back(table: Table, currency: str) -> Chosen:
    """The choices again, amounts in the currency that they were made in."""

    def money(value: object) -> Money | None:
        return None if value is None else Money.of(str(value), currency)

    new = cast("Table | None", table["new_cloth"])
    bought = cast("Mapping[str, str] | None", table["bought_in"])
    return Chosen(
        width=_length(table["width"]),
        length=_length(table["length"]),
        loom_id=int(str(table["loom"])),
        rugs_on_warp=int(str(table["rugs_on_warp"])),
        strip=None if table["strip"] is None else _length(table["strip"]),
        tool=Tool(table["tool"]),
        way=Way(table["way"]),
        joins=Join(table["joins"]),
        pieces=tuple(
            (int(number), Decimal(share)) for number, share in cast("Sequence[tuple[int, str]]", table["pieces"])
        ),
        new_cloth=None
        if new is None
        else NewCloth(
            kind=ClothKind(new["kind"]),
            fibre=Fibre(new["fibre"]),
            colour=str(new["colour"]),
            width=_length(new["width"]),
            length=_length(new["length"]),
            paid=money(new["paid"]),
            share=Decimal(str(new["share"])),
        ),
        repeats=int(str(table["repeats"])),
        stripes=_stripes_back(table.get("stripes")),
        rows_per_inch=_decimal(table["rows_per_inch"]),
        minutes=tuple(
            (step, Decimal(minutes)) for step, minutes in cast("Mapping[str, str]", table["minutes"]).items()
        ),
        price_by=_choice(PriceBy, table["price_by"]),
        share=_decimal(table["share"]),
        area_rate=money(table["area_rate"]),
        set_price=money(table["set_price"]),
        discount=_decimal(table["discount"]),
        bought_in=None if bought is None else tuple((name, Money.of(text, currency)) for name, text in bought.items()),
    )


def _stripes_down(stripes: Stripes) -> dict[str, object]:
    return {
        "lines": [
            {
                "cloth": line.cloth,
                "second": line.second,
                "by": line.by.value,
                "amount": str(line.amount),
                "length": line.length.nm if line.length else None,
                "border": line.border,
            }
            for line in stripes.lines
        ],
        "mirrored": stripes.mirrored,
        "to_the_end": stripes.to_the_end,
        "seed": stripes.seed,
        "least": stripes.least,
        "most": stripes.most,
    }


def _stripes_back(kept: object) -> Stripes | None:
    """The stripes again; a rug that was chosen before there were any has none."""
    if kept is None:
        return None
    table = cast("Table", kept)
    return Stripes(
        lines=tuple(
            StripeLine(
                cloth=int(str(line["cloth"])),
                second=None if line["second"] is None else int(str(line["second"])),
                by=By(line["by"]),
                amount=Decimal(str(line["amount"])),
                length=None if line["length"] is None else _length(line["length"]),
                border=bool(line["border"]),
            )
            for line in cast("Sequence[Table]", table["lines"])
        ),
        mirrored=bool(table["mirrored"]),
        to_the_end=bool(table["to_the_end"]),
        seed=int(str(table["seed"])),
        least=int(str(table["least"])),
        most=int(str(table["most"])),
    )


def _money(amount: Money | None) -> str | None:
    return None if amount is None else amount.plain()


def _number(number: Decimal | None) -> str | None:
    return None if number is None else str(number)


def _decimal(value: object) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def _length(value: object) -> Length:
    return Length(int(str(value)))


def _choice(kinds: type[E], value: object) -> E | None:
    return None if value is None else kinds(value)
