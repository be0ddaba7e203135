"""Requests for money; and what the shop's invoices and requests say of it: how to pay, its tax number, why no tax is charged."""

import sqlalchemy as sa
from alembic import op

revision = "2026_12_03_requests"
down_revision = "2026_12_02_job_record"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
WORDS = ("paying", "tax_number", "no_tax")


def upgrade():
    op.create_table(
        "money_request",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("nth", sa.Integer(), nullable=False),
        sa.Column("what", PLAIN, nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("to_reach", sa.BigInteger(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("due", sa.Date(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("what IN ('deposit', 'balance')", name=op.f("ck_money_request_what")),
        sa.CheckConstraint("amount > 0 AND to_reach >= amount", name=op.f("ck_money_request_amount")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_money_request_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_money_request")),
        sa.UniqueConstraint("job_id", "nth", name=op.f("uq_money_request_job_id_nth")),
    )
    with op.batch_alter_table("shop") as shop:
        for name in WORDS:
            shop.add_column(sa.Column(name, sa.Text(), nullable=False, server_default=""))
    with op.batch_alter_table("shop") as shop:
        for name in WORDS:
            shop.alter_column(name, server_default=None)


def downgrade():
    with op.batch_alter_table("shop") as shop:
        for name in WORDS:
            shop.drop_column(name)
    op.drop_table("money_request")
