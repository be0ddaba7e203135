"""A cutting plan described in a document of tables: the pieces, the bands, and how to cut.

What ``thriftloom plan`` reads from a file, and what the page of a job's cutting plan builds from the shelf.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from shop.core.asking import Described, Reader, plain, shown, unknown_keys
from shop.core.colour import difference
from shop.core.cutting import MOST_BANDS, MOST_PIECES, USUAL_WISHES, BandToFill, PieceToCut, Rules, Wish
from shop.core.cutting_plan import Plan
from shop.core.described import Manner, manner_of
from shop.core.errors import Problem, Refusal, Unreadable
from shop.core.keys import COLOUR, NO_SMALLER, Units, strip_guess
from shop.core.money import Money
from shop.core.strips import FRAY, Join, join_loss

KEYS: Final[dict[str, frozenset[str]]] = {
    "": frozenset("shop plan piece band".split()),
    "shop": frozenset("currency locale units".split()),
    "plan": frozenset("strip join_loss fray prefer seconds".split()),
    "piece": frozenset("name width length paid colour tears bought left".split()),
    "band": frozenset("name strip_length pieces colour within".split()),
}
"""The tables of a described cutting plan (``""`` is the top) and the names that each may hold."""
WITHIN: Final = 15.0
"""The CIEDE2000 distance within which a colour serves, where a band names a colour and no distance (a guess)."""
SECONDS: Final = 20.0
LONGEST_WAIT: Final = 600.0
LONGEST: Final = 100_000_000_000_000
"""A hundred kilometres of strip, in nanometres: more for one band is a slip of the hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingAsked:
    """What a document asks for.

    Attributes:
        seconds: how long the plan may be thought about.
    """

    manner: Manner
    pieces: tuple[PieceToCut, ...]
    bands: tuple[BandToFill, ...]
    rules: Rules
    seconds: float


def cutting_asked(document: Described) -> CuttingAsked:
    """What a document asks for.

    Raises:
        Refusal: with every problem found, each at its dotted path.
    """
    unknown = unknown_keys(document, KEYS, lists=frozenset({"piece", "band"}))
    manner = manner_of(document)
    bare = "in" if manner.units is Units.IMPERIAL else "cm"
    reader = Reader(document, bare_unit=bare, currency=manner.currency)
    strip = reader.length("plan.strip", strip_guess("frame", manner.units), least=NO_SMALLER)
    rules = Rules(
        strip=strip,
        join_loss=reader.length("plan.join_loss", join_loss(Join.OVERLAP, strip)),
        fray=reader.length("plan.fray", FRAY),
        prefer=reader.read("plan.prefer", _wishes, USUAL_WISHES),
    )
    pieces = tuple(_piece(reader, f"piece.{place}") for place in _places(reader, document, "piece", MOST_PIECES))
    _told_apart(reader, "piece", [piece.name for piece in pieces])
    bands = tuple(_band(reader, f"band.{place}", pieces) for place in _places(reader, document, "band", MOST_BANDS))
    _told_apart(reader, "band", [band.name for band in bands])
    seconds = reader.number("plan.seconds", SECONDS, 0.1, LONGEST_WAIT, guess=False)
    told = {problem.where for problem in unknown}
    problems = [*unknown, *(problem for problem in reader.problems if problem.where not in told)]
    if problems:
        raise Refusal(*problems)
    return CuttingAsked(manner=manner, pieces=pieces, bands=bands, rules=rules, seconds=seconds)


def _places(reader: Reader, document: Described, table: str, most: int) -> range:
    """The places of the tables of a list of them."""
    tables = document.get(table)
    if not isinstance(tables, list) or not tables:
        reader.note(f"cutting.no_{table}", table)
        return range(0)
    if len(tables) > most:
        reader.note("cutting.many", table, pieces=MOST_PIECES, bands=MOST_BANDS)
        return range(0)
    return range(len(tables))


def _wishes(value: object) -> tuple[Wish, ...]:
    names = tuple(wish.value for wish in Wish)
    if not isinstance(value, list | tuple) or not value:
        raise Unreadable(Problem("choice.unknown", values={"text": shown(value), "choices": names}))
    for name in value:
        if name not in names:
            raise Unreadable(Problem("choice.unknown", values={"text": shown(name), "choices": names}))
    if len(set(value)) < len(value):
        raise Unreadable(Problem("cutting.wish_twice"))
    return tuple(Wish(name) for name in value)


