"""Alembic's environment: it runs inside the transaction that ``shop.store.migrate`` has begun."""

from alembic import context
from sqlalchemy import create_engine

from shop.store.tables import metadata


def _run(connection):
    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=connection.dialect.name == "sqlite",
        transactional_ddl=True,
        compare_type=True,
    )
    with context.begin_transaction():
        context.run_migrations()


if "connection" in context.config.attributes:
    _run(context.config.attributes["connection"])
else:
    with create_engine(context.config.get_main_option("sqlalchemy.url")).begin() as own:
        _run(own)
