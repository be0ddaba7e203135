"""What an order can be looked for by: where the orders that have it stand, newest first, and whether one has it.

The one is a list to be read along an index, the other a question about the orders of a short stretch of a list. A word
is searched from its beginning, and turned first into the words that there are, by hopping along the index; one that
begins too many words has no list of its own, and is looked for along the list of all orders, where it is met often.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Select, exists, false, func, or_, select
from sqlalchemy.orm import Session

from shop.core.measure import Length
from shop.store.fabric import Piece
from shop.store.history_entry import HistoryEntry, HistoryWord
from shop.store.job import Job
from shop.store.ledger import JobCloth
from shop.store.quote import Quote

MANY: Final = 500
"""So many orders make a long list; nobody counts them any further."""
MOST_SPELLINGS: Final = 30
LARGEST_NUMBER: Final = 2**63 - 1
BEYOND: Final = "\U0010ffff"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sought:
    """What is looked for among the orders; what is left out asks nothing.

    Attributes:
        words: folded beginnings of words of customer or rug, or the number of a job or of its quote; all of them.
        states: of the job, one of these.
        since: begun then or later; ``until`` begun before.
        loom: the name of the loom that its quote was reckoned on.
        width: at least so wide; ``length`` at least so long.
        piece: the number of a piece that is in it or in its rug.
        paid: all that was due has been paid, or has not.
        left_least: a rug that was handed over and left at least so much over its cloth; ``left_most`` at most.
        profit_least: a rug that was handed over with at least so much of profit; ``profit_most`` at most.
    """

    words: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    since: datetime | None = None
    until: datetime | None = None
    loom: str = ""
    width: Length | None = None
    length: Length | None = None
    piece: int | None = None
    paid: bool | None = None
    left_least: int | None = None
    left_most: int | None = None
    profit_least: int | None = None
    profit_most: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trait:
    """Something that an order has or has not.

    Attributes:
        lists: of ``begun_at`` and ``job_id``; together all the orders that have it. Each can be read newest first along an
            index; none where there are too many to be read side by side.
        in_order: the lists lie in that order. Where they do not, they are short, or of no use to be read.
        holds: whether an order of a stretch has it.
    """

    lists: tuple[Select[Any], ...]
    in_order: bool = True
    holds: Callable[[Any], ColumnElement[bool]]


def place(begun_at: Any, job_id: Any) -> Select[Any]:
    """A list of places."""
    return select(begun_at.label("begun_at"), job_id.label("job_id"))


EVERY: Final = place(HistoryEntry.begun_at, HistoryEntry.job_id)
"""The list of all orders."""


def traits_of(session: Session, sought: Sought) -> list[Trait]:
    """What is looked for, but for the days."""
    traits = [_word(session, word) for word in sought.words]
    if sought.states:
        traits.append(_state(sought.states))
    if sought.loom:
        traits.append(_alike(HistoryEntry.loom == sought.loom))
    if sought.paid is not None:
        traits.append(_alike(HistoryEntry.paid.is_(sought.paid)))
    if sought.piece is not None:
        traits.append(_piece(sought.piece))
    if sought.width is not None:
        traits.append(_reaching(HistoryEntry.width >= sought.width))
    if sought.length is not None:
        traits.append(_reaching(HistoryEntry.length >= sought.length))
    if sought.left_least is not None:
        traits.append(_reaching(HistoryEntry.left_over >= sought.left_least))
    if sought.left_most is not None:
        traits.append(_reaching(HistoryEntry.left_over <= sought.left_most))
    if sought.profit_least is not None:
        traits.append(_reaching(HistoryEntry.profit >= sought.profit_least))
    if sought.profit_most is not None:
        traits.append(_reaching(HistoryEntry.profit <= sought.profit_most))
    return traits


def _entry_holds(*conditions: ColumnElement[bool]) -> Callable[[Any], ColumnElement[bool]]:
    return lambda stretch: exists(
        select(HistoryEntry.job_id).where(HistoryEntry.job_id == stretch.c.job_id, *conditions)
    )


def _alike(condition: ColumnElement[bool]) -> Trait:
    """Orders that are alike in something, whose list lies in the index of it."""
    return Trait(lists=(EVERY.where(condition),), holds=_entry_holds(condition))


def _reaching(condition: ColumnElement[bool]) -> Trait:
    """Orders that reach an amount: their list lies by the amount, so only a short one can be read newest first."""
    some = EVERY.where(condition).limit(MANY).subquery()
    return Trait(lists=(place(some.c.begun_at, some.c.job_id),), in_order=False, holds=_entry_holds(condition))


def _state(states: Sequence[str]) -> Trait:
    lists = tuple(place(Job.begun_at, Job.id).where(Job.state == state) for state in states)
    return Trait(
        lists=lists,
        holds=lambda stretch: exists(select(Job.id).where(Job.id == stretch.c.job_id, Job.state.in_(states))),
    )


def _piece(number: int) -> Trait:
    lies = (JobCloth.share > 0) | (JobCloth.rug_share > 0)
    holding = select(JobCloth.job_id).join(Piece, Piece.id == JobCloth.piece_id).where(Piece.number == number, lies)
    with_it = holding.cte("with_it").prefix_with("MATERIALIZED")
    listed = EVERY.join(with_it, with_it.c.job_id == HistoryEntry.job_id)
    return Trait(
        lists=(listed,), holds=lambda stretch: exists(holding.where(JobCloth.job_id == stretch.c.job_id))
    )


def _word(session: Session, word: str) -> Trait:
    spelled = _spellings(session, word)
    number = int(word) if word.isdecimal() else 0
    by_number = _of_number(number) if 0 < number <= LARGEST_NUMBER else ()
    if spelled is None:
        return Trait(lists=(), holds=lambda stretch: _begins(stretch, word, by_number))
    alike = tuple(place(HistoryWord.begun_at, HistoryWord.job_id).where(HistoryWord.word == one) for one in spelled)
    return Trait(lists=alike + by_number or (EVERY.where(false()),), holds=lambda stretch: _spelled(stretch, spelled, by_number))


def _of_number(number: int) -> tuple[Select[Any], ...]:
    """The order whose job has a number, and those whose quote has it."""
    of_job = place(Job.begun_at, Job.id).where(Job.number == number)
    quote = select(Quote.id).where(Quote.number == number).scalar_subquery()
    return of_job, place(Job.begun_at, Job.id).where(Job.quote_id == quote)


def _spelled(stretch: Any, spelled: Sequence[str], by_number: Sequence[Select[Any]]) -> ColumnElement[bool]:
    found = select(HistoryWord.job_id).where(
        HistoryWord.word.in_(spelled),
        HistoryWord.begun_at == stretch.c.begun_at,
        HistoryWord.job_id == stretch.c.job_id,
    )
    return or_(exists(found) if spelled else false(), *_numbered(stretch, by_number))


def _begins(stretch: Any, word: str, by_number: Sequence[Select[Any]]) -> ColumnElement[bool]:
    begins = HistoryEntry.words.contains(f" {word}", autoescape=True)
    return or_(_entry_holds(begins)(stretch), *_numbered(stretch, by_number))


def _numbered(stretch: Any, by_number: Sequence[Select[Any]]) -> list[ColumnElement[bool]]:
    return [exists(one.where(Job.id == stretch.c.job_id)) for one in by_number]


def _spellings(session: Session, beginning: str) -> tuple[str, ...] | None:
    """The words that begin so; ``None`` when they are too many to look up one by one."""
    first = select(func.min(HistoryWord.word).label("word")).where(
        HistoryWord.word >= beginning, HistoryWord.word < beginning + BEYOND
    )
    hops = first.cte("hops", recursive=True)
    following = (
        select(func.min(HistoryWord.word))
        .where(HistoryWord.word > hops.c.word, HistoryWord.word < beginning + BEYOND)
        .scalar_subquery()
    )
    hops = hops.union_all(select(following).where(hops.c.word.is_not(None)))
    found = session.execute(select(hops.c.word).limit(MOST_SPELLINGS + 1)).scalars().all()
    words = tuple(word for word in found if word is not None)
    return None if len(words) > MOST_SPELLINGS else words
