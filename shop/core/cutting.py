"""The cutting plan: which pieces to cut for which bands, how, and into how many strips.

A piece is cut one way, along or across, in whole strips of one width; it may be cut in part, and its strips may go to
several bands. A torn strip frays along both edges, so it takes that much more of the cloth. In a band its strips are
joined end to end, and each join loses some length: ``k`` strips reach the sum of their lengths less ``k - 1`` losses.

This room says what a plan is, and reckons one exactly, in whole nanometres and whole coins, from what was decided.
``shop.core.cutting_plan`` decides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from shop.core.errors import NotPossible, Problem
from shop.core.measure import Length
from shop.core.money import Money, split, total
from shop.core.strips import FRAY, Way

MOST_PIECES: Final = 5000
MOST_BANDS: Final = 200


class Wish(StrEnum):
    """What a plan keeps small; a weaver puts them in her own order."""

    SHORT = "short"
    """Strip that no piece gives, and that would have to be bought: metres."""
    COST = "cost"
    """What the strips cost, each its share of what its piece cost."""
    JOINS = "joins"
    """Joins, all bands together."""
    LEFT_OVER = "left_over"
    """Strip in the pieces that are cut into, beyond what the bands take: metres of it, joins and surplus counted."""
    AGE = "age"
    """Cloth bought late: metres of strip times the days since the first of the pieces was bought."""


USUAL_WISHES: Final = (Wish.SHORT, Wish.COST, Wish.JOINS)


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceToCut:
    """A piece that may be cut.

    Attributes:
        name: by which it is told.
        width, length: usable, hems and selvedges cut off.
        paid: what the whole piece cost.
        colour: ``#rrggbb``.
        tears: it is torn, and so frays; else it is cut.
        bought: when; ``None`` counts as the earliest day of all.
        left: parts in a billion of it that are still there; of so many strips, that share can be had, whole ones only.
    """

    name: str
    width: Length
    length: Length
    paid: Money
    colour: str = "#7d8a99"
    tears: bool = False
    bought: date | None = None
    left: int = 10**9

    def pitch(self, rules: Rules) -> Length:
        """What one strip takes of the piece's other side."""
        return rules.strip + rules.fray * 2 if self.tears else rules.strip

    def whole_strips(self, way: Way, rules: Rules) -> int:
        """Strips that the whole piece yields one way."""
        across = self.length if way is Way.ACROSS else self.width
        return across.nm // self.pitch(rules).nm

    def strips(self, way: Way, rules: Rules) -> int:
        """Strips that can still be had."""
        return self.whole_strips(way, rules) * self.left // 10**9

    def each(self, way: Way) -> Length:
        """The length of one strip."""
        return self.width if way is Way.ACROSS else self.length


@dataclass(frozen=True, slots=True, kw_only=True)
class BandToFill:
    """A band, and the pieces that may serve.

    Attributes:
        name: by which it is told.
        need: strip that it takes, joined.
        pieces: the places of the pieces that may serve.
    """

    name: str
    need: Length
    pieces: frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """How pieces are cut and strips are joined.

    Attributes:
        strip: the width of a strip.
        join_loss: lost at each join.
        fray: lost along each torn edge.
        prefer: what is kept small, each in turn.
    """

    strip: Length
    join_loss: Length = Length.of(3, "in")
    fray: Length = FRAY
    prefer: tuple[Wish, ...] = USUAL_WISHES


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """So many strips of one piece for one band.

    Attributes:
        piece, band: their places.
        way: along or across.
        strips: how many.
        length: of them end to end, before they are joined.
        cost: their share of what the piece cost.
    """

    piece: int
    band: int
    way: Way
    strips: int
    length: Length
    cost: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """What stays of a piece that is cut into: a rectangle, and the strips still in it."""

    piece: int
    width: Length
    length: Length
    strips: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """A plan, reckoned.

    Attributes:
        cuts: by band, then by piece.
        reach: of each band, how far its strips reach once joined.
        short: of each band, what is missing.
        joins: of all bands together.
        rests: of the pieces that are cut into.
        cost: of all cuts.
    """

    cuts: tuple[Cut, ...]
    reach: tuple[Length, ...]
    short: tuple[Length, ...]
    joins: int
    rests: tuple[Rest, ...]
    cost: Money


