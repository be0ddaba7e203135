"""The notes of a job: made, looked through, struck out."""

from __future__ import annotations

from flask import Blueprint, Response, redirect, request, url_for

from shop.core.errors import Refusal
from shop.usecases import job_note
from shop.web.asked import number_of
from shop.web.forms import PressForm, pressed
from shop.web.job import JobRow, job_row
from shop.web.pages import page, show
from shop.web.record_shown import NoteForm, NoteRow, note_rows
from shop.web.shell import moment, store_now, tell
from shop.words import mark

room = Blueprint("note", __name__, url_prefix="/jobs/<int:number>/notes")


@page("job/notes.html")
class NotesPage:
    """The notes of a job, newest first."""

    job: JobRow
    notes: tuple[NoteRow, ...]
    form: NoteForm
    act: PressForm
    further: str


@room.get("")
def show_notes(number: int) -> Response:
    """The notes of a job."""
    return _notes(number, NoteForm(formdata=None))


def _notes(number: int, form: NoteForm, *, status: int = 200) -> Response:
    found = job_note.notes(store_now(), job=number, below=number_of(request.args.get("below", "")))
    page_of = found.page
    context = NotesPage(
        job=job_row(found.line),
        notes=note_rows(page_of.notes),
        form=form,
        act=PressForm(formdata=None),
        further=url_for("note.show_notes", number=number, below=page_of.further) if page_of.further else "",
    )
    return show(context, status=status)


@room.post("")
def add(number: int) -> Response:
    """Make a note."""
    form = NoteForm()
    if form.validate():
        try:
            job_note.add(store_now(), job=number, words=form.words.data, saving=form.saving.data, now=moment())
        except Refusal as refusal:
            if any(problem.code == "job.unknown" for problem in refusal.problems):
                raise
            form.refuse(refusal)
        else:
            tell(mark("Noted."))
            return _back(number)
    return _notes(number, form, status=422)


@room.post("/struck")
def strike(number: int) -> Response:
    """It was a mistake."""
    note = number_of(request.form.get("note", "")) or 0
    job_note.strike(store_now(), job=number, note=note, saving=pressed(), now=moment())
    tell(mark("Struck out. It stays in the record."))
    return _back(number)


def _back(number: int) -> Response:
    """To the page that the button stood on."""
    to = "job.show_job" if request.form.get("back") == "job" else "note.show_notes"
    return redirect(url_for(to, number=number, _anchor="notes"), 303)  # type: ignore[return-value]
