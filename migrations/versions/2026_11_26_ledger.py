"""The fabric ledger: movements go from place to place, jobs take cloth, and a piece carries what is left of it."""

import json
import math
from datetime import date

import sqlalchemy as sa
from alembic import op

revision = "2026_11_26_ledger"
down_revision = "2026_11_25_cloth_and_quotes"
branch_labels = None
depends_on = None

BIG_ID = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
PLAIN = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
WHOLE = 10**9
KINDS = (
    "'brought home', 'later cost', 'set aside to wash', 'ready', 'drawn', 'given back', 'usual waste', 'spoiled', "
    "'given away', 'cut off', 'cut from another', 'woven', 'reversed'"
)
PLACES = "'outside', 'shelf', 'job', 'rug', 'written off', 'another piece'"
JOB_STATES = (
    "'waiting', 'cutting', 'warping', 'weaving', 'finishing', 'ready', 'handed over', 'called off'"
)
PIECE_STATES = "'set aside to wash', 'ready', 'used up', 'given away', 'spoiled'"
OLD_KINDS = ("brought home", "set aside to wash", "ready", "used up", "given away", "reversed")
SHELF_INDEXES = (
    ("ix_piece_in_hand", ["number"], '"left" > 0'),
    ("ix_piece_by_shade", ["shade", "number"], '"left" > 0'),
    ("ix_piece_by_colour", ["colour"], '"left" > 0'),
    ("ix_piece_to_wash", ["number"], "state = 'set aside to wash'"),
    ("ix_piece_gone", ["number"], '"left" = 0'),
)
OLD_PIECE = (
    "id, number, haul_id, name, name_key, cloth, colour, fibres, width, length, weight, grams_per_m2, tears, paid"
)


def upgrade():
    _job()
    _carry("movement")
    op.drop_table("movement")
    _carry("piece")
    op.drop_table("piece")
    _piece()
    _movement()
    _job_cloth()
    _habit()
    _fill()
    _numbers_go_on("piece", "movement")
    op.drop_table("movement_carried")
    op.drop_table("piece_carried")


def _carry(table):
    op.execute(sa.text(f"CREATE TABLE {table}_carried AS SELECT * FROM {table}"))


def _numbers_go_on(*tables):
    """Rows that came with their numbers leave PostgreSQL's counter behind."""
    if op.get_context().dialect.name == "postgresql":
        for table in tables:
            op.execute(
                sa.text(
                    f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), "
                    f"(SELECT coalesce(max(id), 0) + 1 FROM {table}), false)"
                )
            )


def _job():
    op.create_table(
        "job",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("quote_id", BIG_ID, nullable=True),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint(f"state IN ({JOB_STATES})", name=op.f("ck_job_state")),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_job_quote_id_quote")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
        sa.UniqueConstraint("number", name=op.f("uq_job_number")),
    )
    op.create_index(op.f("ix_job_quote_id"), "job", ["quote_id"], unique=False)
    op.create_index("ix_job_state", "job", ["state", "number"], unique=False)


