"""The sentences for problems of a job's record: its notes, its photographs, and what its rug measured."""

from __future__ import annotations

from typing import Final

from shop.words.catalogue import mark

RECORD: Final[dict[str, str]] = {
    "note.unknown": mark("There is no such note here."),
    "note.struck": mark("That note is struck out already."),
    "photograph.unknown": mark("That photograph is not here any more."),
    "photograph.many": mark("A job has room for %(most)s photographs. Take one away first."),
    "photograph.twice": mark("This photograph is here already."),
    "measure.unknown": mark("There is no such measuring here."),
    "measure.struck": mark("That measuring is struck out already."),
    "job.no_rug": mark("Job %(number)s was called off, so there is no rug to measure."),
}
