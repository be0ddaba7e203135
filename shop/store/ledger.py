"""The fabric ledger's movements, written once and never changed, and what they leave lying in each place.

``post`` is the only way to write one. It carries the movement into the balances in the same transaction: those of
the shelf stand with each piece, those of a job and of its rug in ``job_cloth``. The database refuses any balance
below zero, so that two who draw the last of a piece at one instant cannot both have it.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    ForeignKey,
    Index,
    Row,
    Text,
    and_,
    case,
    exists,
    func,
    or_,
    select,
    text,
    type_coerce,
    update,
)
from sqlalchemy.orm import Mapped, Session, aliased, mapped_column

from shop.core.ledger import STATES, Kind, Place
from shop.core.ledger import Movement as Fact
from shop.store.base import BIG_ID, Base, Id, Key, Minor, OnlyRow, insert_if_absent
from shop.store.fabric import Piece
from shop.store.job import Job

_KINDS = ", ".join(f"'{kind.value}'" for kind in Kind)
_PLACES = ", ".join(f"'{place.value}'" for place in Place)
_CAME_ONCE = text("kind IN ('brought home', 'cut from another')")


class Movement(Base):
    """Something that happened to a piece. Never changed, never removed.

    Attributes:
        kind: a ``shop.core.ledger.Kind``.
        share: parts of the piece that moved, in billionths of the whole; ``cost`` what moved with them, in the
            smallest coin; both from ``source`` to ``target``, each a ``shop.core.ledger.Place``.
        job_id: the job that it went into or came out of.
        on: the day that it counts for; ``at`` when it was written down.
        reverses_id: the movement that this one undoes.
        part_of_id: the first movement of the same act, where an act moves several.
    """

    __tablename__ = "movement"
    __table_args__ = (
        CheckConstraint(f"kind IN ({_KINDS})", name="kind"),
        CheckConstraint(f"source IN ({_PLACES}) AND target IN ({_PLACES})", name="places"),
        CheckConstraint("share >= 0 AND cost >= 0", name="not_negative"),
        CheckConstraint("(kind = 'reversed') = (reverses_id IS NOT NULL)", name="reverses"),
        Index(
            "uq_movement_came_once",
            "piece_id",
            unique=True,
            sqlite_where=_CAME_ONCE,
            postgresql_where=_CAME_ONCE,
        ),
        Index("ix_movement_piece_id", "piece_id", "id"),
        Index("ix_movement_job_id", "job_id", "id"),
        Index("ix_movement_part_of_id", "part_of_id"),
    )

    id: Mapped[Id]
    piece_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Piece.id))
    kind: Mapped[Key]
    share: Mapped[int] = mapped_column(BigInteger)
    cost: Mapped[Minor]
    source: Mapped[Key]
    target: Mapped[Key]
    job_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey(Job.id))
    on: Mapped[date]
    at: Mapped[datetime]
    reverses_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("movement.id"), unique=True)
    part_of_id: Mapped[int | None] = mapped_column(BIG_ID, ForeignKey("movement.id"))
    note: Mapped[str]


class JobCloth(Base):
    """What of one piece lies in one job, and in its finished rug: the sum of their movements."""

    __tablename__ = "job_cloth"
    __table_args__ = (
        CheckConstraint("share >= 0 AND cost >= 0 AND (share > 0 OR cost = 0)", name="in_job"),
        CheckConstraint("rug_share >= 0 AND rug_cost >= 0 AND (rug_share > 0 OR rug_cost = 0)", name="in_rug"),
    )

    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id), primary_key=True, autoincrement=False)
    piece_id: Mapped[int] = mapped_column(
        BIG_ID, ForeignKey(Piece.id), primary_key=True, autoincrement=False, index=True
    )
    share: Mapped[int] = mapped_column(BigInteger)
    cost: Mapped[Minor]
    rug_share: Mapped[int] = mapped_column(BigInteger)
    rug_cost: Mapped[Minor]


class Habits(Base):
    """How the shop keeps its ledger. One row.

    Attributes:
        usual_waste: the share of what is drawn that may go as waste into a job's cost; more is written off.
        revision: goes up with each change.
    """

    __tablename__ = "ledger_habit"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        CheckConstraint("usual_waste BETWEEN 0 AND 1000000000", name="usual_waste"),
    )

    id: Mapped[OnlyRow]
    usual_waste: Mapped[Decimal]
    revision: Mapped[int]


def habits(session: Session, *, lock: bool = False) -> Habits | None:
    """How the shop keeps its ledger, if it has set that."""
    return session.get(Habits, 1, with_for_update=lock or None)


def drawn_into(session: Session, job_id: int, piece_id: int) -> int:
    """The parts of a piece that were drawn into a job and not given back, undone draws taken off."""
    job, shelf = Place.JOB.value, Place.SHELF.value
    drawn = and_(Movement.source == shelf, Movement.target == job)
    back = and_(Movement.source == job, Movement.target == shelf)
    signed = case((drawn, Movement.share), else_=-Movement.share)
    found = select(func.coalesce(func.sum(signed), 0)).where(
        Movement.job_id == job_id, Movement.piece_id == piece_id, or_(drawn, back)
    )
    return int(session.execute(found).scalar_one())


def post(session: Session, piece: Piece, movement: Movement) -> Movement:
    """Write a movement down, and carry it into the balances.

    Args:
        session: of the transaction; ``piece`` was loaded in it, locked.
        piece: that moves.
        movement: without its piece.
    """
    movement.piece_id = piece.id
    session.add(movement)
    if movement.source != movement.target:
        _carry(session, piece, movement, movement.source, -1)
        _carry(session, piece, movement, movement.target, 1)
    session.flush()
    return movement


def _carry(session: Session, piece: Piece, movement: Movement, place: str, sign: int) -> None:
    share, cost = sign * movement.share, sign * movement.cost
    if place == Place.SHELF.value:
        piece.left += share
        piece.left_cost += cost
    elif place in (Place.JOB.value, Place.RUG.value):
        key = {"job_id": movement.job_id, "piece_id": piece.id}
        insert_if_absent(session, JobCloth, {**key, "share": 0, "cost": 0, "rug_share": 0, "rug_cost": 0})
        columns = ("share", "cost") if place == Place.JOB.value else ("rug_share", "rug_cost")
        changed = {name: getattr(JobCloth, name) + by for name, by in zip(columns, (share, cost), strict=True)}
        session.execute(
            update(JobCloth).filter_by(**key).values(changed).execution_options(synchronize_session=False)
        )


def movement_by_id(session: Session, movement_id: int) -> Movement | None:
    """The movement of that number."""
    return session.get(Movement, movement_id)


def act_of(session: Session, movement: Movement) -> Sequence[Movement]:
    """All the movements of the act that this one belongs to, oldest first."""
    first = movement.part_of_id or movement.id
    whole = select(Movement).where((Movement.id == first) | (Movement.part_of_id == first))
    return session.execute(whole.order_by(Movement.id)).scalars().all()


def has_left(session: Session, piece_id: int) -> bool:
    """Whether any of a piece has ever left the shelf, even if that was undone."""
    shelf = Place.SHELF.value
    left = select(Movement.id).where(
        Movement.piece_id == piece_id, Movement.source == shelf, Movement.target != shelf
    )
    return session.execute(left.limit(1)).first() is not None


def newest_of(session: Session, piece_id: int, limit: int) -> Sequence[Movement]:
    """The newest movements of a piece, oldest of them first."""
    found = select(Movement).where(Movement.piece_id == piece_id).order_by(Movement.id.desc()).limit(limit)
    return session.execute(found).scalars().all()[::-1]


def newest_of_job(session: Session, job_id: int, limit: int) -> Sequence[tuple[Movement, Piece]]:
    """The newest movements of a job, newest first, each with its piece."""
    found = select(Movement, Piece).join(Piece, Piece.id == Movement.piece_id).where(Movement.job_id == job_id)
    return [(one, piece) for one, piece in session.execute(found.order_by(Movement.id.desc()).limit(limit))]


def undone_among(session: Session, movement_ids: Sequence[int]) -> set[int]:
    """Those of these movements that a later one has undone."""
    found = select(Movement.reverses_id).where(Movement.reverses_id.in_(movement_ids))
    return {one for one in session.execute(found).scalars() if one is not None}


def last_state(session: Session, piece_id: int) -> str | None:
    """The last time that a piece was set aside or found ready, unless that was undone."""
    undoing = aliased(Movement)
    undone = exists(select(undoing.id).where(undoing.reverses_id == Movement.id))
    kinds = [kind.value for kind in STATES]
    last = select(Movement.kind).where(Movement.piece_id == piece_id, Movement.kind.in_(kinds), ~undone)
    return session.execute(last.order_by(Movement.id.desc()).limit(1)).scalar_one_or_none()


def usual_waste(session: Session, job_id: int) -> Mapping[int, int]:
    """By piece, the parts that became usual waste in a job, those that were undone taken off."""
    undoing = aliased(Movement)
    undone = exists(select(undoing.id).where(undoing.reverses_id == Movement.id))
    wasted = (
        select(Movement.piece_id, func.sum(Movement.share))
        .where(Movement.job_id == job_id, Movement.kind == Kind.USUAL_WASTE.value, ~undone)
        .group_by(Movement.piece_id)
    )
    return {piece_id: int(share) for piece_id, share in session.execute(wasted)}


def last_woven(session: Session, job_id: int) -> Movement | None:
    """The movement by which a job's cloth last went into its rug, unless that was undone."""
    undoing = aliased(Movement)
    undone = exists(select(undoing.id).where(undoing.reverses_id == Movement.id))
    found = select(Movement).where(Movement.job_id == job_id, Movement.kind == Kind.WOVEN.value, ~undone)
    return session.execute(found.order_by(Movement.id.desc()).limit(1)).scalar_one_or_none()