def _piece(reader: Reader, at: str) -> PieceToCut:
    for name in ("name", "width", "length", "paid"):
        if not reader.has(f"{at}.{name}"):
            reader.note("cutting.missing", f"{at}.{name}", key=name)
    left = reader.share(f"{at}.left", Decimal(1), guess=False)
    return PieceToCut(
        name=reader.text(f"{at}.name"),
        width=reader.length(f"{at}.width", NO_SMALLER, least=NO_SMALLER),
        length=reader.length(f"{at}.length", NO_SMALLER, least=NO_SMALLER),
        paid=reader.money(f"{at}.paid", Money.zero(reader.currency)),
        colour=_colour(reader, f"{at}.colour"),
        tears=reader.yes(f"{at}.tears"),
        bought=reader.read(f"{at}.bought", _day, None, guess=False),
        left=int(left * 10**9),
    )


def _colour(reader: Reader, at: str) -> str:
    colour = reader.text(at, "#7d8a99", most=7)
    if COLOUR.fullmatch(colour):
        return colour.lower()
    reader.note("colour.unreadable", at, text=colour)
    return "#7d8a99"


def _day(value: object) -> date | None:
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(str(value)[:10]) if isinstance(value, str) else _no_day(value)
    except ValueError:
        return _no_day(value)


def _no_day(value: object) -> date:
    raise Unreadable(Problem("cutting.day", values={"text": shown(value)}))


def _band(reader: Reader, at: str, pieces: tuple[PieceToCut, ...]) -> BandToFill:
    for name in ("name", "strip_length"):
        if not reader.has(f"{at}.{name}"):
            reader.note("cutting.missing", f"{at}.{name}", key=name)
    need = reader.length(f"{at}.strip_length", NO_SMALLER, least=NO_SMALLER)
    if need.nm > LONGEST:
        reader.note("length.large", f"{at}.strip_length", text=shown(need.canonical()))
    return BandToFill(name=reader.text(f"{at}.name"), need=need, pieces=_servants(reader, at, pieces))


def _servants(reader: Reader, at: str, pieces: tuple[PieceToCut, ...]) -> frozenset[int]:
    """The places of the pieces that may serve: named, of a colour, or any."""
    everyone = frozenset(range(len(pieces)))
    if reader.has(f"{at}.pieces"):
        if reader.has(f"{at}.colour"):
            reader.note("cutting.two_choices", f"{at}.colour")
        by_name = {piece.name: place for place, piece in enumerate(pieces)}
        return reader.read(f"{at}.pieces", lambda value: _named(value, by_name), everyone)
    if reader.has(f"{at}.within") and not reader.has(f"{at}.colour"):
        reader.note("cutting.within", f"{at}.within")
    if not reader.has(f"{at}.colour"):
        return everyone
    wanted = _colour(reader, f"{at}.colour")
    within = reader.number(f"{at}.within", WITHIN, 0, 200)
    return frozenset(place for place in everyone if difference(wanted, pieces[place].colour) <= within)


def _named(value: object, by_name: Mapping[str, int]) -> frozenset[int]:
    if not isinstance(value, list | tuple):
        raise Unreadable(Problem("names.list"))
    missing = [name for name in value if not isinstance(name, str) or plain(name) not in by_name]
    if missing:
        raise Unreadable(Problem("cutting.no_such_piece", values={"text": shown(missing[0])}))
    return frozenset(by_name[plain(name)] for name in value)


def _told_apart(reader: Reader, table: str, names: list[str]) -> None:
    seen: set[str] = set()
    for place, name in enumerate(names):
        if name and name in seen:
            reader.note("cutting.name_twice", f"{table}.{place}.name", text=name[:40])
        seen.add(name)


def cutting_told(asked: CuttingAsked, plan: Plan) -> dict[str, object]:
    """A plan for programs: lengths in metres, money as text; ``objective``, ``bound`` and ``gap`` of the last wish."""
    cutting, last = plan.cutting, plan.stages[-1]
    return {
        "used": [
            {
                "piece": asked.pieces[cut.piece].name,
                "band": asked.bands[cut.band].name,
                "way": cut.way.value,
                "strips": cut.strips,
                "length_m": cut.length.metres,
                "cost": cut.cost.plain(),
            }
            for cut in cutting.cuts
        ],
        "joins": cutting.joins,
        "left_over": [
            {
                "piece": asked.pieces[rest.piece].name,
                "width_m": rest.width.metres,
                "length_m": rest.length.metres,
                "strips_left": rest.strips,
            }
            for rest in cutting.rests
            if rest.width and rest.length
        ],
        "short": [
            {"band": band.name, "length_m": short.metres}
            for band, short in zip(asked.bands, cutting.short, strict=True)
            if short
        ],
        "cost": cutting.cost.plain(),
        "currency": cutting.cost.currency,
        "objective": last.objective,
        "bound": last.bound,
        "gap": last.gap,
        "wishes": [
            {
                "wish": stage.wish.value,
                "objective": stage.objective,
                "bound": stage.bound,
                "gap": stage.gap,
                "proven": stage.proven,
            }
            for stage in plan.stages
        ],
    }
