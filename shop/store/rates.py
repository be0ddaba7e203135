"""What an hour of work costs: the wage wanted, the year's overhead, and what is bought in for each rug."""

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from sqlalchemy import CheckConstraint, delete, select
from sqlalchemy.orm import Mapped, Session

from shop.store.base import Base, Id, Key, Minor, OnlyRow


class RatesRow(Base):
    """The shop's rates. One row.

    Attributes:
        wage: for an hour; ``None`` until set.
        pay_wash: for an hour of that step, where it is not the wage; likewise of the other steps.
        overhead: ``none``; ``budget``, the year's lines over its productive hours; or ``percent`` of labour.
        productive_hours: in a year.
        overhead_share: of labour; 0.25 is a quarter.
        postage: bought in for a rug as a rule; ``label`` and ``mat`` likewise.
    """

    __tablename__ = "rates"
    __table_args__ = (
        CheckConstraint("id = 1", name="one_row"),
        CheckConstraint("overhead IN ('none', 'budget', 'percent')", name="overhead"),
    )

    id: Mapped[OnlyRow]
    wage: Mapped[Minor | None]
    pay_wash: Mapped[Minor | None]
    pay_cut: Mapped[Minor | None]
    pay_warp: Mapped[Minor | None]
    pay_weave: Mapped[Minor | None]
    pay_finish: Mapped[Minor | None]
    pay_office: Mapped[Minor | None]
    overhead: Mapped[Key]
    productive_hours: Mapped[Decimal | None]
    overhead_share: Mapped[Decimal | None]
    postage: Mapped[Minor | None]
    label: Mapped[Minor | None]
    mat: Mapped[Minor | None]
    revision: Mapped[int]
    updated_at: Mapped[datetime]


class OverheadLine(Base):
    """A line of the year's overhead budget.

    Attributes:
        kind: ``rent``, ``power``, ``insurance``, ``tools``, ``fees``, ``loom_wear`` or ``other``.
        per_year: an amount a year; ``None`` on a line of wear, which is ``(cost - resale) / years``.
    """

    __tablename__ = "overhead_line"
    __table_args__ = (
        CheckConstraint(
            "(kind = 'loom_wear' AND cost IS NOT NULL AND resale IS NOT NULL AND years IS NOT NULL)"
            " OR (kind <> 'loom_wear' AND per_year IS NOT NULL)",
            name="amounts",
        ),
    )

    id: Mapped[Id]
    place: Mapped[int]
    kind: Mapped[Key]
    name: Mapped[str]
    per_year: Mapped[Minor | None]
    cost: Mapped[Minor | None]
    resale: Mapped[Minor | None]
    years: Mapped[Decimal | None]


def load(session: Session, *, lock: bool = False) -> RatesRow | None:
    """The row, or ``None`` before anything was set."""
    return session.get(RatesRow, 1, with_for_update=lock or None)


def lines(session: Session) -> Sequence[OverheadLine]:
    """The budget's lines, in order."""
    return session.execute(select(OverheadLine).order_by(OverheadLine.place)).scalars().all()


def replace_lines(session: Session, fresh: Sequence[OverheadLine]) -> None:
    """Put these lines in the place of those there are."""
    session.execute(delete(OverheadLine).execution_options(synchronize_session=False))
    session.add_all(fresh)
