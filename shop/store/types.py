"""Column types that keep the trade's values exactly, on SQLite and on PostgreSQL alike.

Lengths are whole nanometres, weights whole nanograms, other numbers whole billionths; times are UTC. A value
that a column could not hold exactly is refused instead of rounded.
"""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Final

from sqlalchemy import BigInteger, DateTime
from sqlalchemy.types import TypeDecorator

from shop.core.measure import Length, Weight

if TYPE_CHECKING:
    from sqlalchemy import Dialect

PLACES: Final = 9
"""Decimals that an exact number may have: billionths."""
LARGEST: Final = 2**63 - 1


class LengthType(TypeDecorator[Length]):
    """A ``Length``, as whole nanometres."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Length | None, dialect: Dialect) -> int | None:
        """To the database."""
        del dialect
        return None if value is None else value.nm

    def process_result_value(self, value: int | None, dialect: Dialect) -> Length | None:
        """From the database."""
        del dialect
        return None if value is None else Length(int(value))


class WeightType(TypeDecorator[Weight]):
    """A ``Weight``, as whole nanograms."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Weight | None, dialect: Dialect) -> int | None:
        """To the database."""
        del dialect
        return None if value is None else value.ng

    def process_result_value(self, value: int | None, dialect: Dialect) -> Weight | None:
        """From the database."""
        del dialect
        return None if value is None else Weight(int(value))


class Exact(TypeDecorator[Decimal]):
    """A share, a rate or a count of minutes: a ``Decimal`` of at most nine decimals, as whole billionths."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> int | None:
        """To the database; refuses a value finer than a billionth."""
        del dialect
        if value is None:
            return None
        if not value.is_finite():
            raise ValueError(f"not a number to keep: {value}")
        scaled = value.scaleb(PLACES)
        if scaled != scaled.to_integral_value() or abs(scaled) > LARGEST:
            raise ValueError(f"finer than a billionth, or too large: {value}")
        return int(scaled)

    def process_result_value(self, value: int | None, dialect: Dialect) -> Decimal | None:
        """From the database, without trailing zeros: ``Decimal("0.35")``."""
        del dialect
        if value is None:
            return None
        text = f"{Decimal(int(value)).scaleb(-PLACES):f}"
        return Decimal(text.rstrip("0").rstrip(".") or "0")


class Utc(TypeDecorator[datetime]):
    """A moment: zoned on the way in, UTC on the way out; a naive datetime is refused."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """To the database, in UTC."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without a zone")
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: Any | None, dialect: Dialect) -> datetime | None:
        """From the database, in UTC."""
        del dialect
        if value is None:
            return None
        moment: datetime = value
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