WAYS: Final = (Way.ALONG, Way.ACROSS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What is left of a piece in one sheet.

    Attributes:
        width, length: of it.
        parts: of the whole piece, in billionths.
    """

    width: Length
    length: Length
    parts: int

    def share_of(self, strips: int, whole: int) -> int:
        """Parts of the whole piece that so many of this sheet's strips are, so that they bear its offcuts."""
        return self.parts * strips // whole if 0 < strips <= whole else 0


def _part_of(side: int, after: int, before: int) -> int:
    """A side in proportion, up to the next micrometre: shares are whole billionths, and no strip is to be lost by that."""
    return min(side, -(-(side * after) // (before * 1000)) * 1000) if before else 0


def rest_of(width: Length, length: Length, cuts: Iterable[tuple[Way, int]]) -> Sheet:
    """The sheet that stays when strips have been cut off a piece, one lot after another.

    Strips along the piece leave it narrower, strips across leave it shorter.

    Args:
        width: of the whole piece; ``length`` likewise.
        length: see ``width``.
        cuts: of each lot the way, and the parts of the whole piece that it took, in billionths.
    """
    wide, long, parts = width.nm, length.nm, 10**9
    for way, taken in cuts:
        after = max(0, parts - taken)
        if way is Way.ACROSS:
            long = _part_of(long, after, parts)
        else:
            wide = _part_of(wide, after, parts)
        parts = after
    return Sheet(width=Length(wide), length=Length(long), parts=parts)


def reckoned(
    pieces: Sequence[PieceToCut],
    bands: Sequence[BandToFill],
    rules: Rules,
    chosen: Mapping[tuple[int, int, Way], int],
    *,
    currency: str,
) -> Cutting:
    """A plan out of what was decided: strips by piece, band and way.

    Raises:
        NotPossible: ``cutting.two_ways`` for a piece that is cut both ways, ``cutting.beyond`` for more strips than a
            piece gives, ``cutting.stranger`` for one that may not serve its band.
    """
    strips = {key: count for key, count in chosen.items() if count}
    ways: dict[int, Way] = {}
    for piece, band, way in strips:
        if ways.setdefault(piece, way) is not way:
            raise NotPossible(Problem("cutting.two_ways", values={"name": pieces[piece].name}))
        if piece not in bands[band].pieces:
            raise NotPossible(Problem("cutting.stranger", values={"name": pieces[piece].name}))
    cuts: list[Cut] = []
    rests: list[Rest] = []
    for place, way in sorted(ways.items()):
        of_bands = [(band, strips[place, band, way]) for band in range(len(bands)) if (place, band, way) in strips]
        found, rest = _cut_up(pieces[place], place, way, of_bands, rules)
        cuts.extend(found)
        rests.append(rest)
    reach = tuple(_reach(band, cuts, rules) for band in range(len(bands)))
    counts = [sum(cut.strips for cut in cuts if cut.band == band) for band in range(len(bands))]
    return Cutting(
        cuts=tuple(sorted(cuts, key=lambda cut: (cut.band, cut.piece))),
        reach=reach,
        short=tuple(
            Length(max(0, band.need.nm - far.nm)) for band, far in zip(bands, reach, strict=True)
        ),
        joins=sum(max(0, count - 1) for count in counts),
        rests=tuple(rests),
        cost=total((cut.cost for cut in cuts), currency),
    )


def _cut_up(
    piece: PieceToCut, place: int, way: Way, of_bands: Sequence[tuple[int, int]], rules: Rules
) -> tuple[list[Cut], Rest]:
    """The strips of one piece, its cost shared over them and what stays to the last coin."""
    whole, can_be_had = piece.whole_strips(way, rules), piece.strips(way, rules)
    used = sum(count for _, count in of_bands)
    if used > can_be_had:
        raise NotPossible(Problem("cutting.beyond", values={"name": piece.name}))
    costs = split(piece.paid, [*(count for _, count in of_bands), whole - used])
    each = piece.each(way)
    cuts = [
        Cut(piece=place, band=band, way=way, strips=count, length=each * count, cost=cost)
        for (band, count), cost in zip(of_bands, costs[:-1], strict=True)
    ]
    gone = piece.pitch(rules) * (used + whole - can_be_had)
    across = way is Way.ACROSS
    rest = Rest(
        piece=place,
        width=piece.width if across else piece.width - gone,
        length=piece.length - gone if across else piece.length,
        strips=can_be_had - used,
    )
    return cuts, rest


def _reach(band: int, cuts: Sequence[Cut], rules: Rules) -> Length:
    mine = [cut for cut in cuts if cut.band == band]
    strips = sum(cut.strips for cut in mine)
    joined = sum(cut.length.nm for cut in mine) - max(0, strips - 1) * rules.join_loss.nm
    return Length(max(0, joined))


def wished(
    cutting: Cutting, pieces: Sequence[PieceToCut], bands: Sequence[BandToFill], wish: Wish, rules: Rules
) -> float:
    """How much of what is to be kept small a plan has: metres, an amount, joins, metres, or metres times days."""
    if wish is Wish.SHORT:
        return sum(short.metres for short in cutting.short)
    if wish is Wish.COST:
        return float(sum(unrounded_cost(pieces[cut.piece], cut.way, rules) * cut.strips for cut in cutting.cuts))
    if wish is Wish.JOINS:
        return float(cutting.joins)
    if wish is Wish.LEFT_OVER:
        ways = {cut.piece: cut.way for cut in cutting.cuts}
        opened = sum(pieces[one].each(way).nm * pieces[one].strips(way, rules) for one, way in ways.items())
        taken = sum(band.need.nm - short.nm for band, short in zip(bands, cutting.short, strict=True))
        return Length(opened - taken).metres
    days = days_young(pieces)
    return sum(cut.length.metres * days[cut.piece] for cut in cutting.cuts)


def unrounded_cost(piece: PieceToCut, way: Way, rules: Rules) -> float:
    """What one strip of a piece costs, in whole units of the currency."""
    return float(piece.paid.amount) / piece.whole_strips(way, rules)


def days_young(pieces: Sequence[PieceToCut]) -> list[int]:
    """Of each piece, the days between the buying of the first of them and its own."""
    known = [piece.bought for piece in pieces if piece.bought is not None]
    first = min(known, default=date.min)
    return [(piece.bought - first).days if piece.bought is not None else 0 for piece in pieces]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBuy:
    """Cloth that gives a length of strip.

    Attributes:
        width: of the cloth that is bought by length; ``length`` of it.
        sheets: how many flat sheets, by the name of their size.
    """

    width: Length
    length: Length
    sheets: Mapping[str, int]


def to_buy(short: Length, rules: Rules, *, width: Length, step: Length, sheets: Mapping[str, tuple[Length, Length]]) -> ToBuy:
    """What to buy for a length of strip that is missing, joined.

    Cloth by length is cut along, in steps that a shop cuts; a sheet along or across, whichever gives more. Each strip but
    the first loses a join.

    Args:
        short: strip that is missing.
        rules: how it is cut and joined.
        width: of the cloth by length.
        step: it is sold in.
        sheets: sizes by name.
    """
    loss = rules.join_loss.nm
    side = width.nm // rules.strip.nm
    steps = _least(short.nm, side * step.nm - (side - 1) * loss, side * step.nm)
    found = {}
    for name, (wide, long) in sheets.items():
        ways = ((wide.nm // rules.strip.nm, long.nm), (long.nm // rules.strip.nm, wide.nm))
        gives = max(strips * (each - loss) for strips, each in ways)
        found[name] = _least(short.nm, gives + loss, gives)
    return ToBuy(width=width, length=step * steps, sheets=found)


def _least(wanted: int, first: int, each: int) -> int:
    """How many give as much as is wanted, where the first gives ``first`` and each further one ``each``."""
    if wanted <= 0 or each <= 0:
        return 0
    return 1 + max(0, -(-(wanted - first) // each))
