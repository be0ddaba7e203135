"""Photographs of pieces."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_26_photographs"
down_revision = "2026_11_26_ledger"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")


def upgrade():
    op.create_table(
        "photograph",
        sa.Column("piece_id", BIG_ID, autoincrement=False, nullable=False),
        sa.Column("image", sa.LargeBinary(), nullable=False),
        sa.Column("thumbnail", sa.LargeBinary(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("digest", PLAIN, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_photograph_piece_id_piece")),
        sa.PrimaryKeyConstraint("piece_id", name=op.f("pk_photograph")),
    )


def downgrade():
    op.drop_table("photograph")
