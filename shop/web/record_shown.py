"""What is remembered of a job, in the shop's words: its notes, its photographs, and what its rug measured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flask import url_for

from shop.core.loom import Size
from shop.core.measure import Weight
from shop.usecases import job_record
from shop.usecases.job_note import NoteLine
from shop.usecases.job_photograph import PhotographLine
from shop.usecases.measuring import Measured, Measures, Planned
from shop.web.cloth_shown import NOTHING
from shop.web.fields import SavingField, TextField
from shop.web.forms import ShopForm
from shop.web.shell import store_now, words_now
from shop.words import Words, mark


class NoteForm(ShopForm):
    """A note to make."""

    words = TextField(mark("A note"), lines=3, longest=2000, where="words")
    saving = SavingField()


@dataclass(frozen=True, slots=True)
class NoteRow:
    """A note."""

    id: int
    words: str
    when: str
    struck: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotographRow:
    """A photograph: its own page, the addresses of the large and the small picture, and what is said of it."""

    id: int
    address: str
    large: str
    small: str
    words: str
    alt: str
    when: str
    stands: bool


@dataclass(frozen=True, slots=True)
class MeasureRow:
    """A measure of a rug: as planned, off the loom, and the difference; a dash for what is not known."""

    name: str
    planned: str
    measured: str
    difference: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuresShown:
    """What a rug measured beside what was planned.

    Attributes:
        planned: size and weight in words; empty where nothing was planned.
        measured: the same off the loom; empty until it was measured.
        rows: width, length and weight side by side, where both are known.
        far_off: the two are so far apart that it may be a slip.
    """

    planned: str
    measured: str
    rows: tuple[MeasureRow, ...]
    far_off: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordShown:
    """What is remembered of a job, as it stands on its page; ``more_notes`` when there are older ones than those here."""

    notes: tuple[NoteRow, ...]
    more_notes: bool
    form: NoteForm
    photographs: tuple[PhotographRow, ...]
    measures: MeasuresShown


def record_shown(number: int, name: str) -> RecordShown:
    """What is remembered of the job of that number, whose rug is called that."""
    found = job_record.record(store_now(), job=number)
    return RecordShown(
        notes=note_rows(found.notes.notes),
        more_notes=found.notes.further is not None,
        form=NoteForm(formdata=None),
        photographs=photograph_rows(number, name, found.photographs),
        measures=measures_shown(found.measures),
    )


def note_rows(notes: Iterable[NoteLine]) -> tuple[NoteRow, ...]:
    """Notes, as they came."""
    words = words_now()
    return tuple(NoteRow(one.id, one.words, words.datetime(one.at), one.struck) for one in notes)


def photograph_rows(number: int, name: str, photographs: Iterable[PhotographLine]) -> tuple[PhotographRow, ...]:
    """The photographs of a job, as they came."""
    words = words_now()
    return tuple(
        PhotographRow(
            id=one.id,
            address=url_for("job_photograph.show_photograph", number=number, photograph=one.id),
            large=url_for("job_photograph.show_large", number=number, photograph=one.id, v=one.digest),
            small=url_for("job_photograph.show_small", number=number, photograph=one.id, v=one.digest),
            words=one.words,
            alt=one.words or words.say("Photograph %(place)s of %(name)s", place=str(place), name=name),
            when=words.datetime(one.at),
            stands=one.stands,
        )
        for place, one in enumerate(photographs, start=1)
    )


def measures_shown(found: Measures) -> MeasuresShown:
    """What a rug measured, beside what was planned."""
    words, planned, measured = words_now(), found.planned, found.measured
    return MeasuresShown(
        planned=size_and_weight(planned.size, planned.grams, words) if planned else "",
        measured=size_and_weight(measured.size, measured.weight, words) if measured else "",
        rows=_rows(planned, measured, words) if planned and measured else (),
        far_off=found.far_off,
    )


def size_and_weight(size: Size, weight: Weight | float | None, words: Words) -> str:
    """A rug in words: ``2 ft × 3 ft, 1.90 lb``; its size alone where it was not weighed."""
    told = words.size(size)
    return words.say("%(size)s, %(weight)s", size=told, weight=words.weight(weight)) if weight else told


def _rows(planned: Planned, measured: Measured, words: Words) -> tuple[MeasureRow, ...]:
    sides = [
        (mark("Width"), planned.size.width, measured.size.width),
        (mark("Length"), planned.size.length, measured.size.length),
    ]
    rows = [
        MeasureRow(
            words.say(name),
            words.length(was, as_size=True),
            words.length(now, as_size=True),
            _difference(now.metres, was.metres, words),
        )
        for name, was, now in sides
    ]
    weight = measured.weight
    shown = words.weight(weight) if weight else NOTHING
    apart = _difference(weight.grams, planned.grams, words) if weight else NOTHING
    rows.append(MeasureRow(words.say("Weight"), words.weight(planned.grams), shown, apart))
    return tuple(rows)


def _difference(real: float, planned: float, words: Words) -> str:
    """How much more or less than planned, in per cent."""
    share = real / planned - 1 if planned else 0.0
    if abs(share) < 0.0005:
        return words.say("as planned")
    told = mark("%(amount)s more") if share > 0 else mark("%(amount)s less")
    return words.say(told, amount=words.percent(abs(share)))
