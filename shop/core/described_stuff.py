"""The stuff of a described rug: its loom, its size, its warp yarn, its cloth and how that is cut."""

from __future__ import annotations

import re
from decimal import Decimal

from shop.core.asking import Described, Reader, shown, written
from shop.core.cloth import FLAT_SHEETS, Cloth, Fibre, parse_cloth_weight
from shop.core.errors import Problem, Unreadable
from shop.core.keys import (
    COLOUR,
    DEAREST_YARN,
    NO_SMALLER,
    OWN_KEYS,
    SHEETING,
    YARN_KIND_GUESS,
    Units,
    money_guess,
    yarn_guess,
)
from shop.core.loom import MOST_PEGS, FrameLoom, Loom, PlankLoom, Sett, ShaftLoom, Size, parse_sett
from shop.core.measure import Length, parse_number
from shop.core.money import Money
from shop.core.strips import Join, join_loss
from shop.core.warp import PricePerWeight, Yarn, parse_yarn


def loom_described(reader: Reader, kind: str) -> Loom:
    """The loom of a kind; what has no meaning on that kind is noted."""
    others = {key for own in OWN_KEYS.values() for key in own.split()} - set(OWN_KEYS[kind].split())
    for key in sorted(others):
        if reader.has(f"loom.{key}"):
            reader.note("loom.not_for_kind", f"loom.{key}", key=key, kind=kind)
    name = reader.text("loom.name")
    if kind == "frame":
        frame = FrameLoom()
        return FrameLoom(
            name=name,
            pegs=reader.count("loom.pegs", frame.pegs, 1, MOST_PEGS),
            spacing=reader.length("loom.spacing", frame.spacing, least=NO_SMALLER),
            length=reader.length("loom.length", frame.length, least=NO_SMALLER),
            bar_places=reader.read("loom.bar_places", lambda value: _places(reader, value), (), guess=False),
            passes_per_peg=reader.count("loom.passes_per_peg", frame.passes_per_peg, 1, 10),
            turn=reader.length("loom.turn", frame.turn),
            tail=reader.length("loom.tail", frame.tail),
        )
    if kind == "plank":
        plank = PlankLoom()
        return PlankLoom(
            name=name,
            pegs=reader.count("loom.pegs", plank.pegs, 1, MOST_PEGS),
            spacing=reader.length("loom.spacing", plank.spacing, least=NO_SMALLER),
            knot=reader.length("loom.knot", plank.knot),
        )
    shaft = ShaftLoom()
    most = Decimal("0.5")
    return ShaftLoom(
        name=name,
        sett=reader.read("loom.sett", _sett, shaft.sett),
        width=reader.length("loom.width", shaft.width, least=NO_SMALLER),
        draw_in=float(reader.share("loom.draw_in", Decimal(str(shaft.draw_in)), most=most)),
        take_up=float(reader.share("loom.take_up", Decimal(str(shaft.take_up)), most=most)),
        relaxation=float(reader.share("loom.relaxation", Decimal(str(shaft.relaxation)), most=most)),
        waste=reader.length("loom.waste", shaft.waste),
        selvedge_ends=reader.count("loom.selvedge_ends", shaft.selvedge_ends, 0, 100),
        hem=reader.length("loom.hem", shaft.hem),
        cut_space=reader.length("loom.cut_space", shaft.cut_space),
    )


def _sett(value: object) -> Sett:
    return parse_sett(written(value))


def _places(reader: Reader, value: object) -> tuple[Length, ...]:
    if not isinstance(value, list | tuple) or len(value) > 50:
        raise Unreadable(Problem("loom.bar_places"))
    return tuple(reader.to_length(one, NO_SMALLER) for one in value)


def size_described(reader: Reader, loom: Loom) -> Size:
    """The size asked for; left out, the whole frame, or 24 by 36 inches."""
    own = Size(Length.of(24, "in"), Length.of(36, "in"))
    if isinstance(loom, FrameLoom):
        own = Size(loom.widest, loom.length)
    return Size(
        reader.length("rug.width", own.width, least=NO_SMALLER),
        reader.length("rug.length", own.length, least=NO_SMALLER),
    )


def yarn_described(reader: Reader, kind: str, units: Units) -> tuple[Yarn | None, PricePerWeight | None]:
    """The warp yarn and its price; none on a frame."""
    if kind == "frame":
        return None, None

    def to_yarn(value: object) -> Yarn:
        return parse_yarn(written(value))

    def to_price(value: object) -> PricePerWeight:
        return yarn_price_of(value, decimal_mark=reader.decimal_mark)

    yarn = reader.read("loom.yarn", to_yarn, parse_yarn(YARN_KIND_GUESS))
    return yarn, reader.read("loom.yarn_price", to_price, yarn_guess(reader.currency, units))


_PRICE_PER_WEIGHT = re.compile(r"([0-9][0-9 .,']*)\s*(?:/|per)\s*(lb|pound|kg|kilo)")


