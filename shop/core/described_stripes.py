"""The stripes of a described rug: ``[[stripe]]`` tables, and how the weft repeats or mirrors them."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from shop.core.asking import Described, Reader, shown
from shop.core.cloth import Cloth
from shop.core.errors import Problem, Unreadable
from shop.core.keys import NO_SMALLER
from shop.core.stripe_plan import MOST_BANDS, BandAsked, By, StripePlan, Turn

LARGEST_SEED: Final = 999_999
MOST_ROWS: Final = 10_000
FIRST: Final[tuple[int, ...]] = (0,)


def stripes_described(reader: Reader, document: Described, cloths: tuple[tuple[Cloth, float], ...]) -> StripePlan | None:
    """The stripe plan, or ``None`` where no stripe is described; what is wrong with it is noted."""
    tables = document.get("stripe")
    mirrored = reader.yes("weft.mirrored")
    to_the_end = reader.yes("weft.to_the_end")
    if tables is None:
        for name, said in (("mirrored", mirrored), ("to_the_end", to_the_end)):
            if said:
                reader.note("stripes.alone", f"weft.{name}", key=name)
        return None
    if not isinstance(tables, list):
        tables = [tables]
    if not 1 <= len(tables) <= MOST_BANDS:
        reader.note("stripes.count", "stripe", most=MOST_BANDS)
        return None
    lone = not isinstance(document.get("stripe"), list)
    bands = tuple(_band(reader, "stripe" if lone else f"stripe.{place}", cloths) for place in range(len(tables)))
    used = {one for band in bands for one in band.cloths}
    for place, (cloth, _) in enumerate(cloths):
        if place not in used and not reader.problems:
            reader.note("stripes.unused", "cloth", name=cloth.name)
    return StripePlan(
        bands=bands,
        repeats=reader.count("weft.repeats", 1, 1, 100, guess=False),
        to_the_end=to_the_end,
        mirrored=mirrored,
    )


def _band(reader: Reader, at: str, cloths: tuple[tuple[Cloth, float], ...]) -> BandAsked:
    """One band; where its cloth or its length cannot be read, some band that the problem excuses."""
    turn = reader.choice(f"{at}.turn", Turn, Turn.ALONE, guess=False)
    of = reader.read(f"{at}.cloth", lambda value: _cloths_named(value, cloths), FIRST, guess=False)
    if turn is Turn.ALONE and len(of) > 1:
        reader.note("stripes.alone_of_many", f"{at}.turn")
    if turn is Turn.PICK and len(of) != 2:
        reader.note("stripes.two", f"{at}.cloth")
    ways = [by for by in By if reader.has(f"{at}.{by.value}")]
    if len(ways) != 1:
        reader.note("stripes.how_long", at, keys=tuple(by.value for by in By))
        return BandAsked(cloths=of, by=By.REST)
    by, amount = ways[0], 0.0
    if by is By.ROWS:
        amount = reader.count(f"{at}.rows", 1, 1, MOST_ROWS, guess=False)
    elif by is By.LENGTH:
        amount = reader.length(f"{at}.length", NO_SMALLER, least=NO_SMALLER, guess=False).millimetres
    elif by is By.SHARE:
        amount = float(reader.share(f"{at}.share", Decimal(0), guess=False))
        if not amount:
            reader.note("stripes.no_share", f"{at}.share")
    elif not reader.yes(f"{at}.rest"):
        reader.note("stripes.how_long", at, keys=tuple(one.value for one in By))
    least = reader.count(f"{at}.least", 2, 1, 500, guess=False)
    most = reader.count(f"{at}.most", max(least, 8), 1, 500, guess=False)
    if most < least:
        reader.note("stripes.least", f"{at}.most", least=least)
    return BandAsked(
        cloths=of,
        by=by,
        amount=amount,
        border=reader.yes(f"{at}.border"),
        turn=turn,
        seed=reader.count(f"{at}.seed", 1, 0, LARGEST_SEED, guess=False),
        least=least,
        most=most,
    )


def _cloths_named(value: object, cloths: tuple[tuple[Cloth, float], ...]) -> tuple[int, ...]:
    """The places of the cloths that a band names: by name, or by place from 1.

    Raises:
        Unreadable: ``stripes.cloth``.
    """
    wanted = value if isinstance(value, list | tuple) else [value]
    names = [cloth.name for cloth, _ in cloths]
    found = []
    for one in wanted[:MOST_BANDS]:
        if isinstance(one, int) and not isinstance(one, bool) and 1 <= one <= len(cloths):
            found.append(one - 1)
        elif isinstance(one, str) and names.count(one) == 1:
            found.append(names.index(one))
        else:
            raise Unreadable(Problem("stripes.cloth", values={"text": shown(one)}))
    if not found:
        raise Unreadable(Problem("stripes.no_cloth"))
    return tuple(found)
