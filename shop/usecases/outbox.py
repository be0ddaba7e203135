"""The outbox: a letter is put in with the act that causes it, and sent once that act is a fact.

No letter is ever sent twice by itself. Who sends one claims it first, and the claim is kept before a word is said to the mail
server. Whatever ends without the server's yes or no, because the sender died or the line broke after the last word, leaves a
letter that may have arrived: it becomes *uncertain* and waits for the weaver, who can ask the customer. Rather one letter that
she has to look after than two that the customer reads.
"""

from __future__ import annotations

import secrets
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from shop.core.errors import Clash, NotFound, Problem
from shop.core.letter import (
    Letter,
    LetterState,
    NotSent,
    Trouble,
    Unanswered,
    breaks_no_header,
    next_try,
    wire_address,
)
from shop.store import outbox as table
from shop.store import saving as presses
from shop.store.engine import Session, Store
from shop.usecases.given import Given, is_number_of_a_row

PAGE: Final = 30
AT_ONCE: Final = 20
SILENT: Final = timedelta(hours=1)
"""Longer than any conversation with a mail server takes, with all its timeouts."""
LONGEST_SUBJECT: Final = 200
LONGEST_BODY: Final = 20_000
LONGEST_REPLY: Final = 300
IN_TROUBLE: Final = (LetterState.FAILED, LetterState.UNCERTAIN)


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterCard:
    """A letter as the weaver sees it.

    Attributes:
        state: where it stands; ``tries`` how often its sending was begun.
        due_at: when it is tried next, while it waits.
        trouble: why it is not sent yet; ``None`` when nothing was in the way. ``reply`` what the mail server said.
        ended_at: since when it is sent, failed, uncertain or let go.
    """

    id: int
    to: str
    subject: str
    body: str
    about: str
    message_id: str
    state: LetterState
    tries: int
    put_at: datetime
    due_at: datetime
    trouble: Trouble | None
    reply: str
    ended_at: datetime | None


@dataclass(frozen=True, slots=True)
class LetterPage:
    """A page of letters, newest first; ``further`` is where the next page begins."""

    letters: tuple[LetterCard, ...]
    further: int | None


@dataclass(frozen=True, slots=True)
class Round:
    """How many letters a round of sending brought to each end; ``later`` are those that are tried again."""

    sent: int = 0
    later: int = 0
    failed: int = 0
    uncertain: int = 0


def put(session: Session, *, to: str, subject: str, body: str, about: str, now: datetime) -> int:
    """Put a letter into the outbox, as part of another use case; gives its id. It is sent only if that act is saved.

    Args:
        session: of the transaction in which the act is done.
        to: the address of one person.
        subject: one line.
        body: plain text.
        about: what it is about, such as ``offer.12``.
        now: the time, zoned.

    Raises:
        Refusal: ``letter.address`` at ``to``; ``text.control``, ``text.missing``, ``text.long`` at ``subject`` or ``body``.
    """
    given = Given()
    if wire_address(to) is None:
        given.note("letter.address", "to", text=to[:60])
    if not breaks_no_header(subject):
        given.note("text.control", "subject")
    else:
        subject = given.line("subject", subject, required=True, most=LONGEST_SUBJECT)
    body = body.replace("\r\n", "\n").replace("\r", "\n")
    if any(unicodedata.category(sign) in ("Cc", "Cs") for sign in body if sign not in "\n\t"):
        given.note("text.control", "body")
    if not body.strip():
        given.note("text.missing", "body")
    if len(body) > LONGEST_BODY:
        given.note("text.long", "body", most=LONGEST_BODY)
    about = given.line("about", about, required=True)
    given.done()
    row = table.Outgoing(
        recipient=to,
        subject=subject,
        body=body,
        about=about,
        mark=secrets.token_hex(12),
        state=LetterState.WAITING.value,
        tries=0,
        put_at=now,
        due_at=now,
        claimed_by="",
        claimed_at=None,
        trouble="",
        reply="",
        ended_at=None,
    )
    session.add(row)
    session.flush()
    return row.id


def send_due(store: Store, send: Callable[[Letter], None], *, now: datetime, most: int = AT_ONCE) -> Round:
    """Send what is due, letter by letter; each is a transaction to claim it, the sending, and a transaction to note what came.

    Any number of senders may do this at once. When the mail server itself is the trouble, the round ends, and the letters that
    were not tried stay as they are.

    Args:
        store: the shop's database.
        send: hands a letter to the mail server, and raises ``NotSent`` or ``Unanswered`` when it was not taken for certain.
        now: the time, zoned.
        most: letters in a round.

    Raises:
        Exception: whatever else ``send`` raises; the letter is uncertain then.
    """
    count = dict.fromkeys((LetterState.SENT, LetterState.WAITING, LetterState.FAILED, LetterState.UNCERTAIN), 0)
    count[LetterState.UNCERTAIN] += _find_silent(store, now)
    for _ in range(most):
        claim = secrets.token_hex(12)
        claimed = _claim(store, claim, now)
        if claimed is None:
            break
        letter_id, letter = claimed
        trouble: NotSent | Unanswered | None = None
        try:
            send(letter)
        except (NotSent, Unanswered) as error:
            trouble = error
        except Exception:
            _note(store, letter_id, claim, Unanswered(), now)
            raise
        state = _note(store, letter_id, claim, trouble, now)
        if state in count:
            count[state] += 1
        if isinstance(trouble, NotSent) and trouble.with_server:
            break
    return Round(
        count[LetterState.SENT], count[LetterState.WAITING], count[LetterState.FAILED], count[LetterState.UNCERTAIN]
    )


