"""The photograph of a piece: put up, looked at, taken away."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime

from shop.core.errors import NotFound, Problem
from shop.store import photograph as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.developing import developed
from shop.usecases.fabric import piece_in


@dataclass(frozen=True, slots=True)
class Shown:
    """A JPEG, and its digest by which a browser keeps it."""

    content: bytes
    digest: str


def put_up(store: Store, *, number: int, content: bytes, saving: str, now: datetime) -> None:
    """Make a file into the photograph of a piece, in the place of an earlier one.

    Args:
        store: the shop's database.
        number: of the piece.
        content: the file as it came from the phone.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: as ``shop.usecases.developing.developed``, at ``photograph``.
    """
    picture = developed(content)
    digest = hashlib.sha256(picture.image).hexdigest()[:32]
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        if presses.claim(session, act=f"picture.put_up.{row.id}", token=saving, given=digest, now=now) is None:
            table.remove(session, row.id)
            session.add(
                table.Photograph(
                    piece_id=row.id,
                    image=picture.image,
                    thumbnail=picture.thumbnail,
                    width=picture.width,
                    height=picture.height,
                    digest=digest,
                    at=now,
                )
            )


def take_away(store: Store, *, number: int, saving: str, now: datetime) -> None:
    """The piece has no photograph any more.

    Raises:
        NotFound: ``piece.unknown``.
    """
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        if presses.claim(session, act=f"picture.take_away.{row.id}", token=saving, given=None, now=now) is None:
            table.remove(session, row.id)


def shown(store: Store, *, number: int, small: bool) -> Shown:
    """The photograph of a piece, or the small one.

    Raises:
        NotFound: ``piece.unknown``, ``photograph.none``.
    """
    with store.reading() as session:
        row = table.of_piece(session, piece_in(session, number).id)
        if row is None:
            raise NotFound(Problem("photograph.none"))
        return Shown(row.thumbnail if small else row.image, row.digest)


def has_one(store: Store, *, number: int) -> str:
    """The digest of the photograph of a piece; empty when there is none.

    Raises:
        NotFound: ``piece.unknown``.
    """
    with store.reading() as session:
        row = piece_in(session, number)
        return table.digests_of(session, [row.id]).get(row.id, "")


def photographed(session: Session, piece_ids: Collection[int]) -> Mapping[int, str]:
    """Of those of these pieces that have one, the digest of their photograph, as part of another use case."""
    return table.digests_of(session, piece_ids)
