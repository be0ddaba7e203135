"""Packing: which rugs go to which fair, and at what price there."""

from collections.abc import Collection, Sequence
from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, exists, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import BIG_ID, Base
from shop.store.fair import Fair
from shop.store.rug import Rug


class PackedRug(Base):
    """A rug that was packed for a fair.

    Attributes:
        price: what it is to bring there; as it was when it was packed or priced for this fair.
        back_at: when it came home unsold, or was unpacked; ``None`` while it is packed or was sold there.
    """

    __tablename__ = "packed_rug"
    __table_args__ = (CheckConstraint("price >= 0", name="price"),)

    fair_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Fair.id), primary_key=True, autoincrement=False)
    rug_id: Mapped[int] = mapped_column(
        BIG_ID, ForeignKey(Rug.id), primary_key=True, autoincrement=False, index=True
    )
    price: Mapped[int | None] = mapped_column(BigInteger)
    packed_at: Mapped[datetime]
    back_at: Mapped[datetime | None]


def any_packed(session: Session, fair_id: int) -> bool:
    """Whether a rug is packed for this fair."""
    return bool(session.execute(select(exists(select(Rug.id).where(Rug.fair_id == fair_id)))).scalar_one())


def packed_of(session: Session, fair_id: int, rug_id: int) -> PackedRug | None:
    """How a rug was packed for a fair; ``None`` where it never was."""
    return session.get(PackedRug, (fair_id, rug_id))


def packed_for(session: Session, fair_id: int) -> Sequence[tuple[PackedRug, Rug]]:
    """The rugs that are packed for a fair now, in the order of their numbers."""
    found = (
        select(PackedRug, Rug)
        .join(Rug, Rug.id == PackedRug.rug_id)
        .where(PackedRug.fair_id == fair_id, Rug.fair_id == fair_id)
        .order_by(Rug.number)
    )
    return [(one, rug) for one, rug in session.execute(found)]


def prices_at(session: Session, fair_id: int, rug_ids: Collection[int]) -> dict[int, int | None]:
    """What each of these rugs is to bring at a fair; those that were never packed for it are left out."""
    if not rug_ids:
        return {}
    found = select(PackedRug.rug_id, PackedRug.price).where(
        PackedRug.fair_id == fair_id, PackedRug.rug_id.in_(rug_ids)
    )
    return {row.rug_id: row.price for row in session.execute(found)}
