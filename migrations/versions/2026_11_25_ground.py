"""The ground: accounts, the shop, looms, paces, rates, prices, running numbers and presses."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_ground"
down_revision = None
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade():
    op.create_table(
        "account",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", PLAIN, nullable=False),
        sa.Column("is_owner", sa.Boolean(), nullable=False),
        sa.Column("password_hash", sa.Text(), nullable=False),
        sa.Column("stamp", PLAIN, nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_account")),
        sa.UniqueConstraint("name_key", name=op.f("uq_account_name_key")),
    )
    op.create_index(
        "uq_account_one_owner",
        "account",
        ["is_owner"],
        unique=True,
        sqlite_where=sa.text("is_owner"),
        postgresql_where=sa.text("is_owner"),
    )
    op.create_table(
        "counter",
        sa.Column("series", PLAIN, nullable=False),
        sa.Column("last", sa.BigInteger(), nullable=False),
        sa.CheckConstraint("last >= 0", name=op.f("ck_counter_not_negative")),
        sa.PrimaryKeyConstraint("series", name=op.f("pk_counter")),
    )
    op.create_table(
        "loom",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("kind", PLAIN, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", PLAIN, nullable=False),
        sa.Column("pegs", sa.Integer(), nullable=True),
        sa.Column("spacing", sa.BigInteger(), nullable=True),
        sa.Column("length", sa.BigInteger(), nullable=True),
        sa.Column("bar_places", sa.JSON(), nullable=True),
        sa.Column("passes_per_peg", sa.Integer(), nullable=True),
        sa.Column("turn", sa.BigInteger(), nullable=True),
        sa.Column("tail", sa.BigInteger(), nullable=True),
        sa.Column("sett_per", sa.BigInteger(), nullable=True),
        sa.Column("sett_unit", PLAIN, nullable=True),
        sa.Column("width", sa.BigInteger(), nullable=True),
        sa.Column("draw_in", sa.BigInteger(), nullable=True),
        sa.Column("take_up", sa.BigInteger(), nullable=True),
        sa.Column("relaxation", sa.BigInteger(), nullable=True),
        sa.Column("waste", sa.BigInteger(), nullable=True),
        sa.Column("selvedge_ends", sa.Integer(), nullable=True),
        sa.Column("hem", sa.BigInteger(), nullable=True),
        sa.Column("cut_space", sa.BigInteger(), nullable=True),
        sa.Column("knot", sa.BigInteger(), nullable=True),
        sa.Column("yarn", sa.Text(), nullable=False),
        sa.Column("yarn_price", sa.BigInteger(), nullable=True),
        sa.Column("yarn_unit", PLAIN, nullable=True),
        sa.Column("strip", sa.BigInteger(), nullable=True),
        sa.Column("packing", sa.BigInteger(), nullable=True),
        sa.Column("weft_take_up", sa.BigInteger(), nullable=True),
        sa.Column("archived", sa.Boolean(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('frame', 'shaft', 'plank')", name=op.f("ck_loom_kind")),
        sa.CheckConstraint("yarn_unit IN ('lb', 'kg')", name=op.f("ck_loom_yarn_unit")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loom")),
    )
    op.create_index(
        "uq_loom_name_in_use",
        "loom",
        ["name_key"],
        unique=True,
        sqlite_where=sa.text("NOT archived"),
        postgresql_where=sa.text("NOT archived"),
    )
    op.create_table(
        "overhead_line",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("kind", PLAIN, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("per_year", sa.BigInteger(), nullable=True),
        sa.Column("cost", sa.BigInteger(), nullable=True),
        sa.Column("resale", sa.BigInteger(), nullable=True),
        sa.Column("years", sa.BigInteger(), nullable=True),
        sa.CheckConstraint(
            "(kind = 'loom_wear' AND cost IS NOT NULL AND resale IS NOT NULL AND years IS NOT NULL) OR (kind <> 'loom_wear' AND per_year IS NOT NULL)",
            name=op.f("ck_overhead_line_amounts"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_overhead_line")),
    )
    op.create_table(
        "pace",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("loom_kind", PLAIN, nullable=False),
        sa.Column("key", PLAIN, nullable=False),
        sa.Column("minutes", sa.BigInteger(), nullable=False),
        sa.Column("basis", PLAIN, nullable=False),
        sa.Column("set_by", sa.Text(), nullable=False),
        sa.Column("set_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("basis IN ('measured', 'setting')", name=op.f("ck_pace_basis")),
        sa.CheckConstraint("loom_kind IN ('any', 'frame', 'shaft', 'plank')", name=op.f("ck_pace_loom_kind")),
        sa.CheckConstraint("minutes >= 0", name=op.f("ck_pace_minutes")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pace")),
        sa.UniqueConstraint("loom_kind", "key", name=op.f("uq_pace_loom_kind_key")),
    )
    op.create_table(
        "press",
        sa.Column("act", PLAIN, nullable=False),
        sa.Column("token", PLAIN, nullable=False),
        sa.Column("digest", PLAIN, nullable=False),
        sa.Column("about", sa.BigInteger(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("act", "token", name=op.f("pk_press")),
    )
    op.create_table(
        "price_rule",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("price_by", PLAIN, nullable=False),
        sa.Column("share", sa.BigInteger(), nullable=False),
        sa.Column("retail_times", sa.BigInteger(), nullable=False),
        sa.Column("area_rate", sa.BigInteger(), nullable=False),
        sa.Column("area_unit", PLAIN, nullable=False),
        sa.Column("fee_share", sa.BigInteger(), nullable=False),
        sa.Column("fee_fixed", sa.BigInteger(), nullable=False),
        sa.Column("tax_name", sa.Text(), nullable=False),
        sa.Column("tax_rate", sa.BigInteger(), nullable=False),
        sa.Column("tax_included", sa.Boolean(), nullable=False),
        sa.Column("step", sa.BigInteger(), nullable=False),
        sa.Column("up", sa.Boolean(), nullable=False),
        sa.Column("deposit", sa.BigInteger(), nullable=False),
        sa.Column("discount", sa.BigInteger(), nullable=False),
        sa.Column("holds_days", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("area_unit IN ('ft2', 'm2')", name=op.f("ck_price_rule_area_unit")),
        sa.CheckConstraint(
            "price_by IN ('markup', 'margin', 'trade', 'area')", name=op.f("ck_price_rule_price_by")
        ),
        sa.CheckConstraint("id = 1", name=op.f("ck_price_rule_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_price_rule")),
    )
    op.create_table(
        "rates",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("wage", sa.BigInteger(), nullable=True),
        sa.Column("pay_wash", sa.BigInteger(), nullable=True),
        sa.Column("pay_cut", sa.BigInteger(), nullable=True),
        sa.Column("pay_warp", sa.BigInteger(), nullable=True),
        sa.Column("pay_weave", sa.BigInteger(), nullable=True),
        sa.Column("pay_finish", sa.BigInteger(), nullable=True),
        sa.Column("pay_office", sa.BigInteger(), nullable=True),
        sa.Column("overhead", PLAIN, nullable=False),
        sa.Column("productive_hours", sa.BigInteger(), nullable=True),
        sa.Column("overhead_share", sa.BigInteger(), nullable=True),
        sa.Column("postage", sa.BigInteger(), nullable=True),
        sa.Column("label", sa.BigInteger(), nullable=True),
        sa.Column("mat", sa.BigInteger(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("overhead IN ('none', 'budget', 'percent')", name=op.f("ck_rates_overhead")),
        sa.CheckConstraint("id = 1", name=op.f("ck_rates_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rates")),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("address", sa.JSON(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("mark", sa.JSON(), nullable=False),
        sa.Column("locale", PLAIN, nullable=False),
        sa.Column("currency", PLAIN, nullable=False),
        sa.Column("units", PLAIN, nullable=False),
        sa.Column("time_zone", PLAIN, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("updated_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("units IN ('imperial', 'metric')", name=op.f("ck_shop_units")),
        sa.CheckConstraint("id = 1", name=op.f("ck_shop_one_row")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop")),
    )


def downgrade():
    op.drop_table("shop")
    op.drop_table("rates")
    op.drop_table("price_rule")
    op.drop_table("press")
    op.drop_table("pace")
    op.drop_table("overhead_line")
    op.drop_index(
        "uq_loom_name_in_use",
        table_name="loom",
        sqlite_where=sa.text("NOT archived"),
        postgresql_where=sa.text("NOT archived"),
    )
    op.drop_table("loom")
    op.drop_table("counter")
    op.drop_index(
        "uq_account_one_owner",
        table_name="account",
        sqlite_where=sa.text("is_owner"),
        postgresql_where=sa.text("is_owner"),
    )
    op.drop_table("account")
