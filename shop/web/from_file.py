"""Bringing cloth home from a file: look it over first, then all of it or nothing.

The file travels between the two in the form itself, so that nothing has to be kept for a visitor who never comes back, and
it works without JavaScript; its digest is reckoned anew each time.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import io
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Problem, Refusal
from shop.paper.sheets import Workbook, csv_lines
from shop.paper.sheets_in import LARGEST_FILE, table_in
from shop.usecases import from_file
from shop.usecases.from_file import COLUMNS, BadCell, Preview
from shop.web.fields import TextField
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark
from shop.words.problems import problem_sentence

room = Blueprint("from_file", __name__, url_prefix="/cloth/hauls/from-file")

BAD_SHOWN: Final = 100
XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class FileForm(ShopForm):
    """A file to look over; the file itself is read beside the form."""

    file = TextField(mark("A file"), needed=False, where="file")


@dataclass(frozen=True, slots=True)
class HaulLine:
    """A haul that would come home, in words."""

    place: str
    on: str
    pieces: int
    cost: str


@dataclass(frozen=True, slots=True)
class BadLine:
    """What is wrong in a row."""

    row: int
    column: str
    sentence: str


@page("cloth/from_file.html")
class FromFilePage:
    """A file to bring cloth home from, and what it would bring.

    Attributes:
        seen: a file has been looked over; ``content`` is that file, to be sent along.
        hauls: that would come home; ``pieces`` how many pieces in all.
        bad: what is wrong, a row at a time; ``more_bad`` how many are not shown.
        unknown: columns that are passed over, in words.
        before: the address of what the same file brought home before.
    """

    form: FileForm
    columns: tuple[tuple[str, str], ...]
    seen: bool
    content: str
    hauls: tuple[HaulLine, ...]
    pieces: int
    bad: tuple[BadLine, ...]
    more_bad: int
    unknown: str
    before: str


MEANINGS: Final[dict[str, str]] = {
    "place": mark("where it was bought; with the day, it says which rows are one haul"),
    "day": mark("as 2026-03-14"),
    "name": mark("what it is"),
    "width": mark("usable; not for yarn"),
    "length": mark("usable; not for yarn"),
    "price": mark("of one; 0 if it was given to you"),
    "count": mark("how many alike"),
    "kind": mark("sheeting, quilting, flannel, jersey, muslin, voile, terry, corduroy, denim, blanket"),
    "colour": mark("#5577aa, or a word such as blue"),
    "fibre": mark("cotton, or cotton 60, polyester 40"),
    "weight": mark("on a scale, of one"),
    "tears": mark("yes or no"),
    "washed": mark("yes or no"),
    "condition": mark("as new, good, worn, patchy, stained"),
    "kept": mark("where it lies"),
    "yarn": mark("the count of a cone of warp yarn, such as 8/4; it needs a weight"),
    "tax": mark("of the whole haul; said once, or the same in each of its rows"),
    "discount": mark("the same"),
    "washing": mark("the same"),
    "trip": mark("the same"),
    "spread by": mark("price, weight, area or evenly"),
    "note": mark("of the whole haul"),
}


@room.get("")
def show_form() -> Response:
    """Choose a file."""
    return _page(FileForm(formdata=None))


@room.post("")
def look_over() -> Response:
    """Look a file over; nothing is changed."""
    form = FileForm()
    form.validate()
    sent = request.files.get("file")
    content = sent.read(LARGEST_FILE + 1) if sent else b""
    return _looked_over(form, content)


@room.post("/home")
def bring_home() -> Response:
    """Bring home what was looked over: all of it, or nothing."""
    form = FileForm()
    form.validate()
    try:
        content = base64.b64decode(request.form.get("content", ""), validate=True)
    except (binascii.Error, ValueError):
        raise Refusal(Problem("sheet.unreadable", "file")) from None
    try:
        first = from_file.bring_home_from(
            store_now(), rows=table_in(content), digest=_digest(content), now=moment()
        )
    except Refusal as refusal:
        form.refuse(refusal)
        return _looked_over(form, content, status=422)
    tell(mark("All of it is home. Its pieces have their numbers."))
    return redirect(url_for("haul.show_haul", haul_id=first), 303)  # type: ignore[return-value]


@room.get("/empty.csv")
def empty_csv() -> Response:
    """A file to fill in, as CSV."""
    lines = csv_lines(COLUMNS, _examples())
    return Response("".join(lines), mimetype="text/csv", headers=_named("cloth.csv"))


@room.get("/empty.xlsx")
def empty_workbook() -> Response:
    """A file to fill in, as a workbook."""
    written = io.BytesIO()
    book = Workbook(written)
    book.add("cloth", COLUMNS, _examples())
    book.close()
    return Response(written.getvalue(), mimetype=XLSX, headers=_named("cloth.xlsx"))


def _named(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}


def _examples() -> list[list[str]]:
    """Two rows in the shop's units, to be written over."""
    imperial = words_now().units == "imperial"
    sheet = {
        "place": "Thrift shop",
        "day": "2026-03-14",
        "name": "Blue striped sheet",
        "width": "81 in" if imperial else "205 cm",
        "length": "96 in" if imperial else "245 cm",
        "price": "4",
        "count": "1",
        "kind": "sheeting",
        "colour": "blue",
        "fibre": "cotton 50, polyester 50",
        "tears": "yes",
        "washed": "no",
    }
    cone = {
        "place": "Thrift shop",
        "day": "2026-03-14",
        "name": "Carpet warp",
        "price": "12",
        "weight": "1 lb" if imperial else "500 g",
        "yarn": "8/4",
    }
    return [[row.get(column, "") for column in COLUMNS] for row in (sheet, cone)]


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _looked_over(form: FileForm, content: bytes, *, status: int = 200) -> Response:
    try:
        rows = table_in(content)
    except Refusal as refusal:
        form.refuse(refusal)
        return _page(form, status=422)
    found = from_file.preview(store_now(), rows=rows, digest=_digest(content), now=moment())
    return _page(form, found, content, status=status)


def _page(form: FileForm, found: Preview | None = None, content: bytes = b"", *, status: int = 200) -> Response:
    words = words_now()
    bad = found.bad if found else ()
    context = FromFilePage(
        form=form,
        columns=tuple((name, words.say(MEANINGS[name])) for name in COLUMNS),
        seen=found is not None,
        content=base64.b64encode(content).decode("ascii") if found and not bad else "",
        hauls=tuple(
            HaulLine(one.place, words.date(one.on, "medium"), one.pieces, words.money(one.cost)) for one in found.hauls
        )
        if found
        else (),
        pieces=found.pieces if found else 0,
        bad=tuple(_bad_line(one) for one in bad[:BAD_SHOWN]),
        more_bad=max(0, len(bad) - BAD_SHOWN),
        unknown=words.all_of(found.unknown[:20]) if found and found.unknown else "",
        before=url_for("haul.show_haul", haul_id=found.before) if found and found.before else "",
    )
    return show(context, status=422 if bad else status)


def _bad_line(one: BadCell) -> BadLine:
    return BadLine(one.row, one.column, problem_sentence(one.problem, words_now()))
