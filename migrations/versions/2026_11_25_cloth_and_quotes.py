"""Cloth with its movements, and quotes with their words."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_cloth_and_quotes"
down_revision = "2026_11_25_ground"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade():
    op.create_table(
        "haul",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("tax", sa.BigInteger(), nullable=False),
        sa.Column("discount", sa.BigInteger(), nullable=False),
        sa.Column("washing", sa.BigInteger(), nullable=False),
        sa.Column("trip", sa.BigInteger(), nullable=False),
        sa.Column("spread_by", PLAIN, nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "spread_by IN ('price', 'weight', 'area', 'evenly')", name=op.f("ck_haul_spread_by")
        ),
        sa.CheckConstraint(
            "tax >= 0 AND discount >= 0 AND washing >= 0 AND trip >= 0", name=op.f("ck_haul_amounts")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_haul")),
    )
    op.create_index("ix_haul_on", "haul", ["on", "id"], unique=False)
    op.create_table(
        "quote",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("customer_name", sa.Text(), nullable=False),
        sa.Column("customer_contact", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("described", sa.JSON(), nullable=False),
        sa.Column("figures", sa.JSON(), nullable=False),
        sa.Column("stripes", sa.JSON(), nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("asking", sa.BigInteger(), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("search_text", PLAIN, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("state IN ('draft')", name=op.f("ck_quote_state")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quote")),
        sa.UniqueConstraint("number", name=op.f("uq_quote_number")),
    )
    op.create_index("ix_quote_newest", "quote", ["updated_at", "id"], unique=False)
    op.create_table(
        "piece",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("haul_id", BIG_ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", PLAIN, nullable=False),
        sa.Column("cloth", PLAIN, nullable=False),
        sa.Column("colour", PLAIN, nullable=False),
        sa.Column("fibres", sa.JSON(), nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("weight", sa.BigInteger(), nullable=True),
        sa.Column("grams_per_m2", sa.BigInteger(), nullable=True),
        sa.Column("tears", sa.Boolean(), nullable=True),
        sa.Column("paid", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("paid >= 0", name=op.f("ck_piece_paid")),
        sa.CheckConstraint("weight > 0", name=op.f("ck_piece_weight")),
        sa.CheckConstraint("width > 0 AND length > 0", name=op.f("ck_piece_size")),
        sa.ForeignKeyConstraint(["haul_id"], ["haul.id"], name=op.f("fk_piece_haul_id_haul")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_piece")),
        sa.UniqueConstraint("number", name=op.f("uq_piece_number")),
    )
    op.create_index(op.f("ix_piece_haul_id"), "piece", ["haul_id"], unique=False)
    op.create_table(
        "quote_word",
        sa.Column("word", PLAIN, nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("quote_id", BIG_ID, autoincrement=False, nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_quote_word_quote_id_quote")),
        sa.PrimaryKeyConstraint("word", "updated_at", "quote_id", name=op.f("pk_quote_word")),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "movement",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("piece_id", BIG_ID, nullable=False),
        sa.Column("kind", PLAIN, nullable=False),
        sa.Column("share", sa.BigInteger(), nullable=False),
        sa.Column("cost", sa.BigInteger(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("reverses_id", BIG_ID, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "(kind = 'reversed') = (reverses_id IS NOT NULL)", name=op.f("ck_movement_reverses")
        ),
        sa.CheckConstraint(
            "kind IN ('brought home', 'set aside to wash', 'ready', 'used up', 'given away', 'reversed')",
            name=op.f("ck_movement_kind"),
        ),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_movement_piece_id_piece")),
        sa.ForeignKeyConstraint(
            ["reverses_id"], ["movement.id"], name=op.f("fk_movement_reverses_id_movement")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_movement")),
        sa.UniqueConstraint("reverses_id", name=op.f("uq_movement_reverses_id")),
    )
    op.create_index("ix_movement_piece_id", "movement", ["piece_id", "id"], unique=False)
    op.create_index(
        "uq_movement_brought_home_once",
        "movement",
        ["piece_id"],
        unique=True,
        sqlite_where=sa.text("kind = 'brought home'"),
        postgresql_where=sa.text("kind = 'brought home'"),
    )


def downgrade():
    op.drop_index(
        "uq_movement_brought_home_once",
        table_name="movement",
        sqlite_where=sa.text("kind = 'brought home'"),
        postgresql_where=sa.text("kind = 'brought home'"),
    )
    op.drop_index("ix_movement_piece_id", table_name="movement")
    op.drop_table("movement")
    op.drop_table("quote_word")
    op.drop_index(op.f("ix_piece_haul_id"), table_name="piece")
    op.drop_table("piece")
    op.drop_index("ix_quote_newest", table_name="quote")
    op.drop_table("quote")
    op.drop_index("ix_haul_on", table_name="haul")
    op.drop_table("haul")
