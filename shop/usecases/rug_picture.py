"""The photograph of a rug: put up, looked at, taken away; its small one is small enough for a phone that keeps hundreds."""

from __future__ import annotations

import hashlib
from datetime import datetime
from typing import Final

from shop.core.errors import NotFound, Problem
from shop.store import rug as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.developing import developed, no_larger
from shop.usecases.picture import Shown
from shop.usecases.rug_card import rug_in

SMALL: Final = 12 * 1024
"""Bytes that the small one has at most."""


def put_up(store: Store, *, number: int, content: bytes, saving: str, now: datetime) -> None:
    """Make a file into the photograph of a rug, in the place of an earlier one.

    Args:
        store: the shop's database.
        number: of the rug.
        content: the file as it came from the phone.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``rug.unknown``.
        Refusal: as ``shop.usecases.developing.developed``, at ``photograph``.
    """
    picture = developed(content)
    digest = hashlib.sha256(picture.image).hexdigest()[:32]
    with store.writing() as session:
        row = rug_in(session, number, lock=True)
        if presses.claim(session, act=f"rug.picture.{row.id}", token=saving, given=digest, now=now) is None:
            table.remove_photograph(session, row.id)
            stand_for_in(session, row, picture.image, picture.thumbnail, (picture.width, picture.height), digest=digest, now=now)


def stand_for_in(
    session: Session, row: table.Rug, image: bytes, thumbnail: bytes, size: tuple[int, int], *, digest: str, now: datetime
) -> None:
    """A picture that is drawn anew already stands for a rug that has none; as part of another use case."""
    session.add(
        table.RugPhotograph(
            rug_id=row.id,
            image=image,
            thumbnail=no_larger(thumbnail, most=SMALL),
            width=size[0],
            height=size[1],
            digest=digest,
            at=now,
        )
    )


def take_away(store: Store, *, number: int, saving: str, now: datetime) -> None:
    """The rug has no photograph any more.

    Raises:
        NotFound: ``rug.unknown``.
    """
    with store.writing() as session:
        row = rug_in(session, number, lock=True)
        if presses.claim(session, act=f"rug.picture_away.{row.id}", token=saving, given=None, now=now) is None:
            table.remove_photograph(session, row.id)


def shown(store: Store, *, number: int, small: bool) -> Shown:
    """The photograph of a rug, or the small one.

    Raises:
        NotFound: ``rug.unknown``, ``rug.no_photograph``.
    """
    with store.reading() as session:
        row = table.photograph_of(session, rug_in(session, number).id)
        if row is None:
            raise NotFound(Problem("rug.no_photograph"))
        return Shown(row.thumbnail if small else row.image, row.digest)
