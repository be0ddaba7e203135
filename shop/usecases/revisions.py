"""The offers of a quote beside each other, each as it was kept when it was given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.errors import NotFound, Problem, Refusal
from shop.core.loom import Size
from shop.core.money import Money
from shop.core.order import OfferState, state_on
from shop.core.revision import Revision
from shop.store import offer as table
from shop.store import quote as quote_table
from shop.store.engine import Store
from shop.usecases.given import is_number_of_a_row
from shop.usecases.moving import today_in

SHOWN: Final = 6
"""Offers that stand beside each other, the newest; more would be too narrow to compare."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionShown:
    """An offer of a quote.

    Attributes:
        id: of the offer.
        state: on the day that it is looked at.
        name: what the rug was called when it was offered; may be empty.
        cloth_names: by colour, what the bands of its drawing are woven of.
    """

    id: int
    state: OfferState
    name: str
    offered_at: datetime
    revision: Revision
    cloth_names: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Revisions:
    """The offers of the quote of that number, oldest first; ``earlier`` ones there are besides."""

    quote: int
    given: tuple[RevisionShown, ...]
    earlier: int


def revisions(store: Store, *, offer_id: int, now: datetime) -> Revisions:
    """The offers of the quote that an offer was made from; as many queries however many there are.

    Raises:
        NotFound: ``offer.unknown``.
    """
    with store.reading() as session:
        one = table.by_id(session, offer_id) if is_number_of_a_row(offer_id) else None
        if one is None:
            raise NotFound(Problem("offer.unknown"))
        quote = session.get_one(quote_table.Quote, one.quote_id)
        rows = table.newest_of_quote(session, one.quote_id, limit=SHOWN)[::-1]
        today = today_in(session, now)
        return Revisions(
            quote=quote.number,
            given=tuple(
                RevisionShown(
                    id=row.id,
                    state=state_on(OfferState(row.state), row.holds_until, today),
                    name=str(row.content.get("name") or ""),
                    offered_at=row.offered_at,
                    revision=_revision(row),
                    cloth_names={one["colour"]: one["name"] for one in _materials(row) if one["colour"]},
                )
                for row in rows
            ),
            earlier=rows[0].revision - 1,
        )


def _revision(row: table.Offer) -> Revision:
    return Revision(
        number=row.revision,
        size=Size(row.width, row.length),
        cloths=tuple(one["name"] for one in _materials(row)),
        stripes=tuple((str(colour), float(share)) for colour, share in row.stripes),
        price=Money(row.asking, row.currency),
        tax=_tax(row),
        total=Money(row.total, row.currency),
        deposit=Money(row.deposit, row.currency) if row.deposit else None,
        promised=row.promised,
        holds=row.holds_until,
    )


def _materials(row: table.Offer) -> list[dict[str, str]]:
    """What the customer reads that the rug is woven of, each with its name and its colour."""
    found = row.content.get("materials")
    return [
        {"name": str(one.get("name", "")), "colour": str(one.get("colour", ""))}
        for one in (found if isinstance(found, list) else [])
        if isinstance(one, Mapping)
    ]


def _tax(row: table.Offer) -> Money | None:
    """The tax among the figures that were kept with the offer."""
    price = row.figures.get("price") if isinstance(row.figures, Mapping) else None
    tax = price.get("tax") if isinstance(price, Mapping) else None
    if not isinstance(tax, str):
        return None
    try:
        return Money.of(tax, row.currency)
    except (Refusal, ArithmeticError):
        return None
