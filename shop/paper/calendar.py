"""The shop's due dates as a calendar file (RFC 5545), for a calendar on a telephone or a desk to show or to subscribe to.

Each date is an event of a whole day, which takes up no time. Its UID is made of its kind and the number of its job or
quote and of nothing else, so that a calendar that reads the file again moves the event it has and makes no second one.
The same dates give the same bytes, in whatever order they come.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import Final
from urllib.parse import quote

from icalendar import Calendar, Event, vText
from icalendar.cal import Timezone, TimezoneStandard

from shop.words import Words
from shop.words.catalogue import mark

PRODUCT: Final = "-//Thriftloom//Due dates//EN"
MEDIA_TYPE: Final = "text/calendar; charset=utf-8"
HOUSE: Final = "thriftloom"
"""What stands behind the @ of a UID where the shop names nothing of its own."""
MOST_SEQUENCE: Final = 2_147_483_647
"""The largest whole number that RFC 5545 has (3.3.8)."""
_ADDRESS_SIGNS: Final = "%/:?#[]@!$&'()*+,;=~-._"
"""What may stand in an address as it is (RFC 3986); anything else is written in per cent signs."""


class DueKind(StrEnum):
    """What is due."""

    READY = "ready"
    OFFER_LAPSES = "offer lapses"
    BEGIN_BY = "begin by"
    HANDOVER = "handover"


KIND_NAMES: Final = MappingProxyType(
    {
        DueKind.READY: mark("Ready"),
        DueKind.OFFER_LAPSES: mark("Offer lapses"),
        DueKind.BEGIN_BY: mark("Begin by"),
        DueKind.HANDOVER: mark("Handover"),
    }
)
"""Each kind as a calendar lists it among its categories; said in the shop's language."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueDate:
    """A day on which something is due, in finished text.

    Attributes:
        number: of the job, or of the quote where an offer lapses. With the kind it makes the UID.
        what: the title of the event: ``"Ready: Hall runner"``.
        day: when.
        kind: what is due.
        detail: what else there is to say; may have several lines, or be empty.
        address: the page that shows it; may be empty.
        sequence: how often it has been moved or changed; goes up only.
        stamp: when it was last changed.

    Raises:
        ValueError: the stamp does not say its zone, or the sequence is below 0 or above what a calendar can hold.
    """

    number: int
    what: str
    day: date
    kind: DueKind
    detail: str = ""
    address: str = ""
    sequence: int = 0
    stamp: datetime

    def __post_init__(self) -> None:
        if self.stamp.tzinfo is None:
            raise ValueError("A moment without a zone cannot stand in a calendar.")
        if not 0 <= self.sequence <= MOST_SEQUENCE:
            raise ValueError(f"A sequence of {self.sequence} cannot stand in a calendar.")

    def uid(self, house: str = HOUSE) -> str:
        """What the event is known by: ``"offer-lapses-14@thriftloom"``; the same however often the rest changes."""
        return f"{DueKind(self.kind).replace(' ', '-')}-{self.number}@{house}"


class _Text(vText):
    """Text whose every backslash stays one; the library's own takes one with an N after it for a new line."""

    __slots__ = ()

    def to_ical(self) -> bytes:
        escaped = str(self).replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")
        return escaped.encode("utf-8")


def calendar_file(dates: Iterable[DueDate], *, name: str, words: Words, house: str = HOUSE) -> bytes:
    """The due dates as the bytes of a calendar file.

    There is no METHOD, so that it is a calendar to subscribe to and not an invitation to answer.

    Args:
        dates: in any order.
        name: of the shop.
        words: the shop's.
        house: what tells this shop from any other, such as its host; must stay as it is once a calendar has been read.

    Raises:
        ValueError: two of the dates are of one kind and one number.
    """
    found = sorted(dates, key=lambda due: (due.day, due.kind, due.number))
    if len({due.uid(house) for due in found}) < len(found):
        raise ValueError("Two due dates of one kind and number cannot stand in one calendar.")
    calendar = Calendar()
    calendar.add("VERSION", "2.0")
    calendar.add("PRODID", PRODUCT)
    calendar.add("CALSCALE", "GREGORIAN")
    calendar.add("X-WR-CALNAME", _text(words.say("Due dates of %(shop)s", shop=name)))
    for due in found:
        calendar.add_component(_event(due, words, house))
    if not found:
        calendar.add_component(_world_time())
    written: bytes = calendar.to_ical()
    return written


def _event(due: DueDate, words: Words, house: str) -> Event:
    event = Event()
    stamp = due.stamp.astimezone(UTC)
    event.add("UID", _text(due.uid(house)))
    event.add("DTSTAMP", stamp)
    event.add("LAST-MODIFIED", stamp)
    event.add("SEQUENCE", due.sequence)
    event.add("DTSTART", due.day)
    event.add("DTEND", due.day + timedelta(days=1))  # the first day on which it is over
    event.add("SUMMARY", _text(due.what))
    event.add("CATEGORIES", [words.say(KIND_NAMES[due.kind])])
    event.add("TRANSP", "TRANSPARENT")
    address = quote(due.address.strip(), safe=_ADDRESS_SIGNS, errors="replace")
    # Many calendars show no URL, so that the address stands in what they do show as well.
    told = "\n".join(text for text in (due.detail.strip(), address) if text)
    if told:
        event.add("DESCRIPTION", _text(told))
    if address:
        event.add("URL", address)
    return event


def _text(text: str) -> _Text:
    """The text with every line's end as one sign, and without signs that RFC 5545 leaves no room for."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    return _Text(
        "".join(sign for sign in lines if sign in "\n\t" or unicodedata.category(sign) not in ("Cc", "Cs"))
    )


def _world_time() -> Timezone:
    """A calendar must hold something (RFC 5545, 3.6): one without dates holds the time zone that needs no rule."""
    zone, always = Timezone(), TimezoneStandard()
    zone.add("TZID", "UTC")
    always.add("DTSTART", datetime(1970, 1, 1))  # noqa: DTZ001 - the standard wants local time here
    always.add("TZOFFSETFROM", timedelta(0))
    always.add("TZOFFSETTO", timedelta(0))
    zone.add_component(always)
    return zone
