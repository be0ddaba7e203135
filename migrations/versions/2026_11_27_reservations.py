"""A job keeps the rug as it was described, holds strips of cloth for it, and marks how far its weaving has come."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_27_reservations"
down_revision = "2026_11_26_photographs"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
HELD = sa.text("state = 'held'")


def upgrade():
    op.add_column("job", sa.Column("described", sa.JSON(), nullable=True))
    op.execute(
        sa.text(
            "UPDATE job SET described = (SELECT quote.described FROM quote WHERE quote.id = job.quote_id) "
            "WHERE quote_id IS NOT NULL"
        )
    )
    op.create_table(
        "reservation",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("piece_id", BIG_ID, nullable=False),
        sa.Column("band", sa.Integer(), nullable=False),
        sa.Column("way", PLAIN, nullable=False),
        sa.Column("torn", sa.Boolean(), nullable=False),
        sa.Column("strip", sa.BigInteger(), nullable=False),
        sa.Column("each", sa.BigInteger(), nullable=False),
        sa.Column("strips", sa.Integer(), nullable=False),
        sa.Column("cut", sa.Integer(), nullable=False),
        sa.Column("share", sa.BigInteger(), nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("movement_id", BIG_ID, nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("state IN ('held', 'drawn', 'lapsed')", name=op.f("ck_reservation_state")),
        sa.CheckConstraint("strips > 0 AND cut BETWEEN 0 AND strips", name=op.f("ck_reservation_strips")),
        sa.CheckConstraint("share BETWEEN 1 AND 1000000000", name=op.f("ck_reservation_share")),
        sa.CheckConstraint("way IN ('along', 'across')", name=op.f("ck_reservation_way")),
        sa.CheckConstraint("(state = 'drawn') = (movement_id IS NOT NULL)", name=op.f("ck_reservation_drawn")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_reservation_job_id_job")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_reservation_piece_id_piece")),
        sa.ForeignKeyConstraint(["movement_id"], ["movement.id"], name=op.f("fk_reservation_movement_id_movement")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reservation")),
    )
    op.create_index(op.f("ix_reservation_job_id"), "reservation", ["job_id"], unique=False)
    op.create_index(op.f("ix_reservation_movement_id"), "reservation", ["movement_id"], unique=False)
    op.create_index(
        "ix_reservation_held", "reservation", ["piece_id"], unique=False, sqlite_where=HELD, postgresql_where=HELD
    )
    op.create_table(
        "loom_mark",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("rows", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint('"rows" >= 0', name=op.f("ck_loom_mark_rows")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_loom_mark_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loom_mark")),
    )
    op.create_index("ix_loom_mark_job_id", "loom_mark", ["job_id", "id"], unique=False)


def downgrade():
    op.drop_table("loom_mark")
    op.drop_table("reservation")
    op.drop_column("job", "described")
