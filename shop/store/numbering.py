"""Running numbers for what people call by number: quotes, pieces of cloth, jobs, rugs, fairs, sales; and of the times that all paces were set.

One row a series, counted up by ``UPDATE ... RETURNING``: two at once get two numbers, on both databases. A
number belongs to the transaction that took it; one that is undone gives it back.
"""

from typing import Final

from sqlalchemy import CheckConstraint, select, update
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import PLAIN_TEXT, Base, Minor, insert_if_absent

SERIES: Final = ("quote", "piece", "job", "pace", "customer", "invoice", "credit note", "receipt", "rug", "fair", "sale")


class Counter(Base):
    """The last number that a series has given out."""

    __tablename__ = "counter"
    __table_args__ = (CheckConstraint("last >= 0", name="not_negative"),)

    series: Mapped[str] = mapped_column(PLAIN_TEXT, primary_key=True)
    last: Mapped[Minor]


def last(session: Session, series: str) -> int:
    """The last number that a series has given out; 0 before the first."""
    return session.execute(select(Counter.last).where(Counter.series == series)).scalar_one_or_none() or 0


def hold(session: Session, series: str) -> None:
    """Wait for whoever is taking a number of a series, and let nobody take one until this transaction is over."""
    insert_if_absent(session, Counter, {"series": series, "last": 0})
    session.execute(select(Counter.last).where(Counter.series == series).with_for_update()).scalar_one()


def take(session: Session, series: str, count: int = 1) -> range:
    """The next ``count`` numbers of a series, as a range; the first number of all is 1."""
    if series not in SERIES or count < 1:
        raise ValueError(f"no such numbers: {count} of {series}")
    counted = (
        update(Counter)
        .where(Counter.series == series)
        .values(last=Counter.last + count)
        .returning(Counter.last)
        .execution_options(synchronize_session=False)
    )
    taken = session.execute(counted).scalar_one_or_none()
    if taken is None:
        insert_if_absent(session, Counter, {"series": series, "last": 0})
        taken = session.execute(counted).scalar_one()
    return range(taken - count + 1, taken + 1)
