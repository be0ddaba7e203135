"""The till: what a phone sends is taken exactly once, in whatever order and however often it comes.

Each entry is a transaction of its own, in which it is kept under its key and all that comes of it is written. One that is
sent again finds itself and does nothing; other content under the same key is refused. An entry that has a key but cannot be
understood is kept as it came for the weaver to look at, since a sale lost is worse than a riddle; the phone is told so. Only
what has no key of its own, or is far too large, is left on the phone. A till whose fair is over still takes what happened
while it was not. What comes of entries is the same in whatever order they come, as long as no phone's clock runs ahead: nothing
counts as later than it was received, so that with such a clock what was received last of the box holds, and the rest is the same. All entries of a fair go one after another: each locks the fair first, then rugs in the order of their ids.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, Final

from shop.core.errors import NotFound, Problem, Refusal, Unreadable
from shop.core.measure import Length
from shop.core.till_entry import (
    MOST_ENTRIES,
    CashSaid,
    RefusedSaid,
    Said,
    SaleSaid,
    UndoSaid,
    WishSaid,
    counted_time,
    key_of,
    said_of,
    time_of,
)
from shop.store import fair as fair_table
from shop.store import numbering
from shop.store import till as table
from shop.store import till_list as rows
from shop.store.base import insert_if_absent
from shop.store.engine import Session, Store
from shop.store.saving import digest_of
from shop.usecases.till_phone import phone_in
from shop.usecases.till_sale import WriteLetter, rugs_of, sell, undo

LARGEST_ENTRY: Final = 16_000
"""Characters of an entry written as JSON; fifty rugs take a quarter of it."""


class Taken(StrEnum):
    """What became of an entry: taken, had already, kept to be looked at, or refused and left on the phone."""

    TAKEN = "taken"
    HAD = "had"
    KEPT = "kept"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to an entry; ``why`` it was kept or refused."""

    key: str
    taken: Taken
    why: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Manner:
    """How this shop reads and writes what a till brings.

    Attributes:
        read_length: of a typed length; ``None`` where it cannot be read.
        write_letter: the letter with a receipt; ``None`` where no letters are sent.
    """

    read_length: Callable[[str], Length | None]
    write_letter: WriteLetter | None


def take(store: Store, *, secret: str, sent: Sequence[object], manner: Manner, now: datetime) -> tuple[Answer, ...]:
    """Take what a phone sent, and answer for each.

    Args:
        store: the shop's database.
        secret: that the phone shows itself by.
        sent: entries, as read from JSON.
        manner: of the shop.
        now: the time, zoned.

    Raises:
        NotFound: ``till.unknown`` for any secret that is not, or not any more, one of ours.
        Refusal: ``entry.many``.
    """
    if len(sent) > MOST_ENTRIES:
        raise Refusal(Problem("entry.many", values={"most": MOST_ENTRIES}))
    with store.writing() as session:
        phone = phone_in(session, secret)
        rows.last_seen(phone, now)
        fair_id, phone_id = phone.fair_id, phone.id
    return tuple(_take(store, fair_id, phone_id, raw, manner, now) for raw in sent)


def _take(store: Store, fair_id: int, phone_id: int, raw: object, manner: Manner, now: datetime) -> Answer:
    key = key_of(raw)
    if key is None or not isinstance(raw, Mapping):
        return Answer("", Taken.REFUSED, (Problem("entry.key"),))
    if not _is_of_a_size(raw):
        return Answer(key, Taken.REFUSED, (Problem("entry.large"),))
    with store.writing() as session:
        fair = rows.fair_of(session, fair_id=fair_id, lock=True)
        phone = session.get_one(table.TillPhone, phone_id, populate_existing=True)
        if fair is None or phone.revoked_at is not None:  # revoked while it was sending
            raise NotFound(Problem("till.unknown"))
        return take_in(session, fair, key, raw, manner=manner, phone_id=phone_id, now=now)[0]


def _is_of_a_size(raw: object) -> bool:
    try:
        return len(json.dumps(raw)) <= LARGEST_ENTRY
    except RecursionError:  # nested deeper than anything that a till says
        return False


