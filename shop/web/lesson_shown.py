"""What the rugs say as it stands on a page: a row for each number, and a row for each record behind it, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import url_for

from shop.core.evidence import Grade
from shop.core.own_rugs import Answer
from shop.core.spread import Basis
from shop.usecases.lessons import LessonLine, RecordLine
from shop.web.cloth_shown import CLOTHS, NOTHING
from shop.web.learned_shown import NAMES, SHORT, TOOLS, size_shown, sources_shown, value_shown
from shop.words import Words, mark

GRADES: Final = {
    Grade.WHOLE: mark("a whole rug"),
    Grade.PARTIAL: mark("a part of one, counts half"),
    Grade.QUICK: mark("quick, counts a quarter"),
}


@dataclass(frozen=True, slots=True)
class SaysRow:
    """A number: its name and address, what the rugs say, from which, and what stands beside it.

    Attributes:
        size: the kind of cloth and the size that the figures go with; empty where there are none.
        middle, low, high: in words.
        sources: from which rugs; empty while it is the starting guess.
        beside: how many records are odd or set aside, in words.
    """

    name: str
    address: str
    size: str
    middle: str
    low: str
    high: str
    sources: str
    beside: str


@dataclass(frozen=True, slots=True)
class RecordRow:
    """A record in words.

    Attributes:
        key: it is set aside by.
        what: the rug or the measurement; ``address`` of the rug, if it is one.
        expected: what the others would have made of it.
        stuff: its kind of cloth, and its piece.
        odd: it hardly counts; ``aside`` why it was set aside.
        measurement: its id, where it is a quick measurement.
    """

    key: str
    what: str
    address: str
    day: str
    value: str
    expected: str
    size: str
    stuff: str
    grade: str
    odd: bool
    aside: str
    measurement: int | None


def says_row(line: LessonLine, words: Words, *, tool: bool) -> SaysRow:
    """What the rugs say of a number on a loom, or by a tool."""
    name = words.say(TOOLS[line.on]) if tool else words.say(NAMES[line.what])
    beside = []
    if line.says.sources.odd:
        beside.append(words.say_n("%(n)s odd one", "%(n)s odd ones", line.says.sources.odd))
    if line.aside:
        beside.append(words.say_n("%(n)s set aside", "%(n)s set aside", line.aside))
    address = url_for("learning.show_lesson", on=line.on, what=SHORT[line.what])
    return says_of(name, address, line.says, ", ".join(beside), words, tool=tool)


def says_of(name: str, address: str, says: Answer, beside: str, words: Words, *, tool: bool) -> SaysRow:
    """An answer of the rugs, by a name."""
    what = says.question.what
    measured = says.basis is Basis.MEASURED
    return SaysRow(
        name=name,
        address=address,
        size=_of_what(says, words),
        middle=value_shown(what, says.middle, words),
        low=value_shown(what, says.low, words),
        high=value_shown(what, says.high, words),
        sources=sources_shown(says.sources, words, tool=tool) if measured else "",
        beside=beside,
    )


def _of_what(says: Answer, words: Words) -> str:
    """The kind of cloth and the size that the figures go with."""
    kind = words.say(CLOTHS[says.question.kind]) if says.question.kind in CLOTHS else ""
    return ", ".join(part for part in (kind, size_shown(says.question.what, says.question.size, words)) if part)


def record_row(one: RecordLine, words: Words) -> RecordRow:
    """A record behind a number."""
    record, source = one.record, one.source
    if source.job is not None:
        name, address = source.name, url_for("job.show_job", number=source.job)
    else:
        name, address = words.say("Measured"), ""
    stuff = words.say(CLOTHS[record.kind]) if record.kind in CLOTHS else ""
    if record.cloth:
        piece = words.say("No. %(number)s", number=record.cloth)
        stuff = f"{stuff}, {piece}" if stuff else piece
    return RecordRow(
        key=one.key,
        what=name,
        address=address,
        day=words.date(record.day, "medium"),
        value=value_shown(record.what, record.value, words),
        expected=value_shown(record.what, one.expected, words) if one.expected is not None else NOTHING,
        size=size_shown(record.what, record.size, words),
        stuff=stuff,
        grade=words.say(GRADES[record.grade]),
        odd=one.odd,
        aside=record.aside,
        measurement=source.measurement,
    )
