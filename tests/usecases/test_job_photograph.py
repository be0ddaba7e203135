"""Photographs of a job's rug: several with a few words, one that stands for it, and none loaded for a list."""

import io

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from shop.core.errors import Clash, NotFound, Refusal
from shop.store.backup import back_up
from shop.store.engine import Store
from shop.usecases import job_photograph, job_record
from shop.usecases.developing import LONG_SIDE, THUMBNAIL
from shop.usecases.given import fresh_token
from shop.usecases.job_photograph import MOST
from tests.builders import a_job, codes
from tests.usecases.a_photograph import a_photograph, opened


@pytest.fixture
def loom(store, now):
    """A shop with a job, No. 1."""
    a_job(store, now)
    return store


def one_of(number):
    """A photograph unlike the others: each is of its own width."""
    return a_photograph((40 + number, 30))


def put_up(store, now, content=None, job=1, words="", saving=None):
    return job_photograph.put_up(
        store, job=job, content=content or a_photograph(), words=words, saving=saving or fresh_token(), now=now
    )


def pressed(act, store, now, photograph, job=1, saving=None, **given):
    act(store, job=job, photograph=photograph, saving=saving or fresh_token(), now=now, **given)


def up(store, job=1):
    return job_photograph.photographs(store, job=job).photographs


