"""Notes and photographs of jobs, and what their rugs measured."""

import sqlalchemy as sa
from alembic import op

revision = "2026_12_02_job_record"
down_revision = "2026_12_01_history_indexes"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
STANDS = sa.text("stands")


def upgrade():
    op.create_table(
        "job_note",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("struck_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_job_note_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_note")),
    )
    op.create_index("ix_job_note_job_id", "job_note", ["job_id", "id"], unique=False)
    op.create_table(
        "job_photograph",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("stands", sa.Boolean(), nullable=False),
        sa.Column("image", sa.LargeBinary(), nullable=False),
        sa.Column("thumbnail", sa.LargeBinary(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("digest", PLAIN, nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_job_photograph_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_photograph")),
        sa.UniqueConstraint("job_id", "digest", name=op.f("uq_job_photograph_job_id_digest")),
    )
    op.create_index(
        "uq_job_photograph_stands",
        "job_photograph",
        ["job_id"],
        unique=True,
        sqlite_where=STANDS,
        postgresql_where=STANDS,
    )
    op.create_table(
        "job_measure",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("weight", sa.BigInteger(), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("struck_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("width > 0 AND length > 0 AND weight > 0", name=op.f("ck_job_measure_size")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_job_measure_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_measure")),
    )
    op.create_index("ix_job_measure_job_id", "job_measure", ["job_id", "id"], unique=False)


def downgrade():
    op.drop_table("job_measure")
    op.drop_table("job_photograph")
    op.drop_table("job_note")