def written_off_in(session: Session, job_id: int) -> int:
    """What was written off out of a job, in the smallest coin."""
    off = Place.WRITTEN_OFF.value
    signed = case((Movement.target == off, Movement.cost), else_=-Movement.cost)
    found = select(func.coalesce(func.sum(signed), 0)).where(
        Movement.job_id == job_id, (Movement.target == off) | (Movement.source == off)
    )
    return int(session.execute(found).scalar_one())


def cloth_of_job(session: Session, job_id: int) -> Sequence[tuple[JobCloth, Piece]]:
    """What lies in a job and in its rug, each with its piece, by number."""
    found = (
        select(JobCloth, Piece)
        .join(Piece, Piece.id == JobCloth.piece_id)
        .where(JobCloth.job_id == job_id, (JobCloth.share > 0) | (JobCloth.rug_share > 0))
        .order_by(Piece.number)
    )
    return [(lies, piece) for lies, piece in session.execute(found)]


def cloth_of_jobs(session: Session, job_ids: Collection[int]) -> Sequence[tuple[JobCloth, Piece]]:
    """The same of several jobs, job after job."""
    found = (
        select(JobCloth, Piece)
        .join(Piece, Piece.id == JobCloth.piece_id)
        .where(JobCloth.job_id.in_(job_ids), (JobCloth.share > 0) | (JobCloth.rug_share > 0))
        .order_by(JobCloth.job_id, Piece.number)
    )
    return [(lies, piece) for lies, piece in session.execute(found)]


