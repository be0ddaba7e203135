"""Fairs: where and when, and what the stall costs."""

from collections.abc import Collection, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Final

from sqlalchemy import BigInteger, CheckConstraint, Index, func, select
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.store.base import Base, Document, Id, Key, Minor

STATES: Final = ("planned", "open", "over", "called off")
"""``open`` while the till takes sales, ``over`` when its cash was counted."""
_STATES: Final = ", ".join(repr(state) for state in STATES)
_COSTS: Final = ("stall", "travel", "nights", "helper", "permits", "other")


class Fair(Base):
    """A fair.

    Attributes:
        number: what it is called by.
        name, series: its own name, and the name of those that are held again and again, so that years stand side by side.
        place: where.
        first_on, last_on: its days.
        stall, travel, nights, helper, permits, other: what it costs, whatever is sold.
        card_percent, card_fixed: what a card reader takes of each card sale, as a part of one and as an amount.
        card_share: of the takings that are thought to be paid by card, as a part of one.
        hours_stood, hours_travelled: hers; reckoned before, and put right after.
        tax_name, tax_rate, tax_contained: the tax of the place; a rate of nought where there is none.
        cash_step: what a cash total is rounded to; nought for none.
        price_points: the round prices of this fair, in minor units, or ``{"step": n}``.
        opening_float: in the box at the start; ``counted`` at the end, ``None`` before.
    """

    __tablename__ = "fair"
    __table_args__ = (
        CheckConstraint(f"state IN ({_STATES})", name="state"),
        CheckConstraint("last_on >= first_on", name="days"),
        CheckConstraint(" AND ".join(f"{one} >= 0" for one in _COSTS), name="costs"),
        CheckConstraint("card_percent >= 0 AND card_percent < 1000000000 AND card_fixed >= 0", name="card"),
        CheckConstraint("card_share >= 0 AND card_share <= 1000000000", name="card_share"),
        CheckConstraint("tax_rate >= 0", name="tax"),
        CheckConstraint("cash_step >= 0 AND opening_float >= 0 AND counted >= 0", name="cash"),
        Index("ix_fair_first_on", "first_on", "id"),
        Index("ix_fair_series_key", "series_key", "first_on"),
    )

    id: Mapped[Id]
    number: Mapped[int] = mapped_column(BigInteger, unique=True)
    name: Mapped[str]
    series: Mapped[str]
    series_key: Mapped[Key]
    place: Mapped[str]
    note: Mapped[str]
    first_on: Mapped[date]
    last_on: Mapped[date]
    state: Mapped[Key]
    currency: Mapped[Key]
    stall: Mapped[Minor]
    travel: Mapped[Minor]
    nights: Mapped[Minor]
    helper: Mapped[Minor]
    permits: Mapped[Minor]
    other: Mapped[Minor]
    card_percent: Mapped[Decimal]
    card_fixed: Mapped[Minor]
    card_share: Mapped[Decimal]
    hours_stood: Mapped[Decimal]
    hours_travelled: Mapped[Decimal]
    tax_name: Mapped[str]
    tax_rate: Mapped[Decimal]
    tax_contained: Mapped[bool]
    cash_step: Mapped[Minor]
    price_points: Mapped[Document]
    opening_float: Mapped[Minor]
    counted: Mapped[int | None] = mapped_column(BigInteger)
    created_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    revision: Mapped[int]


def by_number(session: Session, number: int, *, lock: str = "") -> Fair | None:
    """The fair of that number.

    Args:
        session: to load it in.
        number: its number.
        lock: ``stay`` so that it stays as it is meanwhile, ``change`` to change it; else neither.
    """
    found = select(Fair).where(Fair.number == number)
    if lock:
        found = found.with_for_update(read=lock == "stay").execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def newest(session: Session, *, below: tuple[date, int] | None, limit: int) -> Sequence[Fair]:
    """Fairs by falling day and id, from where the page before ended."""
    found = select(Fair)
    if below is not None:
        day, last = below
        found = found.where((Fair.first_on < day) | ((Fair.first_on == day) & (Fair.id < last)))
    return session.execute(found.order_by(Fair.first_on.desc(), Fair.id.desc()).limit(limit)).scalars().all()


def by_ids(session: Session, ids: Collection[int]) -> dict[int, Fair]:
    """These fairs, by their ids; asks nothing where none is wanted."""
    if not ids:
        return {}
    return {row.id: row for row in session.execute(select(Fair).where(Fair.id.in_(ids))).scalars()}


def series_names(session: Session, *, limit: int = 200) -> Sequence[str]:
    """The names of series, the last used first."""
    found = select(Fair.series, func.max(Fair.first_on)).where(Fair.series != "").group_by(Fair.series).order_by(func.max(Fair.first_on).desc())
    return [name for name, _ in session.execute(found.limit(limit))]


def last_one(session: Session) -> Fair | None:
    """The fair that was written down last, from which a new one takes what is usual."""
    return session.execute(select(Fair).order_by(Fair.id.desc()).limit(1)).scalar_one_or_none()


def over(session: Session, *, series_key: str, limit: int) -> Sequence[Fair]:
    """The latest fairs that are over: of a series, or of all where none is named."""
    found = select(Fair).where(Fair.state == "over")
    if series_key:
        found = found.where(Fair.series_key == series_key)
    return session.execute(found.order_by(Fair.first_on.desc(), Fair.id.desc()).limit(limit)).scalars().all()
