"""How the weaver works, and the order in which she takes the jobs."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_work_week"
down_revision = "2026_11_29_money_and_time"
branch_labels = None
depends_on = None

PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade():
    op.create_table(
        "work_week",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("hours", sa.JSON(), nullable=False),
        sa.Column("off", sa.JSON(), nullable=False),
        sa.Column("country", PLAIN, nullable=False),
        sa.Column("drying", sa.Integer(), nullable=False),
        sa.Column("post", sa.Integer(), nullable=False),
        sa.Column("queue", sa.JSON(), nullable=False),
        sa.Column("calendar", PLAIN, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_work_week_one_row")),
        sa.CheckConstraint("drying >= 0 AND post >= 0", name=op.f("ck_work_week_days")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_work_week")),
    )


def downgrade():
    op.drop_table("work_week")
