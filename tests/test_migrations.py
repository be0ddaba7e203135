"""Migrations lead to the very schema that the tables describe, up and down, with rows in."""

import threading
from datetime import UTC, datetime

import pytest
from sqlalchemy import inspect, text
from sqlalchemy.exc import IntegrityError

from shop.core.account_of_order import Happening
from shop.core.colour import shelf_place
from shop.core.errors import Refusal
from shop.core.ledger import Kind
from shop.store.engine import Store, make_engine
from shop.store.migrate import is_current, migrate
from shop.store.tables import metadata
from shop.usecases import job, order_money, piece
from shop.usecases.given import fresh_token
from shop.usecases.ledger import prove
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_planned_job,
    a_sheet,
    an_open_shop,
    drawn,
    money,
)
from tests.usecases.history_kept import entries_anew, entries_kept

FIRST = "2026_11_25_ground"
CLOTH = "2026_11_25_cloth_and_quotes"
BEFORE_HISTORY = "2026_11_30_outbox"


def schema(url):
    """Everything that the database says about its tables, in an order of ours."""
    engine = make_engine(url)
    told = {}
    with engine.connect() as connection:
        looked = inspect(connection)
        for table in sorted(looked.get_table_names()):
            if table == "alembic_version":
                continue
            told[table] = {
                "columns": [
                    (
                        c["name"],
                        str(c["type"]),
                        getattr(c["type"], "collation", None),
                        c["nullable"],
                        c["default"],
                    )
                    for c in looked.get_columns(table)
                ],
                "primary key": looked.get_pk_constraint(table),
                "foreign keys": sorted(looked.get_foreign_keys(table), key=str),
                "unique": sorted(looked.get_unique_constraints(table), key=str),
                "checks": sorted(looked.get_check_constraints(table), key=str),
                "indexes": sorted((written(index) for index in looked.get_indexes(table)), key=str),
            }
        if engine.dialect.name == "sqlite":
            made = "SELECT name FROM sqlite_master WHERE sql LIKE '%WITHOUT ROWID%'"
            told["without row numbers"] = connection.execute(text(made)).scalars().all()
    engine.dispose()
    return told


def written(index):
    """An index, its condition as text so that two can be compared."""
    return {**index, "dialect_options": {k: str(v) for k, v in index.get("dialect_options", {}).items()}}


def create_all(url):
    engine = make_engine(url)
    metadata.create_all(engine)
    engine.dispose()


def test_the_schema_after_migrating_is_the_one_that_the_tables_describe(empty_url):
    migrate(empty_url)
    migrated = schema(empty_url)
    migrate(empty_url, to="base")
    assert {table for table in schema(empty_url) if table != "without row numbers"} == set()
    create_all(empty_url)
    described = schema(empty_url)
    assert migrated == described
    assert set(metadata.tables) <= set(migrated)


def test_partial_indexes_are_partial_on_both_databases(empty_url):
    migrate(empty_url)
    partial = {
        index["name"]
        for table, told in schema(empty_url).items()
        if table != "without row numbers"
        for index in told["indexes"]
        if any(key.endswith("_where") for key in index["dialect_options"])
    }
    assert partial == {
        "uq_account_one_owner",
        "uq_loom_name_in_use",
        "uq_movement_came_once",
        "ix_piece_in_hand",
        "ix_piece_by_shade",
        "ix_piece_by_colour",
        "ix_piece_to_wash",
        "ix_piece_gone",
        "ix_reservation_held",
        "ix_offer_open",
        "uq_offer_one_open",
        "uq_time_entry_running",
        "uq_job_photograph_stands",
        "ix_sale_line_doubtful",
        "uq_evidence_aside_now",
        "ix_time_entry_struck",
        "ix_job_measure_struck",
        "ix_piece_corrected",
    }


def test_migrating_twice_changes_nothing(empty_url):
    assert not is_current(empty_url)
    first = migrate(empty_url)
    before = schema(empty_url)
    assert migrate(empty_url) == first
    assert schema(empty_url) == before
    assert is_current(empty_url)


WITH_PLACES = {
    "piece": "id, number, haul_id, name, name_key, cloth, colour, fibres, width, length, paid, tears, "
    'yarn, shade, fibre, condition, kept, came, later, "left", left_cost, state, revision',
    "movement": 'id, piece_id, kind, share, cost, at, reverses_id, note, source, target, "on"',
}


