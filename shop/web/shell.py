"""What stands around every page: the shop's words, name and mark, the rooms, and who is signed in.

Loaded once at the start of a request and kept with it. Views and fields ask here for the shop's words, its
store and the present moment.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from flask import current_app, flash, g, get_flashed_messages, has_app_context, request
from flask_login import current_user

from shop.words import Words

if TYPE_CHECKING:
    from shop.web.rooms import Room

MARK = ("#2b3d6e", "#d8c9a8", "#97291d", "#d8c9a8", "#2b3d6e")
"""The mark of a shop that has chosen none."""
HOUSE = "Thriftloom"


@dataclass(frozen=True)
class RoomLink:
    """A room as it stands in the head of the page; ``here`` is the value of ``aria-current``, or nothing."""

    label: str
    address: str
    here: str


@dataclass(frozen=True)
class Shell:
    """What stands around the page."""

    words: Words
    shop_name: str
    mark: tuple[str, ...]
    rooms: tuple[RoomLink, ...]
    account_name: str

    def notices(self) -> list[str]:
        """What the last act has to say, each once."""
        return [str(message) for message in get_flashed_messages()]


def words_now() -> Words:
    """The shop's words; plain English ones where no shop could be read."""
    return g.get("words") or Words() if has_app_context() else Words()


def speak_as(words: Words) -> None:
    """Say whatever follows in this request in these words: the shop has just changed how it writes."""
    g.words = words


def store_now() -> Any:
    """The shop's store, to hand to a use case."""
    return current_app.extensions["thriftloom_store"]


def public_address() -> str:
    """Where phones and customers reach the shop: as set, else as this page was reached."""
    return current_app.extensions["thriftloom_settings"].public_address or request.url_root.rstrip("/")


def key_now() -> bytes:
    """The key that private links are made with."""
    return str(current_app.config["SECRET_KEY"]).encode()


def moment() -> datetime:
    """Now, in UTC, to hand to a use case."""
    return datetime.now(UTC)


def tell(msgid: str, /, **values: object) -> None:
    """Say a sentence (a marked msgid) at the head of the next page."""
    flash(words_now().say(msgid, **values))


def tell_n(one: str, many: str, number: int, /, **values: object) -> None:
    """The same where the sentence changes with a number, which it may name as ``%(n)s``."""
    flash(words_now().say_n(one, many, number, **values))


def shell_now() -> Shell:
    """The shell of the page being made. Needs no database: what could not be read is left out."""
    signed_in = bool(g.get("welcome")) and current_user.is_authenticated
    facts = g.get("shop")
    return Shell(
        words=words_now(),
        shop_name=facts.name if facts else HOUSE,
        mark=tuple(facts.mark) if facts and facts.mark else MARK,
        rooms=_links(current_app.extensions["thriftloom_rooms"]) if signed_in else (),
        account_name=current_user.name if signed_in else "",
    )


def _links(rooms: tuple[Room, ...]) -> tuple[RoomLink, ...]:
    say = words_now().say
    return tuple(RoomLink(say(room.label), room.address, _here(room.address)) for room in rooms if room.label)


def _here(address: str) -> str:
    if request.path == address:
        return "page"
    return "true" if address != "/" and re.match(re.escape(address) + r"(/|$)", request.path) else ""
