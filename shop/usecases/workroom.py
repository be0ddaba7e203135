"""The workroom: everything that the shop plans a rug with, read at one moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from shop.core.loom import FrameLoom, Size
from shop.core.measure import Length
from shop.store import fabric as cloth_table
from shop.store.engine import Session, Store
from shop.usecases.chosen import Chosen
from shop.usecases.fabric import PieceCard, cards_in
from shop.usecases.loom import LoomCard, looms_in
from shop.usecases.pace import PaceLine, paces_in
from shop.usecases.piece import pieces_in
from shop.usecases.price import Pricing, pricing_in
from shop.usecases.rates import Rates, rates_in
from shop.usecases.rugs_say import RugsSay, rugs_say_in
from shop.usecases.shop import Shop, shop_in

MOST_PIECES: Final = 60
"""Pieces of cloth offered for one rug, newest first."""
NO_LOOM: Final = LoomCard(id=0, archived=False, revision=0, loom=FrameLoom())
"""What a shop that has entered no loom plans with: a small frame, all of it a starting guess."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Workroom:
    """What the shop plans with, all read at one moment; ``says`` is what its own rugs say."""

    shop: Shop
    looms: tuple[LoomCard, ...]
    pieces: tuple[PieceCard, ...]
    paces: tuple[PaceLine, ...]
    rates: Rates
    pricing: Pricing
    says: RugsSay | None = None

    @property
    def by_number(self) -> Mapping[int, PieceCard]:
        """The pieces by the number on their labels."""
        return {piece.number: piece for piece in self.pieces}


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
        says=rugs_say_in(session),
    )


def _pieces(session: Session, also: tuple[int, ...]) -> tuple[PieceCard, ...]:
    """The newest cloth in hand, and the pieces asked for by number, even if nothing of them is left."""
    newest = pieces_in(session, limit=MOST_PIECES, cloth_only=True).pieces
    missing = set(also) - {piece.number for piece in newest}
    if not missing:
        return newest
    asked = [piece for piece in cloth_table.pieces_by_number(session, missing) if not piece.yarn]
    return (*newest, *cards_in(session, asked))


def first_choice(room: Workroom) -> Chosen:
    """A rug to begin with: what the first loom makes, of nothing chosen yet."""
    card = room.looms[0]
    size = Size(Length.of(24, "in"), Length.of(36, "in"))
    if room.shop.units == "metric":
        size = Size(Length.of(60, "cm"), Length.of(90, "cm"))
    if isinstance(card.loom, FrameLoom):
        size = Size(card.loom.widest, card.loom.length)
    return Chosen(width=size.width, length=size.length, loom_id=card.id)
