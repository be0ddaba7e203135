"""Packing: which rugs go to which fair, and at what price there."""

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
