"""What every table shares: names for constraints, and the repeated kinds of column."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any

from sqlalchemy import JSON, BigInteger, Date, Integer, MetaData, Text, inspect
from sqlalchemy.dialects.postgresql import insert as postgresql_insert
from sqlalchemy.dialects.sqlite import insert as sqlite_insert
from sqlalchemy.orm import DeclarativeBase, Session, mapped_column

from shop.core.measure import Length, Weight
from shop.store.types import Exact, LengthType, Utc, WeightType

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

BIG_ID = BigInteger().with_variant(Integer(), "sqlite")  # SQLite numbers only an INTEGER by itself
PLAIN_TEXT = Text().with_variant(Text(collation="C"), "postgresql")  # sorted by code point, as SQLite does

Id = Annotated[int, mapped_column(BIG_ID, primary_key=True)]
"""A row's own number."""
OnlyRow = Annotated[int, mapped_column(Integer, primary_key=True, autoincrement=False)]
"""The number of a table's one row: 1."""
Minor = Annotated[int, mapped_column(BigInteger)]
"""An amount of money in the currency's smallest coin."""
Key = Annotated[str, mapped_column(PLAIN_TEXT)]
"""A word of ours, or text made for comparing: compared by code point."""
Document = Annotated[Any, mapped_column(JSON(none_as_null=True))]
"""A nested document of text, numbers, lists and tables."""


class Base(DeclarativeBase):
    """The root of every table."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {  # noqa: RUF012 - SQLAlchemy reads it from the class
        str: Text(),
        date: Date(),
        datetime: Utc(),
        Decimal: Exact(),
        Length: LengthType(),
        Weight: WeightType(),
    }


def insert_if_absent(session: Session, table: type[Base], values: Mapping[str, Any]) -> bool:
    """Insert a row unless its key is there already; says whether it was inserted.

    On PostgreSQL this waits for another transaction that is just inserting the same key.
    """
    insert = sqlite_insert if session.get_bind().dialect.name == "sqlite" else postgresql_insert
    keys = inspect(table).primary_key
    statement = insert(table).values(**values).on_conflict_do_nothing().returning(*keys)
    return session.connection().execute(statement).first() is not None
