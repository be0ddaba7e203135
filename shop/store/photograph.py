"""Photographs of pieces: one of each at most, small enough to travel with the database.

A new one takes the place of the old one: a picture is no part of the ledger.
"""

from collections.abc import Collection
from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, delete, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import BIG_ID, Base, Key
from shop.store.fabric import Piece


class Photograph(Base):
    """A photograph of a piece.

    Attributes:
        image: a JPEG, upright, with nothing in it but the picture; ``thumbnail`` the same, small.
        digest: of ``image``, by which browsers keep it.
    """

    __tablename__ = "photograph"

    piece_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Piece.id), primary_key=True, autoincrement=False)
    image: Mapped[bytes] = mapped_column(LargeBinary)
    thumbnail: Mapped[bytes] = mapped_column(LargeBinary)
    width: Mapped[int]
    height: Mapped[int]
    digest: Mapped[Key]
    at: Mapped[datetime]


def of_piece(session: Session, piece_id: int) -> Photograph | None:
    """The photograph of a piece."""
    return session.get(Photograph, piece_id)


def remove(session: Session, piece_id: int) -> None:
    """Take the photograph of a piece away, if there is one."""
    session.execute(delete(Photograph).where(Photograph.piece_id == piece_id))


def digests_of(session: Session, piece_ids: Collection[int]) -> dict[int, str]:
    """Of those of these pieces that have one, the digest of their photograph; loads no picture."""
    if not piece_ids:
        return {}
    found = select(Photograph.piece_id, Photograph.digest).where(Photograph.piece_id.in_(piece_ids))
    return {row.piece_id: row.digest for row in session.execute(found)}
