"""Customers, and the offers that are made to them."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_28_offers"
down_revision = "2026_11_27_reservations"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
OFFERED = sa.text("state = 'offered'")


def upgrade():
    _customer()
    _offer()
    op.create_table(
        "question",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("offer_id", BIG_ID, nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["offer_id"], ["offer.id"], name=op.f("fk_question_offer_id_offer")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question")),
    )
    op.create_index(op.f("ix_question_offer_id"), "question", ["offer_id"], unique=False)


def _customer():
    op.create_table(
        "customer",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("mail", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("search_text", PLAIN, nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("merged_into_id", BIG_ID, nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("state IN ('known', 'merged', 'erased')", name=op.f("ck_customer_state")),
        sa.CheckConstraint("(state = 'merged') = (merged_into_id IS NOT NULL)", name=op.f("ck_customer_merged")),
        sa.ForeignKeyConstraint(["merged_into_id"], ["customer.id"], name=op.f("fk_customer_merged_into_id_customer")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_customer")),
        sa.UniqueConstraint("number", name=op.f("uq_customer_number")),
    )
    op.create_index(op.f("ix_customer_merged_into_id"), "customer", ["merged_into_id"], unique=False)
    op.create_index("ix_customer_known", "customer", ["state", "number"], unique=False)


def _offer():
    op.create_table(
        "offer",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("quote_id", BIG_ID, nullable=False),
        sa.Column("customer_id", BIG_ID, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("digest", PLAIN, nullable=False),
        sa.Column("described", sa.JSON(), nullable=False),
        sa.Column("figures", sa.JSON(), nullable=False),
        sa.Column("paper", sa.LargeBinary(), nullable=True),
        sa.Column("stripes", sa.JSON(), nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("asking", sa.BigInteger(), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("deposit", sa.BigInteger(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("secret", PLAIN, nullable=False),
        sa.Column("link", PLAIN, nullable=False),
        sa.Column("holds_until", sa.Date(), nullable=False),
        sa.Column("promised", sa.Date(), nullable=True),
        sa.Column("offered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("said", sa.Text(), nullable=False),
        sa.Column("job_id", BIG_ID, nullable=True),
        sa.CheckConstraint(
            "state IN ('offered', 'accepted', 'declined', 'withdrawn', 'lapsed')", name=op.f("ck_offer_state")
        ),
        sa.CheckConstraint("(state = 'offered') = (closed_at IS NULL)", name=op.f("ck_offer_closed")),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_offer_quote_id_quote")),
        sa.ForeignKeyConstraint(["customer_id"], ["customer.id"], name=op.f("fk_offer_customer_id_customer")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_offer_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_offer")),
        sa.UniqueConstraint("quote_id", "revision", name=op.f("uq_offer_quote_id_revision")),
        sa.UniqueConstraint("link", name=op.f("uq_offer_link")),
    )
    op.create_index(op.f("ix_offer_customer_id"), "offer", ["customer_id"], unique=False)
    op.create_index(op.f("ix_offer_job_id"), "offer", ["job_id"], unique=False)
    op.create_index(
        "ix_offer_open", "offer", ["holds_until"], unique=False, sqlite_where=OFFERED, postgresql_where=OFFERED
    )
    op.create_index(
        "uq_offer_one_open", "offer", ["quote_id"], unique=True, sqlite_where=OFFERED, postgresql_where=OFFERED
    )


def downgrade():
    op.drop_table("question")
    op.drop_table("offer")
    op.drop_table("customer")
