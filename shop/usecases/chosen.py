"""What was chosen for a rug, written down with its quote and read back from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from enum import Enum
from typing import TypeVar, cast

from shop.core.cloth import ClothKind, Fibre
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.strips import Join, Tool, Way
from shop.usecases.planning import Chosen, NewCloth

Table = Mapping[str, object]
E = TypeVar("E", bound=Enum)


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
