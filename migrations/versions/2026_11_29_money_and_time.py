"""The money of orders, the papers about it, and the time spent on jobs."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_29_money_and_time"
down_revision = "2026_11_28_offers"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
RUNNING = sa.text("minutes IS NULL")
WHATS = "'deposit asked', 'payment', 'refund', 'tip', 'handed over', 'cancelled'"
MEANS = "'cash', 'card', 'transfer', 'cheque', 'other'"
STEPS = "'wash', 'cut', 'warp', 'weave', 'finish', 'office'"


def upgrade():
    op.create_table(
        "order_event",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("what", PLAIN, nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("means", PLAIN, nullable=False),
        sa.Column("reference", sa.Text(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("undone_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(f"what IN ({WHATS})", name=op.f("ck_order_event_what")),
        sa.CheckConstraint(f"means IN ('', {MEANS})", name=op.f("ck_order_event_means")),
        sa.CheckConstraint("amount >= 0", name=op.f("ck_order_event_amount")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_order_event_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_event")),
    )
    op.create_index("ix_order_event_job_id", "order_event", ["job_id", "id"], unique=False)
    op.create_table(
        "paper",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("kind", PLAIN, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("of_id", BIG_ID, nullable=True),
        sa.Column("event_id", BIG_ID, nullable=True),
        sa.CheckConstraint("kind IN ('invoice', 'credit note', 'receipt')", name=op.f("ck_paper_kind")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_paper_job_id_job")),
        sa.ForeignKeyConstraint(["of_id"], ["paper.id"], name=op.f("fk_paper_of_id_paper")),
        sa.ForeignKeyConstraint(["event_id"], ["order_event.id"], name=op.f("fk_paper_event_id_order_event")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper")),
        sa.UniqueConstraint("kind", "number", name=op.f("uq_paper_kind_number")),
    )
    op.create_index("ix_paper_job_id", "paper", ["job_id", "id"], unique=False)
    op.create_table(
        "time_entry",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("step", PLAIN, nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("minutes", sa.BigInteger(), nullable=True),
        sa.Column("by_clock", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("struck_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(f"step IN ({STEPS})", name=op.f("ck_time_entry_step")),
        sa.CheckConstraint("minutes >= 0", name=op.f("ck_time_entry_minutes")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_time_entry_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_time_entry")),
    )
    op.create_index("ix_time_entry_job_id", "time_entry", ["job_id", "id"], unique=False)
    op.create_index(
        "uq_time_entry_running", "time_entry", ["job_id"], unique=True, sqlite_where=RUNNING, postgresql_where=RUNNING
    )


def downgrade():
    op.drop_table("time_entry")
    op.drop_table("paper")
    op.drop_table("order_event")