def put_rows_in(url):
    """A row in each table, and two in those that lean on themselves."""
    at = datetime(2026, 3, 17, tzinfo=UTC).isoformat(sep=" ")
    given = {
        "account": "id, name, name_key, is_owner, password_hash, stamp, created_at, changed_at",
        "counter": "series, last",
        "press": "act, token, digest, about, at",
    }
    rows = {
        "account": f"1, 'Ida', 'ida', true, 'x', 'y', '{at}', '{at}'",
        "counter": "'quote', 7",
        "press": f"'quote.save', 'a-token-of-a-press', 'a-digest', 1, '{at}'",
    }
    later_given = {
        "haul": 'id, place, "on", tax, discount, washing, trip, spread_by, currency, note, created_at',
        "piece": "id, number, haul_id, name, name_key, cloth, colour, fibres, width, length, paid, tears",
        "movement": "id, piece_id, kind, share, cost, at, reverses_id, note",
        "quote_word": "word, updated_at, quote_id",
    }
    piece = "1, 1, 'sheet', 'sheet', 'sheeting', '#ffffff', '[[\"cotton\", \"1\"]]', 10, 10, 500, true"
    later_rows = {
        "haul": f"1, 'market', '2026-03-14', 0, 0, 0, 0, 'price', 'USD', '', '{at}'",
        "piece": f"1, {piece}",
        "movement": f"1, 1, 'brought home', 1000000000, 500, '{at}', NULL, ''",
    }
    engine = make_engine(url)
    with engine.begin() as connection:
        has_cloth = "haul" in inspect(connection).get_table_names()
        if has_cloth and "job" in inspect(connection).get_table_names():
            later_given.update(WITH_PLACES)
            later_rows["piece"] += ", '', 0, 'cotton', '', '', 500, 0, 1000000000, 500, 'ready', 1"
            later_rows["movement"] += ", 'outside', 'shelf', '2026-03-14'"
        if has_cloth and "photograph" in inspect(connection).get_table_names():
            later_given["photograph"] = "piece_id, image, thumbnail, width, height, digest, at"
            later_rows["photograph"] = f"1, '', '', 4, 3, 'a-digest', '{at}'"
        if has_cloth and "job_note" in inspect(connection).get_table_names():
            later_given["job"] = "id, number, name, note, state, begun_at, revision"
            later_rows["job"] = f"1, 1, 'mat', '', 'ready', '{at}', 1"
            later_given["job_note"] = "id, job_id, words, at"
            later_rows["job_note"] = f"1, 1, 'Beat it harder.', '{at}'"
            later_given["job_photograph"] = "id, job_id, words, stands, image, thumbnail, width, height, digest, at"
            later_rows["job_photograph"] = f"1, 1, 'Done', true, '', '', 4, 3, 'a-digest', '{at}'"
            later_given["job_measure"] = "id, job_id, width, length, at"
            later_rows["job_measure"] = f"1, 1, 10, 10, '{at}'"
        for table, values in {**rows, **(later_rows if has_cloth else {})}.items():
            columns = {**given, **later_given}[table]
            connection.execute(text(f"INSERT INTO {table} ({columns}) VALUES ({values})"))  # noqa: S608
    engine.dispose()


def rows_in(url, table):
    engine = make_engine(url)
    with engine.connect() as connection:
        count = connection.execute(text(f"SELECT count(*) FROM {table}")).scalar_one()  # noqa: S608
    engine.dispose()
    return count


def test_rows_survive_each_step_up_and_down(empty_url):
    migrate(empty_url, to=FIRST)
    put_rows_in(empty_url)
    migrate(empty_url)
    assert (rows_in(empty_url, "account"), rows_in(empty_url, "counter")) == (1, 1)
    assert migrate(empty_url, to=FIRST) == FIRST
    assert (rows_in(empty_url, "account"), rows_in(empty_url, "press")) == (1, 1)
    assert "piece" not in schema(empty_url)


def test_a_full_database_can_be_taken_down_and_up(empty_url):
    migrate(empty_url)
    put_rows_in(empty_url)
    for table in ("movement", "photograph", "job_note", "job_photograph", "job_measure"):
        assert rows_in(empty_url, table) == 1
    assert migrate(empty_url, to="base") is None
    migrate(empty_url)
    assert rows_in(empty_url, "movement") == 0


