"""A piece of cloth before it is cut: what comes out of it each way, with how many joins, and at what cost."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from shop.core.cloth import ClothKind, unit_costs
from shop.core.keys import LoomKind, Units, strip_guess
from shop.core.measure import Length
from shop.core.strips import BothWays, StripYield, Tool, Way, both_ways, strips_of
from shop.store.engine import Store
from shop.usecases.fabric import PieceCard
from shop.usecases.loom import looms
from shop.usecases.piece import piece


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOfCutting:
    """One way to make a piece into strips.

    Attributes:
        found: the strips.
        per_metre: what a metre of strip costs that way, and ``per_yard`` a yard, in the piece's currency and
            unrounded; ``None`` where not one strip comes out.
        most: of along and across, this gives the more strip.
        fewest_joins: of all the ways that there are, none takes fewer joins, and some way takes more.
    """

    found: StripYield
    per_metre: Decimal | None
    per_yard: Decimal | None
    most: bool
    fewest_joins: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceToCut:
    """A piece, and the ways to cut it.

    Attributes:
        piece: the piece; its costs are for ``strip``.
        strip: the width of a strip.
        tool: what it is cut or torn with.
        ways: the ways there are: a tube only of jersey, no zigzag or tube when torn; none when a piece
            that failed its tear test is to be torn.
        differs: along and across do not give the same.
    """

    piece: PieceCard
    strip: Length
    tool: Tool
    ways: tuple[WayOfCutting, ...]
    differs: bool


def usual_strip(store: Store, *, units: str) -> Length:
    """The strip to begin with: that of the shop's first loom, or what is usual on its kind; on a frame, if none is here."""
    for card in looms(store)[:1]:
        return card.strip or strip_guess(card.loom.kind, Units(units))
    return strip_guess(LoomKind.FRAME.value, Units(units))


def piece_to_cut(store: Store, *, number: int, strip: Length, tool: Tool) -> PieceToCut:
    """A piece with all the ways to cut it into strips of one width.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``length.small`` or ``length.most`` at ``strip``.
    """
    card = piece(store, number=number, strip=strip)
    both = both_ways(card.width, card.length, strip, tool)
    differs = both.along.total != both.across.total or both.along.each != both.across.each
    torn_though_it_will_not = tool is Tool.TEAR and card.tears is False
    ways = () if card.is_yarn or torn_though_it_will_not else _ways(card, tool)
    return PieceToCut(
        piece=card,
        strip=strip,
        tool=tool,
        ways=_with_fewest_joins([_way(card, strip, tool, way, both, differs=differs) for way in ways]),
        differs=differs,
    )


def _ways(card: PieceCard, tool: Tool) -> tuple[Way, ...]:
    if tool is Tool.TEAR:
        return (Way.ALONG, Way.ACROSS)
    if card.cloth == ClothKind.JERSEY.value:
        return (Way.ALONG, Way.ACROSS, Way.ZIGZAG, Way.TUBE)
    return (Way.ALONG, Way.ACROSS, Way.ZIGZAG)


def _way(
    card: PieceCard, strip: Length, tool: Tool, way: Way, both: BothWays, *, differs: bool
) -> WayOfCutting:
    found = strips_of(card.width, card.length, strip, way, tool)
    costs = unit_costs(card.as_cloth, strip, way, tool)
    straight = differs and way in (Way.ALONG, Way.ACROSS) and found.count > 0
    return WayOfCutting(
        found=found,
        per_metre=costs.strip_per_metre,
        per_yard=costs.strip_per_yard,
        most=straight and both.along.total != both.across.total and way is both.more,
        fewest_joins=False,
    )


def _with_fewest_joins(ways: list[WayOfCutting]) -> tuple[WayOfCutting, ...]:
    """The same ways, those marked that take the fewest joins; none where all take as many."""
    joins = [way.found.joins for way in ways if way.found.count]
    if not joins or min(joins) == max(joins):
        return tuple(ways)
    return tuple(
        replace(way, fewest_joins=way.found.count > 0 and way.found.joins == min(joins)) for way in ways
    )
