"""What each order is found again by: its entry in the history, and its words, beside its place in the list.

The list goes by the time that a job was begun, newest first. An entry repeats what stands with the job, its quote, its
offer, its customer and its money, so that a search reads along one index whatever it looks for. ``renew`` writes entries
anew from those; whatever changes one of them calls it in the same transaction.
"""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import (
    BigInteger,
    ForeignKey,
    Index,
    PrimaryKeyConstraint,
    Row,
    Select,
    case,
    delete,
    func,
    insert,
    select,
)
from sqlalchemy.orm import Mapped, Session, mapped_column

from shop.core.account_of_order import Happening
from shop.core.measure import Length
from shop.store import ledger
from shop.store.base import BIG_ID, PLAIN_TEXT, Base, Key
from shop.store.customer import Customer
from shop.store.folding import words_of
from shop.store.job import Job
from shop.store.offer import Offer
from shop.store.order_money import OrderEvent
from shop.store.quote import Quote

AT_ONCE: Final = 500
CALLED_OFF: Final = "called off"
SETTLED: Final = (Happening.HANDED_OVER.value, Happening.CANCELLED.value)
"""What fixes how much an order came to."""
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
_LOOM: Final = Job.described["document"]["loom"]["name"].as_string()


class HistoryEntry(Base):
    """What an order is found by, beside its words and the state of its job.

    Attributes:
        begun_at: with ``job_id``, its place in the list.
        words: its folded words, each with a space before it.
        loom: the name of the loom that its quote was reckoned on; empty where that is not known.
        width, length: as agreed on.
        paid: all that was due has been paid; ``None`` where nothing is known to be due.
        left_over: of a rug that was handed over, what it came to less the cost of its cloth, in the smallest coin.
        profit: of such a rug, what was left once everything was paid, as it was reckoned when it was handed over; never
            written anew. ``None`` where it was not reckoned.
    """

    __tablename__ = "history_entry"
    __table_args__ = (
        Index("ix_history_entry_newest", "begun_at", "job_id"),
        Index("ix_history_entry_loom", "loom", "begun_at", "job_id"),
        Index("ix_history_entry_paid", "paid", "begun_at", "job_id"),
        Index("ix_history_entry_width", "width"),
        Index("ix_history_entry_length", "length"),
        Index("ix_history_entry_left_over", "left_over"),
        Index("ix_history_entry_profit", "profit"),
    )

    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id), primary_key=True, autoincrement=False)
    begun_at: Mapped[datetime]
    words: Mapped[Key]
    loom: Mapped[Key]
    width: Mapped[Length | None]
    length: Mapped[Length | None]
    paid: Mapped[bool | None]
    left_over: Mapped[int | None] = mapped_column(BigInteger)
    profit: Mapped[int | None] = mapped_column(BigInteger)


class HistoryWord(Base):
    """A word of an order, beside the order's place in the list: a search reads its hits newest first.

    Words are taken out by their whole key when their entry is written anew, so ``job_id`` has no index.
    """

    __tablename__ = "history_word"
    __table_args__ = (PrimaryKeyConstraint("word", "begun_at", "job_id"), {"sqlite_with_rowid": False})

    word: Mapped[str] = mapped_column(PLAIN_TEXT)
    begun_at: Mapped[datetime]
    job_id: Mapped[int] = mapped_column(BIG_ID, ForeignKey(Job.id), autoincrement=False)


def with_order(found: Select[Any]) -> Select[Any]:
    """The same jobs, each with its quote, and the offer and customer that it came of, where there are such."""
    return (
        found.select_from(Job)
        .outerjoin(Quote, Quote.id == Job.quote_id)
        .outerjoin(Offer, Offer.job_id == Job.id)
        .outerjoin(Customer, Customer.id == Offer.customer_id)
    )


WIDTH: Final = func.coalesce(Offer.width, Quote.width)
LENGTH: Final = func.coalesce(Offer.length, Quote.length)
AGREED: Final = func.coalesce(Offer.total, Quote.total)


