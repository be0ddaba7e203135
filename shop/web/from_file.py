"""Bringing cloth home from a file: look it over first, then all of it or nothing.

The file travels between the two in the form itself, so that nothing has to be kept for a visitor who never comes back, and
it works without JavaScript. It is read anew when it is said yes to, and what was seen is held against it.
"""

from __future__ import annotations

import base64
import binascii
import io
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, redirect, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge

from shop.core.errors import Problem, Refusal
from shop.paper.sheets import Workbook, csv_lines
from shop.paper.sheets_in import LARGEST_FILE, MOST_COLUMNS, MOST_ROWS, table_in
from shop.usecases import from_file
from shop.usecases.file_rows import COLUMNS, BadCell
from shop.usecases.from_file import HaulSeen, PieceSeen, Preview
from shop.web.cloth_shown import size_shown
from shop.web.errors import wrong
from shop.web.fields import CheckField, TextField
from shop.web.file_columns import HEADINGS, MEANINGS, examples, vocabulary
from shop.web.forms import ShopForm
from shop.web.pages import page, show
from shop.web.shell import moment, store_now, tell, words_now
from shop.words import mark
from shop.words.problems import problem_sentence

room = Blueprint("from_file", __name__, url_prefix="/cloth/hauls/from-file")

BAD_SHOWN: Final = 100
PIECES_SHOWN: Final = 500
XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


class FileForm(ShopForm):
    """A file to look over; the file itself is read beside the form."""

    file = TextField(mark("A file"), needed=False, where="file")
    other = CheckField(mark("This is other cloth"), where="other")


@dataclass(frozen=True, slots=True)
class PieceLine:
    """A row's piece that would come home, in words."""

    row: int
    name: str
    colour: str
    size: str
    count: str
    price: str
    cost: str
    washed: str


@dataclass(frozen=True, slots=True)
class HaulLine:
    """A haul that would come home, in words; ``already`` is the address of one of the same place and day."""

    place: str
    on: str
    count: int
    cost: str
    pieces: tuple[PieceLine, ...]
    already: str