def put_a_history_in(url):
    """At the step before the ledger: a sheet given away and back again, one given away, one set aside."""
    rows = [
        # id, piece, kind, share, cost, day of the entry, undoes
        (1, 1, "brought home", 10**9, 500, 14, None),
        (2, 1, "set aside to wash", 0, 0, 14, None),
        (3, 2, "brought home", 10**9, 333, 14, None),
        (4, 2, "ready", 0, 0, 14, None),
        (5, 1, "ready", 0, 0, 15, None),
        (6, 1, "given away", -(10**9), -500, 16, None),
        (7, 2, "given away", -(10**9), -333, 17, None),
        (8, 1, "reversed", 10**9, 500, 17, 6),
        (9, 3, "brought home", 10**9, 0, 14, None),
        (10, 3, "ready", 0, 0, 14, None),
        (11, 3, "set aside to wash", 0, 0, 15, None),
        (12, 3, "reversed", 0, 0, 16, 11),
    ]
    engine = make_engine(url)
    with engine.begin() as connection:
        connection.execute(
            text(
                "INSERT INTO haul VALUES (1, 'market', '2026-03-01', 0, 0, 0, 0, 'price', 'USD', '', "
                "'2026-03-14 00:00:00+00:00')"
            )
        )
        for number, paid in ((1, 500), (2, 333), (3, 0)):
            connection.execute(
                text(
                    "INSERT INTO piece (id, number, haul_id, name, name_key, cloth, colour, fibres, width, length, paid) "  # noqa: S608
                    f"VALUES ({number}, {number}, 1, 'sheet', 'sheet', '', '#aa3322', '[]', 10, 10, {paid})"
                )
            )
        for one, piece, kind, share, cost, day, undoes in rows:
            connection.execute(
                text(
                    "INSERT INTO movement (id, piece_id, kind, share, cost, at, reverses_id, note) "  # noqa: S608
                    f"VALUES ({one}, {piece}, '{kind}', {share}, {cost}, '2026-03-{day} 12:00:00.000000', "
                    f"{undoes or 'NULL'}, '')"
                )
            )
        if engine.dialect.name == "postgresql":
            connection.execute(text("SELECT setval('movement_id_seq', 12)"))
            connection.execute(text("SELECT setval('piece_id_seq', 3)"))
    engine.dispose()


def test_a_shop_from_before_the_ledger_comes_over_whole(empty_url):
    migrate(empty_url, to=CLOTH)
    put_a_history_in(empty_url)
    migrate(empty_url)
    store = Store(empty_url)
    found = prove(store)
    assert found.faults == ()
    assert [m.minor for m in (found.paid, found.on_shelf, found.written_off, found.receipts)] == [833, 500, 333, 833]
    cards = [piece.piece(store, number=number) for number in (1, 2, 3)]
    assert [card.state for card in cards] == ["ready", "given away", "ready"]
    assert [step.on.day for step in cards[0].steps] == [1, 1, 15, 16, 17]
    assert cards[0].steps[4].undoes is Kind.GIVEN_AWAY
    engine = make_engine(empty_url)
    with engine.connect() as connection:
        shades = set(connection.execute(text("SELECT shade FROM piece")).scalars())
    engine.dispose()
    assert shades == {shelf_place("#aa3322")}
    at = datetime(2026, 3, 20, tzinfo=UTC)
    again = piece.give_away(store, number=1, saving=fresh_token(), now=at)
    assert again.state == "given away"
    store.close()


def test_what_the_step_before_the_ledger_can_hold_goes_back_to_it(empty_url):
    migrate(empty_url, to=CLOTH)
    put_a_history_in(empty_url)
    before = everything_in(empty_url, "movement")
    migrate(empty_url)
    assert migrate(empty_url, to=CLOTH) == CLOTH
    assert everything_in(empty_url, "movement") == before
    migrate(empty_url)
    store = Store(empty_url)
    assert prove(store).holds
    store.close()


