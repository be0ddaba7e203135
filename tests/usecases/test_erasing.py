"""A customer who is erased: no word about them stays in what is remembered of their jobs, and nobody else loses any."""

import pytest
from sqlalchemy import text

from shop.usecases import customer, forgetting, job, job_note, job_photograph
from shop.usecases.customer import CustomerGiven
from shop.usecases.given import fresh_token
from shop.usecases.till_forgetting import ERASED
from tests.builders import a_haul_at_home, a_job, a_kept_loom, a_planned_quote, a_sheet, an_open_shop
from tests.usecases.a_photograph import a_photograph
from tests.usecases.test_offer import made, said_yes

TABLES = ("customer", "offer", "job", "job_note", "job_photograph")


@pytest.fixture
def bench(store, now):
    """Three quotes: No. 1 was offered to Asa Lindqvist and agreed to; a job was begun from it by itself, too."""
    an_open_shop(store, now)
    a_kept_loom(store, now)
    a_haul_at_home(store, now, a_sheet(ready=True))
    for _ in range(3):
        a_planned_quote(store, now, 1)
    said_yes(store, now, made(store, now))
    a_job(store, now, name="asa LINDQVIST, the Asasson runner", note="She is left-handed.", quote=1)
    return store


def remember(store, now, number, words):
    job_note.add(store, job=number, words=words, saving=fresh_token(), now=now)
    return job_photograph.put_up(
        store, job=number, content=a_photograph(), words=words, saving=fresh_token(), now=now
    )


def erase(store, now, number=1):
    forgetting.erase(store, number=number, saving=fresh_token(), now=now)


def everything(store):
    with store.engine.connect() as connection:
        return "\n".join(
            str(row) for name in TABLES for row in connection.execute(text(f"SELECT * FROM {name}"))  # noqa: S608
        )


def test_their_name_and_the_words_about_them_go_and_the_pictures_stay(bench, now):
    photographs = [remember(bench, now, number, "She limps, poor thing") for number in (1, 2)]
    assert "Lindqvist" in everything(bench)
    erase(bench, now)
    left = everything(bench)
    for word in ("Lindqvist", "LINDQVIST", "limps", "left-handed"):
        assert word not in left, word
    for number, photograph in zip((1, 2), photographs, strict=True):
        (note,) = job_note.notes(bench, job=number).page.notes
        assert (note.words, note.at) == (ERASED, now)
        assert [one.words for one in job_photograph.photographs(bench, job=number).photographs] == [""]
        assert job_photograph.shown(bench, job=number, photograph=photograph, small=True).content
    assert job.job(bench, number=1).line.name == "Hall runner"
    assert job.job(bench, number=2).line.name == f"{ERASED}, the Asasson runner"


def test_nobody_else_loses_a_word(bench, now):
    other = made(bench, now, number=2, who=CustomerGiven(name="Ottoline Grice"))
    theirs = said_yes(bench, now, other, "Ottoline Grice").job
    nobodys = a_job(bench, now, name="For the stall")
    for number in (theirs, nobodys):
        remember(bench, now, number, "Too tight at the hem")
    erase(bench, now)
    for number in (theirs, nobodys):
        (note,) = job_note.notes(bench, job=number).page.notes
        (photograph,) = job_photograph.photographs(bench, job=number).photographs
        assert note.words == photograph.words == "Too tight at the hem"


def test_a_quote_offered_to_two_leaves_the_job_of_the_second_alone(bench, now):
    first = made(bench, now, number=3, who=CustomerGiven(name="Ottoline Grice"))
    second = made(bench, now, number=3, who=1)
    theirs = said_yes(bench, now, second).job
    remember(bench, now, theirs, "Too tight at the hem")
    erase(bench, now, first.customer.number)
    assert job_note.notes(bench, job=theirs).page.notes[0].words == "Too tight at the hem"
    erase(bench, now)
    assert job_note.notes(bench, job=theirs).page.notes[0].words == ERASED


def test_the_entries_that_were_merged_into_theirs_go_with_it(bench, now):
    for name in ("Åsa of the Mill", "Asa Lindkvist"):
        made_of = customer.keep(bench, customer=CustomerGiven(name=name, mail="a@example.org"), saving=fresh_token(), now=now)
    customer.merge(bench, number=2, into=3, saving=fresh_token(), now=now)
    customer.merge(bench, number=made_of.number, into=1, saving=fresh_token(), now=now)
    assert "of the Mill" in everything(bench)
    erase(bench, now)
    left = everything(bench)
    for word in ("of the Mill", "Lindkvist", "a@example.org"):
        assert word not in left, word
    assert [customer.customer(bench, number=one).card.state for one in (1, 2, 3)] == ["erased", "merged", "merged"]


def test_what_is_given_out_has_the_words_about_them(bench, now):
    remember(bench, now, 1, "She limps, poor thing")
    first, second = forgetting.given_out(bench, number=1)["jobs"]
    assert (first["number"], first["notes"], first["photographs"]) == (
        1,
        [{"at": now.isoformat(), "words": "She limps, poor thing", "struck_out": False}],
        [{"at": now.isoformat(), "words": "She limps, poor thing"}],
    )
    assert (second["number"], second["note"], second["notes"]) == (2, "She is left-handed.", [])


def test_the_page_of_a_customer_asks_as_little_however_many_jobs_they_have(bench, now, count_queries):
    def asked():
        with count_queries(bench) as said:
            customer.customer(bench, number=1)
        return [statement for statement, _ in said if statement.startswith("SELECT")]

    bare = asked()
    for number in range(6):
        remember(bench, now, a_job(bench, now, name=f"Rug {number}", quote=1), "Done")
    full = asked()
    assert len(full) == len(bare)
    assert not any("image" in statement or "thumbnail" in statement for statement in full)
    jobs = customer.customer(bench, number=1).jobs
    assert [one.photographs for one in jobs] == [0, 0, 1, 1, 1, 1, 1, 1]