def test_a_photograph_is_drawn_anew_and_kept_with_its_words(loom, now):
    exif = Image.Exif()
    exif[0x010F] = "A phone"
    one = put_up(loom, now, a_photograph((3200, 2400), exif=exif), words="  On the   loom ")
    (line,) = up(loom)
    assert (line.id, line.words, line.at, line.stands) == (one, "On the loom", now, True)
    assert (line.width, line.height) == (LONG_SIDE, LONG_SIDE * 3 // 4)
    large, small = (job_photograph.shown(loom, job=1, photograph=one, small=small) for small in (False, True))
    assert opened(large.content).size == (line.width, line.height)
    assert max(opened(small.content).size) == THUMBNAIL
    assert large.digest == small.digest == line.digest
    assert b"A phone" not in large.content + small.content


def test_the_first_stands_for_the_rug_until_another_is_chosen(loom, now):
    ids = [put_up(loom, now, one_of(number)) for number in range(3)]
    assert [one.stands for one in up(loom)] == [True, False, False]
    pressed(job_photograph.choose, loom, now, ids[2])
    assert [one.stands for one in up(loom)] == [False, False, True]
    pressed(job_photograph.choose, loom, now, ids[1])
    assert [one.stands for one in up(loom)] == [False, True, False]
    pressed(job_photograph.take_away, loom, now, ids[1])
    assert [(one.id, one.stands) for one in up(loom)] == [(ids[0], True), (ids[2], False)]


def test_a_job_has_room_for_so_many_and_each_once(loom, now):
    other = a_job(loom, now, name="Another")
    ids = [put_up(loom, now, one_of(number)) for number in range(MOST)]
    for content, code in ((one_of(3), "photograph.twice"), (one_of(MOST), "photograph.many")):
        with pytest.raises(Refusal) as caught:
            put_up(loom, now, content)
        assert codes(caught) == {("photograph", code)}
    assert len(up(loom)) == MOST
    put_up(loom, now, one_of(3), job=other)
    pressed(job_photograph.take_away, loom, now, ids[3])
    put_up(loom, now, one_of(3))
    assert [one.width for one in up(loom)] == [40, 41, 42, *range(44, 40 + MOST), 43]


def test_the_same_press_twice_puts_up_one(loom, now):
    token = fresh_token()
    first, again = (put_up(loom, now, saving=token, words="Done") for _ in range(2))
    assert first == again
    with pytest.raises(Clash):
        put_up(loom, now, saving=token, words="Not done")
    for _ in range(2):
        pressed(job_photograph.take_away, loom, now, first, saving=token)
    assert up(loom) == ()


def test_what_is_wrong_is_told_all_at_once_and_keeps_nothing(loom, now):
    with pytest.raises(Refusal) as caught:
        put_up(loom, now, b"a shopping list", words="w" * 121)
    assert codes(caught) == {("photograph", "photograph.kind"), ("words", "text.long")}
    with pytest.raises(Refusal) as caught:
        put_up(loom, now, words="w" * 121)
    assert codes(caught) == {("words", "text.long")}
    assert up(loom) == ()


def test_its_words_can_be_put_otherwise(loom, now):
    one = put_up(loom, now, words="Off the lom")
    pressed(job_photograph.reword, loom, now, one, words="Off the loom")
    assert [line.words for line in up(loom)] == ["Off the loom"]
    with pytest.raises(Refusal) as caught:
        pressed(job_photograph.reword, loom, now, one, words="w" * 121)
    assert codes(caught) == {("words", "text.long")}
    assert [line.words for line in up(loom)] == ["Off the loom"]


def test_a_photograph_is_reached_by_its_own_job_only(loom, now):
    other = a_job(loom, now, name="Another")
    one = put_up(loom, now)
    for job, photograph, code in (
        (other, one, "photograph.unknown"),
        (1, one + 1, "photograph.unknown"),
        (1, 2**70, "photograph.unknown"),
        (99, one, "job.unknown"),
    ):
        for act, more in (
            (job_photograph.choose, {}),
            (job_photograph.take_away, {}),
            (job_photograph.reword, {"words": "Mine"}),
        ):
            with pytest.raises(NotFound) as caught:
                pressed(act, loom, now, photograph, job=job, **more)
            assert codes(caught) == {("", code)}
        with pytest.raises(NotFound):
            job_photograph.shown(loom, job=job, photograph=photograph, small=True)
    assert [line.id for line in up(loom)] == [one]


def test_what_a_job_remembers_is_asked_in_as_few_queries_however_much_it_is_and_loads_no_picture(loom, now, count_queries):
    def asked():
        with count_queries(loom) as said:
            job_record.record(loom, job=1)
        return [statement for statement, _ in said if statement.startswith("SELECT")]

    bare = asked()
    for number in range(MOST):
        put_up(loom, now, one_of(number))
    full = asked()
    assert len(full) == len(bare) == 4
    assert not any("image" in statement or "thumbnail" in statement for statement in full)
    with count_queries(loom) as said:
        assert len(up(loom)) == MOST
    assert not any("image" in statement or "thumbnail" in statement for statement, _ in said)


def test_a_copy_of_the_shop_holds_them(sqlite_store, now, tmp_path):
    a_job(sqlite_store, now)
    one = put_up(sqlite_store, now)
    copy = Store(f"sqlite:///{back_up(sqlite_store.url, tmp_path / 'copy.sqlite3')}")
    before, after = (job_photograph.shown(one_store, job=1, photograph=one, small=False) for one_store in (sqlite_store, copy))
    assert before == after
    copy.close()


ACTS = st.lists(st.tuples(st.sampled_from(["put up", "choose", "take away"]), st.integers(0, 5)), max_size=14)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=ACTS)
def test_of_some_photographs_exactly_one_stands_whatever_was_done(sqlite_store, now, small_pictures, acts):
    job = a_job(sqlite_store, now)
    told, chosen = [], None
    for act, number in acts:
        if act == "put up" and number not in [one for one, _ in told]:
            told.append((number, put_up(sqlite_store, now, small_pictures[number], job=job)))
        elif act != "put up" and told:
            one = told[number % len(told)]
            if act == "choose":
                pressed(job_photograph.choose, sqlite_store, now, one[1], job=job)
                chosen = one
            else:
                pressed(job_photograph.take_away, sqlite_store, now, one[1], job=job)
                told.remove(one)
                chosen = None if chosen == one else chosen
    found = up(sqlite_store, job)
    assert [one.id for one in found] == [photograph for _, photograph in told]
    assert [one.id for one in found if one.stands] == [photograph for _, photograph in ([chosen] if chosen else told[:1])]


@pytest.fixture(scope="module")
def small_pictures():
    """Six pictures of a few points."""
    written = []
    for number in range(6):
        file = io.BytesIO()
        Image.new("RGB", (8 + number, 8), (20 * number, 90, 120)).save(file, "PNG")
        written.append(file.getvalue())
    return written
