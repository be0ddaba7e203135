"""What to do today: who waits for an answer, what lapses, what is due, short or late, and what fairs and a running clock leave to do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Final
from zoneinfo import ZoneInfo

from shop.core.money import Money
from shop.core.money_request import Asked
from shop.core.order import OfferState
from shop.store import job as job_table
from shop.store import money_request as request_table
from shop.store import offer as offer_table
from shop.store import order_money as money_table
from shop.store import outbox as outbox_table
from shop.store import waiting
from shop.store.engine import Session, Store
from shop.usecases import promises
from shop.usecases.cloth_short import Lack, cloth_short
from shop.usecases.job import OPEN
from shop.usecases.moving import today_in
from shop.usecases.outbox import IN_TROUBLE
from shop.usecases.shop import shop_in

SOON: Final = timedelta(days=7)
REMEMBERED: Final = timedelta(days=14)
"""How long a no is told."""
AMONG: Final = 300
"""The newest offers among which a no is looked for."""
LOOKED_AT: Final = 30
"""Offers and jobs that are looked at, the newest of each."""
DOUBTED: Final = 0.5
"""The chance to keep a promise below which it is said to run late."""


class Task(StrEnum):
    """What there is to do; in the order in which it is shown."""

    ANSWER = "answer"
    LETTER = "letter"
    TWICE = "twice"
    CLOCK = "clock"
    FAIR = "fair"
    LATE = "late"
    CLOTH = "cloth"
    DEPOSIT = "deposit"
    WISH = "wish"
    LAPSES = "lapses"
    WAITS = "waits"
    DECLINED = "declined"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """Something to do, or to wait for.

    Attributes:
        task: what kind of thing.
        number: of the job for ``CLOCK``, ``LATE``, ``CLOTH`` and ``DEPOSIT``, of the letter for ``LETTER``, of the rug for ``TWICE``,
            of the fair for ``FAIR``, the id of the wish for ``WISH``, else that of the offer.
        title: of the rug, or of the letter; may be empty.
        who: the customer, where there is one.
        day: that was promised, or until which the offer holds, or on which it was declined.
        said: the customer's word with it.
        amount: still missing of the deposit.
        lacks: the cloth that is short; ``woven_on`` where the job is on the loom already.
        asked: the day that the newest request for it was last sent; ``None`` if none was.
        written: such a request was written.
        fair: the number of the fair at whose till it is seen to.
        step: that the clock runs on, ``since`` when.
    """

    task: Task
    number: int
    title: str
    who: str = ""
    day: date | None = None
    amount: Money | None = None
    lacks: tuple[Lack, ...] = ()
    woven_on: bool = False
    asked: date | None = None
    written: bool = False
    said: str = ""
    fair: int | None = None
    step: str = ""
    since: datetime | None = None


def chores(store: Store, *, now: datetime) -> tuple[Chore, ...]:
    """What to do today, in a number of queries that does not grow with the shop."""
    with store.reading() as session:
        jobs = {row.id: row for row in job_table.newest(session, states=OPEN, below=None, limit=LOOKED_AT)}
        found = [*_offers(session, now), *_declined(session, now), *_letters(session), *_deposits(session, jobs), *_short(session, jobs), *_waiting(session)]
        promised = bool(offer_table.promised_of_jobs(session, jobs))
    if promised:
        found += [
            Chore(task=Task.LATE, number=one.line.number, title=one.line.name, day=one.promised)
            for one in promises.queue(store, now=now).lines
            if one.chance is not None and one.chance < DOUBTED
        ]
    order = list(Task)
    return tuple(sorted(found, key=lambda chore: (order.index(chore.task), chore.day or date.max, chore.number)))


def _waiting(session: Session) -> list[Chore]:
    """Clocks that run, fairs that are on, rugs sold twice, and wishes: one query for each kind."""
    clocks = waiting.clocks(session, limit=LOOKED_AT)
    return [
        *(Chore(task=Task.CLOCK, number=job, title=name, step=step, since=begun) for job, name, step, begun in clocks),
        *(Chore(task=Task.FAIR, number=one.number, title=one.name, fair=one.number) for one in waiting.fairs_on(session, limit=LOOKED_AT)),
        *(Chore(task=Task.TWICE, number=rug, title=name, fair=fair) for rug, name, fair in waiting.sold_twice(session, limit=LOOKED_AT)),
        *(
            Chore(task=Task.WISH, number=one.id, title=name, who=one.name, fair=fair)
            for one, fair, name in waiting.wishes(session, limit=LOOKED_AT)
        ),
    ]


def _offers(session: Session, now: datetime) -> list[Chore]:
    rows = offer_table.newest(session, state=OfferState.OFFERED.value, below=None, limit=LOOKED_AT)
    asked = offer_table.asked_about(session, [offer.id for offer, _, _ in rows])
    today = today_in(session, now)
    found = []
    for offer, quote, customer in rows:
        if offer.holds_until < today:
            continue
        soon = offer.holds_until - today <= SOON
        task = Task.ANSWER if offer.id in asked else Task.LAPSES if soon else Task.WAITS
        found.append(Chore(task=task, number=offer.id, title=quote.title, who=customer.name, day=offer.holds_until))
    return found


def _declined(session: Session, now: datetime) -> list[Chore]:
    zone = ZoneInfo(shop_in(session).time_zone)
    rows = offer_table.declined_since(session, now - REMEMBERED, among=AMONG, limit=LOOKED_AT)
    return [
        Chore(
            task=Task.DECLINED, number=offer.id, title=quote.title, who=customer.name,
            day=offer.closed_at.astimezone(zone).date() if offer.closed_at else None, said=offer.said,
        )
        for offer, quote, customer in rows
    ]  # fmt: skip


def _letters(session: Session) -> list[Chore]:
    rows = outbox_table.newest(
        session, states=[state.value for state in IN_TROUBLE], about=None, below=None, limit=LOOKED_AT
    )
    return [Chore(task=Task.LETTER, number=row.id, title=row.subject, who=row.recipient) for row in rows]


def _short(session: Session, jobs: Mapping[int, job_table.Job]) -> list[Chore]:
    return [
        Chore(task=Task.CLOTH, number=one.job, title=one.name, lacks=one.lacks, woven_on=one.woven_on)
        for one in cloth_short(session, jobs.values())
    ]


def _deposits(session: Session, jobs: Mapping[int, job_table.Job]) -> list[Chore]:
    paid = money_table.paid_of_jobs(session, jobs)
    requests = request_table.newest_of_jobs(session, jobs, Asked.DEPOSIT)
    zone = ZoneInfo(shop_in(session).time_zone)
    found = []
    for job_id, deposit, currency in offer_table.deposits_of_jobs(session, jobs):
        missing = deposit - paid.get(job_id, 0)
        if missing > 0:
            row = jobs[job_id]
            _, sent_at = requests.get(job_id, (None, None))
            found.append(
                Chore(
                    task=Task.DEPOSIT,
                    number=row.number,
                    title=row.name,
                    amount=Money(missing, currency),
                    asked=sent_at.astimezone(zone).date() if sent_at else None,
                    written=job_id in requests,
                )
            )
    return found
