"""Running numbers for what people call by number: quotes, pieces of cloth.

One row a series, counted up by ``UPDATE ... RETURNING``: two at once get two numbers, on both databases. A
number belongs to the transaction that took it; one that is undone gives it back.
"""

from typing import Final

from sqlalchemy import CheckConstraint, update
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import PLAIN_TEXT, Base, Minor, insert_if_absent

SERIES: Final = ("quote", "piece")


class Counter(Base):
    """The last number that a series has given out."""

    __tablename__ = "counter"
    __table_args__ = (CheckConstraint("last >= 0", name="not_negative"),)

    series: Mapped[str] = mapped_column(PLAIN_TEXT, primary_key=True)
    last: Mapped[Minor]


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
    last = session.execute(counted).scalar_one_or_none()
    if last is None:
        insert_if_absent(session, Counter, {"series": series, "last": 0})
        last = session.execute(counted).scalar_one()
    return range(last - count + 1, last + 1)
