"""What waits to be seen to: clocks that run, fairs that are on, rugs sold twice, and wishes nobody has answered."""

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from shop.store.fair import Fair
from shop.store.job import Job
from shop.store.order_money import TimeEntry
from shop.store.rug import Rug
from shop.store.till import Sale, SaleLine, Wish


def clocks(session: Session, *, limit: int) -> list[tuple[int, str, str, datetime]]:
    """The clocks that run, the oldest first: (number of the job, its name, the step, since when)."""
    found = select(Job.number, Job.name, TimeEntry.step, TimeEntry.begun_at).join(Job, Job.id == TimeEntry.job_id)
    found = found.where(TimeEntry.minutes.is_(None), TimeEntry.struck_at.is_(None))
    return [(row[0], row[1], row[2], row[3]) for row in session.execute(found.order_by(TimeEntry.begun_at).limit(limit))]


def fairs_on(session: Session, *, limit: int) -> Sequence[Fair]:
    """The fairs whose tills take sales, the latest first."""
    return session.execute(select(Fair).where(Fair.state == "open").order_by(Fair.first_on.desc()).limit(limit)).scalars().all()


def sold_twice(session: Session, *, limit: int) -> list[tuple[int, str, int | None]]:
    """The rugs with a sale in doubt: (number, name, the number of the last fair at which one of those sales was made)."""
    found = (
        select(Rug.number, Rug.name, func.max(Fair.number))
        .join(SaleLine, SaleLine.rug_id == Rug.id)
        .join(Sale, Sale.id == SaleLine.sale_id)
        .outerjoin(Fair, Fair.id == Sale.fair_id)
        .where(SaleLine.doubt != "")
        .group_by(Rug.number, Rug.name)
    )
    return [(row[0], row[1], row[2]) for row in session.execute(found.order_by(Rug.number).limit(limit))]


def wishes(session: Session, *, limit: int) -> list[tuple[Wish, int, str]]:
    """The wishes that are not seen to, oldest first, with the number and the name of their fair."""
    found = select(Wish, Fair.number, Fair.name).join(Fair, Fair.id == Wish.fair_id).where(Wish.done_at.is_(None))
    return [(row[0], row[1], row[2]) for row in session.execute(found.order_by(Wish.id).limit(limit))]
