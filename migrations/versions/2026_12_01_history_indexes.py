"""What each order is found again by: entries and words beside their places in the history, filled from what there is."""

import json
import re
import unicodedata

import sqlalchemy as sa
from alembic import op

revision = "2026_12_01_history_indexes"
down_revision = "2026_11_30_outbox"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
AT_ONCE = 1000
INDEXES = (
    ("ix_history_entry_newest", ["begun_at", "job_id"]),
    ("ix_history_entry_loom", ["loom", "begun_at", "job_id"]),
    ("ix_history_entry_paid", ["paid", "begun_at", "job_id"]),
    ("ix_history_entry_width", ["width"]),
    ("ix_history_entry_length", ["length"]),
    ("ix_history_entry_left_over", ["left_over"]),
    ("ix_history_entry_profit", ["profit"]),
)
FACTS = """
    SELECT job.id, job.name, job.state, job.begun_at, job.described, quote.title, quote.customer_name, customer.name AS customer,
        coalesce(offer.width, quote.width) AS width, coalesce(offer.length, quote.length) AS length,
        coalesce(offer.total, quote.total) AS agreed,
        (SELECT coalesce(sum(CASE what WHEN 'payment' THEN amount WHEN 'refund' THEN -amount ELSE 0 END), 0)
            FROM order_event WHERE order_event.job_id = job.id AND undone_at IS NULL) AS net,
        (SELECT max(amount) FROM order_event
            WHERE order_event.job_id = job.id AND undone_at IS NULL AND what IN ('handed over', 'cancelled')) AS came_to,
        (SELECT coalesce(sum(cost + rug_cost), 0) FROM job_cloth WHERE job_cloth.job_id = job.id) AS cost
    FROM job
    LEFT JOIN quote ON quote.id = job.quote_id
    LEFT JOIN offer ON offer.job_id = job.id
    LEFT JOIN customer ON customer.id = offer.customer_id
    WHERE job.id > :last ORDER BY job.id LIMIT :most
"""


def upgrade():
    entry = op.create_table(
        "history_entry",
        sa.Column("job_id", BIG_ID, autoincrement=False, nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("words", PLAIN, nullable=False),
        sa.Column("loom", PLAIN, nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=True),
        sa.Column("length", sa.BigInteger(), nullable=True),
        sa.Column("paid", sa.Boolean(), nullable=True),
        sa.Column("left_over", sa.BigInteger(), nullable=True),
        sa.Column("profit", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_history_entry_job_id_job")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_history_entry")),
    )
    word = op.create_table(
        "history_word",
        sa.Column("word", PLAIN, nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("job_id", BIG_ID, autoincrement=False, nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_history_word_job_id_job")),
        sa.PrimaryKeyConstraint("word", "begun_at", "job_id", name=op.f("pk_history_word")),
        sqlite_with_rowid=False,
    )
    _fill(entry, word)
    for name, columns in INDEXES:
        op.create_index(name, "history_entry", columns, unique=False)
    op.create_index("ix_job_state_begun", "job", ["state", "begun_at", "id"], unique=False)


def _fill(entry, word):
    connection = op.get_bind()
    facts = sa.text(FACTS).columns(begun_at=sa.DateTime(timezone=True), described=sa.JSON())
    last = 0
    while rows := connection.execute(facts, {"last": last, "most": AT_ONCE}).all():
        last = rows[-1].id
        known = [(row, _words_of(_text_of(row))) for row in rows]
        connection.execute(
            sa.insert(entry),
            [
                {
                    "job_id": row.id,
                    "begun_at": row.begun_at,
                    "words": "".join(f" {word}" for word in words),
                    "loom": _loom_of(row.described),
                    "width": row.width,
                    "length": row.length,
                    "paid": _paid(row),
                    "left_over": row.came_to - row.cost if row.came_to is not None and row.state != "called off" else None,
                }
                for row, words in known
            ],
        )
        of_orders = [
            {"word": word, "begun_at": row.begun_at, "job_id": row.id} for row, words in known for word in words
        ]
        if of_orders:
            connection.execute(sa.insert(word), of_orders)


def _text_of(row):
    whose = row.customer_name if row.customer is None else row.customer
    return f"{row.name} {row.title or ''} {whose or ''}"


def _loom_of(described):
    """The name of the loom; empty where the document has none."""
    found = json.loads(described) if isinstance(described, str) else described
    for key in ("document", "loom", "name"):
        found = found.get(key) if isinstance(found, dict) else None
    return found if isinstance(found, str) else ""


def _paid(row):
    due = row.came_to if row.came_to is not None else None if row.state == "called off" else row.agreed
    return None if due is None else row.net >= due


def _words_of(text):
    """The different words of a text, case and accents folded away, in order; at most forty of at most forty letters."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    folded = " ".join(unicodedata.normalize("NFKC", bare).casefold().split())
    return tuple(dict.fromkeys(word[:40] for word in re.split(r"[\W_]+", folded) if word))[:40]


def downgrade():
    op.drop_index("ix_job_state_begun", table_name="job")
    op.drop_table("history_word")
    op.drop_table("history_entry")
