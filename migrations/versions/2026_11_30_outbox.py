"""The outbox: letters by e-mail that are to be sent, and what became of each."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_outbox"
down_revision = "2026_11_30_work_week"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
STATES = "'waiting', 'sending', 'sent', 'failed', 'uncertain', 'let go'"


def upgrade():
    op.create_table(
        "outbox",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("recipient", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("about", PLAIN, nullable=False),
        sa.Column("mark", PLAIN, nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("put_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("claimed_by", PLAIN, nullable=False),
        sa.Column("claimed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("trouble", PLAIN, nullable=False),
        sa.Column("reply", sa.Text(), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(f"state IN ({STATES})", name=op.f("ck_outbox_state")),
        sa.CheckConstraint("tries >= 0", name=op.f("ck_outbox_tries")),
        sa.CheckConstraint("state <> 'sending' OR claimed_at IS NOT NULL", name=op.f("ck_outbox_claimed")),
        sa.CheckConstraint("(state IN ('waiting', 'sending')) = (ended_at IS NULL)", name=op.f("ck_outbox_ended")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outbox")),
        sa.UniqueConstraint("mark", name=op.f("uq_outbox_mark")),
    )
    op.create_index("ix_outbox_due", "outbox", ["state", "due_at", "id"], unique=False)
    op.create_index("ix_outbox_about", "outbox", ["about", "id"], unique=False)


def downgrade():
    op.drop_table("outbox")
