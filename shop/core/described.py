"""A rug described in a document of tables, and the plan that it means.

The same document is what ``thriftloom reckon`` reads from a file, what the quote page builds from its
form, and what a quote keeps. ``KEYS`` names all that it may hold. Whatever is missing takes its default;
a default that stands for the shop's own experience is a starting guess and is named in ``assumed``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import Enum
from typing import Final

from shop.core.asking import Described, Reader, shown, unknown_keys, written
from shop.core.cloth import FLAT_SHEETS, Cloth, Fibre, parse_cloth_weight
from shop.core.cost import Overhead, OverheadPerHour, OverheadShare
from shop.core.errors import NotPossible, Problem, Refusal, Unreadable
from shop.core.hours import PACES, STEPS, Pace, pace_guess
from shop.core.loom import MOST_PEGS, FrameLoom, Loom, PlankLoom, Sett, ShaftLoom, Size, parse_sett
from shop.core.measure import Length, parse_number
from shop.core.money import Money, decimals_of
from shop.core.plan import RugPlan
from shop.core.price import PriceBy, PriceRule
from shop.core.strips import Join, Tool, Way, join_loss
from shop.core.warp import PricePerWeight, Yarn, parse_yarn
from shop.core.weft import CUTTING_WASTE, packing_guess, take_up_guess

KEYS: Final[dict[str, frozenset[str]]] = {
    "": frozenset("measured guessed shop rug loom weft cloth hours rates bought_in price".split()),
    "shop": frozenset("currency locale units".split()),
    "rug": frozenset("width length rugs_on_warp".split()),
    "loom": frozenset(
        "kind name pegs spacing length bar_places passes_per_peg turn tail sett width draw_in take_up "
        "relaxation waste selvedge_ends hem cut_space knot yarn yarn_price".split()
    ),
    "weft": frozenset(
        "strip cloth_weight fibre rows_per_inch rows_per_cm packing take_up joins way tool waste repeats".split()
    ),
    "cloth": frozenset(
        "name colour paid width length pieces price_per_yard share cloth_weight fibre tears".split()
    ),
    "hours": frozenset((*STEPS, "pace")),
    "hours.pace": frozenset(PACES),
    "rates": frozenset("wage pay overhead_per_hour overhead_percent".split()),
    "rates.pay": frozenset(STEPS),
    "bought_in": frozenset("postage label mat".split()),
    "price": frozenset(
        "markup margin trade_markup retail_times per_square_foot per_square_metre asking fee_percent fee_fixed "
        "tax_rate tax_included round_to round_how discount below_floor deposit".split()
    ),
}
"""The tables of a described rug (``""`` is the top) and the names that each may hold."""

LOOM_KINDS: Final = ("frame", "shaft", "plank")
_OWN_KEYS: Final[dict[str, str]] = {
    "frame": "pegs spacing length bar_places passes_per_peg turn tail",
    "shaft": "sett width draw_in take_up relaxation waste selvedge_ends hem cut_space yarn yarn_price",
    "plank": "pegs spacing knot yarn yarn_price",
}
WAGE_GUESS: Final = 1800
OVERHEAD_GUESS: Final = 300
YARN_GUESS: Final = 1600
CLOTH_GUESS: Final = 500
"""Starting guesses of money, in the smallest coins of whatever currency: 18.00 dollars or 1,800 yen an hour
wanted, 3.00 of overhead, 16.00 a pound of yarn, 5.00 a piece of cloth."""
MARKUP_GUESS: Final = Decimal("0.35")
DEPOSIT_GUESS: Final = Decimal("0.5")
STRIP_GUESS: Final[dict[str, Length]] = {
    "frame": Length.of(2, "in"),
    "shaft": Length.of(1, "in"),
    "plank": Length.of("1.5", "in"),
}
YARN_KIND_GUESS: Final = "8/4"
DEAREST_YARN: Final = 10**9
"""An amount for a pound or a kilogram beyond which, in any currency, the hand has slipped."""
SHEETING: Final = 115.0
_NO_SMALLER: Final = Length.of("0.125", "in")
_COLOUR: Final = re.compile(r"#[0-9a-fA-F]{6}")


class LoomKind(Enum):
    """The three kinds of loom."""

    FRAME = "frame"
    SHAFT = "shaft"
    PLANK = "plank"


class RoundHow(Enum):
    """Which price step a price goes to."""

    UP = "up"
    NEAREST = "nearest"


class Units(Enum):
    """The units that a shop speaks in."""

    IMPERIAL = "imperial"
    METRIC = "metric"


@dataclass(frozen=True, slots=True)
class Manner:
    """How a document is written and its answer is to be shown.

    Attributes:
        currency: ISO 4217 code.
        locale: such as ``en_US``.
        units: imperial or metric; a bare number is inches or centimetres by it.
    """

    currency: str = "USD"
    locale: str = "en_US"
    units: Units = Units.IMPERIAL


def manner_of(document: Described) -> Manner:
    """The ``[shop]`` table.

    Raises:
        Refusal: when the currency or the units are not known.
    """
    reader = Reader(document, bare_unit="in", currency="USD")
    currency = reader.text("shop.currency", "USD", most=3)
    units = reader.choice("shop.units", Units, Units.IMPERIAL, guess=False)
    locale = reader.text("shop.locale", "en_US", most=20)
    try:
        decimals_of(currency)
    except NotPossible as error:
        reader.problems.extend(problem.at("shop.currency") for problem in error.problems)
    if reader.problems:
        raise Refusal(*reader.problems)
    return Manner(currency, locale, units)


def plan_of(document: Described, *, decimal_mark: str = ".") -> RugPlan:
    """The plan that a described rug means.

    Args:
        document: nested tables; see ``KEYS``.
        decimal_mark: of numbers within text; numbers of the document itself need none.

    Raises:
        Refusal: with every problem found, each at its dotted path.
    """
    if not isinstance(document, Mapping):
        raise Refusal(Problem("key.table"))
    unknown = unknown_keys(document, KEYS)
    if unknown:
        raise Refusal(*unknown)
    manner = manner_of(document)
    bare = "in" if manner.units is Units.IMPERIAL else "cm"
    reader = Reader(document, bare_unit=bare, currency=manner.currency, decimal_mark=decimal_mark)
    kind = reader.choice("loom.kind", LoomKind, LoomKind.FRAME).value
    loom = _loom(reader, kind)
    size = _size(reader, loom)
    yarn, yarn_price = _yarn(reader, kind)
    strip = reader.length("weft.strip", STRIP_GUESS[kind], least=_NO_SMALLER)
    cloths = _cloths(reader, document)
    counted = _counted(reader)
    packing = packing_guess(loom)
    if counted is None:
        packing = reader.number("weft.packing", packing, 0.2, 50)
    pace = _pace(reader, kind)
    given = {
        step: reader.number(f"hours.{step}", 0.0, 0, 100_000, guess=False)
        for step in STEPS
        if reader.has(f"hours.{step}")
    }
    plan = RugPlan(
        size=size,
        rugs_on_warp=reader.count("rug.rugs_on_warp", 1, 1, 100, guess=False),
        loom=loom,
        yarn=yarn,
        yarn_price=yarn_price,
        strip=strip,
        tool=reader.choice("weft.tool", Tool, Tool.ROTARY),
        way=reader.choice("weft.way", Way, Way.ALONG, guess=False),
        join_loss=_join_loss(reader, strip),
        cloths=cloths,
        repeats=reader.count("weft.repeats", 1, 1, 100, guess=False),
        packing=packing,
        rows_per_metre=counted,
        take_up=reader.number("weft.take_up", take_up_guess(loom), 1, 10),
        waste=float(reader.share("weft.waste", Decimal(str(CUTTING_WASTE)), most=Decimal("0.8"))),
        pace=pace,
        given_minutes=given,
        wage=reader.money("rates.wage", Money(WAGE_GUESS, manner.currency)),
        pay={
            step: reader.money(f"rates.pay.{step}", Money.zero(manner.currency), guess=False)
            for step in STEPS
            if reader.has(f"rates.pay.{step}")
        },
        overhead=_overhead(reader),
        bought_in=tuple(
            (name, reader.money(f"bought_in.{name}", Money.zero(manner.currency), guess=False))
            for name in ("postage", "label", "mat")
            if reader.has(f"bought_in.{name}")
        ),
        price=_price(reader),
    )
    measured = _names(reader, document, "measured")
    guessed = _names(reader, document, "guessed")
    if reader.problems:
        raise Refusal(*reader.problems)
    assumed = tuple(name for name in (*reader.assumed, *guessed) if _bears_on(name, given, plan))
    return replace(plan, assumed=assumed, measured=measured)


def _bears_on(name: str, given: Mapping[str, float], plan: RugPlan) -> bool:
    """Whether a missing number has any part in the figures: a pace of a step whose minutes are given has none."""
    if not name.startswith("hours.pace."):
        return True
    pace = name.removeprefix("hours.pace.")
    step = {"band": "weave", "seam": "finish"}.get(pace.split("_")[0], pace.split("_")[0])
    if step in given:
        return False
    if pace.startswith("cut_"):
        return pace == f"cut_{plan.tool.value}_per_m"
    unused = "warp_per_end" if isinstance(plan.loom, FrameLoom) else "warp_per_pass"
    return pace != unused


def _loom(reader: Reader, kind: str) -> Loom:
    others = {key for own in _OWN_KEYS.values() for key in own.split()} - set(_OWN_KEYS[kind].split())
    for key in sorted(others):
        if reader.has(f"loom.{key}"):
            reader.note("loom.not_for_kind", f"loom.{key}", key=key, kind=kind)
    name = reader.text("loom.name")
    if kind == "frame":
        frame = FrameLoom()
        return FrameLoom(
            name=name,
            pegs=reader.count("loom.pegs", frame.pegs, 1, MOST_PEGS),
            spacing=reader.length("loom.spacing", frame.spacing, least=_NO_SMALLER),
            length=reader.length("loom.length", frame.length, least=_NO_SMALLER),
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
            spacing=reader.length("loom.spacing", plank.spacing, least=_NO_SMALLER),
            knot=reader.length("loom.knot", plank.knot),
        )
    shaft = ShaftLoom()
    most = Decimal("0.5")
    return ShaftLoom(
        name=name,
        sett=reader.read("loom.sett", _sett, shaft.sett),
        width=reader.length("loom.width", shaft.width, least=_NO_SMALLER),
        draw_in=float(reader.share("loom.draw_in", Decimal(str(shaft.draw_in)), most=most)),
        take_up=float(reader.share("loom.take_up", Decimal(str(shaft.take_up)), most=most)),
        relaxation=float(reader.share("loom.relaxation", Decimal(str(shaft.relaxation)), most=most)),
        waste=reader.length("loom.waste", shaft.waste),
        selvedge_ends=reader.count("loom.selvedge_ends", shaft.selvedge_ends, 0, 100),
        hem=reader.length("loom.hem", shaft.hem),
        cut_space=reader.length("loom.cut_space", shaft.cut_space, guess=False),
    )


def _sett(value: object) -> Sett:
    return parse_sett(written(value))


def _places(reader: Reader, value: object) -> tuple[Length, ...]:
    if not isinstance(value, list | tuple) or len(value) > 50:
        raise Unreadable(Problem("loom.bar_places"))
    return tuple(reader.to_length(one, _NO_SMALLER) for one in value)


def _size(reader: Reader, loom: Loom) -> Size:
    own = Size(Length.of(24, "in"), Length.of(36, "in"))
    if isinstance(loom, FrameLoom):
        own = Size(loom.widest, loom.length)
    return Size(
        reader.length("rug.width", own.width, least=_NO_SMALLER),
        reader.length("rug.length", own.length, least=_NO_SMALLER),
    )


def _yarn(reader: Reader, kind: str) -> tuple[Yarn | None, PricePerWeight | None]:
    if kind == "frame":
        return None, None

    def to_yarn(value: object) -> Yarn:
        return parse_yarn(written(value))

    def to_price(value: object) -> PricePerWeight:
        return yarn_price_of(value, decimal_mark=reader.decimal_mark)

    guess = Decimal(YARN_GUESS).scaleb(-decimals_of(reader.currency))
    yarn = reader.read("loom.yarn", to_yarn, parse_yarn(YARN_KIND_GUESS))
    return yarn, reader.read("loom.yarn_price", to_price, PricePerWeight(guess, "lb"))


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


def _cloths(reader: Reader, document: Described) -> tuple[tuple[Cloth, float], ...]:
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
    width = reader.length(f"{at}.width", Length.of(44, "in") if by_yard else sheet[0], least=_NO_SMALLER)
    length = reader.length(f"{at}.length", Length.of(3, "yd") if by_yard else sheet[1], least=_NO_SMALLER)
    if by_yard:
        per_yard = reader.money(f"{at}.price_per_yard", Money.zero(reader.currency))
        yards = length.to("yd")
        amount = per_yard.amount * yards.numerator / yards.denominator
        paid = Money.rounded(amount, reader.currency)
    else:
        paid = reader.money(f"{at}.paid", Money(CLOTH_GUESS, reader.currency))
    weight_at, fibre_at = _own_or_shared(reader, at, "cloth_weight"), _own_or_shared(reader, at, "fibre")
    tears = reader.yes(f"{at}.tears") if reader.has(f"{at}.tears") else None
    colour = reader.text(f"{at}.colour", "#7d8a99", most=7)
    if not _COLOUR.fullmatch(colour):
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


def _counted(reader: Reader) -> float | None:
    """Rows to the metre as the weaver counted them, or None."""
    inch, centimetre = reader.has("weft.rows_per_inch"), reader.has("weft.rows_per_cm")
    if inch and centimetre:
        reader.note("rows.twice", "weft.rows_per_cm")
    if inch:
        return reader.number("weft.rows_per_inch", 1.0, 0.1, 100) / 0.0254
    if centimetre:
        return reader.number("weft.rows_per_cm", 1.0, 0.04, 40) * 100
    return None


def _join_loss(reader: Reader, strip: Length) -> Length:
    def convert(value: object) -> Length:
        for join in Join:
            if value == join.value:
                return join_loss(join, strip)
        return reader.to_length(value)

    return reader.read("weft.joins", convert, join_loss(Join.OVERLAP, strip))


def _pace(reader: Reader, kind: str) -> Pace:
    guess = pace_guess(kind)
    return Pace(**{name: reader.number(f"hours.pace.{name}", getattr(guess, name), 0, 10_000) for name in PACES})


def _overhead(reader: Reader) -> Overhead:
    if reader.has("rates.overhead_percent"):
        if reader.has("rates.overhead_per_hour"):
            reader.note("overhead.twice", "rates.overhead_percent")
        return OverheadShare(reader.share("rates.overhead_percent", Decimal(0), most=Decimal(10)))
    return OverheadPerHour(reader.money("rates.overhead_per_hour", Money(OVERHEAD_GUESS, reader.currency)).amount)


_RULES: Final[dict[str, PriceBy]] = {
    "markup": PriceBy.MARKUP,
    "margin": PriceBy.MARGIN,
    "trade_markup": PriceBy.TRADE,
    "per_square_foot": PriceBy.AREA,
    "per_square_metre": PriceBy.AREA,
    "asking": PriceBy.HAND,
}


def _price(reader: Reader) -> PriceRule:
    chosen = [name for name in _RULES if reader.has(f"price.{name}")]
    if len(chosen) > 1:
        reader.note("price.two_rules", f"price.{chosen[1]}", one=chosen[0], other=chosen[1])
    name = chosen[0] if chosen else "markup"
    zero = Money.zero(reader.currency)
    share, area_rate, set_price = MARKUP_GUESS, Decimal(0), None
    if name == "margin":
        share = reader.share("price.margin", Decimal(0), most=Decimal(100))
        if share >= 1:
            reader.note("margin.range", "price.margin", share=share)
    elif name in ("markup", "trade_markup"):
        share = reader.share(f"price.{name}", MARKUP_GUESS, most=Decimal(100))
    elif name == "asking":
        set_price = reader.money("price.asking", zero)
    else:
        unit = "ft" if name == "per_square_foot" else "m"
        side = Length.of(1, unit).to("m")
        area = Decimal(side.numerator**2) / Decimal(side.denominator**2)
        area_rate = reader.money(f"price.{name}", zero).amount / area
    return PriceRule(
        by=_RULES[name],
        share=share,
        retail_times=Decimal(repr(reader.number("price.retail_times", 2.0, 1, 10, guess=name == "trade_markup"))),
        area_rate=area_rate,
        set_price=set_price,
        fee_share=reader.share("price.fee_percent", Decimal(0), most=Decimal("0.9"), guess=False),
        fee_fixed=reader.money("price.fee_fixed", zero, guess=False),
        tax_rate=reader.share("price.tax_rate", Decimal(0), most=Decimal("0.99"), guess=False),
        tax_included=reader.yes("price.tax_included"),
        step=reader.money("price.round_to", zero, guess=False),
        up=reader.choice("price.round_how", RoundHow, RoundHow.UP, guess=False) is RoundHow.UP,
        discount=reader.share("price.discount", Decimal(0), guess=False),
        below_floor=reader.yes("price.below_floor"),
        deposit=reader.share("price.deposit", DEPOSIT_GUESS),
    )


def _names(reader: Reader, document: Described, key: str) -> tuple[str, ...]:
    """The names of numbers that are ``measured``, or that are given and yet only ``guessed``."""
    names = document.get(key, ())
    if not isinstance(names, list | tuple) or not all(isinstance(name, str) for name in names):
        reader.note("names.list", key)
        return ()
    known = {f"{table}.{name}" for table, keys in KEYS.items() for name in keys}
    for name in names:
        if re.sub(r"^cloth\.[0-9]{1,2}\.", "cloth.", name) not in known:
            reader.note("names.unknown", key, name=str(name)[:40])
    return tuple(names)
