"""The user's guide, chapter by chapter. Its text stands in ``templates/guide/``."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, abort, url_for

from shop.web.left_out import LeftOut, left_out
from shop.web.pages import page, show
from shop.web.shell import words_now
from shop.words import mark

room = Blueprint("guide", __name__, url_prefix="/guide")

CHAPTERS = {
    "start": mark("Beginning"),
    "looms": mark("Looms"),
    "cloth": mark("Cloth"),
    "ledger": mark("Where every cent of cloth is"),
    "rates": mark("Rates, and what an hour earns"),
    "quote": mark("A quote from end to end"),
    "stripes": mark("Stripes"),
    "card": mark("From the plan to the loom"),
    "order": mark("From the offer to the rug handed over"),
    "rugs": mark("Rugs for sale"),
    "fair": mark("A fair, from the plan to the reckoning"),
    "till": mark("At the stall"),
    "sure": mark("How sure it is"),
    "learning": mark("What your rugs say"),
    "formulas": mark("The formulas"),
    "file": mark("A rug in a file"),
    "plan": mark("A cutting plan in a file"),
    "cautions": mark("Cautions"),
    "backup": mark("Copies for safety"),
}


@dataclass(frozen=True)
class Chapter:
    """A chapter: its key, its name, where it stands."""

    key: str
    name: str
    address: str


@page("guide/frame.html")
class GuidePage:
    """A chapter of the guide among the others."""

    chapters: list[Chapter]
    here: Chapter
    before: Chapter | None
    after: Chapter | None
    left_out: tuple[LeftOut, ...]


@room.get("")
def show_guide() -> Response:
    """The first chapter."""
    return show_chapter("start")


@room.get("/<key>")
def show_chapter(key: str) -> Response:
    """A chapter."""
    if key not in CHAPTERS:
        abort(404)
    say = words_now().say
    chapters = [
        Chapter(each, say(name), url_for("guide.show_chapter", key=each)) for each, name in CHAPTERS.items()
    ]
    place = list(CHAPTERS).index(key)
    return show(
        GuidePage(
            chapters=chapters,
            here=chapters[place],
            before=chapters[place - 1] if place else None,
            after=chapters[place + 1] if place + 1 < len(chapters) else None,
            left_out=left_out(words_now()) if key == "file" else (),
        )
    )
