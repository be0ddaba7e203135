"""A shop with any amount of cloth and twenty-five times as many entries in its ledger, filled in quickly and provable.

One haul, one piece and one job are made through the use cases; the others are theirs over again. Each piece has come home
for $100, is ready, and was drawn from twenty-three times, a hundredth each, into the job of its twenty.
"""
# ruff: noqa: S608 - statements are put together of words of this file

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import Connection, text

from shop.store.engine import Store
from shop.store.fabric import Haul, Piece
from shop.store.job import Job
from shop.store.ledger import Movement
from tests.builders import a_haul_at_home, a_job, a_sheet, money
from tests.load.a_full_shop import NOW, fill

IN_A_JOB: Final = 20
DRAWS: Final = 23
PART: Final = 10_000_000
COST: Final = 100
COUNTED: Final = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < :many)"


def fill_with(store: Store, pieces: int) -> int:
    """Fill an empty shop with so many pieces; gives the number of the newest job."""
    fill(store)
    home = a_haul_at_home(store, NOW, a_sheet(paid=money("100.00"), ready=True))
    number, job = home.pieces[0].number, a_job(store, NOW)
    with store.engine.begin() as connection:
        piece = _one(connection, "SELECT id FROM piece WHERE number = :number", number=number)
        rest, jobs = pieces - 1, pieces // IN_A_JOB
        ids = {"haul": home.id, "piece": piece, "job": _one(connection, "SELECT id FROM job")}
        over_again(connection, Haul, ids["haul"], jobs, {"id": "i + :like"})
        over_again(connection, Job, ids["job"], jobs, {"id": "i + :like", "number": "i + number"})
        own = {
            "id": "i + :like",
            "number": "i + number",
            "haul_id": f"haul_id + 1 + (i - 1) / {IN_A_JOB}",
            "shade": "shade + i",
        }
        over_again(connection, Piece, piece, rest, own)
        for kind in ("brought home", "ready"):
            like = _one(
                connection, "SELECT id FROM movement WHERE kind = :kind AND piece_id = :piece", kind=kind, piece=piece
            )
            over_again(connection, Movement, like, rest, {"piece_id": "i + piece_id"}, without=("id",))
        _draw(connection, ids, rest)
        for series, more in (("piece", rest), ("job", jobs)):
            connection.execute(
                text("UPDATE counter SET last = last + :more WHERE series = :series"), {"more": more, "series": series}
            )
    if store.engine.dialect.name == "postgresql":  # what the server does by itself some minutes after
        with store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text("VACUUM ANALYZE"))
    return job + (rest - 1) // IN_A_JOB


def _one(connection: Connection, asked: str, **values: Any) -> int:
    return int(connection.execute(text(asked), values).scalar_one())


def over_again(
    connection: Connection,
    table: Any,
    like: int,
    many: int,
    own: dict[str, str],
    without: tuple[str, ...] = (),
    where: str = "true",
) -> None:
    """So many rows like one, but for their own columns; of the counted ``i`` only those where that holds."""
    names = [column.name for column in table.__table__.columns if column.name not in without]
    kept = ", ".join(f'"{name}"' for name in names)
    values = ", ".join(own.get(name, f'"{name}"') for name in names)
    connection.execute(
        text(
            f"INSERT INTO {table.__tablename__} ({kept}) {COUNTED} "
            f"SELECT {values} FROM {table.__tablename__} CROSS JOIN n WHERE id = :like AND {where} ORDER BY i"
        ),
        {"like": like, "many": many},
    )


def _draw(connection: Connection, ids: dict[str, int], pieces: int) -> None:
    values = {"many": pieces, "piece": ids["piece"], "job": ids["job"]}
    job = f":job + (i - 1) / {IN_A_JOB}"
    connection.execute(
        text(
            'INSERT INTO movement (piece_id, kind, share, cost, source, target, job_id, "on", at, note) '
            f"{COUNTED}, k(k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM k WHERE k < {DRAWS}) "
            f"SELECT :piece + i, 'drawn', {PART}, {COST}, 'shelf', 'job', {job}, m.\"on\", m.at, '' "
            "FROM k CROSS JOIN n CROSS JOIN movement m "
            "WHERE m.id = (SELECT min(id) FROM movement WHERE piece_id = :piece) ORDER BY k, i"
        ),
        values,
    )
    connection.execute(
        text(
            "INSERT INTO job_cloth (job_id, piece_id, share, cost, rug_share, rug_cost) "
            f"{COUNTED} SELECT {job}, :piece + i, {PART * DRAWS}, {COST * DRAWS}, 0, 0 FROM n"
        ),
        values,
    )
    connection.execute(
        text(
            f'UPDATE piece SET "left" = "left" - {PART * DRAWS}, left_cost = left_cost - {COST * DRAWS} WHERE id > :piece'
        ),
        values,
    )