def _piece():
    op.create_table(
        "piece",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("number", sa.BigInteger(), nullable=False),
        sa.Column("haul_id", BIG_ID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", PLAIN, nullable=False),
        sa.Column("yarn", PLAIN, nullable=False),
        sa.Column("cloth", PLAIN, nullable=False),
        sa.Column("colour", PLAIN, nullable=False),
        sa.Column("shade", sa.BigInteger(), nullable=False),
        sa.Column("fibres", sa.JSON(), nullable=False),
        sa.Column("fibre", PLAIN, nullable=False),
        sa.Column("width", sa.BigInteger(), nullable=False),
        sa.Column("length", sa.BigInteger(), nullable=False),
        sa.Column("weight", sa.BigInteger(), nullable=True),
        sa.Column("grams_per_m2", sa.BigInteger(), nullable=True),
        sa.Column("tears", sa.Boolean(), nullable=True),
        sa.Column("condition", PLAIN, nullable=False),
        sa.Column("kept", sa.Text(), nullable=False),
        sa.Column("paid", sa.BigInteger(), nullable=False),
        sa.Column("parent_id", BIG_ID, nullable=True),
        sa.Column("came", sa.BigInteger(), nullable=False),
        sa.Column("later", sa.BigInteger(), nullable=False),
        sa.Column("left", sa.BigInteger(), nullable=False),
        sa.Column("left_cost", sa.BigInteger(), nullable=False),
        sa.Column("state", PLAIN, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(yarn = '' AND width > 0 AND length > 0)"
            " OR (yarn <> '' AND width = 0 AND length > 0 AND weight IS NOT NULL)",
            name=op.f("ck_piece_size"),
        ),
        sa.CheckConstraint("weight > 0", name=op.f("ck_piece_weight")),
        sa.CheckConstraint("paid >= 0 AND came >= 0 AND later >= 0", name=op.f("ck_piece_paid")),
        sa.CheckConstraint(
            '"left" BETWEEN 0 AND 1000000000 AND left_cost >= 0 AND ("left" > 0 OR left_cost = 0)',
            name=op.f("ck_piece_on_shelf"),
        ),
        sa.CheckConstraint(f"state IN ({PIECE_STATES})", name=op.f("ck_piece_state")),
        sa.ForeignKeyConstraint(["haul_id"], ["haul.id"], name=op.f("fk_piece_haul_id_haul")),
        sa.ForeignKeyConstraint(["parent_id"], ["piece.id"], name=op.f("fk_piece_parent_id_piece")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_piece")),
        sa.UniqueConstraint("number", name=op.f("uq_piece_number")),
    )
    op.create_index(op.f("ix_piece_haul_id"), "piece", ["haul_id"], unique=False)
    op.create_index(op.f("ix_piece_parent_id"), "piece", ["parent_id"], unique=False)
    for name, columns, where in SHELF_INDEXES:
        op.create_index(name, "piece", columns, sqlite_where=sa.text(where), postgresql_where=sa.text(where))


def _movement():
    op.create_table(
        "movement",
        sa.Column("id", BIG_ID, nullable=False),
        sa.Column("piece_id", BIG_ID, nullable=False),
        sa.Column("kind", PLAIN, nullable=False),
        sa.Column("share", sa.BigInteger(), nullable=False),
        sa.Column("cost", sa.BigInteger(), nullable=False),
        sa.Column("source", PLAIN, nullable=False),
        sa.Column("target", PLAIN, nullable=False),
        sa.Column("job_id", BIG_ID, nullable=True),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("reverses_id", BIG_ID, nullable=True),
        sa.Column("part_of_id", BIG_ID, nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint(f"kind IN ({KINDS})", name=op.f("ck_movement_kind")),
        sa.CheckConstraint(
            f"source IN ({PLACES}) AND target IN ({PLACES})", name=op.f("ck_movement_places")
        ),
        sa.CheckConstraint("share >= 0 AND cost >= 0", name=op.f("ck_movement_not_negative")),
        sa.CheckConstraint(
            "(kind = 'reversed') = (reverses_id IS NOT NULL)", name=op.f("ck_movement_reverses")
        ),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_movement_piece_id_piece")),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_movement_job_id_job")),
        sa.ForeignKeyConstraint(
            ["reverses_id"], ["movement.id"], name=op.f("fk_movement_reverses_id_movement")
        ),
        sa.ForeignKeyConstraint(
            ["part_of_id"], ["movement.id"], name=op.f("fk_movement_part_of_id_movement")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_movement")),
        sa.UniqueConstraint("reverses_id", name=op.f("uq_movement_reverses_id")),
    )
    op.create_index("ix_movement_piece_id", "movement", ["piece_id", "id"], unique=False)
    op.create_index("ix_movement_job_id", "movement", ["job_id", "id"], unique=False)
    op.create_index("ix_movement_part_of_id", "movement", ["part_of_id"], unique=False)
    came_once = sa.text("kind IN ('brought home', 'cut from another')")
    op.create_index(
        "uq_movement_came_once",
        "movement",
        ["piece_id"],
        unique=True,
        sqlite_where=came_once,
        postgresql_where=came_once,
    )


def _job_cloth():
    op.create_table(
        "job_cloth",
        sa.Column("job_id", BIG_ID, autoincrement=False, nullable=False),
        sa.Column("piece_id", BIG_ID, autoincrement=False, nullable=False),
        sa.Column("share", sa.BigInteger(), nullable=False),
        sa.Column("cost", sa.BigInteger(), nullable=False),
        sa.Column("rug_share", sa.BigInteger(), nullable=False),
        sa.Column("rug_cost", sa.BigInteger(), nullable=False),
        sa.CheckConstraint(
            "share >= 0 AND cost >= 0 AND (share > 0 OR cost = 0)", name=op.f("ck_job_cloth_in_job")
        ),
        sa.CheckConstraint(
            "rug_share >= 0 AND rug_cost >= 0 AND (rug_share > 0 OR rug_cost = 0)",
            name=op.f("ck_job_cloth_in_rug"),
        ),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_job_cloth_job_id_job")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_job_cloth_piece_id_piece")),
        sa.PrimaryKeyConstraint("job_id", "piece_id", name=op.f("pk_job_cloth")),
    )
    op.create_index(op.f("ix_job_cloth_piece_id"), "job_cloth", ["piece_id"], unique=False)


