"""A shop with any number of quotes, filled in quickly, each row as whole as one that was saved by hand.

One quote is saved through the use cases; the others copy its documents and have customers, titles, times and
words of their own. A few words are common, one is rare, and two that are common never stand in one quote.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Any, Final

from sqlalchemy import Engine, bindparam, func, insert, literal, select, text, true, update

from shop.store.engine import Store
from shop.store.numbering import Counter
from shop.store.quote import Quote, QuoteWord, search_text
from shop.usecases import drafting, planning
from shop.usecases.given import fresh_token
from tests.load.a_full_shop import NOW, fill

FIRST: Final = (
    "Ada Bo Cleo Dag Edda Finn Greta Hal Ines Jon Kaja Leif Mina Nils Ona Per Runa Sven Tove Ulf".split()
)
LAST: Final = [
    f"{a}{b}"
    for a in "Al Bern Dahl Ek Fors Gran Hag Lind Moss Nor".split()
    for b in "berg by dal man stam".split()
]
COLOURS: Final = "blue madder moss ochre undyed slate rose".split()
PLACES: Final = "hall kitchen bath porch bedside stair window".split()
RARE, HITS = "quillon", 10
ALONE: Final = ("runner", "doormat")
"""Two words, each in half of the quotes, that no quote has both of."""
AT_ONCE: Final = 20_000
ITS_OWN: Final = ("number", "customer_name", "title", "search_text", "created_at", "updated_at")


def fill_with(store: Store, rows: int) -> None:
    """Fill an empty shop: its looms and cloth, and so many quotes."""
    fill(store)
    plan = planning.planned(store)
    customer = drafting.Customer(
        name="Asa Lindqvist", contact="asa@example.org", title="Hall runner in blues"
    )
    drafting.keep(
        store,
        plan=plan,
        customer=customer,
        number=None,
        revision=0,
        saving=fresh_token(),
        now=NOW - timedelta(days=1),
    )
    engine = store.engine
    every = Quote.__table__.c
    alike = [name for name in every.keys() if name not in {*ITS_OWN, "id"}]  # noqa: SIM118 - columns, not a dict
    own = (bindparam(name, type_=every[name].type) for name in ITS_OWN)
    like_the_first = select(*own, *(every[name] for name in alike)).where(every.id == 1)
    copied = insert(Quote.__table__).from_select([*ITS_OWN, *alike], like_the_first)
    for first in range(2, rows + 1, AT_ONCE):
        with engine.begin() as connection:
            _carelessly(engine, connection)
            connection.execute(copied, list(_quotes(first, min(rows, first + AT_ONCE - 1), rows)))
    with engine.begin() as connection:
        _carelessly(engine, connection)
        connection.execute(update(Counter).where(Counter.series == "quote").values(last=rows))
        connection.execute(insert(QuoteWord).from_select(["word", "updated_at", "quote_id"], _words(engine)))
    if engine.dialect.name == "postgresql":  # what the server does by itself some minutes after
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text("VACUUM ANALYZE quote, quote_word"))


def _quotes(first: int, last: int, rows: int) -> Iterator[dict[str, Any]]:
    for number in range(first, last + 1):
        customer = f"{FIRST[number % 20]} {LAST[number // 20 % 50]}"
        if number % (rows // HITS) == 1:
            customer += f" {RARE}"
        title = f"{COLOURS[number % 7]} {PLACES[number // 7 % 7]} {ALONE[number % 2]}, rag woven".capitalize()
        moment = NOW + timedelta(minutes=number)
        yield {
            "number": number,
            "customer_name": customer,
            "title": title,
            "search_text": search_text(customer, title),
            "created_at": moment,
            "updated_at": moment,
        }


def _words(engine: Engine) -> Any:
    """Every word of every quote but the first, from its searched text, in the order of the index."""
    if engine.dialect.name == "postgresql":
        parts = (
            func.unnest(func.string_to_array(func.btrim(Quote.search_text), " "))
            .table_valued("value")
            .render_derived()
        )
    else:
        quoted = func.replace(func.trim(Quote.search_text), " ", '","')
        parts = func.json_each(literal('["') + quoted + literal('"]')).table_valued("value")
    found = select(parts.c.value, Quote.updated_at, Quote.id).join_from(Quote, parts, true())
    return found.where(Quote.id > 1).order_by(parts.c.value, Quote.updated_at, Quote.id)


def _carelessly(engine: Engine, connection: Any) -> None:
    """Without waiting for the disk: these rows can be made again."""
    if engine.dialect.name == "postgresql":
        connection.execute(text("SET LOCAL synchronous_commit = off"))
