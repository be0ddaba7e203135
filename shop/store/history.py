"""The orders of all years, newest first, and the search among them: as quick at a million orders as at a thousand.

A page goes on from the order where the one before ended, along an index. A search reads the list of whatever the fewest
orders have of all that is looked for, newest first, and keeps those that have the rest too. It looks at a few first, which
is enough where much meets, and at no more than ``LOOKED_AT`` for one page: where two common things seldom meet, a page may
come out short and say from where to look further. No long list is ever sorted.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row, Select, func, literal, select, tuple_, union_all
from sqlalchemy.orm import Session

from shop.store import history_trait
from shop.store.customer import Customer
from shop.store.history_entry import AGREED, LENGTH, WIDTH, HistoryEntry, with_order
from shop.store.history_trait import EVERY, Sought, Trait, place, traits_of
from shop.store.job import Job
from shop.store.offer import Offer
from shop.store.quote import Quote

__all__ = ["Found", "Sought", "find", "rows_of"]

LOOKED_AT_FIRST: Final = 200
LOOKED_AT: Final = 1000

Place = tuple[datetime, int]
"""Where in the list: when an order was begun, and the id of its job."""


@dataclass(frozen=True, slots=True)
class Found:
    """A page: the ids of its jobs, newest first, and the number of the job after which the next one begins, if there may be one."""

    ids: Sequence[int]
    further: int | None


@dataclass(frozen=True, slots=True)
class _Stretch:
    """The part of every list that a page is looked for in."""

    since: datetime | None
    until: datetime | None
    after: Place | None

    def of(self, found: Select[Any]) -> Select[Any]:
        """That part of a list. One bound at each end, so that an index is entered where the part begins."""
        begun_at, job_id = found.selected_columns
        if self.since is not None:
            found = found.where(begun_at >= self.since)
        if self.after is not None and (self.until is None or self.after[0] < self.until):
            return found.where(tuple_(begun_at, job_id) < tuple_(literal(self.after[0], begun_at.type), self.after[1]))
        return found if self.until is None else found.where(begun_at < self.until)

    def newest(self, lists: Sequence[Select[Any]], limit: int) -> Select[Any]:
        """The newest places that are in any of these lists, so many of them."""
        parts = [_newest_first(self.of(one)).limit(limit) for one in lists]
        if len(parts) == 1:
            return parts[0]
        together = union_all(*(select(part.subquery()) for part in parts)).subquery()
        return _newest_first(place(together.c.begun_at, together.c.job_id).distinct()).limit(limit)


def _newest_first(found: Select[Any]) -> Select[Any]:
    begun_at, job_id = found.selected_columns
    return found.order_by(begun_at.desc(), job_id.desc())


def find(session: Session, sought: Sought, *, below: int | None, limit: int) -> Found:
    """The next page of the orders that are looked for, from the order below the one of that number on."""
    stretch = _Stretch(sought.since, sought.until, _place_of(session, below))
    traits = traits_of(session, sought)
    leading = _leading(session, traits, stretch)
    lists = leading.lists if leading else (EVERY,)
    others = [trait for trait in traits if trait is not leading]
    if not others:
        return _page(session, stretch.newest(lists, limit + 1), limit)
    for looked_at in (LOOKED_AT_FIRST, LOOKED_AT):
        looked = stretch.newest(lists, looked_at).subquery()
        hits = place(looked.c.begun_at, looked.c.job_id).where(*(trait.holds(looked) for trait in others))
        page = _page(session, _newest_first(hits).limit(limit + 1), limit)
        if page.further is not None:
            return page
        end = _end_of(session, looked, looked_at)
        if end is None:
            break
    return Found(page.ids, end)


def _place_of(session: Session, number: int | None) -> Place | None:
    """The place of the job of that number; none where there is no such job, so that the list begins anew."""
    if number is None:
        return None
    found = session.execute(EVERY.join(Job, Job.id == HistoryEntry.job_id).where(Job.number == number)).first()
    return None if found is None else (found.begun_at, found.job_id)


def _leading(session: Session, traits: Sequence[Trait], stretch: _Stretch) -> Trait | None:
    """The trait whose list is read: that which the fewest orders have. ``None`` where the list of all is to be read."""
    read = [trait for trait in traits if trait.lists]
    if len(traits) == 1 and read and read[0].in_order:
        return read[0]
    if not read:
        return None
    frequent = session.execute(select(*(_frequency(trait, stretch) for trait in read))).one()
    usable = [
        (often, turn)
        for turn, (trait, often) in enumerate(zip(read, frequent, strict=True))
        if trait.in_order or often < history_trait.MANY
    ]
    return read[min(usable)[1]] if usable else None


def _frequency(trait: Trait, stretch: _Stretch) -> Any:
    """How many orders of the stretch have it, counting no further than ``MANY``."""
    most = history_trait.MANY
    parts = [(stretch.of(one) if trait.in_order else one).limit(most).subquery() for one in trait.lists]
    some = union_all(*(select(part.c.job_id) for part in parts)).limit(most).subquery()
    return select(func.count()).select_from(some).scalar_subquery()


def _page(session: Session, hits: Select[Any], limit: int) -> Found:
    places = hits.subquery()
    numbered = place(places.c.begun_at, places.c.job_id).add_columns(Job.number).join(Job, Job.id == places.c.job_id)
    rows = session.execute(numbered.order_by(places.c.begun_at.desc(), places.c.job_id.desc())).all()
    return Found([row.job_id for row in rows[:limit]], rows[limit - 1].number if len(rows) > limit else None)


def _end_of(session: Session, looked: Any, looked_at: int) -> int | None:
    """The number of the last order of a stretch that was looked at whole; ``None`` when there was no more to look at."""
    last = _newest_first(place(looked.c.begun_at, looked.c.job_id)).offset(looked_at - 1).limit(1).subquery()
    return session.execute(select(Job.number).join(last, last.c.job_id == Job.id)).scalar_one_or_none()


def rows_of(session: Session, job_ids: Sequence[int]) -> Sequence[Row[Any]]:
    """These jobs with what was agreed on, newest first."""
    if not job_ids:
        return ()
    found = with_order(
        select(
            Job.id, Job.number, Job.name, Job.state, Job.begun_at, Job.ended_at, HistoryEntry.loom, HistoryEntry.left_over, HistoryEntry.profit,
            Quote.number.label("quote"), Quote.customer_name, Customer.name.label("customer"),
            WIDTH.label("width"), LENGTH.label("length"),
            AGREED.label("agreed"), func.coalesce(Offer.currency, Quote.currency).label("currency"),
        )
    ).join(HistoryEntry, HistoryEntry.job_id == Job.id)  # fmt: skip
    newest_first = found.where(Job.id.in_(job_ids)).order_by(Job.begun_at.desc(), Job.id.desc())
    return session.execute(newest_first).all()
