"""Describing a rug: what was chosen, and what the shop has, as the one document that the arithmetic reads."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from shop.core.cloth import USUAL_WEIGHT
from shop.core.cost import OverheadPerHour, OverheadShare
from shop.core.hours import STEPS
from shop.core.keys import LoomKind
from shop.core.loom import FrameLoom, PlankLoom, ShaftLoom, usual_loom
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.spread import Basis
from shop.core.stripe_plan import By
from shop.usecases.chosen import CHANCE, NEW, Chosen, Stripes
from shop.usecases.loom import LoomCard
from shop.usecases.own_figures import OwnForRug, lay_in, own_for
from shop.usecases.pace import paces_on
from shop.usecases.price import Pricing
from shop.usecases.rates import Rates
from shop.usecases.workroom import Workroom


def describe(room: Workroom, chosen: Chosen, card: LoomCard) -> dict[str, object]:
    """The described rug that these choices mean in this shop."""
    measured: list[str] = []
    guessed: list[str] = []
    paces = paces_on(room.paces, card.loom.kind)
    known = {key: line for key, line in paces.items() if line.basis is not Basis.GUESS}
    measured += [f"hours.pace.{key}" for key, line in known.items() if line.basis is Basis.MEASURED]
    document: dict[str, object] = {
        "shop": {"currency": room.shop.currency, "locale": room.shop.locale, "units": room.shop.units},
        "rug": {
            "width": chosen.width.canonical(),
            "length": chosen.length.canonical(),
            "rugs_on_warp": chosen.rugs_on_warp,
        },
        "loom": _loom_table(card, guessed),
        "weft": _weft_table(chosen, card, measured),
        "hours": {
            **{step: float(minutes) for step, minutes in chosen.minutes if step in STEPS},
            "pace": {key: float(line.minutes) for key, line in known.items()},
        },
        "rates": _rates_table(room.rates),
        "bought_in": _bought_in_table(room.rates, chosen),
        "price": _price_table(room.pricing, chosen),
    }
    own = own_figures_for(room, chosen, card)
    if own is not None:
        lay_in(document, own, room.paces, measured, guessed)
    cloths = _cloth_tables(room, chosen, measured, guessed)
    if cloths:
        document["cloth"] = cloths
    if chosen.stripes is not None:
        document["stripe"] = _stripe_tables(room, chosen, chosen.stripes)
    if measured:
        document["measured"] = measured
    if guessed:
        document["guessed"] = guessed
    return document


def own_figures_for(room: Workroom, chosen: Chosen, card: LoomCard) -> OwnForRug | None:
    """What the shop's own rugs say of these choices on a loom; ``None`` where they say nothing."""
    return own_for(room.says, room.paces, chosen, card, kinds_in(room))


def kinds_in(room: Workroom) -> dict[int, str]:
    """The kind of each piece of cloth that is there, by number."""
    return {piece.number: piece.cloth for piece in room.pieces}


_OWN_EXPERIENCE: Final = (
    "passes_per_peg", "turn", "tail", "draw_in", "take_up", "relaxation", "waste", "selvedge_ends", "hem", "cut_space", "knot",
)  # fmt: skip
"""What a loom's owner learns by weaving on it; until she changes it, it is a starting guess."""


def _loom_table(card: LoomCard, guessed: list[str]) -> dict[str, object]:
    loom = card.loom
    usual = (usual_loom(loom.kind, "imperial"), usual_loom(loom.kind, "metric"))
    guessed += [
        f"loom.{name}"
        for name in _OWN_EXPERIENCE
        if card.id and hasattr(loom, name) and getattr(loom, name) in {getattr(one, name) for one in usual}
    ]
    table: dict[str, object] = {"kind": LoomKind(loom.kind).value, "name": loom.name}
    if not card.id:
        return table
    if isinstance(loom, FrameLoom):
        table |= {
            "pegs": loom.pegs,
            "spacing": loom.spacing.canonical(),
            "length": loom.length.canonical(),
            "bar_places": [place.canonical() for place in loom.bar_places],
            "passes_per_peg": loom.passes_per_peg,
            "turn": loom.turn.canonical(),
            "tail": loom.tail.canonical(),
        }
        return table
    if isinstance(loom, PlankLoom):
        table |= {"pegs": loom.pegs, "spacing": loom.spacing.canonical(), "knot": loom.knot.canonical()}
    elif isinstance(loom, ShaftLoom):
        table |= {
            "sett": loom.sett.text(),
            "width": loom.width.canonical(),
            "draw_in": loom.draw_in,
            "take_up": loom.take_up,
            "relaxation": loom.relaxation,
            "waste": loom.waste.canonical(),
            "selvedge_ends": loom.selvedge_ends,
            "hem": loom.hem.canonical(),
            "cut_space": loom.cut_space.canonical(),
        }
    if card.yarn:
        table["yarn"] = card.yarn
    if card.yarn_price is not None:
        table["yarn_price"] = f"{card.yarn_price.amount:f}/{card.yarn_price.unit}"
    return table


def _weft_table(chosen: Chosen, card: LoomCard, measured: list[str]) -> dict[str, object]:
    table: dict[str, object] = {
        "tool": chosen.tool.value,
        "way": chosen.way.value,
        "joins": chosen.joins.value,
        "repeats": chosen.repeats,
    }
    if chosen.stripes is not None:
        table |= {"mirrored": chosen.stripes.mirrored, "to_the_end": chosen.stripes.to_the_end}
    strip = chosen.strip or card.strip
    if strip is not None:
        table["strip"] = strip.canonical()
    if chosen.rows_per_inch is not None:
        table["rows_per_inch"] = float(chosen.rows_per_inch)
        measured.append("weft.rows_per_inch")
    elif card.packing is not None:
        table["packing"] = float(card.packing)
        measured.append("weft.packing")
    if card.weft_take_up is not None:
        table["take_up"] = float(card.weft_take_up)
        measured.append("weft.take_up")
    return table