def take_in(
    session: Session,
    fair: fair_table.Fair,
    key: str,
    raw: Mapping[str, Any],
    *,
    manner: Manner,
    phone_id: int | None,
    now: datetime,
) -> tuple[Answer, table.TillEntry]:
    """Take one entry, as part of another use case. The fair must be locked.

    Args:
        session: of the transaction.
        fair: whose till it is.
        key: of the entry.
        raw: the entry.
        manner: of the shop.
        phone_id: that sent it; ``None`` for the desk.
        now: the time, zoned.
    """
    digest = digest_of(raw)
    earlier = rows.entry_by_key(session, key)
    if earlier is None:
        said, why = _understood(session, fair, key, raw)
        values = {
            "key": key,
            "fair_id": fair.id,
            "phone_id": phone_id,
            "what": raw["what"] if said is not None else "other",
            "content": dict(raw["content"]) if said is not None else {"sent": json.dumps(raw)},
            "digest": digest,
            "at": time_of(raw) or now,
            "received_at": now,
            "looked_at": None,
        }
        inserted = insert_if_absent(session, table.TillEntry, values)
        earlier = rows.entry_by_key(session, key)
        assert earlier is not None  # noqa: S101 - it was inserted just now, by us or by another
        if inserted:
            if said is not None:
                _happen(session, fair, earlier, said, manner, now)
            return Answer(key, Taken.KEPT if said is None else Taken.TAKEN, why), earlier
    if earlier.digest != digest:
        return Answer(key, Taken.REFUSED, (Problem("entry.other"),)), earlier
    return Answer(key, Taken.HAD), earlier


def _understood(
    session: Session, fair: fair_table.Fair, key: str, raw: Mapping[str, Any]
) -> tuple[Said | None, tuple[Problem, ...]]:
    """What an entry says, its rugs locked; or why that cannot be told."""
    try:
        said = said_of(raw, key, fair.currency)
        if isinstance(said, SaleSaid):
            rugs_of(session, [one.rug for one in said.rugs])
        elif isinstance(said, RefusedSaid):
            rugs_of(session, [said.rug])
    except Unreadable as unreadable:
        return None, unreadable.problems
    return said, ()


def _happen(session: Session, fair: fair_table.Fair, entry: table.TillEntry, said: Said, manner: Manner, now: datetime) -> None:
    """Write what comes of an entry."""
    at = counted_time(entry.at, entry.received_at)
    if isinstance(said, SaleSaid):
        sell(session, fair, entry, said, write_letter=manner.write_letter, now=now)
    elif isinstance(said, UndoSaid):
        _undo(session, said, now)
    elif isinstance(said, CashSaid):
        session.add(
            table.TillCash(
                fair_id=fair.id, entry_id=entry.id, what=said.what, amount=said.amount, note=said.note, at=at
            )
        )
        session.flush()
        counted = [one.amount for one in rows.cash_of(session, fair.id) if one.what == "counted"]
        fair.counted = counted[-1] if counted else None
    elif isinstance(said, RefusedSaid):
        session.add(
            table.Refused(
                fair_id=fair.id, entry_id=entry.id, rug_id=said.rug, asked=said.asked, offered=said.offered, at=at
            )
        )
    else:
        session.add(_wish(fair, entry, said, manner, at))
    session.flush()


def _undo(session: Session, said: UndoSaid, now: datetime) -> None:
    """Undo a sale that is here, at whichever fair; one that is still to come finds the entry when it comes."""
    sale = rows.sale_by_key(session, said.sale)
    if sale is None:  # one that is being written at another fair is waited for
        numbering.hold(session, "sale")
        sale = rows.sale_by_key(session, said.sale)
    if sale is not None:
        undo(session, sale, why=said.why, now=now)


def _wish(fair: fair_table.Fair, entry: table.TillEntry, said: WishSaid, manner: Manner, at: datetime) -> table.Wish:
    """A wish; a size that cannot be read stays among its words."""
    width, length = (manner.read_length(typed) if typed else None for typed in (said.width, said.length))
    unread = [typed for typed, read in ((said.width, width), (said.length, length)) if typed and read is None]
    return table.Wish(
        fair_id=fair.id,
        entry_id=entry.id,
        name=said.name,
        contact=said.contact,
        words="\n".join(part for part in (said.words, " × ".join(unread)) if part),
        width=width,
        length=length,
        at=at,
        quote_id=None,
        done_at=None,
    )
