"""The list of rugs, newest first, and the search in it; and how many each outlet has."""

from collections.abc import Collection, Sequence
from typing import Final

from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session

from shop.store.fair import Fair
from shop.store.folding import words_of
from shop.store.rug import Outlet, Rug

LARGEST_NUMBER: Final = 2**63 - 1
MOST_SIGNS: Final = 18
"""A number of more digits is none of a rug."""


def search_text(*texts: str) -> str:
    """The words of these texts as they are searched."""
    return "".join(f" {word}" for word in words_of(" ".join(texts)))


def newest(
    session: Session,
    *,
    places: Collection[str],
    words: Sequence[str] = (),
    fair_id: int | None = None,
    outlet_id: int | None = None,
    below: int | None = None,
    limit: int,
) -> Sequence[Rug]:
    """Rugs in these places by falling number, whose words begin with those looked for, or whose number one of them is."""
    found = select(Rug).where(Rug.place.in_(places))
    for word in words:
        held = Rug.search_text.contains(f" {word}", autoescape=True)
        is_number = word.isascii() and word.isdecimal() and len(word) <= MOST_SIGNS
        found = found.where(or_(held, Rug.number == int(word)) if is_number else held)
    if fair_id is not None:
        found = found.where(Rug.fair_id == fair_id)
    if outlet_id is not None:
        found = found.where(Rug.outlet_id == outlet_id)
    if below is not None:
        found = found.where(Rug.number < below)
    return session.execute(found.order_by(Rug.number.desc()).limit(limit)).scalars().all()


def places_named(session: Session, rugs: Collection[Rug]) -> tuple[dict[int, str], dict[int, tuple[int, str]]]:
    """The names of the outlets that have some of these rugs, and the numbers and names of the fairs they are packed for."""
    outlets = {rug.outlet_id for rug in rugs if rug.outlet_id}
    fairs = {rug.fair_id for rug in rugs if rug.fair_id}
    return outlet_names(session, outlets), fair_names(session, fairs)


def outlet_names(session: Session, ids: Collection[int]) -> dict[int, str]:
    """The names of outlets; asks nothing where none is wanted."""
    if not ids:
        return {}
    return {row.id: row.name for row in session.execute(select(Outlet.id, Outlet.name).where(Outlet.id.in_(ids)))}


def fair_names(session: Session, ids: Collection[int]) -> dict[int, tuple[int, str]]:
    """The numbers and names of fairs; asks nothing where none is wanted."""
    if not ids:
        return {}
    found = select(Fair.id, Fair.number, Fair.name).where(Fair.id.in_(ids))
    return {row.id: (row.number, row.name) for row in session.execute(found)}


def outlets(session: Session, *, closed: bool, limit: int) -> Sequence[Outlet]:
    """The outlets that take rugs, or those that no longer do, by their names."""
    is_closed = Outlet.closed_at.is_not(None) if closed else Outlet.closed_at.is_(None)
    return session.execute(select(Outlet).where(is_closed).order_by(func.lower(Outlet.name), Outlet.id).limit(limit)).scalars().all()


def held_by_outlets(session: Session, ids: Collection[int]) -> dict[int, tuple[int, int]]:
    """Of each of these outlets that has any: how many rugs, and their prices together, unpriced ones left out."""
    if not ids:
        return {}
    found = (
        select(Rug.outlet_id, func.count(Rug.id), func.coalesce(func.sum(Rug.price), 0))
        .where(Rug.outlet_id.in_(ids))
        .group_by(Rug.outlet_id)
    )
    return {outlet: (int(count), int(worth)) for outlet, count, worth in session.execute(found) if outlet is not None}
