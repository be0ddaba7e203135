"""Reservations: strips of a piece that a job means to cut; and how far its weaving has come, mark after mark."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, and_, func, or_, select, text, update
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.measure import Length
from shop.store.base import BIG_ID, Base, Id, Key
from shop.store.fabric import Piece
from shop.store.job import Job
from shop.store.ledger import Movement

HELD: Final = "held"
DRAWN: Final = "drawn"
LAPSED: Final = "lapsed"
STATES: Final = (HELD, DRAWN, LAPSED)
_HELD: Final = text(f"state = '{HELD}'")


class Reservation(Base):
    """So many strips of a piece, for one band of a job's rug.

    Attributes:
        band: the place of the band's cloth in the rug.
        way: ``along`` or ``across``; ``torn`` whether the strips are torn.
        strip: their width; ``each`` the length of one.
        strips: how many; ``cut`` how many of them are ticked as cut.
        share: parts of the piece that they take, as the ledger counts.
        state: held until it is drawn, or lapses with its job.
        movement_id: the draw that it became.
    """

    __tablename__ = "reservation"
    __table_args__ = (
        CheckConstraint(f"state IN ({', '.join(repr(state) for state in STATES)})", name="state"),
        CheckConstraint("strips > 0 AND cut BETWEEN 0 AND strips", name="strips"),
        CheckConstraint("share BETWEEN 1 AND 1000000000", name="share"),
        CheckConstraint("way IN ('along', 'across')", name="way"),
        CheckConstraint("(state = 'drawn') = (movement_id IS NOT NULL)", name="drawn"),
        Index("ix_reservation_held", "piece_id", sqlite_where=_HELD, postgresql_where=_HELD),
    )

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id), index=True)
    piece_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Piece.id))
    band: Mapped[int]
    way: Mapped[Key]
    torn: Mapped[bool]
    strip: Mapped[Length]
    each: Mapped[Length]
    strips: Mapped[int]
    cut: Mapped[int]
    share: Mapped[int] = mapped_column(BigInteger)
    state: Mapped[Key]
    movement_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Movement.id), index=True)
    at: Mapped[datetime]


class LoomMark(Base):
    """How many rows of a job's rug are woven, as it was marked at the loom; the newest counts."""

    __tablename__ = "loom_mark"
    __table_args__ = (CheckConstraint('"rows" >= 0', name="rows"), Index("ix_loom_mark_job_id", "job_id", "id"))

    id: Mapped[Id]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id))
    rows: Mapped[int]
    at: Mapped[datetime]


def held_of_pieces(session: Session, piece_ids: Collection[int]) -> Sequence[tuple[Reservation, Job]]:
    """What is held of these pieces, with the job that holds it."""
    if not piece_ids:
        return ()
    found = (
        select(Reservation, Job)
        .join(Job, Job.id == Reservation.job_id)
        .where(Reservation.state == HELD, Reservation.piece_id.in_(piece_ids))
        .order_by(Reservation.piece_id, Reservation.id)
    )
    return [(one, job) for one, job in session.execute(found)]


def of_job(session: Session, job_id: int) -> Sequence[tuple[Reservation, Piece]]:
    """What a job holds or has drawn by its plan, by band, and within a band in the order that it was planned."""
    found = (
        select(Reservation, Piece)
        .join(Piece, Piece.id == Reservation.piece_id)
        .where(Reservation.job_id == job_id, Reservation.state != LAPSED)
        .order_by(Reservation.band, Reservation.id)
    )
    return [(one, piece) for one, piece in session.execute(found)]


def of_jobs(session: Session, job_ids: Collection[int]) -> Sequence[tuple[Reservation, Piece]]:
    """The same of several jobs, each by band as ``of_job`` has it."""
    found = (
        select(Reservation, Piece)
        .join(Piece, Piece.id == Reservation.piece_id)
        .where(Reservation.job_id.in_(job_ids), Reservation.state != LAPSED)
        .order_by(Reservation.job_id, Reservation.band, Reservation.id)
    )
    return [(one, piece) for one, piece in session.execute(found)]


def by_id(session: Session, reservation_id: int) -> Reservation | None:
    """The reservation of that id."""
    return session.get(Reservation, reservation_id, populate_existing=True)


def lapse(session: Session, job_id: int, *, begun_too: bool = True) -> None:
    """What a job still holds lapses; of what is begun, strips ticked as cut, only if so asked."""
    gone = update(Reservation).where(Reservation.job_id == job_id, Reservation.state == HELD)
    if not begun_too:
        gone = gone.where(Reservation.cut == 0)
    session.execute(gone.values(state=LAPSED))


def reopen(session: Session, movement_ids: Collection[int]) -> None:
    """Draws that are undone are reservations again."""
    again = update(Reservation).where(Reservation.movement_id.in_(movement_ids))
    session.execute(again.values(state=HELD, movement_id=None))


def rows_marked(session: Session, job_id: int) -> int:
    """The rows of a job's rug that are woven, by its newest mark."""
    newest = select(LoomMark.rows).where(LoomMark.job_id == job_id).order_by(LoomMark.id.desc()).limit(1)
    return session.execute(newest).scalar_one_or_none() or 0


def cuts_of_pieces(
    session: Session, piece_ids: Collection[int], *, but: Collection[int] = ()
) -> dict[int, list[tuple[str, int]]]:
    """How each of these pieces has been cut by plans, or is going to be: the way and the parts of each lot, in order.

    What the jobs of the ids ``but`` hold and have not begun to cut is left out.
    """
    found = (
        select(Reservation.piece_id, Reservation.way, Reservation.share)
        .where(
            Reservation.piece_id.in_(piece_ids),
            or_(
                Reservation.state == DRAWN,
                and_(Reservation.state == HELD, or_(Reservation.cut > 0, Reservation.job_id.not_in(but))),
            ),
        )
        .order_by(Reservation.id)
    )
    cuts: dict[int, list[tuple[str, int]]] = {}
    for piece, way, share in session.execute(found):
        cuts.setdefault(piece, []).append((way, share))
    return cuts


def held_shares(session: Session, piece_ids: Collection[int], *, but: Collection[int] = ()) -> dict[int, int]:
    """Parts held of each of these pieces; what the jobs of the ids ``but`` have not begun to cut is left out."""
    found = (
        select(Reservation.piece_id, func.sum(Reservation.share))
        .where(
            Reservation.state == HELD,
            Reservation.piece_id.in_(piece_ids),
            or_(Reservation.cut > 0, Reservation.job_id.not_in(but)),
        )
        .group_by(Reservation.piece_id)
    )
    return {piece: int(share) for piece, share in session.execute(found)}
