"""The list of quotes, newest first, and the search in it: as quick at a million quotes as at a thousand.

A page goes on from where the one before ended (by time of saving, then id), along an index. A search takes the
quotes that hold one of its words from the word index, which lies newest first, keeps those that hold the others
too, and looks at no more than ``LOOKED_AT`` of them for one page: where two common words seldom meet, a page may
come out short and say from where to look further back. Nothing is ever sorted whole.

A word is searched from its beginning: ``run`` finds *runner*. Such a beginning is first turned into the words
that there are, by hopping along the index; one that begins too many words is looked for along the list itself,
where it is met often.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, Select, func, literal, select, tuple_, union_all
from sqlalchemy.orm import Session

from shop.store.quote import Quote, QuoteWord

LOOKED_AT: Final = 2000
MOST_SPELLINGS: Final = 30
BEYOND: Final = "\U0010ffff"

Place = tuple[datetime, int]
"""Where in the list: the time of saving and the id of a quote."""

_COLUMNS: Final = (
    Quote.id, Quote.number, Quote.state, Quote.customer_name, Quote.title, Quote.width, Quote.length,
    Quote.stripes, Quote.asking, Quote.total, Quote.currency, Quote.created_at, Quote.updated_at,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Found:
    """A page of the list: its rows, and where to go on, if there is more to look at."""

    rows: Sequence[Row[Any]]
    further: Place | None


def newest(session: Session, *, after: Place | None, limit: int) -> Found:
    """The next page of all quotes."""
    found = _from_place(select(*_COLUMNS), Quote.updated_at, Quote.id, after)
    return _page(session, found, limit)


def _from_place(found: Select[Any], updated_at: Any, number: Any, after: Place | None) -> Select[Any]:
    if after is not None:
        found = found.where(tuple_(updated_at, number) < tuple_(literal(after[0], updated_at.type), after[1]))
    return found.order_by(updated_at.desc(), number.desc())


def _page(session: Session, found: Select[Any], limit: int) -> Found:
    rows = session.execute(found.limit(limit + 1)).all()
    more = len(rows) > limit
    rows = rows[:limit]
    return Found(rows, (rows[-1].updated_at, rows[-1].id) if more else None)


def by_number(session: Session, number: int) -> Row[Any] | None:
    """One row of the list, by the quote's number."""
    return session.execute(select(*_COLUMNS).where(Quote.number == number)).first()


def search(session: Session, *, words: Sequence[str], after: Place | None, limit: int) -> Found:
    """The next page of the quotes that hold every one of these folded words, or words that begin so."""
    spellings = [spelled for spelled in (_spellings(session, word) for word in words) if spelled is not None]
    if not all(spellings):
        return Found((), None)
    hits_are_found = len(words) == len(spellings) == 1  # every quote with the one word will do
    looked_at = limit + 1 if hits_are_found else LOOKED_AT
    window = _window(session, spellings, after, looked_at).subquery()
    found = select(*_COLUMNS).join(window, Quote.id == window.c.quote_id)
    for word in () if hits_are_found else words:
        found = found.where(Quote.search_text.contains(f" {word}"))
    found = found.order_by(window.c.updated_at.desc(), window.c.quote_id.desc())
    page = _page(session, found, limit)
    if page.further is not None or hits_are_found:
        return page
    count, last = _end_of(session, window)
    return Found(page.rows, last if count >= looked_at else None)


def _spellings(session: Session, beginning: str) -> tuple[str, ...] | None:
    """The words that begin so; ``None`` when they are too many to look up one by one."""
    first = select(func.min(QuoteWord.word).label("word")).where(
        QuoteWord.word >= beginning, QuoteWord.word < beginning + BEYOND
    )
    hops = first.cte("hops", recursive=True)
    following = (
        select(func.min(QuoteWord.word))
        .where(QuoteWord.word > hops.c.word, QuoteWord.word < beginning + BEYOND)
        .scalar_subquery()
    )
    hops = hops.union_all(select(following).where(hops.c.word.is_not(None)))
    found = session.execute(select(hops.c.word).limit(MOST_SPELLINGS + 1)).scalars().all()
    words = tuple(word for word in found if word is not None)
    return None if len(words) > MOST_SPELLINGS else words


def _window(
    session: Session, spellings: Sequence[tuple[str, ...]], after: Place | None, looked_at: int
) -> Select[Any]:
    """The quotes to look at for this page: the newest with the rarest of the words, or the newest of all."""
    if not spellings:
        every = select(Quote.id.label("quote_id"), Quote.updated_at)
        return _from_place(every, Quote.updated_at, Quote.id, after).limit(looked_at)
    rarest = spellings[0]
    if len(spellings) > 1:
        rarest = min(spellings, key=lambda spelled: _frequency(session, spelled))
    parts = []
    for word in rarest:
        one = select(QuoteWord.quote_id, QuoteWord.updated_at).where(QuoteWord.word == word)
        part = _from_place(one, QuoteWord.updated_at, QuoteWord.quote_id, after).limit(looked_at).subquery()
        parts.append(select(part.c.quote_id, part.c.updated_at))
    together = union_all(*parts).subquery()
    once = select(together.c.quote_id, together.c.updated_at).distinct()
    return once.order_by(together.c.updated_at.desc(), together.c.quote_id.desc()).limit(looked_at)


def _frequency(session: Session, spelled: tuple[str, ...]) -> int:
    some = select(QuoteWord.quote_id).where(QuoteWord.word.in_(spelled)).limit(LOOKED_AT).subquery()
    return session.execute(select(func.count()).select_from(some)).scalar_one()


def _end_of(session: Session, window: Any) -> tuple[int, Place | None]:
    end = (
        select(window.c.updated_at, window.c.quote_id)
        .order_by(window.c.updated_at.asc(), window.c.quote_id.asc())
        .limit(1)
    )
    count = session.execute(select(func.count()).select_from(window)).scalar_one()
    last = session.execute(end).first()
    return count, None if last is None else (last.updated_at, last.quote_id)


def count_newest(session: Session, *, most: int) -> int:
    """How many quotes there are, counting no further than ``most``."""
    some = select(Quote.id).limit(most).subquery()
    return session.execute(select(func.count()).select_from(some)).scalar_one()
