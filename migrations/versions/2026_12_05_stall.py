"""Finished rugs, where they are; fairs, what is packed for them; the till, its phones and its sales."""

import sqlalchemy as sa
from alembic import op

revision = "2026_12_05_stall"
down_revision = "2026_12_03_requests"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade():
    op.create_table(
        "fair",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("series", sa.Text(), nullable=False),
        sa.Column("series_key", PLAIN, nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("stall", sa.BigInteger(), nullable=False),
        sa.Column("travel", sa.BigInteger(), nullable=False),
        sa.Column("nights", sa.BigInteger(), nullable=False),
        sa.Column("helper", sa.BigInteger(), nullable=False),
        sa.Column("permits", sa.BigInteger(), nullable=False),
        sa.Column("other", sa.BigInteger(), nullable=False),
        sa.Column("card_percent", sa.BigInteger(), nullable=False),
        sa.Column("card_fixed", sa.BigInteger(), nullable=False),
        sa.Column("card_share", sa.BigInteger(), nullable=False),
        sa.Column("hours_stood", sa.BigInteger(), nullable=False),
        sa.Column("hours_travelled", sa.BigInteger(), nullable=False),
        sa.Column("tax_name", sa.Text(), nullable=False),
        sa.Column("tax_rate", sa.BigInteger(), nullable=False),
        sa.Column("tax_contained", sa.Boolean(), nullable=False),
        sa.Column("cash_step", sa.BigInteger(), nullable=False),
        sa.Column("price_points", sa.JSON(), nullable=False),
        sa.Column("opening_float", sa.BigInteger(), nullable=False),
        sa.Column("counted", sa.BigInteger(), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("state IN ('planned', 'open', 'over', 'called off')", name=op.f("ck_fair_state")),
        sa.CheckConstraint(
            "card_percent >= 0 AND card_percent < 1000000000 AND card_fixed >= 0", name=op.f("ck_fair_card")
        ),
        sa.CheckConstraint("card_share >= 0 AND card_share <= 1000000000", name=op.f("ck_fair_card_share")),
        sa.CheckConstraint(
            "cash_step >= 0 AND opening_float >= 0 AND counted >= 0", name=op.f("ck_fair_cash")
        ),
        sa.CheckConstraint("last_on >= first_on", name=op.f("ck_fair_days")),
        sa.CheckConstraint(
            "stall >= 0 AND travel >= 0 AND nights >= 0 AND helper >= 0 AND permits >= 0 AND other >= 0",
            name=op.f("ck_fair_costs"),
        ),
        sa.CheckConstraint("tax_rate >= 0", name=op.f("ck_fair_tax")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fair")),
        sa.UniqueConstraint("number", name=op.f("uq_fair_number")),
    )
    op.create_index("ix_fair_first_on", "fair", ["first_on", "id"], unique=False)
    op.create_index("ix_fair_series_key", "fair", ["series_key", "first_on"], unique=False)
    op.create_table(
        "outlet",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("share", sa.BigInteger(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("share >= 0 AND share < 1000000000", name=op.f("ck_outlet_share")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_outlet")),
    )
    op.create_table(
        "till_phone",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("secret", PLAIN, nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("seen_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_till_phone_fair_id_fair")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_till_phone")),
        sa.UniqueConstraint("secret", name=op.f("uq_till_phone_secret")),
    )
    op.create_index("ix_till_phone_fair_id", "till_phone", ["fair_id"], unique=False)
    op.create_table(
        "rug",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("job_id", BIG_ID, nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("weight", sa.BigInteger(), nullable=True),
        sa.Column("stripes", sa.JSON(), nullable=False),
        sa.Column("colour", PLAIN, nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("cloth", sa.BigInteger(), nullable=False),
        sa.Column("warp", sa.BigInteger(), nullable=False),
        sa.Column("labour", sa.BigInteger(), nullable=False),
        sa.Column("overhead", sa.BigInteger(), nullable=False),
        sa.Column("bought_in", sa.BigInteger(), nullable=False),
        sa.Column("minutes", sa.BigInteger(), nullable=False),
        sa.Column("guessed", sa.Boolean(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=True),
        sa.Column("place", PLAIN, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=True),
        sa.Column("outlet_id", BIG_ID, nullable=True),
        sa.Column("search_text", PLAIN, nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("(place = 'fair') = (fair_id IS NOT NULL)", name=op.f("ck_rug_fair")),
        sa.CheckConstraint("(place = 'outlet') = (outlet_id IS NOT NULL)", name=op.f("ck_rug_outlet")),
        sa.CheckConstraint("place IN ('home', 'fair', 'outlet', 'sold', 'gone')", name=op.f("ck_rug_place")),
        sa.CheckConstraint(
            "cloth >= 0 AND warp >= 0 AND labour >= 0 AND overhead >= 0 AND bought_in >= 0",
            name=op.f("ck_rug_cost"),
        ),
        sa.CheckConstraint("price >= 0", name=op.f("ck_rug_price")),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_rug_fair_id_fair")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_rug_job_id_job")),
        sa.ForeignKeyConstraint(["outlet_id"], ["outlet.id"], name=op.f("fk_rug_outlet_id_outlet")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rug")),
        sa.UniqueConstraint("job_id", name=op.f("uq_rug_job_id")),
        sa.UniqueConstraint("number", name=op.f("uq_rug_number")),
    )
    op.create_index("ix_rug_fair_id", "rug", ["fair_id"], unique=False)
    op.create_index("ix_rug_outlet_id", "rug", ["outlet_id"], unique=False)
    op.create_index("ix_rug_place", "rug", ["place", "number"], unique=False)
    op.create_table(
        "till_entry",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("key", PLAIN, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=False),
        sa.Column("phone_id", BIG_ID, nullable=True),
        sa.Column("what", PLAIN, nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("digest", PLAIN, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("looked_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "what IN ('sale', 'undo', 'cash', 'refused', 'wish', 'other')", name=op.f("ck_till_entry_what")
        ),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_till_entry_fair_id_fair")),
        sa.ForeignKeyConstraint(
            ["phone_id"], ["till_phone.id"], name=op.f("fk_till_entry_phone_id_till_phone")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_till_entry")),
        sa.UniqueConstraint("key", name=op.f("uq_till_entry_key")),
    )
    op.create_index("ix_till_entry_fair_id", "till_entry", ["fair_id", "id"], unique=False)
    op.create_index("ix_till_entry_phone_id", "till_entry", ["phone_id"], unique=False)
    op.create_table(
        "packed_rug",
        sa.Column("fair_id", BIG_ID, nullable=False),
        sa.Column("rug_id", BIG_ID, nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=True),
        sa.Column("packed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("back_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("price >= 0", name=op.f("ck_packed_rug_price")),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_packed_rug_fair_id_fair")),
        sa.ForeignKeyConstraint(["rug_id"], ["rug.id"], name=op.f("fk_packed_rug_rug_id_rug")),
        sa.PrimaryKeyConstraint("fair_id", "rug_id", name=op.f("pk_packed_rug")),
    )
    op.create_index("ix_packed_rug_rug_id", "packed_rug", ["rug_id"], unique=False)
    op.create_table(
        "refused",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=False),
        sa.Column("entry_id", BIG_ID, nullable=True),
        sa.Column("rug_id", BIG_ID, nullable=False),
        sa.Column("asked", sa.BigInteger(), nullable=True),
        sa.Column("offered", sa.BigInteger(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["till_entry.id"], name=op.f("fk_refused_entry_id_till_entry")),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_refused_fair_id_fair")),
        sa.ForeignKeyConstraint(["rug_id"], ["rug.id"], name=op.f("fk_refused_rug_id_rug")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_refused")),
        sa.UniqueConstraint("entry_id", name=op.f("uq_refused_entry_id")),
    )
    op.create_index("ix_refused_fair_id", "refused", ["fair_id", "id"], unique=False)
    op.create_index("ix_refused_rug_id", "refused", ["rug_id"], unique=False)
    op.create_table(
        "rug_photograph",
        sa.Column("rug_id", BIG_ID, nullable=False),
        sa.Column("image", sa.LargeBinary(), nullable=False),
        sa.Column("thumbnail", sa.LargeBinary(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("digest", PLAIN, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["rug_id"], ["rug.id"], name=op.f("fk_rug_photograph_rug_id_rug")),
        sa.PrimaryKeyConstraint("rug_id", name=op.f("pk_rug_photograph")),
    )
    op.create_table(
        "rug_price",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("rug_id", BIG_ID, nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["rug_id"], ["rug.id"], name=op.f("fk_rug_price_rug_id_rug")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rug_price")),
    )
    op.create_index("ix_rug_price_rug_id", "rug_price", ["rug_id", "id"], unique=False)
    op.create_table(
        "sale",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=True),
        sa.Column("outlet_id", BIG_ID, nullable=True),
        sa.Column("entry_id", BIG_ID, nullable=True),
        sa.Column("asked", sa.BigInteger(), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("tax", sa.BigInteger(), nullable=False),
        sa.Column("rounding", sa.BigInteger(), nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("means", PLAIN, nullable=False),
        sa.Column("given", sa.BigInteger(), nullable=False),
        sa.Column("change", sa.BigInteger(), nullable=False),
        sa.Column("outlet_share", sa.BigInteger(), nullable=False),
        sa.Column("mail", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("undone_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("undone_why", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "means IN ('cash', 'card', 'transfer', 'cheque', 'other')", name=op.f("ck_sale_means")
        ),
        sa.CheckConstraint("(undone_at IS NULL) OR (undone_at >= received_at)", name=op.f("ck_sale_undone")),
        sa.CheckConstraint(
            "asked >= 0 AND total >= 0 AND tax >= 0 AND given >= 0 AND change >= 0 AND outlet_share >= 0",
            name=op.f("ck_sale_amounts"),
        ),
        sa.ForeignKeyConstraint(["entry_id"], ["till_entry.id"], name=op.f("fk_sale_entry_id_till_entry")),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_sale_fair_id_fair")),
        sa.ForeignKeyConstraint(["outlet_id"], ["outlet.id"], name=op.f("fk_sale_outlet_id_outlet")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sale")),
        sa.UniqueConstraint("entry_id", name=op.f("uq_sale_entry_id")),
        sa.UniqueConstraint("number", name=op.f("uq_sale_number")),
    )
    op.create_index("ix_sale_fair_id", "sale", ["fair_id", "id"], unique=False)
    op.create_index("ix_sale_on", "sale", ["on", "id"], unique=False)
    op.create_index("ix_sale_outlet_id", "sale", ["outlet_id"], unique=False)
    op.create_table(
        "till_cash",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=False),
        sa.Column("entry_id", BIG_ID, nullable=True),
        sa.Column("what", PLAIN, nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "what IN ('float', 'put in', 'taken out', 'counted')", name=op.f("ck_till_cash_what")
        ),
        sa.CheckConstraint("amount >= 0", name=op.f("ck_till_cash_amount")),
        sa.ForeignKeyConstraint(
            ["entry_id"], ["till_entry.id"], name=op.f("fk_till_cash_entry_id_till_entry")
        ),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_till_cash_fair_id_fair")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_till_cash")),
        sa.UniqueConstraint("entry_id", name=op.f("uq_till_cash_entry_id")),
    )
    op.create_index("ix_till_cash_fair_id", "till_cash", ["fair_id", "id"], unique=False)
    op.create_table(
        "wish",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=False),
        sa.Column("entry_id", BIG_ID, nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=True),
        sa.Column("length", sa.BigInteger(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("quote_id", BIG_ID, nullable=True),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["entry_id"], ["till_entry.id"], name=op.f("fk_wish_entry_id_till_entry")),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_wish_fair_id_fair")),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_wish_quote_id_quote")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wish")),
        sa.UniqueConstraint("entry_id", name=op.f("uq_wish_entry_id")),
    )
    op.create_index("ix_wish_fair_id", "wish", ["fair_id", "id"], unique=False)
    op.create_index("ix_wish_quote_id", "wish", ["quote_id"], unique=False)
    op.create_table(
        "rug_move",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("rug_id", BIG_ID, nullable=False),
        sa.Column("what", PLAIN, nullable=False),
        sa.Column("fair_id", BIG_ID, nullable=True),
        sa.Column("outlet_id", BIG_ID, nullable=True),
        sa.Column("sale_id", BIG_ID, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "what IN ('came', 'packed', 'sent', 'back', 'sold', 'taken back', 'gone')",
            name=op.f("ck_rug_move_what"),
        ),
        sa.ForeignKeyConstraint(["fair_id"], ["fair.id"], name=op.f("fk_rug_move_fair_id_fair")),
        sa.ForeignKeyConstraint(["outlet_id"], ["outlet.id"], name=op.f("fk_rug_move_outlet_id_outlet")),
        sa.ForeignKeyConstraint(["rug_id"], ["rug.id"], name=op.f("fk_rug_move_rug_id_rug")),
        sa.ForeignKeyConstraint(["sale_id"], ["sale.id"], name=op.f("fk_rug_move_sale_id_sale")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rug_move")),
    )
    op.create_index("ix_rug_move_rug_id", "rug_move", ["rug_id", "id"], unique=False)
    op.create_table(
        "sale_line",
        sa.Column("sale_id", BIG_ID, nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("rug_id", BIG_ID, nullable=False),
        sa.Column("asked", sa.BigInteger(), nullable=False),
        sa.Column("price", sa.BigInteger(), nullable=False),
        sa.Column("doubt", PLAIN, nullable=False),
        sa.Column("settled", sa.Text(), nullable=False),
        sa.Column("said_rug_id", BIG_ID, nullable=True),
        sa.CheckConstraint("doubt IN ('', 'twice')", name=op.f("ck_sale_line_doubt")),
        sa.CheckConstraint("asked >= 0 AND price >= 0", name=op.f("ck_sale_line_amounts")),
        sa.ForeignKeyConstraint(["rug_id"], ["rug.id"], name=op.f("fk_sale_line_rug_id_rug")),
        sa.ForeignKeyConstraint(["said_rug_id"], ["rug.id"], name=op.f("fk_sale_line_said_rug_id_rug")),
        sa.ForeignKeyConstraint(["sale_id"], ["sale.id"], name=op.f("fk_sale_line_sale_id_sale")),
        sa.PrimaryKeyConstraint("sale_id", "place", name=op.f("pk_sale_line")),
    )
    op.create_index(
        "ix_sale_line_doubtful",
        "sale_line",
        ["sale_id"],
        unique=False,
        sqlite_where=sa.text("doubt <> ''"),
        postgresql_where=sa.text("doubt <> ''"),
    )
    op.create_index("ix_sale_line_rug_id", "sale_line", ["rug_id", "sale_id"], unique=False)


def downgrade():
    op.drop_table("sale_line")
    op.drop_table("rug_move")
    op.drop_table("wish")
    op.drop_table("till_cash")
    op.drop_table("sale")
    op.drop_table("rug_price")
    op.drop_table("rug_photograph")
    op.drop_table("refused")
    op.drop_table("packed_rug")
    op.drop_table("till_entry")
    op.drop_table("rug")
    op.drop_table("till_phone")
    op.drop_table("outlet")
    op.drop_table("fair")