def _find_silent(store: Store, now: datetime) -> int:
    with store.writing() as session:
        rows = table.claimed_before(session, now - SILENT)
        for row in rows:
            row.state, row.ended_at = LetterState.UNCERTAIN.value, now
            row.trouble, row.reply = Trouble.BROKEN_OFF.value, ""
        return len(rows)


def _claim(store: Store, claim: str, now: datetime) -> tuple[int, Letter] | None:
    with store.writing() as session:
        row = table.next_due(session, now)
        if row is None:
            return None
        row.state, row.claimed_by, row.claimed_at = LetterState.SENDING.value, claim, now
        row.tries += 1
        return row.id, Letter(
            to=row.recipient, subject=row.subject, body=row.body, message_id=row.message_id, written_at=row.put_at
        )


def _note(
    store: Store, letter_id: int, claim: str, trouble: NotSent | Unanswered | None, now: datetime
) -> LetterState | None:
    """Note what came of a try; nothing when the letter is gone or not this sender's any more.

    A sender that was taken for dead still knows what came of it, so it may speak about an uncertain letter.
    """
    with store.writing() as session:
        row = table.by_id(session, letter_id, lock=True)
        if row is None or row.claimed_by != claim or row.state not in (LetterState.SENDING, LetterState.UNCERTAIN):
            return None
        row.trouble, row.reply, row.ended_at = "", "", now
        if trouble is None:
            state = LetterState.SENT
        elif isinstance(trouble, Unanswered):
            state, row.trouble = LetterState.UNCERTAIN, Trouble.UNANSWERED.value
        else:
            row.trouble, row.reply = trouble.trouble.value, _kept(trouble.reply)
            again = None if trouble.forever else next_try(row.tries, now)
            if again is None:
                state = LetterState.FAILED
            else:
                state, row.due_at, row.ended_at, row.claimed_by, row.claimed_at = LetterState.WAITING, again, None, "", None
        row.state = state.value
        return state


def _kept(reply: str) -> str:
    """A mail server's words as a database can hold them."""
    return "".join(sign for sign in " ".join(reply.split()) if unicodedata.category(sign) not in ("Cc", "Cs"))[:LONGEST_REPLY]


def letters(
    store: Store,
    *,
    states: tuple[LetterState, ...] = (),
    about: str | None = None,
    below: int | None = None,
    limit: int = PAGE,
) -> LetterPage:
    """Look through the letters, newest first; ``IN_TROUBLE`` are the states that the weaver must look after.

    Args:
        store: the shop's database.
        states: only those in one of these; of all states where none is named.
        about: only those about this.
        below: ``further`` of the page before.
        limit: letters on a page.
    """
    with store.reading() as session:
        named = [state.value for state in states]
        rows = table.newest(session, states=named, about=about, below=below, limit=limit + 1)
        page = rows[:limit]
        return LetterPage(tuple(_card(row) for row in page), page[-1].id if len(rows) > limit else None)


def _card(row: table.Outgoing) -> LetterCard:
    return LetterCard(
        id=row.id,
        to=row.recipient,
        subject=row.subject,
        body=row.body,
        about=row.about,
        message_id=row.message_id,
        state=LetterState(row.state),
        tries=row.tries,
        put_at=row.put_at,
        due_at=row.due_at,
        trouble=Trouble(row.trouble) if row.trouble else None,
        reply=row.reply,
        ended_at=row.ended_at,
    )


def send_again(store: Store, *, letter_id: int, saving: str, now: datetime) -> LetterCard:
    """The weaver wants a failed or uncertain letter sent after all; it waits as if it were new, under the same Message-ID.

    Raises:
        NotFound: ``letter.unknown``.
        Clash: ``letter.settled`` when it is neither failed nor uncertain.
    """
    with store.writing() as session:
        row = _letter(session, letter_id)
        if presses.claim(session, act=f"letter.again.{row.id}", token=saving, given=None, now=now) is None:
            _must_be_in_trouble(row)
            row.state, row.tries, row.due_at, row.ended_at = LetterState.WAITING.value, 0, now, None
            row.claimed_by, row.claimed_at, row.trouble, row.reply = "", None, "", ""
            session.flush()
        return _card(row)


def let_go(store: Store, *, letter_id: int, saving: str, now: datetime) -> LetterCard:
    """The weaver has seen to a failed or uncertain letter herself: it is not sent, and not shown as a trouble any more.

    Raises:
        NotFound: ``letter.unknown``.
        Clash: ``letter.settled`` when it is neither failed nor uncertain.
    """
    with store.writing() as session:
        row = _letter(session, letter_id)
        if presses.claim(session, act=f"letter.let_go.{row.id}", token=saving, given=None, now=now) is None:
            _must_be_in_trouble(row)
            row.state, row.ended_at, row.claimed_by = LetterState.LET_GO.value, now, ""
            session.flush()
        return _card(row)


def _letter(session: Session, letter_id: int) -> table.Outgoing:
    row = table.by_id(session, letter_id, lock=True) if is_number_of_a_row(letter_id) else None
    if row is None:
        raise NotFound(Problem("letter.unknown"))
    return row


def _must_be_in_trouble(row: table.Outgoing) -> None:
    if row.state not in IN_TROUBLE:
        raise Clash(Problem("letter.settled"))


def forget_about(session: Session, *, about: str) -> None:
    """Delete all letters about something, sent or not, as part of another use case: for whoever they went to is forgotten."""
    table.delete_about(session, about)


def forget(session: Session, *, to: str) -> None:
    """Delete all letters to an address, sent or not, as part of another use case: for a customer who is erased."""
    if to:
        table.delete_to(session, to)