def job_cloth(session: Session, job_id: int, piece_id: int) -> JobCloth | None:
    """What of one piece lies in one job."""
    return session.get(JobCloth, (job_id, piece_id), populate_existing=True)


def costs_of_jobs(session: Session, job_ids: Sequence[int]) -> dict[int, tuple[int, int, int]]:
    """By job: its pieces, the cost that lies in it, and the cost in its rug."""
    summed = (
        select(JobCloth.job_id, func.count(), func.sum(JobCloth.cost), func.sum(JobCloth.rug_cost))
        .where(JobCloth.job_id.in_(job_ids), (JobCloth.share > 0) | (JobCloth.rug_share > 0))
        .group_by(JobCloth.job_id)
    )
    return {job: (count, int(cost), int(rug)) for job, count, cost, rug in session.execute(summed)}


def jobs_of_piece(session: Session, piece_id: int) -> Sequence[tuple[JobCloth, Job]]:
    """The jobs that some of a piece lies in, or in the rugs of which it went, newest first."""
    found = (
        select(JobCloth, Job)
        .join(Job, Job.id == JobCloth.job_id)
        .where(JobCloth.piece_id == piece_id, (JobCloth.share > 0) | (JobCloth.rug_share > 0))
        .order_by(Job.number.desc())
    )
    return [(lies, job) for lies, job in session.execute(found)]


def later_costs_of(session: Session, haul_id: int) -> Sequence[tuple[Movement, int]]:
    """The later costs of a haul's pieces, oldest first, each with the number of its piece."""
    found = (
        select(Movement, Piece.number)
        .join(Piece, Piece.id == Movement.piece_id)
        .where(Piece.haul_id == haul_id, Movement.kind == Kind.LATER_COST.value)
        .order_by(Movement.id)
    )
    return [(one, number) for one, number in session.execute(found)]


def flows(session: Session, *, until: date | None = None) -> Iterable[tuple[Place, Place, int]]:
    """What went from each place to each other, up to the end of a day or to now, in the smallest coin."""
    summed = select(Movement.source, Movement.target, func.sum(Movement.cost))
    if until is not None:
        summed = summed.where(Movement.on <= until)
    found = session.execute(summed.group_by(Movement.source, Movement.target))
    return [(Place(source), Place(target), int(cost)) for source, target, cost in found]


def everything(session: Session) -> Iterator[tuple[int, Fact | None]]:
    """Every movement with its id, oldest first, a few at a time; ``None`` for one that cannot be read."""
    columns = [column for column in Movement.__table__.columns if column.name not in ("at", "note", "on")]
    columns.append(type_coerce(Movement.on, Text()).label("day"))
    ordered = select(*columns).order_by(Movement.id).execution_options(yield_per=2000)
    for row in session.execute(ordered):
        yield row.id, _readable(row)


def _readable(row: Row[Any]) -> Fact | None:
    numbers = (row.piece_id, row.share, row.cost, row.job_id or 0, row.reverses_id or 0, row.part_of_id or 0)
    if not all(isinstance(number, int) for number in numbers):
        return None
    try:
        kind, source, target = Kind(row.kind), Place(row.source), Place(row.target)
        day = row.day if isinstance(row.day, date) else date.fromisoformat(row.day)
    except (ValueError, TypeError):
        return None
    return Fact(
        id=row.id,
        piece=row.piece_id,
        kind=kind,
        share=row.share,
        cost=row.cost,
        source=source,
        target=target,
        on=day,
        job=row.job_id,
        reverses=row.reverses_id,
        part_of=row.part_of_id,
    )