def _habit():
    op.create_table(
        "ledger_habit",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("usual_waste", sa.BigInteger(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_ledger_habit_one_row")),
        sa.CheckConstraint(
            "usual_waste BETWEEN 0 AND 1000000000", name=op.f("ck_ledger_habit_usual_waste")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ledger_habit")),
    )


OLD_MOVEMENT = sa.table(
    "movement_carried",
    *(sa.column(name, sa.BigInteger()) for name in ("id", "piece_id", "share", "cost", "reverses_id")),
    *(sa.column(name, sa.Text()) for name in ("kind", "note")),
    sa.column("at", sa.DateTime(timezone=True)),
)


def _fill():
    """Each piece and movement as it was, with where it went and what it left."""
    connection = op.get_bind()
    bought = {
        row.id: row.on if isinstance(row.on, date) else date.fromisoformat(row.on)
        for row in connection.execute(sa.text('SELECT id, "on" FROM haul'))
    }
    old = connection.execute(sa.select(OLD_MOVEMENT).order_by(OLD_MOVEMENT.c.id)).mappings().all()
    by_id = {row["id"]: row for row in old}
    by_piece = {}
    for row in old:
        by_piece.setdefault(row["piece_id"], []).append(row)
    pieces = connection.execute(sa.text(f"SELECT {OLD_PIECE} FROM piece_carried ORDER BY id")).mappings().all()
    for piece in pieces:
        moved = by_piece.get(piece["id"], [])
        _put(connection, "piece", _piece_as_it_is(piece, moved))
    for piece in pieces:
        day = bought[piece["haul_id"]]
        for place, row in enumerate(by_piece.get(piece["id"], [])):
            if place > 1:  # coming home, and being set aside or ready then, count for the day of the haul
                day = max(day, row["at"].date())
            by_id[row["id"]] = {**row, "on": day}
    for row in by_id.values():
        _put(connection, "movement", _movement_as_it_is(row, by_id))


def _put(connection, table, values):
    names = ", ".join(f'"{name}"' for name in values)
    holders = ", ".join(f":{name}" for name in values)
    statement = sa.text(f"INSERT INTO {table} ({names}) VALUES ({holders})")
    typed = [sa.bindparam("at", type_=sa.DateTime(timezone=True)), sa.bindparam("on", type_=sa.Date())]
    json_typed = [sa.bindparam("fibres", type_=sa.JSON())]
    statement = statement.bindparams(*(typed if table == "movement" else json_typed))
    connection.execute(statement, values)


def _piece_as_it_is(piece, moved):
    fibres = json.loads(piece["fibres"]) if isinstance(piece["fibres"], str) else piece["fibres"]
    undone = {row["reverses_id"] for row in moved}
    holding = [row for row in moved if row["id"] not in undone and row["reverses_id"] is None]
    left = sum(row["share"] for row in moved)
    kinds = ("set aside to wash", "ready") if left else ("used up", "given away")
    state = next((row["kind"] for row in reversed(holding) if row["kind"] in kinds), None)
    return {
        **piece,
        "fibres": fibres,
        "fibre": max(fibres, key=lambda pair: float(pair[1]))[0] if fibres else "",
        "yarn": "",
        "shade": shade(piece["colour"]),
        "condition": "",
        "kept": "",
        "parent_id": None,
        "came": sum(row["cost"] for row in moved if row["kind"] == "brought home"),
        "later": 0,
        "left": left,
        "left_cost": sum(row["cost"] for row in moved),
        "state": state or ("set aside to wash" if left else "used up"),
        "revision": 1,
    }


def _movement_as_it_is(row, by_id):
    what = row if row["reverses_id"] is None else by_id[row["reverses_id"]]
    way = {"brought home": ("outside", "shelf"), "given away": ("shelf", "written off")}.get(
        what["kind"], ("shelf", "shelf")
    )
    source, target = way if row["reverses_id"] is None else way[::-1]
    return {
        "id": row["id"],
        "piece_id": row["piece_id"],
        "kind": row["kind"],
        "share": abs(row["share"]),
        "cost": abs(row["cost"]),
        "source": source,
        "target": target,
        "job_id": None,
        "on": row["on"],
        "at": row["at"],
        "reverses_id": row["reverses_id"],
        "part_of_id": None,
        "note": row["note"],
    }


def shade(colour):
    """Where a colour stands on the shelf, as it was reckoned when this step was written: OKLab's greys, then its hues."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    light = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    cones = (
        (0.4122214708, 0.5363325363, 0.0514459929),
        (0.2119034982, 0.6806995451, 0.1073969566),
        (0.0883024619, 0.2817188376, 0.6299787005),
    )
    axes = (
        (0.2104542553, 0.7936177850, -0.0040720468),
        (1.9779984951, -2.4285922050, 0.4505937099),
        (0.0259040371, 0.7827717662, -0.8086757660),
    )
    seen = [math.cbrt(row[0] * light[0] + row[1] * light[1] + row[2] * light[2]) for row in cones]
    lightness, a, b = (row[0] * seen[0] + row[1] * seen[1] + row[2] * seen[2] for row in axes)
    band = 0
    if math.hypot(a, b) >= 0.03:
        band = 1 + int((math.degrees(math.atan2(b, a)) % 360 - 350.0) % 360 * 24 / 360)
    return band * 100_000 + round((1 - min(1.0, max(0.0, lightness))) * 10_000)


def downgrade():
    """What the step before cannot hold goes: cones, cut pieces and jobs; what jobs had drawn is back on the shelf."""
    _carry("movement")
    _carry("piece")
    op.drop_table("ledger_habit")
    op.drop_table("job_cloth")
    op.drop_table("movement")
    op.drop_table("piece")
    op.drop_table("job")
    _old_tables()
    kept = "SELECT id FROM piece_carried WHERE yarn = '' AND parent_id IS NULL"
    op.execute(sa.text(f"INSERT INTO piece ({OLD_PIECE}) SELECT {OLD_PIECE} FROM piece_carried WHERE id IN ({kept})"))
    kinds = ", ".join(f"'{kind}'" for kind in OLD_KINDS)
    sign = (
        "CASE WHEN source = 'outside' OR source = 'written off' THEN 1 WHEN target = 'shelf' THEN 0 ELSE -1 END"
    )
    op.execute(
        sa.text(
            "INSERT INTO movement (id, piece_id, kind, share, cost, at, reverses_id, note) "
            f"SELECT id, piece_id, kind, share * ({sign}), cost * ({sign}), at, reverses_id, note "
            f"FROM movement_carried WHERE kind IN ({kinds}) AND job_id IS NULL AND piece_id IN ({kept}) "
            "AND (reverses_id IS NULL OR reverses_id IN "
            f"(SELECT id FROM movement_carried WHERE kind IN ({kinds}) AND job_id IS NULL)) ORDER BY id"
        )
    )
    _numbers_go_on("piece", "movement")
    op.drop_table("movement_carried")
    op.drop_table("piece_carried")


def _old_tables():
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
    home = sa.text("kind = 'brought home'")
    op.create_index(
        "uq_movement_brought_home_once", "movement", ["piece_id"], unique=True, sqlite_where=home, postgresql_where=home
    )
