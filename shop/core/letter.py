"""Letters by e-mail: what one is, what can become of it, when it is tried again, and which addresses it can go to."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Final

MOST_TRIES: Final = 10
WAITS: Final = (timedelta(minutes=1), timedelta(minutes=5), timedelta(minutes=30), timedelta(hours=2), timedelta(days=1))
"""After the first failure, the second and so on; the last of them again and again."""
LONGEST_ADDRESS: Final = 254
LONGEST_LOCAL: Final = 64
_LOCAL: Final = re.compile(r"[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(?:\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*")
_DOMAIN: Final = re.compile(r"(?:[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?\.)*[A-Za-z0-9](?:[A-Za-z0-9-]{0,61}[A-Za-z0-9])?")
_NAMED: Final = re.compile(r'(?P<name>[^<>"@]*)<(?P<address>[^<>]*)>')


class LetterState(StrEnum):
    """Where a letter stands.

    ``SENDING``: somebody has claimed it and speaks with the mail server. ``UNCERTAIN``: nobody knows whether the server took
    it. ``LET_GO``: it is not sent, and the weaver knows.
    """

    WAITING = "waiting"
    SENDING = "sending"
    SENT = "sent"
    FAILED = "failed"
    UNCERTAIN = "uncertain"
    LET_GO = "let go"


class Trouble(StrEnum):
    """Why a letter was not sent, or may not have been."""

    UNREACHABLE = "unreachable"
    NO_TLS = "no tls"
    SIGN_IN = "sign in"
    SENDER = "sender"
    RECIPIENT = "recipient"
    CONTENT = "content"
    DROPPED = "dropped"
    UNANSWERED = "unanswered"
    BROKEN_OFF = "broken off"


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """A letter as it goes out; whoever sends it again sends the very same, under the same ``message_id``."""

    to: str
    subject: str
    body: str
    message_id: str
    written_at: datetime


class NotSent(Exception):
    """The mail server has certainly not taken the letter.

    Attributes:
        trouble: what was in the way; ``reply`` what the server said.
        forever: that trying again would not help, since it lies with this letter.
        with_server: that it lies with the server, so that other letters would fare the same.
    """

    def __init__(self, trouble: Trouble, reply: str = "", *, forever: bool = False, with_server: bool = False) -> None:
        super().__init__(f"{trouble.value}: {reply}" if reply else trouble.value)
        self.trouble, self.reply, self.forever, self.with_server = trouble, reply, forever, with_server


class Unanswered(Exception):
    """The whole letter went to the mail server, and no answer came that says whether it was taken."""


def next_try(failures: int, now: datetime) -> datetime | None:
    """When a letter is tried again that has failed so many times; ``None`` when it is given up."""
    if failures >= MOST_TRIES:
        return None
    return now + WAITS[min(failures, len(WAITS)) - 1]


def wire_address(text: str) -> str | None:
    """The address as mail servers understand it, the domain in plain letters; ``None`` when it is none.

    Quoted names, comments, several addresses, and names before the @ that not every server could carry are not taken.
    """
    local, at, domain = text.rpartition("@")
    if not at or not _LOCAL.fullmatch(local) or len(local) > LONGEST_LOCAL:
        return None
    if len(domain) > LONGEST_ADDRESS or not breaks_no_header(domain):
        return None
    try:
        plain = domain.encode("idna").decode("ascii")
    except UnicodeError:
        return None
    if not _DOMAIN.fullmatch(plain) or len(local) + 1 + len(plain) > LONGEST_ADDRESS:
        return None
    return f"{local}@{plain}"


def sender(text: str) -> tuple[str, str] | None:
    """The name and the address of ``Ida's rugs <ida@example.org>`` or ``ida@example.org``; ``None`` when it is neither."""
    if not breaks_no_header(text):
        return None
    named = _NAMED.fullmatch(text.strip())
    name, address = (named["name"].strip(), named["address"]) if named else ("", text.strip())
    plain = wire_address(address)
    return None if plain is None else (name, plain)


def breaks_no_header(text: str) -> bool:
    """Whether a line of a letter's head can hold this: nothing in it ends a line, or is no sign at all."""
    return all(unicodedata.category(sign) not in ("Cc", "Cs", "Zl", "Zp") for sign in text)
