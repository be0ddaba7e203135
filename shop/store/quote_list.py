"""The list of quotes, newest first, and the search in it: as quick at a million quotes as at a thousand.

A page goes on from where the one before ended (by time of saving, then id), along an index. A search takes the
quotes that hold the rarest of its words from the word index, which lies newest first, and keeps those that the
index says hold the others too. It looks at a few first, which is enough for words that often meet, and at no more
than ``LOOKED_AT`` for one page: where two common words seldom meet, a page may come out short and say from where to
look further back. Nothing is ever sorted whole.

A word is searched from its beginning: ``run`` finds *runner*. Such a beginning is first turned into the words
that there are, by hopping along the index; one that begins too many words is looked for along the list itself,
where it is met often.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, exists, func, literal, select, tuple_, union_all
from sqlalchemy.orm import Session

from shop.store.quote import Quote, QuoteWord

LOOKED_AT_FIRST: Final = 200
LOOKED_AT: Final = 1000
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
    spelled = {word: _spellings(session, word) for word in words}
    if not all(found is None or found for found in spelled.values()):
        return Found((), None)
    rarest = _rarest(session, spelled)
    others = {word: found for word, found in spelled.items() if word != rarest}
    if not others:  # every quote with the one word will do
        return _page(session, _in_full(_window(spelled[rarest], after, limit + 1)), limit)
    for looked_at in (LOOKED_AT_FIRST, LOOKED_AT):
        window = _window(spelled.get(rarest), after, looked_at).subquery()
        hits = select(window.c.updated_at, window.c.quote_id)
        for word, found in others.items():
            hits = hits.where(_holds(window, word, found))
        newest_first = hits.order_by(window.c.updated_at.desc(), window.c.quote_id.desc())
        page = _page(session, _in_full(newest_first.limit(limit + 1)), limit)
        if page.further is not None:
            return page
    return Found(page.rows, _end_of(session, window))


def _in_full(hits: Select[Any]) -> Select[Any]:
    """The rows of the list that these hits stand for."""
    places = hits.subquery()
    rows = select(*_COLUMNS).join(places, Quote.id == places.c.quote_id)
    return rows.order_by(places.c.updated_at.desc(), places.c.quote_id.desc())


def _holds(window: Any, word: str, spelled: tuple[str, ...] | None) -> ColumnElement[bool]:
    """Whether a quote of the window holds a word; the index knows, unless too many words begin so."""
    if spelled is None:
        return exists(select(Quote.id).where(Quote.id == window.c.quote_id, Quote.search_text.contains(f" {word}")))
    found = select(QuoteWord.quote_id).where(
        QuoteWord.word.in_(spelled),
        QuoteWord.updated_at == window.c.updated_at,
        QuoteWord.quote_id == window.c.quote_id,
    )
    return exists(found)


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


def _rarest(session: Session, spelled: Mapping[str, tuple[str, ...] | None]) -> str:
    """The word that the fewest quotes hold; empty when each begins too many words to be looked up."""
    known = {word: found for word, found in spelled.items() if found is not None}
    if len(known) < 2:
        return next(iter(known), "")
    return min(known, key=lambda word: _frequency(session, known[word]))


def _window(spelled: tuple[str, ...] | None, after: Place | None, looked_at: int) -> Select[Any]:
    """The newest quotes with a word, so many of them; of all quotes where it is none to be looked up."""
    if spelled is None:
        every = select(Quote.id.label("quote_id"), Quote.updated_at)
        return _from_place(every, Quote.updated_at, Quote.id, after).limit(looked_at)
    parts = []
    for word in spelled:
        one = select(QuoteWord.quote_id, QuoteWord.updated_at).where(QuoteWord.word == word)
        part = _from_place(one, QuoteWord.updated_at, QuoteWord.quote_id, after).limit(looked_at)
        parts.append(part)
    if len(parts) == 1:
        return parts[0]
    together = union_all(*(select(part.subquery()) for part in parts)).subquery()
    once = select(together.c.quote_id, together.c.updated_at).distinct()
    return once.order_by(together.c.updated_at.desc(), together.c.quote_id.desc()).limit(looked_at)


def _frequency(session: Session, spelled: tuple[str, ...]) -> int:
    some = select(QuoteWord.quote_id).where(QuoteWord.word.in_(spelled)).limit(LOOKED_AT).subquery()
    return session.execute(select(func.count()).select_from(some)).scalar_one()


def _end_of(session: Session, window: Any) -> Place | None:
    """The last place of a window of ``LOOKED_AT`` that is full; ``None`` when there was no more to look at."""
    by_place = select(window.c.updated_at, window.c.quote_id).order_by(
        window.c.updated_at.desc(), window.c.quote_id.desc()
    )
    last = session.execute(by_place.offset(LOOKED_AT - 1).limit(1)).first()
    return None if last is None else (last.updated_at, last.quote_id)


def count_newest(session: Session, *, most: int) -> int:
    """How many quotes there are, counting no further than ``most``."""
    some = select(Quote.id).limit(most).subquery()
    return session.execute(select(func.count()).select_from(some)).scalar_one()
