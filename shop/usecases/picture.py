"""The photograph of a piece: put up, looked at, taken for its colour, taken away."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from shop.core.colour import difference, family_of, shelf_place
from shop.core.errors import NotFound, Problem
from shop.store import photograph as table
from shop.store import saving as presses
from shop.store.engine import Store
from shop.usecases.developing import colour_of, developed
from shop.usecases.fabric import piece_in
from shop.usecases.given import Given

SAME_COLOUR: Final = 2.0
"""A CIEDE2000 difference below which two swatches side by side look the same at a glance."""


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
        if (
            presses.claim(session, act=f"picture.put_up.{row.id}", token=saving, given=digest, now=now)
            is None
        ):
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
        if (
            presses.claim(session, act=f"picture.take_away.{row.id}", token=saving, given=None, now=now)
            is None
        ):
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


@dataclass(frozen=True, slots=True)
class Offered:
    """The photograph of a piece, as its page needs it.

    Attributes:
        digest: of the photograph; empty when there is none. ``width`` and ``height`` are its points.
        colour: what the cloth looks like in it, ``#rrggbb``; empty when there is none, or when the piece is kept under one that looks the same.
        family: the value of the ``Family`` of that colour.
    """

    digest: str = ""
    width: int = 0
    height: int = 0
    colour: str = ""
    family: str = ""


def offered(store: Store, *, number: int) -> Offered:
    """What the photograph of a piece offers.

    Raises:
        NotFound: ``piece.unknown``.
    """
    with store.reading() as session:
        piece = piece_in(session, number)
        row = table.of_piece(session, piece.id)
        if row is None:
            return Offered()
        colour = colour_of(row.thumbnail)
        if difference(colour, piece.colour) < SAME_COLOUR:
            return Offered(row.digest, row.width, row.height)
        return Offered(row.digest, row.width, row.height, colour, family_of(colour).value)


def take_colour(store: Store, *, number: int, colour: str, saving: str, now: datetime) -> None:
    """The piece is of the colour that its photograph showed.

    Args:
        store: the shop's database.
        number: of the piece.
        colour: that was offered, ``#rrggbb``.
        saving: the form's token.
        now: the time, zoned.

    Raises:
        NotFound: ``piece.unknown``.
        Refusal: ``colour.unreadable``.
    """
    with store.writing() as session:
        row = piece_in(session, number, lock=True)
        act = f"picture.take_colour.{row.id}"
        if presses.claim(session, act=act, token=saving, given=colour, now=now) is None:
            given = Given()
            row.colour = given.colour("colour", colour)
            given.done()
            row.shade = shelf_place(row.colour)
            row.revision += 1
