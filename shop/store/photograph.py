"""Photographs as they are kept, small enough to travel with the database; and those of pieces, one of each at most.

A new one of a piece takes the place of the old one: a picture is no part of the ledger. Those of a job's rug stand in
``shop.store.job_record``.
"""

from collections.abc import Collection
from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, delete, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import BIG_ID, Base, Key
from shop.store.fabric import Piece


class KeptPicture:
    """What every photograph that is kept has, whatever it is of.

    Attributes:
        image: a JPEG, upright, with nothing in it but the picture; ``thumbnail`` the same, small. Neither is loaded
            before it is asked for.
        width: of ``image`` in points, as ``height``.
        digest: of ``image``, by which browsers keep it.
    """

    image: Mapped[bytes] = mapped_column(LargeBinary, nullable=False, deferred=True, sort_order=1)
    thumbnail: Mapped[bytes] = mapped_column(LargeBinary, nullable=False, deferred=True, sort_order=1)
    width: Mapped[int] = mapped_column(sort_order=1)
    height: Mapped[int] = mapped_column(sort_order=1)
    digest: Mapped[Key] = mapped_column(sort_order=1)
    at: Mapped[datetime] = mapped_column(sort_order=1)


class Photograph(KeptPicture, Base):
    """A photograph of a piece."""

    __tablename__ = "photograph"

    piece_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Piece.id), primary_key=True, autoincrement=False)


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