@dataclass(frozen=True, slots=True)
class BeforeLine:
    """A haul that the same table brought before."""

    place: str
    on: str
    address: str


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
        columns: what a file can say: each heading with its meaning.
        bare_length, bare_weight: examples of what a number without a unit is.
        seen: stands for what would come home, once a file has been looked over; ``content`` is that file, to be sent along.
        hauls: that would come home; ``pieces`` how many pieces in all; ``more`` how many rows are not shown.
        already: some of the hauls are of the place and day of one that is home.
        bad: what is wrong, a row at a time; ``more_bad`` how many are not shown.
        unknown: columns that are passed over, in words.
        before: what the same table brought home before.
    """

    form: FileForm
    columns: tuple[tuple[str, str], ...]
    bare_length: str
    bare_weight: str
    seen: str
    content: str
    hauls: tuple[HaulLine, ...]
    pieces: int
    more: int
    already: bool
    bad: tuple[BadLine, ...]
    more_bad: int
    unknown: str
    before: tuple[BeforeLine, ...]


@room.get("")
def show_form() -> Response:
    """Choose a file."""
    return _page(FileForm(formdata=None))


@room.post("")
def look_over() -> Response:
    """Look a file over; nothing is changed."""
    sent = request.files.get("file")
    return _looked_over(FileForm(formdata=None), sent.read(LARGEST_FILE + 1) if sent else b"")


@room.post("/home")
def bring_home() -> Response:
    """Bring home what was looked over: all of it, or nothing."""
    form = FileForm()
    form.validate()
    content = _content()
    try:
        hauls = from_file.bring_home_from(
            store_now(),
            rows=table_in(content),
            seen=request.form.get("seen", ""),
            other_cloth=form.other.data,
            now=moment(),
            vocabulary=vocabulary(words_now()),
        )
    except Refusal as refusal:
        form.refuse(refusal)
        return _looked_over(form, content, status=422)
    tell(mark("All of it is home. Its pieces have their numbers."))
    if len(hauls) == 1:
        return redirect(url_for("haul.show_haul", haul_id=hauls[0]), 303)  # type: ignore[return-value]
    return redirect(url_for("haul.show_hauls"), 303)  # type: ignore[return-value]


@room.errorhandler(RequestEntityTooLarge)
def tell_largest(_: RequestEntityTooLarge) -> Response:
    """A file so large that it was not even read: how large it may be."""
    largest = Problem("sheet.large", values={"rows": MOST_ROWS, "columns": MOST_COLUMNS})
    return wrong(413, problem_sentence(largest, words_now()), back=True)


def _content() -> bytes:
    """The file that came along with the form; nothing where it was damaged on the way."""
    try:
        return base64.b64decode(request.form.get("content", ""), validate=True)
    except (binascii.Error, ValueError):
        return b""


@room.get("/empty.csv")
def empty_csv() -> Response:
    """A file to fill in, as CSV."""
    words = words_now()
    lines = csv_lines(_headings(), examples(words))
    return Response("".join(lines), mimetype="text/csv", headers=_named("cloth.csv"))


@room.get("/empty.xlsx")
def empty_workbook() -> Response:
    """A file to fill in, as a workbook."""
    written = io.BytesIO()
    book = Workbook(written)
    book.add("cloth", _headings(), examples(words_now()))
    book.close()
    return Response(written.getvalue(), mimetype=XLSX, headers=_named("cloth.xlsx"))


def _headings() -> list[str]:
    return [words_now().say(HEADINGS[column]) for column in COLUMNS]


def _named(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}


def _looked_over(form: FileForm, content: bytes, *, status: int = 200) -> Response:
    try:
        rows = table_in(content)
    except Refusal as refusal:
        form.refuse(refusal)
        return _page(form, status=422)
    found = from_file.preview(store_now(), rows=rows, now=moment(), vocabulary=vocabulary(words_now()))
    return _page(form, found, content, status=422 if found.bad else status)


def _page(form: FileForm, found: Preview | None = None, content: bytes = b"", *, status: int = 200) -> Response:
    words = words_now()
    hauls, bad = (found.hauls, found.bad) if found else ((), ())
    return show(
        FromFilePage(
            form=form,
            columns=tuple((words.say(HEADINGS[name]), words.say(MEANINGS[name])) for name in COLUMNS),
            bare_length=f"30 {words.bare_length}",
            bare_weight=f"2 {words.bare_weight}",
            seen=found.seen if found else "",
            content=base64.b64encode(content).decode("ascii") if hauls else "",
            hauls=_haul_lines(hauls),
            pieces=found.pieces if found else 0,
            more=max(0, sum(len(one.pieces) for one in hauls) - PIECES_SHOWN),
            already=any(one.already for one in hauls),
            bad=tuple(_bad_line(one) for one in bad[:BAD_SHOWN]),
            more_bad=max(0, len(bad) - BAD_SHOWN),
            unknown=words.all_of(found.unknown[:20]) if found and found.unknown else "",
            before=tuple(
                BeforeLine(one.place, words.date(one.on), url_for("haul.show_haul", haul_id=one.id))
                for one in (found.before if found else ())
            ),
        ),
        status=status,
    )


def _haul_lines(hauls: tuple[HaulSeen, ...]) -> tuple[HaulLine, ...]:
    words = words_now()
    room_left = PIECES_SHOWN
    lines = []
    for one in hauls:
        shown = one.pieces[:room_left]
        room_left -= len(shown)
        already = url_for("haul.show_haul", haul_id=one.already) if one.already else ""
        pieces = tuple(_piece_line(piece) for piece in shown)
        lines.append(
            HaulLine(one.place, words.date(one.on), one.count, words.money(one.cost), pieces, already)
        )
    return tuple(lines)


def _piece_line(one: PieceSeen) -> PieceLine:
    words = words_now()
    parts = [words.say("Warp yarn %(count)s", count=one.yarn) if one.yarn else size_shown(one.width, one.length)]
    if one.weight:
        parts.append(words.weight(one.weight))
    return PieceLine(
        row=one.row,
        name=one.name,
        colour=one.colour,
        size=" · ".join(parts),
        count=words.number(one.count),
        price=words.money(one.paid),
        cost=words.money(one.cost),
        washed=words.say("ready") if one.ready else words.say("set aside to wash"),
    )


def _bad_line(one: BadCell) -> BadLine:
    words = words_now()
    heading = words.say(HEADINGS[one.column]) if one.column in HEADINGS else ""
    return BadLine(one.row, heading, problem_sentence(one.problem, words))
