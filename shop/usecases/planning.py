"""Planning a rug from what the shop has: its looms, its cloth, its paces, rates and price rule.

What is chosen for a rug is turned into a described rug, the one document that the arithmetic reads; a quote
keeps both, so that it can be opened again and its figures never change behind anybody's back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from shop.core.cloth import FLAT_SHEETS, USUAL_WEIGHT, ClothKind, Fibre
from shop.core.cost import OverheadPerHour, OverheadShare
from shop.core.described import plan_of
from shop.core.errors import CannotMake, NotFound, Problem, Refusal
from shop.core.hours import STEPS
from shop.core.keys import LoomKind
from shop.core.loom import Fit, FrameLoom, PlankLoom, ShaftLoom, Size, looms_that_can
from shop.core.measure import Length
from shop.core.money import Money
from shop.core.price import PriceBy
from shop.core.reckon import reckon
from shop.core.reckoning import Reckoning
from shop.core.spread import Basis
from shop.core.strips import Join, Tool, Way
from shop.store import fabric as cloth_table
from shop.store.engine import Session, Store
from shop.usecases.fabric import PieceCard, cards_in
from shop.usecases.loom import LoomCard, looms_in
from shop.usecases.pace import PaceLine, paces_in, paces_on
from shop.usecases.piece import pieces_in
from shop.usecases.price import Pricing, pricing_in
from shop.usecases.rates import Rates, rates_in
from shop.usecases.shop import Shop, shop_in

MOST_PIECES: Final = 60
"""Pieces of cloth offered for one rug, newest first."""
NO_LOOM: Final = LoomCard(id=0, archived=False, revision=0, loom=FrameLoom())
"""What a shop that has entered no loom plans with: a small frame, all of it a starting guess."""


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
        repeats: how often the run of cloths is repeated.
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
    rows_per_inch: Decimal | None = None
    minutes: tuple[tuple[str, Decimal], ...] = ()
    price_by: PriceBy | None = None
    share: Decimal | None = None
    area_rate: Money | None = None
    set_price: Money | None = None
    discount: Decimal | None = None
    bought_in: tuple[tuple[str, Money], ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoomAnswer:
    """A loom's answer to a size: how it makes it, or why it cannot."""

    card: LoomCard
    made: Fit | None
    refusal: CannotMake | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Workroom:
    """What the shop plans with, all read at one moment."""

    shop: Shop
    looms: tuple[LoomCard, ...]
    pieces: tuple[PieceCard, ...]
    paces: tuple[PaceLine, ...]
    rates: Rates
    pricing: Pricing

    @property
    def by_number(self) -> Mapping[int, PieceCard]:
        """The pieces by the number on their labels."""
        return {piece.number: piece for piece in self.pieces}


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A rug planned.

    Attributes:
        room: what it was planned with.
        chosen: what was chosen, the loom filled in.
        answers: each loom's answer to the size.
        document: the described rug.
        reckoning: what it comes to; ``None`` when it cannot be.
        refusal: why not.
    """

    room: Workroom
    chosen: Chosen
    answers: tuple[LoomAnswer, ...]
    document: dict[str, object]
    reckoning: Reckoning | None
    refusal: Refusal | None

    @property
    def loom_id(self) -> int:
        """The loom that it is planned on."""
        return loom_for(self.answers, self.chosen.loom_id).id


def workroom(store: Store, *, also: tuple[int, ...] = (), loom_id: int = 0) -> Workroom:
    """What the shop plans with.

    Args:
        store: the shop's database.
        also: numbers of pieces to read besides the newest in hand.
        loom_id: a loom to have there, even if it has been put away.
    """
    with store.reading() as session:
        return workroom_in(session, also=also, loom_id=loom_id)


def workroom_in(session: Session, *, also: tuple[int, ...] = (), loom_id: int = 0) -> Workroom:
    """The workroom, as part of another use case. A fixed number of queries, however long the history."""
    shop = shop_in(session)
    return Workroom(
        shop=shop,
        looms=looms_in(session, also=loom_id) or (NO_LOOM,),
        pieces=_pieces(session, also),
        paces=paces_in(session),
        rates=rates_in(session, shop.currency),
        pricing=pricing_in(session, shop.currency),
    )


def _pieces(session: Session, also: tuple[int, ...]) -> tuple[PieceCard, ...]:
    """The newest cloth in hand, and the pieces asked for by number, even if nothing of them is left."""
    newest = pieces_in(session, limit=MOST_PIECES).pieces
    missing = set(also) - {piece.number for piece in newest}
    return (*newest, *cards_in(session, cloth_table.pieces_by_number(session, missing))) if missing else newest


def first_choice(room: Workroom) -> Chosen:
    """A rug to begin with: what the first loom makes, of nothing chosen yet."""
    card = room.looms[0]
    size = Size(Length.of(24, "in"), Length.of(36, "in"))
    if room.shop.units == "metric":
        size = Size(Length.of(60, "cm"), Length.of(90, "cm"))
    if isinstance(card.loom, FrameLoom):
        size = Size(card.loom.widest, card.loom.length)
    return Chosen(width=size.width, length=size.length, loom_id=card.id)


def planned(store: Store, *, chosen: Chosen | None = None) -> Planned:
    """Plan a rug with what the shop has, and reckon it; nothing is kept.

    Args:
        store: the shop's database.
        chosen: what is chosen; a rug to begin with when ``None``.
    """
    if chosen is None:
        room = workroom(store)
        return plan_in(room, first_choice(room))
    room = workroom(store, also=tuple(number for number, _ in chosen.pieces), loom_id=chosen.loom_id)
    return plan_in(room, chosen)


def plan_in(room: Workroom, chosen: Chosen) -> Planned:
    """Plan a rug in a workroom already read; what it names and is not there is refused, not replaced."""
    answers = _answers(room, Size(chosen.width, chosen.length))
    card = loom_for(answers, chosen.loom_id)
    document = describe(room, chosen, card)
    found: Reckoning | None = None
    why: Refusal | None = None
    try:
        _all_there(room, chosen)
        found = reckon(plan_of(document))
    except Refusal as refusal:
        why = refusal
    return Planned(
        room=room, chosen=chosen, answers=answers, document=document, reckoning=found, refusal=why
    )


def _all_there(room: Workroom, chosen: Chosen) -> None:
    """Refuse a loom or a piece of cloth that the shop does not have.

    Raises:
        NotFound: ``loom.unknown`` at ``loom``, ``piece.unknown`` at ``cloth``.
    """
    problems = []
    if chosen.loom_id and chosen.loom_id not in {card.id for card in room.looms}:
        problems.append(Problem("loom.unknown", "loom"))
    problems += [
        Problem("piece.unknown", "cloth", {"number": str(number)})
        for number, _ in chosen.pieces
        if number not in room.by_number
    ]
    if problems:
        raise NotFound(*problems)


def _answers(room: Workroom, asked: Size) -> tuple[LoomAnswer, ...]:
    found = looms_that_can(tuple(card.loom for card in room.looms), asked)
    return tuple(
        LoomAnswer(
            card=card,
            made=answer if isinstance(answer, Fit) else None,
            refusal=answer if isinstance(answer, CannotMake) else None,
        )
        for card, (_, answer) in zip(room.looms, found, strict=True)
    )


def loom_for(answers: tuple[LoomAnswer, ...], loom_id: int) -> LoomCard:
    """The loom chosen; else one that makes it in one piece; else one that makes it; else the first."""
    for answer in answers:
        if loom_id and answer.card.id == loom_id:
            return answer.card
    able = sorted((a for a in answers if a.made), key=lambda a: a.made.panels if a.made else 0)
    return (able or list(answers))[0].card


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
    cloths = _cloth_tables(room, chosen, measured, guessed)
    if cloths:
        document["cloth"] = cloths
    if measured:
        document["measured"] = measured
    if guessed:
        document["guessed"] = guessed
    return document


_OWN_EXPERIENCE: Final = (
    "passes_per_peg", "turn", "tail", "draw_in", "take_up", "relaxation", "waste", "selvedge_ends", "hem", "cut_space", "knot",
)  # fmt: skip
"""What a loom's owner learns by weaving on it; until she changes it, it is a starting guess."""


def _loom_table(card: LoomCard, guessed: list[str]) -> dict[str, object]:
    loom = card.loom
    usual = type(loom)()
    guessed += [
        f"loom.{name}"
        for name in _OWN_EXPERIENCE
        if card.id and hasattr(loom, name) and getattr(loom, name) == getattr(usual, name)
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
            "paid": piece.cost.plain(),
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