def _cloth_tables(
    room: Workroom, chosen: Chosen, measured: list[str], guessed: list[str]
) -> list[dict[str, object]]:
    tables: list[dict[str, object]] = []
    in_hand = room.by_number
    for number, share in chosen.pieces:
        piece = in_hand.get(number)
        if piece is None:
            continue
        name = f"cloth.{len(tables)}.cloth_weight"
        if piece.weight_basis is not Basis.SETTING:
            (measured if piece.weight_basis is Basis.MEASURED else guessed).append(name)
        table: dict[str, object] = {
            "name": piece.name,
            "colour": piece.colour,
            "width": piece.width.canonical(),
            "length": piece.length.canonical(),
            "paid": piece.whole_at_rate.plain(),
            "pieces": float(piece.left),
            "share": float(share),
            "fibre": piece.fibre.value,
            "cloth_weight": f"{piece.grams_per_m2:.6f} g/m2",
        }
        if piece.tears is not None:
            table["tears"] = piece.tears
        tables.append(table)
    new = chosen.new_cloth
    if new is not None:
        guessed.append(f"cloth.{len(tables)}.cloth_weight")
        table = {
            "name": "",
            "colour": new.colour,
            "width": new.width.canonical(),
            "length": new.length.canonical(),
            "share": float(new.share),
            "cloth_weight": f"{USUAL_WEIGHT[new.kind]} g/m2",
            "fibre": new.fibre.value,
        }
        if new.paid is not None:
            table["paid"] = new.paid.plain()
        tables.append(table)
    return tables


def _stripe_tables(room: Workroom, chosen: Chosen, stripes: Stripes) -> list[dict[str, object]]:
    """The stripes, their cloths by place as ``_cloth_tables`` has them; a cloth that is not there stays unnamed."""
    in_hand = [number for number, _ in chosen.pieces if number in room.by_number]
    if chosen.new_cloth is not None:
        in_hand.append(NEW)
    place = {number: at for at, number in enumerate(in_hand, 1)}
    own = {line.cloth for line in stripes.lines} | {line.second for line in stripes.lines}
    family = [at for number, at in place.items() if number not in own] or list(place.values())
    tables: list[dict[str, object]] = []
    for line in stripes.lines:
        table: dict[str, object] = {"cloth": place.get(line.cloth, "")}
        if line.cloth == CHANCE:
            table |= {"cloth": family, "turn": "chance", "seed": stripes.seed, "least": stripes.least, "most": stripes.most}
        elif line.second is not None:
            table |= {"cloth": [place.get(line.cloth, ""), place.get(line.second, "")], "turn": "pick"}
        if line.by is By.ROWS:
            table["rows"] = int(line.amount)
        elif line.by is By.LENGTH and line.length is not None:
            table["length"] = line.length.canonical()
        elif line.by is By.SHARE:
            table["share"] = str(line.amount)
        else:
            table["rest"] = True
        if line.border:
            table["border"] = True
        tables.append(table)
    return tables


def _rates_table(rates: Rates) -> dict[str, object]:
    table: dict[str, object] = {}
    if rates.wage is not None:
        table["wage"] = rates.wage.plain()
    if rates.pay:
        table["pay"] = {step: amount.plain() for step, amount in rates.pay}
    borne = rates.borne
    if isinstance(borne, OverheadShare):
        table["overhead_percent"] = str(borne.share)
    elif isinstance(borne, OverheadPerHour):
        table["overhead_per_hour"] = Money.rounded(borne.rate, rates.budget.currency).plain()
    return table


def _bought_in_table(rates: Rates, chosen: Chosen) -> dict[str, object]:
    bought: Mapping[str, Money | None] = {"postage": rates.postage, "label": rates.label, "mat": rates.mat}
    if chosen.bought_in is not None:
        bought = dict(chosen.bought_in)
    return {name: amount.plain() for name, amount in bought.items() if amount}


_RULE_KEYS: Final = {PriceBy.MARKUP: "markup", PriceBy.MARGIN: "margin", PriceBy.TRADE: "trade_markup"}


def _price_table(pricing: Pricing, chosen: Chosen) -> dict[str, object]:
    by = chosen.price_by or PriceBy(pricing.by)
    table: dict[str, object] = {}
    own = by.value == pricing.by
    if by is PriceBy.HAND:
        if chosen.set_price is not None:
            table["asking"] = chosen.set_price.plain()
    elif by is PriceBy.AREA:
        rate = chosen.area_rate or pricing.area_rate or Money.zero(pricing.currency)
        table["per_square_foot" if pricing.area_unit == "ft2" else "per_square_metre"] = rate.plain()
    elif chosen.share is not None:
        table[_RULE_KEYS[by]] = str(chosen.share)
    elif own and pricing.revision:
        table[_RULE_KEYS[by]] = str(pricing.share)
    elif by is not PriceBy.MARKUP:
        table[_RULE_KEYS[by]] = "0.35"
    if by is PriceBy.TRADE:
        table["retail_times"] = float(pricing.retail_times)
    discount = chosen.discount if chosen.discount is not None else pricing.discount
    if pricing.revision or discount:
        table |= {
            "fee_percent": str(pricing.fee_share),
            "fee_fixed": (pricing.fee_fixed or Money.zero(pricing.currency)).plain(),
            "tax_rate": str(pricing.tax_rate),
            "tax_included": pricing.tax_included,
            "round_to": (pricing.step or Money.zero(pricing.currency)).plain(),
            "round_how": "up" if pricing.up else "nearest",
            "deposit": str(pricing.deposit),
            "discount": str(discount),
        }
    return table
