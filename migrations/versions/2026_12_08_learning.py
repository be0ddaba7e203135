"""Quick measurements, records set aside with a reason, how long a pace holds; and what was struck out or corrected is counted."""

import sqlalchemy as sa
from alembic import op

revision = "2026_12_08_learning"
down_revision = "2026_12_05_stall"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
BY = (
    ("ix_time_entry_struck", "time_entry", "id", "struck_at IS NOT NULL"),
    ("ix_job_measure_struck", "job_measure", "id", "struck_at IS NOT NULL"),
    ("ix_piece_corrected", "piece", "revision", "revision > 1"),
)
ASIDE = sa.text("restored_at IS NULL")


def upgrade():
    op.create_table(
        "measurement",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("what", PLAIN, nullable=False),
        sa.Column("loom_id", BIG_ID, nullable=True),
        sa.Column("tool", PLAIN, nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("value", sa.BigInteger(), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("kind", PLAIN, nullable=False),
        sa.Column("piece_id", BIG_ID, nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("struck_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("(loom_id IS NULL) = (tool <> '')", name=op.f("ck_measurement_place")),
        sa.ForeignKeyConstraint(["loom_id"], ["loom.id"], name=op.f("fk_measurement_loom_id_loom")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_measurement_piece_id_piece")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
    )
    op.create_index("ix_measurement_what", "measurement", ["what", "id"])
    op.create_table(
        "evidence_aside",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("key", PLAIN, nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("restored_at", sa.DateTime(timezone=True), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_evidence_aside")),
    )
    op.create_index(
        "uq_evidence_aside_now", "evidence_aside", ["key"], unique=True, sqlite_where=ASIDE, postgresql_where=ASIDE
    )
    op.create_table(
        "learning_habit",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("half_life", sa.Integer(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_learning_habit_one_row")),
        sa.CheckConstraint("half_life BETWEEN 30 AND 36500", name=op.f("ck_learning_habit_half_life")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_learning_habit")),
    )
    op.create_index("ix_time_entry_begun_at", "time_entry", ["begun_at"])
    for name, table, column, told in BY:
        where = sa.text(told)
        op.create_index(name, table, [column], sqlite_where=where, postgresql_where=where)


def downgrade():
    for name, table, _, _ in BY:
        op.drop_index(name, table)
    op.drop_index("ix_time_entry_begun_at", "time_entry")
    op.drop_table("learning_habit")
    op.drop_table("evidence_aside")
    op.drop_table("measurement")
