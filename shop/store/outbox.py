"""The outbox: letters by e-mail that are to be sent, and what became of each."""

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from sqlalchemy import CheckConstraint, Index, UniqueConstraint, delete, func, select
from sqlalchemy.orm import Mapped, Session

from shop.core.letter import LetterState
from shop.store.base import Base, Id, Key

STATES: Final = tuple(state.value for state in LetterState)
_OPEN: Final = "state IN ('waiting', 'sending')"
_PLACE: Final = "thriftloom.invalid"
"""Stands behind the @ of a Message-ID: a name that no other sender has."""


class Outgoing(Base):
    """A letter in the outbox.

    Attributes:
        recipient: its address; ``subject`` and ``body`` as they go out, never changed.
        about: what it is about, such as ``offer.12``.
        mark: chance, made with the row, so that its Message-ID is like no other.
        tries: how often the sending was begun; ``due_at`` when it is next.
        claimed_by: a word of the sender's own that speaks for it, and since when; the last one's, once it is over.
        trouble: why the last try failed; ``reply`` what the mail server said.
        ended_at: when it was sent, given up, found uncertain or let go.
    """

    __tablename__ = "outbox"
    __table_args__ = (
        CheckConstraint(f"state IN ({', '.join(repr(state) for state in STATES)})", name="state"),
        CheckConstraint("tries >= 0", name="tries"),
        CheckConstraint("state <> 'sending' OR claimed_at IS NOT NULL", name="claimed"),
        CheckConstraint(f"({_OPEN}) = (ended_at IS NULL)", name="ended"),
        UniqueConstraint("mark"),
        Index("ix_outbox_due", "state", "due_at", "id"),
        Index("ix_outbox_about", "about", "id"),
    )

    id: Mapped[Id]
    recipient: Mapped[str]
    subject: Mapped[str]
    body: Mapped[str]
    about: Mapped[Key]
    mark: Mapped[Key]
    state: Mapped[Key]
    tries: Mapped[int]
    put_at: Mapped[datetime]
    due_at: Mapped[datetime]
    claimed_by: Mapped[Key]
    claimed_at: Mapped[datetime | None]
    trouble: Mapped[Key]
    reply: Mapped[str]
    ended_at: Mapped[datetime | None]

    @property
    def message_id(self) -> str:
        """The same from the first try to the last."""
        return f"<{self.id}.{self.mark}@{_PLACE}>"


def next_due(session: Session, now: datetime) -> Outgoing | None:
    """The letter that is due the longest, locked; one that somebody else is just claiming is passed over."""
    found = select(Outgoing).where(Outgoing.state == LetterState.WAITING, Outgoing.due_at <= now)
    found = found.order_by(Outgoing.due_at, Outgoing.id).limit(1).with_for_update(skip_locked=True)
    return session.execute(found).scalar_one_or_none()


def claimed_before(session: Session, then: datetime) -> Sequence[Outgoing]:
    """Letters whose sender has been silent since before then, locked."""
    found = select(Outgoing).where(Outgoing.state == LetterState.SENDING, Outgoing.claimed_at < then)
    return session.execute(found.order_by(Outgoing.id).with_for_update(skip_locked=True)).scalars().all()


def by_id(session: Session, letter_id: int, *, lock: bool = False) -> Outgoing | None:
    """The letter of that id."""
    found = select(Outgoing).where(Outgoing.id == letter_id)
    if lock:
        found = found.with_for_update().execution_options(populate_existing=True)
    return session.execute(found).scalar_one_or_none()


def newest(
    session: Session, *, states: Sequence[str], about: str | None, below: int | None, limit: int
) -> Sequence[Outgoing]:
    """Letters by falling id; of all states where none is named."""
    found = select(Outgoing)
    if states:
        found = found.where(Outgoing.state.in_(states))
    if about is not None:
        found = found.where(Outgoing.about == about)
    if below is not None:
        found = found.where(Outgoing.id < below)
    return session.execute(found.order_by(Outgoing.id.desc()).limit(limit)).scalars().all()


def delete_about(session: Session, about: str) -> None:
    """Delete every letter about something, whatever became of it."""
    session.execute(delete(Outgoing).where(Outgoing.about == about).execution_options(synchronize_session=False))


def delete_to(session: Session, recipient: str) -> None:
    """Delete every letter to an address, whatever became of it."""
    session.execute(
        delete(Outgoing)
        .where(func.lower(Outgoing.recipient) == recipient.lower())
        .execution_options(synchronize_session=False)
    )
