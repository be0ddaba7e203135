"""How fast the shop works: minutes for each unit of each step, where known; the rest are starting guesses."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import CheckConstraint, UniqueConstraint, delete, select
from sqlalchemy.orm import Mapped, Session

from shop.store.base import Base, Id, Key, insert_if_absent

EVERY_LOOM: Final = "any"


class PaceRow(Base):
    """One pace.

    Attributes:
        loom_kind: ``frame``, ``shaft``, ``plank``, or ``any`` for a step that has nothing to do with the loom.
        key: which pace, such as ``weave_per_row``.
        basis: ``measured`` in this shop, or its ``setting``.
        set_by: the name of the person who set it, at ``set_at``.
    """

    __tablename__ = "pace"
    __table_args__ = (
        CheckConstraint("loom_kind IN ('any', 'frame', 'shaft', 'plank')", name="loom_kind"),
        CheckConstraint("basis IN ('measured', 'setting')", name="basis"),
        CheckConstraint("minutes >= 0", name="minutes"),
        UniqueConstraint("loom_kind", "key"),
    )

    id: Mapped[Id]
    loom_kind: Mapped[Key]
    key: Mapped[Key]
    minutes: Mapped[Decimal]
    basis: Mapped[Key]
    set_by: Mapped[str]
    set_at: Mapped[datetime]


def all_paces(session: Session, *, lock: bool = False) -> Sequence[PaceRow]:
    """Every pace that has been set."""
    found = select(PaceRow).order_by(PaceRow.loom_kind, PaceRow.key)
    return session.execute(found.with_for_update() if lock else found).scalars().all()


def put(
    session: Session, *, loom_kind: str, key: str, minutes: Decimal, basis: str, by: str, now: datetime
) -> None:
    """Set a pace anew; nothing is touched when it says the same already."""
    values = {"minutes": minutes, "basis": basis, "set_by": by, "set_at": now}
    if insert_if_absent(session, PaceRow, {"loom_kind": loom_kind, "key": key, **values}):
        return
    found = select(PaceRow).where(PaceRow.loom_kind == loom_kind, PaceRow.key == key).with_for_update()
    row = session.execute(found).scalar_one()
    if (row.minutes, row.basis) != (minutes, basis):
        row.minutes, row.basis, row.set_by, row.set_at = minutes, basis, by, now


def forget(session: Session, *, loom_kind: str, key: str) -> None:
    """Back to the starting guess."""
    session.execute(delete(PaceRow).where(PaceRow.loom_kind == loom_kind, PaceRow.key == key))
