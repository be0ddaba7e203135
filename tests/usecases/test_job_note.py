"""Notes of a job: dated, newest first, struck out and never changed."""

from datetime import timedelta

import pytest

from shop.core.errors import Clash, NotFound, Refusal
from shop.usecases import job_note
from shop.usecases.given import fresh_token
from tests.builders import a_job, codes


@pytest.fixture
def loom(store, now):
    """A shop with a job, No. 1."""
    a_job(store, now)
    return store


def note(store, now, words="Two more rows of the blue.", job=1, saving=None):
    job_note.add(store, job=job, words=words, saving=saving or fresh_token(), now=now)


def strike(store, now, one, job=1, saving=None):
    job_note.strike(store, job=job, note=one, saving=saving or fresh_token(), now=now)


def noted(store, job=1, **asked):
    return job_note.notes(store, job=job, **asked).page


def test_notes_stand_newest_first_with_their_day(loom, now):
    for day in range(3):
        note(loom, now + timedelta(days=day), f"  Day {day}  \r\n\r\nsecond line  ")
    found = noted(loom)
    assert [one.words for one in found.notes] == [f"Day {day}\n\nsecond line" for day in (2, 1, 0)]
    assert [one.at for one in found.notes] == [now + timedelta(days=day) for day in (2, 1, 0)]
    assert found.further is None


def test_a_page_goes_on_where_the_one_before_ended(loom, now):
    for number in range(7):
        note(loom, now, str(number))
    seen, below = [], None
    for _ in range(3):
        page = noted(loom, below=below, limit=3)
        seen += [one.words for one in page.notes]
        below = page.further
    assert (seen, below) == (list("6543210"), None)
    assert noted(loom, below=-4, limit=3).notes == noted(loom, limit=3).notes


def test_the_same_press_twice_is_one_note(loom, now):
    token = fresh_token()
    note(loom, now, saving=token)
    note(loom, now, saving=token)
    with pytest.raises(Clash):
        note(loom, now, "Something else.", saving=token)
    (one,) = noted(loom).notes
    for _ in range(2):
        strike(loom, now, one.id, saving=token)
    assert [line.struck for line in noted(loom).notes] == [True]


def test_a_mistake_is_struck_out_once_and_stays(loom, now):
    note(loom, now)
    (before,) = noted(loom).notes
    strike(loom, now + timedelta(days=1), before.id)
    (after,) = noted(loom).notes
    assert (after.words, after.at, after.struck) == (before.words, before.at, True)
    with pytest.raises(Clash) as caught:
        strike(loom, now, before.id)
    assert codes(caught) == {("", "note.struck")}


@pytest.mark.parametrize(
    ("words", "code"), [("", "text.missing"), (" \n ", "text.missing"), ("a" * 2001, "text.long"), ("a\0b", "text.control")]
)
def test_what_is_no_note_is_told_and_kept_nowhere(loom, now, words, code):
    with pytest.raises(Refusal) as caught:
        note(loom, now, words)
    assert codes(caught) == {("words", code)}
    assert noted(loom).notes == ()


def test_a_note_is_struck_out_from_its_own_job_only(loom, now):
    other = a_job(loom, now, name="Another")
    note(loom, now)
    (one,) = noted(loom).notes
    for job, number in ((other, one.id), (1, one.id + 1), (1, 0), (1, 2**70)):
        with pytest.raises(NotFound) as caught:
            strike(loom, now, number, job=job)
        assert codes(caught) == {("", "note.unknown")}
    for what in (lambda: note(loom, now, job=99), lambda: strike(loom, now, one.id, job=99), lambda: noted(loom, 99)):
        with pytest.raises(NotFound) as caught:
            what()
        assert codes(caught) == {("", "job.unknown")}
    assert [line.struck for line in noted(loom).notes] == [False]
    assert noted(loom, other).notes == ()
