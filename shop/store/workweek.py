"""How the weaver works: her hours by weekday, her days off, and the order in which she takes the jobs."""

from datetime import datetime

from sqlalchemy import CheckConstraint, select
from sqlalchemy.orm import Mapped, Session

from shop.store.base import Base, Document, Key, OnlyRow


class WorkWeek(Base):
    """One row.

    Attributes:
        hours: of Monday to Sunday, as text.
        off: days off as ``[first, last]`` pairs of dates as text.
        country: whose public holidays are days off, two letters; empty for none.
        drying, post: calendar days after the work, as a rule.
        queue: numbers of jobs in the order that was chosen; those that are not in it come after, oldest first.
        calendar: what the private address of the calendar is made from; empty while there is none.
        revision: goes up with each change.
    """

    __tablename__ = "work_week"
    __table_args__ = (CheckConstraint("id = 1", name="one_row"), CheckConstraint("drying >= 0 AND post >= 0", name="days"))

    id: Mapped[OnlyRow]
    hours: Mapped[Document]
    off: Mapped[Document]
    country: Mapped[Key]
    drying: Mapped[int]
    post: Mapped[int]
    queue: Mapped[Document]
    calendar: Mapped[Key]
    revision: Mapped[int]
    changed_at: Mapped[datetime]


def only(session: Session, *, lock: bool = False) -> WorkWeek | None:
    """The row, if the weaver has said anything."""
    found = select(WorkWeek).where(WorkWeek.id == 1)
    return session.execute(found.with_for_update() if lock else found).scalar_one_or_none()