def test_orders_that_are_there_come_into_the_history_as_if_begun_now(empty_url, now):
    migrate(empty_url)
    store = Store(empty_url)
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, *(a_sheet(ready=True) for _ in range(3)))
    for number in (1, 2, 3):
        a_planned_job(store, now, number, name=f"Ærlig SJÖBERG’s No. {number} ½ mat")
        drawn(store, now, number, number)
    a_job(store, now, name="Of no quote")
    a_job(store, now, name="Called off, of no quote")
    job.call_off(store, number=5, saving=fresh_token(), now=now)
    job.weave(store, number=1, saving=fresh_token(), now=now)
    for number, what, amount in ((1, Happening.PAYMENT, "900.00"), (1, Happening.REFUND, "1.00"), (2, Happening.PAYMENT, "2.00")):
        paid = {"job": number, "what": what, "amount": money(amount), "means": "cash"}
        order_money.record(store, **paid, saving=fresh_token(), now=now)
    order_money.hand_over(store, job=1, came_to=money("20.00"), saving=fresh_token(), now=now)
    kept = entries_kept(store)
    assert [row[-2:] for row in kept[0]] == [(True, 1600), (False, None), (False, None), (None, None), (None, None)]
    store.close()
    migrate(empty_url, to=BEFORE_HISTORY)
    assert "history_word" not in schema(empty_url)
    migrate(empty_url)
    store = Store(empty_url)
    assert entries_kept(store) == kept == entries_anew(store)
    store.close()


def everything_in(url, table):
    engine = make_engine(url)
    with engine.connect() as connection:
        told = [dict(row) for row in connection.execute(text(f"SELECT * FROM {table} ORDER BY id")).mappings()]  # noqa: S608
    engine.dispose()
    return told


def test_the_database_itself_allows_one_owner_and_one_coming_home(empty_url):
    migrate(empty_url)
    put_rows_in(empty_url)
    engine = make_engine(empty_url)
    moved, rest = WITH_PLACES["movement"], 'at, NULL, \'\', source, target, "on" FROM movement'
    for statement in (
        "INSERT INTO account SELECT 2, 'Eva', 'eva', is_owner, 'x', 'y', created_at, changed_at FROM account",
        f"INSERT INTO movement ({moved}) SELECT 2, piece_id, kind, share, cost, {rest}",
        f"INSERT INTO movement ({moved}) SELECT 3, 99, 'ready', 0, 0, {rest}",
        f"INSERT INTO movement ({moved}) SELECT 4, piece_id, 'ready', -1, 0, {rest}",
        'UPDATE piece SET "left" = -1',
        "UPDATE piece SET left_cost = -1",
        "UPDATE job_measure SET width = 0",
        "INSERT INTO job_photograph SELECT 2, job_id, words, true, image, thumbnail, width, height, 'other', at FROM job_photograph",
        "INSERT INTO job_photograph SELECT 2, job_id, words, false, image, thumbnail, width, height, digest, at FROM job_photograph",
        'UPDATE piece SET "left" = 0',
    ):
        with pytest.raises(IntegrityError), engine.begin() as connection:
            connection.execute(text(statement))
    engine.dispose()


def test_a_database_of_a_newer_version_is_refused_and_left_alone(empty_url):
    migrate(empty_url)
    engine = make_engine(empty_url)
    with engine.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '2999_01_01_later'"))
    engine.dispose()
    with pytest.raises(Refusal) as refused:
        migrate(empty_url)
    assert [p.code for p in refused.value.problems] == ["migrate.newer"]
    assert "piece" in schema(empty_url)


def test_a_migration_that_fails_leaves_nothing_behind(empty_url):
    engine = make_engine(empty_url)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE quote (id INTEGER)"))  # in the second migration's way
    with pytest.raises(Exception, match="quote"):
        migrate(empty_url)
    with engine.connect() as connection:
        assert inspect(connection).get_table_names() == ["quote"]
    engine.dispose()


def test_rows_that_point_at_nothing_are_found_before_anything_is_kept(tmp_path):
    url = f"sqlite:///{tmp_path / 'shop.sqlite3'}"
    migrate(url, to=FIRST)
    engine = make_engine(url, foreign_keys=False)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE stray (id INTEGER REFERENCES account (id))"))
        connection.execute(text("INSERT INTO stray VALUES (99)"))
    engine.dispose()
    with pytest.raises(Refusal) as refused:
        migrate(url)
    assert [p.code for p in refused.value.problems] == ["migrate.foreign_keys"]
    assert "quote" not in schema(url)


def test_several_that_migrate_at_once_take_turns(empty_url):
    came_out, failed = [], []

    def one():
        try:
            came_out.append(migrate(empty_url))
        except BaseException as error:  # noqa: BLE001 - shown by the assertion
            failed.append(error)

    threads = [threading.Thread(target=one) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    assert len(set(came_out)) == 1
