"""A shop with any number of orders, filled in quickly, the newest of them still on the loom and the others long handed over.

One order is made through the use cases: quoted, offered, accepted, drawn for, timed, paid, woven and handed over. The
others are its rows over again, with customers, names, looms, sizes, days and sums of their own; four orders to a customer,
a draw of two pieces for every second order, and each piece in four orders. The documents of most are cut down to what the
history reads of them; of the newest, and of every five-hundredth, they are whole.

What is rare is as rare in a small shop as in a large one: so many of it in all.
"""
# ruff: noqa: S608 - statements are put together of words of this file

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Final

from sqlalchemy import Connection, select, text

from shop.core.account_of_order import Happening
from shop.core.amount import Share
from shop.store import history_entry
from shop.store.customer import Customer
from shop.store.engine import Store
from shop.store.fabric import Piece
from shop.store.history_entry import HistoryEntry
from shop.store.job import Job
from shop.store.ledger import Movement
from shop.store.offer import Offer
from shop.store.order_money import OrderEvent, TimeEntry
from shop.store.quote import Quote
from shop.usecases import answer, clock, draw, job, offer, order_money
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.offer import OfferGiven
from tests.builders import a_haul_at_home, a_planned_quote, a_sheet, money
from tests.load.a_full_shop import NOW, fill
from tests.load.much_cloth import COUNTED, over_again
from tests.load.order_values import EVERY, OPEN_ONES, OrderValues

KEY: Final = b"a key that only this shop has, and long"
PART, COST = 200_000_000, 20
STEPS: Final = ("cut", "warp", "weave")


@dataclass(frozen=True, slots=True)
class Filled:
    """What is known of a filled shop: its orders, the number of one in the middle that is whole, and a piece that went into some."""

    orders: int
    middle: int
    piece: int
    day: date


def fill_with(store: Store, rows: int) -> Filled:
    """Fill an empty shop with so many orders."""
    fill(store)
    _the_first(store)
    engine = store.engine
    told = OrderValues(engine.dialect.name == "postgresql", rows)
    for part in (_people, _orders, _money, _time, _cloth, _entries, _words):
        with engine.begin() as connection:
            told.carelessly(connection)
            part(connection, told)
    if told.postgresql:  # what the server does by itself some minutes after
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text("VACUUM ANALYZE"))
    _entries_are_right(store, rows)
    return known_of(store, rows)