def yarn_price_of(value: object, *, decimal_mark: str = ".") -> PricePerWeight:
    """An amount by weight, the weight said: ``14.50/lb`` or ``30 per kg``.

    Raises:
        Unreadable: ``yarn_price.unreadable``, ``number.mark`` or ``money.large``.
    """
    match = _PRICE_PER_WEIGHT.fullmatch(value.strip()) if isinstance(value, str) and len(value) <= 40 else None
    if match is None:
        raise Unreadable(Problem("yarn_price.unreadable", values={"text": shown(value)}))
    amount = parse_number(match[1].strip(), decimal_mark=decimal_mark, grouped=True)
    if amount > DEAREST_YARN:
        raise Unreadable(Problem("money.large"))
    return PricePerWeight(amount, "lb" if match[2] in ("lb", "pound") else "kg")


def cloths_described(reader: Reader, document: Described) -> tuple[tuple[Cloth, float], ...]:
    """Each cloth with its share of the rug, from one table or a list of them."""
    tables = document.get("cloth")
    if not isinstance(tables, list):
        return (_cloth(reader, "cloth"),)
    if not 1 <= len(tables) <= 40:
        reader.note("cloth.many", "cloth", most=40)
        return ()
    return tuple(_cloth(reader, f"cloth.{place}") for place in range(len(tables)))


def _cloth(reader: Reader, at: str) -> tuple[Cloth, float]:
    sheet = FLAT_SHEETS["full"]
    by_yard = reader.has(f"{at}.price_per_yard")
    if by_yard and reader.has(f"{at}.paid"):
        reader.note("cloth.price_twice", f"{at}.price_per_yard")
    width = reader.length(f"{at}.width", Length.of(44, "in") if by_yard else sheet[0], least=NO_SMALLER)
    length = reader.length(f"{at}.length", Length.of(3, "yd") if by_yard else sheet[1], least=NO_SMALLER)
    if by_yard:
        per_yard = reader.money(f"{at}.price_per_yard", Money.zero(reader.currency))
        yards = length.to("yd")
        amount = per_yard.amount * yards.numerator / yards.denominator
        paid = Money.rounded(amount, reader.currency)
    else:
        paid = reader.money(f"{at}.paid", money_guess("cloth", reader.currency))
    weight_at, fibre_at = _own_or_shared(reader, at, "cloth_weight"), _own_or_shared(reader, at, "fibre")
    tears = reader.yes(f"{at}.tears") if reader.has(f"{at}.tears") else None
    colour = reader.text(f"{at}.colour", "#7d8a99", most=7)
    if not COLOUR.fullmatch(colour):
        reader.note("colour.unreadable", f"{at}.colour", text=colour)
    cloth = Cloth(
        name=reader.text(f"{at}.name"),
        colour=colour,
        width=width,
        length=length,
        paid=paid,
        pieces=reader.number(f"{at}.pieces", float("inf"), 0, 10_000, guess=False),
        grams_per_m2=reader.read(weight_at, lambda value: _cloth_weight(value, reader.decimal_mark), SHEETING),
        fibre=reader.choice(fibre_at, Fibre, Fibre.COTTON),
        tears=tears,
    )
    return cloth, reader.number(f"{at}.share", 1.0, 0.0001, 10_000, guess=False)


def _own_or_shared(reader: Reader, at: str, key: str) -> str:
    """Where a cloth's weight or fibre is said: in its own table, or once for all in the weft's.

    Where neither says it, a cloth described alone is looked for in the weft's, one of several in its own.
    """
    own, shared = f"{at}.{key}", f"weft.{key}"
    return own if reader.has(own) or (at != "cloth" and not reader.has(shared)) else shared


def _cloth_weight(value: object, decimal_mark: str) -> float:
    if isinstance(value, str):
        return parse_cloth_weight(value, decimal_mark=decimal_mark)
    return parse_cloth_weight(f"{written(value)} g/m2")


def rows_counted(reader: Reader) -> float | None:
    """Rows to the metre as the weaver counted them, or None."""
    inch, centimetre = reader.has("weft.rows_per_inch"), reader.has("weft.rows_per_cm")
    if inch and centimetre:
        reader.note("rows.twice", "weft.rows_per_cm")
    if inch:
        return reader.number("weft.rows_per_inch", 1.0, 0.1, 100) / 0.0254
    if centimetre:
        return reader.number("weft.rows_per_cm", 1.0, 0.04, 40) * 100
    return None


def join_loss_described(reader: Reader, strip: Length) -> Length:
    """Strip lost at a join: by the kind of join, or as a length."""
    def convert(value: object) -> Length:
        for join in Join:
            if value == join.value:
                if join is not Join.NONE:
                    reader.assumed.append("weft.joins")
                return join_loss(join, strip)
        return reader.to_length(value)

    return reader.read("weft.joins", convert, join_loss(Join.OVERLAP, strip))
