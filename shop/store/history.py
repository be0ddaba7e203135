"""The orders of all years, newest first, and the search among them.

A page goes on below the number where the one before ended, along the index of job numbers. What can be said in the
database's own terms is asked of it. Words are compared here, since case and accents fold alike only here: the
database leaves out every job in which a word cannot stand, and the rest is looked over newest first, a few at once
and at no more than ``LOOKED_AT`` for one page. A page may so come out short, and say from where to look further.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, LargeBinary, Row, Select, case, cast, func, or_, select
from sqlalchemy.orm import Session

from shop.core.account_of_order import Happening
from shop.core.measure import Length
from shop.store.customer import Customer
from shop.store.fabric import Piece
from shop.store.folding import words_of
from shop.store.job import Job
from shop.store.ledger import JobCloth
from shop.store.offer import Offer
from shop.store.order_money import OrderEvent
from shop.store.quote import Quote

LOOKED_AT_FIRST: Final = 300
LOOKED_AT: Final = 3000
LARGEST_NUMBER: Final = 2**63 - 1
CALLED_OFF: Final = "called off"
SETTLED: Final = (Happening.HANDED_OVER.value, Happening.CANCELLED.value)
"""What fixes how much an order came to."""

_STANDS: Final = OrderEvent.undone_at.is_(None)
_NET: Final = func.coalesce(
    func.sum(
        case(
            (OrderEvent.what == Happening.PAYMENT.value, OrderEvent.amount),
            (OrderEvent.what == Happening.REFUND.value, -OrderEvent.amount),
            else_=0,
        )
    ),
    0,
)
_CAME_TO: Final = func.max(case((OrderEvent.what.in_(SETTLED), OrderEvent.amount)))
_AGREED: Final = func.coalesce(Offer.total, Quote.total)
_LOOM: Final = Job.described["document"]["loom"]["name"].as_string()


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


@dataclass(frozen=True, slots=True)
class Found:
    """A page: the ids of its jobs, newest first, and the number below which the next one begins, if there may be one."""

    ids: Sequence[int]
    further: int | None


def find(session: Session, sought: Sought, *, below: int | None, limit: int) -> Found:
    """The next page of the orders that are looked for."""
    asked = _asked(session, sought, below)
    if not sought.words:
        rows = session.execute(asked.limit(limit + 1)).all()
        return Found([row.id for row in rows[:limit]], rows[limit - 1].number if len(rows) > limit else None)
    for looked_at in (LOOKED_AT_FIRST, LOOKED_AT):
        rows = session.execute(asked.limit(looked_at)).all()
        fitting = [row for row in rows if _fits(row, sought.words)]
        if len(fitting) > limit:
            return Found([row.id for row in fitting[:limit]], fitting[limit - 1].number)
        if len(rows) < looked_at:
            return Found([row.id for row in fitting], None)
    return Found([row.id for row in fitting], rows[-1].number)


def _asked(session: Session, sought: Sought, below: int | None) -> Select[Any]:
    """Jobs by falling number: all that are looked for, and where words are, more than these."""
    bare: Any = select(Job.id, Job.number)
    of_the_order = sought.words or sought.width or sought.length or sought.paid is not None
    found: Select[Any] = _with_order(bare) if of_the_order else bare
    if sought.words:
        found = found.add_columns(
            Job.name, Quote.number.label("quote"), Quote.title, Quote.customer_name, Customer.name.label("customer")
        )
        found = found.where(*(_may_hold(session, word) for word in sought.words))
    if below is not None:
        found = found.where(Job.number < below)
    return found.where(*_conditions(sought)).order_by(Job.number.desc())


def _with_order(found: Select[Any]) -> Select[Any]:
    """The same jobs, each with its quote, and the offer and customer that it came of, where there are such."""
    return (
        found.select_from(Job)
        .outerjoin(Quote, Quote.id == Job.quote_id)
        .outerjoin(Offer, Offer.job_id == Job.id)
        .outerjoin(Customer, Customer.id == Offer.customer_id)
    )


def _conditions(sought: Sought) -> list[ColumnElement[bool]]:
    wanted: list[ColumnElement[bool]] = []
    if sought.states:
        wanted.append(Job.state.in_(sought.states))
    if sought.since is not None:
        wanted.append(Job.begun_at >= sought.since)
    if sought.until is not None:
        wanted.append(Job.begun_at < sought.until)
    if sought.loom:
        wanted.append(sought.loom == _LOOM)
    if sought.width is not None:
        wanted.append(func.coalesce(Offer.width, Quote.width) >= sought.width)
    if sought.length is not None:
        wanted.append(func.coalesce(Offer.length, Quote.length) >= sought.length)
    if sought.piece is not None:
        lies = (JobCloth.share > 0) | (JobCloth.rug_share > 0)
        holding = select(JobCloth.job_id).join(Piece, Piece.id == JobCloth.piece_id)
        wanted.append(Job.id.in_(holding.where(Piece.number == sought.piece, lies)))
    if sought.paid is not None:
        wanted.append(_is_paid() if sought.paid else ~_is_paid())
    return wanted


def _is_paid() -> ColumnElement[bool]:
    """Whether all that was due has been paid; neither yes nor no where nothing was agreed on or came to be due."""
    of_job = (OrderEvent.job_id == Job.id, _STANDS)
    net = select(_NET).where(*of_job).correlate(Job).scalar_subquery()
    came_to = select(_CAME_TO).where(*of_job).correlate(Job).scalar_subquery()
    due: ColumnElement[bool] = net >= func.coalesce(came_to, case((Job.state != CALLED_OFF, _AGREED)))
    return due


def _may_hold(session: Session, word: str) -> ColumnElement[bool]:
    """Whether a job may hold a word: always true where it does, seldom where it does not."""
    may = [
        Quote.search_text.contains(f" {word}", autoescape=True),
        Customer.search_text.contains(f" {word}", autoescape=True),
        func.lower(Job.name).contains(word, autoescape=True),
        _beyond_ascii(session, Job.name),
    ]
    number = _number(word)
    return or_(*may, Job.number == number, Quote.number == number) if number else or_(*may)


def _beyond_ascii(session: Session, name: Any) -> ColumnElement[bool]:
    """Whether a name has letters that only we can fold: more bytes than signs."""
    if session.get_bind().dialect.name == "sqlite":
        return func.length(cast(name, LargeBinary)) > func.length(name)
    return func.octet_length(name) > func.length(name)


def _number(word: str) -> int:
    """The number that a word is, or 0."""
    number = int(word) if word.isdecimal() else 0
    return number if number <= LARGEST_NUMBER else 0


def _fits(row: Row[Any], words: Sequence[str]) -> bool:
    whose = row.customer_name if row.customer is None else row.customer
    held = words_of(f"{row.name} {row.title or ''} {whose or ''}")
    numbers = (row.number, row.quote)
    return all(any(one.startswith(word) for one in held) or _number(word) in numbers for word in words)


def rows_of(session: Session, job_ids: Sequence[int]) -> Sequence[Row[Any]]:
    """These jobs with what was agreed on, newest first."""
    if not job_ids:
        return ()
    found = _with_order(
        select(
            Job.id, Job.number, Job.name, Job.state, Job.begun_at, Job.ended_at, _LOOM.label("loom"),
            Quote.number.label("quote"), Quote.customer_name, Customer.name.label("customer"),
            func.coalesce(Offer.width, Quote.width).label("width"),
            func.coalesce(Offer.length, Quote.length).label("length"),
            _AGREED.label("agreed"), func.coalesce(Offer.currency, Quote.currency).label("currency"),
        )
    )  # fmt: skip
    return session.execute(found.where(Job.id.in_(job_ids)).order_by(Job.number.desc())).all()


def sums_of(session: Session, job_ids: Sequence[int]) -> dict[int, tuple[int, int | None]]:
    """By job: what was paid and not given back, and what it came to in the end, if it did."""
    if not job_ids:
        return {}
    found = select(OrderEvent.job_id, _NET, _CAME_TO).where(OrderEvent.job_id.in_(job_ids), _STANDS)
    return {job: (int(net), came) for job, net, came in session.execute(found.group_by(OrderEvent.job_id))}