def sums_of(session: Session, job_ids: Sequence[int]) -> dict[int, tuple[int, int | None]]:
    """By job: what was paid and not given back, and what it came to in the end, if it did."""
    if not job_ids:
        return {}
    standing = (OrderEvent.job_id.in_(job_ids), OrderEvent.undone_at.is_(None))
    found = select(OrderEvent.job_id, _NET, _CAME_TO).where(*standing)
    return {job: (int(net), came) for job, net, came in session.execute(found.group_by(OrderEvent.job_id))}


def is_paid(*, state: str, agreed: int | None, came_to: int | None, net: int) -> bool | None:
    """Whether all that was due has been paid; ``None`` where nothing was agreed on or came to be due."""
    due = came_to if came_to is not None else None if state == CALLED_OFF else agreed
    return None if due is None else net >= due


def renew(session: Session, job_ids: Collection[int]) -> None:
    """Write the entries of these jobs anew from all that is known of them now, and those of jobs that had none."""
    session.flush()
    wanted = sorted(set(job_ids))
    for first in range(0, len(wanted), AT_ONCE):
        _renew(session, wanted[first : first + AT_ONCE])


def _renew(session: Session, job_ids: Sequence[int]) -> None:
    locked = select(HistoryEntry).where(HistoryEntry.job_id.in_(job_ids)).order_by(HistoryEntry.job_id)
    locked = locked.with_for_update().execution_options(populate_existing=True)
    kept = {entry.job_id: entry for entry in session.execute(locked).scalars()}
    sums, costs = sums_of(session, job_ids), ledger.costs_of_jobs(session, job_ids)
    new_words = []
    for facts in session.execute(_facts(job_ids)):
        entry = kept.get(facts.id)
        if entry is None:
            entry = HistoryEntry(job_id=facts.id, begun_at=facts.begun_at, words="")
            session.add(entry)
        words = words_of(f"{facts.name} {facts.title or ''} {named(facts)}")
        before = entry.words.split()
        _take_out(session, entry, set(before) - set(words))
        new_words += [
            {"word": word, "begun_at": entry.begun_at, "job_id": facts.id} for word in words if word not in before
        ]
        net, came_to = sums.get(facts.id, (0, None))
        _, in_job, in_rug = costs.get(facts.id, (0, 0, 0))
        entry.words = "".join(f" {word}" for word in words)
        entry.loom = facts.loom or ""
        entry.width, entry.length = facts.width, facts.length
        entry.paid = is_paid(state=facts.state, agreed=facts.agreed, came_to=came_to, net=net)
        over = came_to is not None and facts.state != CALLED_OFF
        entry.left_over = came_to - in_job - in_rug if over else None
    session.flush()
    if new_words:
        session.execute(insert(HistoryWord), new_words)


def _facts(job_ids: Sequence[int]) -> Select[Any]:
    facts = with_order(
        select(
            Job.id, Job.name, Job.begun_at, Job.state, _LOOM.label("loom"),
            Quote.title, Quote.customer_name, Customer.name.label("customer"),
            WIDTH.label("width"), LENGTH.label("length"), AGREED.label("agreed"),
        )
    )  # fmt: skip
    return facts.where(Job.id.in_(job_ids)).order_by(Job.id)


def note_profit(session: Session, job_id: int, profit: int | None) -> None:
    """Note what an order left once everything was paid, in the smallest coin; its entry is there."""
    session.get_one(HistoryEntry, job_id).profit = profit
    session.flush()


def named(row: Row[Any]) -> str:
    """The customer of an order: as known now, or as named in its quote; empty where nobody is."""
    return (row.customer_name if row.customer is None else row.customer) or ""


def _take_out(session: Session, entry: HistoryEntry, words: Collection[str]) -> None:
    if words:
        gone = delete(HistoryWord).where(
            HistoryWord.word.in_(words),
            HistoryWord.begun_at == entry.begun_at,
            HistoryWord.job_id == entry.job_id,
        )
        session.execute(gone.execution_options(synchronize_session=False))


def jobs_that_name(session: Session, *, customer_id: int, quote_ids: Collection[int] = ()) -> Collection[int]:
    """The jobs that came of a customer's offers, or were begun from one of these quotes."""
    of_offers = select(Offer.job_id).where(Offer.customer_id == customer_id, Offer.job_id.is_not(None))
    of_quotes = select(Job.id).where(Job.quote_id.in_(quote_ids))
    return {job for found in (of_offers, of_quotes) for job in session.execute(found).scalars() if job is not None}