def known_of(store: Store, rows: int) -> Filled:
    """What is known of a shop that was filled so."""
    middle = rows // 2 // 500 * 500
    with store.reading() as session:
        piece = session.execute(select(Piece.number).where(Piece.name == "For many").order_by(Piece.id)).scalars().first()
    return Filled(rows, middle + 1, (piece or 0) + middle // 4, (NOW - EVERY * (rows - middle)).date())


def _the_first(store: Store) -> None:
    """One order from the quote to the handing over, as its owner would."""
    home = a_haul_at_home(store, NOW, a_sheet(name="For many", paid=money("1.00"), ready=True))
    piece = home.pieces[0].number
    quote = a_planned_quote(store, NOW, piece)
    made = offer.offer(
        store,
        quote=quote,
        revision=1,
        given=OfferGiven(content={"name": "Runner"}, paper=b"%PDF", deposit=money("10.00"), holds_until=date(2026, 4, 16)),
        customer=CustomerGiven(name="Asa Lindqvist", mail="asa@example.org"),
        key=KEY,
        saving=fresh_token(),
        now=NOW,
    )
    answered = {"token": made.token, "name": "Asa Lindqvist", "digest": made.digest, "key": KEY}
    number = answer.accept(store, **answered, saving=fresh_token(), now=NOW).job
    draw.draw(store, number=piece, job=number, amount=Share(Decimal("0.2")), saving=fresh_token(), now=NOW)
    for step in STEPS:
        clock.type_in(store, job=number, step=step, minutes=Decimal(30), saving=fresh_token(), now=NOW)
    job.weave(store, number=number, saving=fresh_token(), now=NOW)
    order_money.record(
        store, job=number, what=Happening.PAYMENT, amount=money("10.00"), means="cash", saving=fresh_token(), now=NOW
    )
    order_money.hand_over(store, job=number, came_to=money("10.00"), saving=fresh_token(), now=NOW)


def _people(connection: Connection, told: OrderValues) -> None:
    name = told.customer("i")
    own = {"id": "i + 1", "number": "i + 1", "name": name, "search_text": f"' ' || lower({name})"}
    over_again(connection, Customer, 1, told.more // 4 + 1, own)


def _orders(connection: Connection, told: OrderValues) -> None:
    title, size = told.title("i"), told.width("i")
    total = "9000 + 100 * (i % 60)"
    quote = {
        "id": "i + 1", "number": "i + 1", "title": title, "customer_name": told.customer("(i / 4 + 1)"),
        "search_text": f"' ' || lower({title})", "width": size, "total": total, "created_at": told.begun("i"),
        "updated_at": told.begun("i"), "described": told.document("described", "i"), "figures": told.document("figures", "i"),
    }  # fmt: skip
    over_again(connection, Quote, 1, told.more, quote)
    loom = "'{\"document\": {\"loom\": {\"name\": \"' || (" + told.loom("i") + ") || '\"}}}'"
    over = f"CASE WHEN {told.age('i')} >= {OPEN_ONES} THEN {told.begun('i')} END"
    begun = {
        "id": "i + 1", "number": "i + 1", "name": title, "state": told.state("i"), "quote_id": "i + 1",
        "begun_at": told.begun("i"), "ended_at": over, "described": told.document("described", "i", loom),
    }  # fmt: skip
    over_again(connection, Job, 1, told.more, begun)
    given = {
        "id": "i + 1", "quote_id": "i + 1", "customer_id": "i / 4 + 2", "job_id": "i + 1", "width": size, "total": total,
        "link": "'link ' || i", "offered_at": told.begun("i"), "closed_at": told.begun("i"), "paper": "NULL",
        **{name: told.document(name, "i") for name in ("described", "figures", "content")},
    }  # fmt: skip
    over_again(connection, Offer, 1, told.more, given)
    connection.execute(
        text("UPDATE counter SET last = last + :more WHERE series IN ('quote', 'job')"), {"more": told.more}
    )


def _money(connection: Connection, told: OrderValues) -> None:
    """A deposit, the rest but for some who never paid it, and what it came to when it was handed over."""
    total, named = "9000 + 100 * (i % 60)", {"job_id": "i + 1"}
    paid = _one(connection, "SELECT id FROM order_event WHERE what = 'payment'")
    over = _one(connection, "SELECT id FROM order_event WHERE what = 'handed over'")
    without = ("id",)
    over_again(connection, OrderEvent, paid, told.more, named, without, where=f"NOT {told.is_called_off('i')}")
    rest = {**named, "amount": f"{total} - 1000"}
    over_again(connection, OrderEvent, paid, told.more, rest, without, where=f"{told.is_over('i')} AND i % 13 <> 3")
    came_to = {**named, "amount": f"CASE WHEN {told.is_loss('i')} THEN 20 ELSE {total} END"}
    over_again(connection, OrderEvent, over, told.more, came_to, without, where=told.is_over("i"))


def _time(connection: Connection, told: OrderValues) -> None:
    for step in STEPS:
        like = _one(connection, "SELECT id FROM time_entry WHERE step = :step", step=step)
        over_again(connection, TimeEntry, like, told.more, {"job_id": "i + 1"}, ("id",), where=told.is_over("i"))


def _cloth(connection: Connection, told: OrderValues) -> None:
    """Pieces as they came home, and two draws for every second order, which went into its rug."""
    first = _one(connection, "SELECT id FROM piece WHERE name = 'For many'")
    more = told.more // 4 + 2
    over_again(connection, Piece, first, more, {"id": f"{first} + i", "number": "number + i", "shade": "shade + i"})
    for kind in ("brought home", "ready"):
        like = _one(connection, "SELECT id FROM movement WHERE kind = :kind AND piece_id = :piece", kind=kind, piece=first)
        over_again(connection, Movement, like, more, {"piece_id": f"{first} + i"}, ("id",))
    for side in (1, 2):
        piece, drawn_for = f"{first} + i / 4 + {side}", told.is_drawn_for("i")
        for kind in ("drawn", "woven"):
            like = _one(connection, "SELECT id FROM movement WHERE kind = :kind", kind=kind)
            over_again(
                connection, Movement, like, told.more, {"job_id": "i + 1", "piece_id": piece}, ("id",), where=drawn_for
            )
        connection.execute(
            text(
                f"INSERT INTO job_cloth (job_id, piece_id, share, cost, rug_share, rug_cost) {COUNTED} "
                f"SELECT i + 1, {piece}, 0, 0, {PART}, {COST} FROM n WHERE {drawn_for}"
            ),
            {"many": told.more},
        )
    gone = "(SELECT coalesce(sum({}), 0) FROM job_cloth WHERE piece_id = piece.id)"
    connection.execute(
        text(
            f'UPDATE piece SET "left" = 1000000000 - {gone.format("rug_share")}, '
            f"left_cost = came - {gone.format('rug_cost')} WHERE id >= {first}"
        )
    )
    connection.execute(text("UPDATE counter SET last = last + :more WHERE series = 'piece'"), {"more": more})


def _entries(connection: Connection, told: OrderValues) -> None:
    i = "(job.id - 1)"
    cloth = f"CASE WHEN {told.is_drawn_for(i)} THEN {2 * COST} ELSE 0 END"
    connection.execute(
        text(
            "INSERT INTO history_entry (job_id, begun_at, words, loom, width, length, paid, left_over, profit) "
            "SELECT job.id, job.begun_at, ' ' || lower(replace(job.name, ',', '')) || ' ' || lower(customer.name), "
            f"{told.loom(i)}, offer.width, offer.length, "
            f"CASE WHEN {told.is_called_off(i)} THEN NULL "
            f"WHEN {told.is_loss(i)} OR ({told.is_over(i)} AND {i} % 13 <> 3) THEN true ELSE false END, "
            f"CASE WHEN {told.is_loss(i)} THEN 20 - {cloth} WHEN {told.is_over(i)} THEN offer.total - {cloth} END, "
            f"CASE WHEN {told.is_loss(i)} THEN 20 - {cloth} WHEN {told.is_over(i)} THEN offer.total - {cloth} END "
            "FROM job JOIN offer ON offer.job_id = job.id JOIN customer ON customer.id = offer.customer_id "
            "WHERE job.id > 1 ORDER BY job.id"
        )
    )


def _words(connection: Connection, told: OrderValues) -> None:
    """Every word of every entry but the first, in the order of the index."""
    if told.postgresql:
        parts = "unnest(string_to_array(btrim(entry.words), ' ')) AS part(value)"
    else:
        parts = "json_each('[\"' || replace(trim(entry.words), ' ', '\",\"') || '\"]') AS part"
    connection.execute(
        text(
            "INSERT INTO history_word (word, begun_at, job_id) SELECT part.value, entry.begun_at, entry.job_id "
            f"FROM history_entry AS entry CROSS JOIN {parts} WHERE entry.job_id > 1 ORDER BY 1, 2, 3"
        )
    )


def _one(connection: Connection, asked: str, **values: Any) -> int:
    return int(connection.execute(text(f"{asked} ORDER BY id LIMIT 1"), values).scalar_one())


def _entries_are_right(store: Store, rows: int) -> None:
    """The entries of some are what the shop itself would have written."""
    some = [*range(2, rows, max(1, rows // 400)), *range(max(2, rows - 60), rows + 1)]
    asked = select(*HistoryEntry.__table__.columns).where(HistoryEntry.job_id.in_(some)).order_by(HistoryEntry.job_id)
    with store.writing() as session:
        before = session.execute(asked).all()
        history_entry.renew(session, some)
        session.flush()
        after = session.execute(asked).all()
    if before != after:
        wrong = next(pair for pair in zip(before, after, strict=True) if pair[0] != pair[1])
        raise SystemExit(f"An entry is not as the shop would write it: {wrong}")
