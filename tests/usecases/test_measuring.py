"""A rug off the loom: measured, measured again, a slip struck out; and what goes on to whoever sells it."""

from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.core.errors import Clash, NotFound, Refusal
from shop.core.loom import LONGEST, WIDEST, Size
from shop.core.measure import Length, Weight
from shop.usecases import finished_rug, job, job_photograph, measuring, quoted_real
from shop.usecases.given import fresh_token
from shop.usecases.job import job_in
from shop.usecases.measuring import HEAVIEST, Measured
from tests.builders import (
    a_haul_at_home,
    a_job,
    a_kept_loom,
    a_loom,
    a_planned_job,
    a_shaft_loom,
    a_sheet,
    an_open_shop,
    codes,
    inches,
)
from tests.usecases.a_photograph import a_photograph

TAPED = Measured(Size(inches("11.5"), inches("29.25")), Weight.of(14, "oz"))


@pytest.fixture
def loom(store, now):
    """A shop with a job that was planned, 12 by 30 in, No. 1."""
    an_open_shop(store, now)
    a_kept_loom(store, now, a_loom(a_shaft_loom(), strip=inches(2)))
    a_haul_at_home(store, now, a_sheet(ready=True))
    a_planned_job(store, now, 1)
    return store


def measure(store, now, measured=TAPED, job=1, saving=None):
    measuring.measure(store, job=job, measured=measured, saving=saving or fresh_token(), now=now)


def strike(store, now, one, job=1, saving=None):
    measuring.strike(store, job=job, measure=one, saving=saving or fresh_token(), now=now)


def told(store, job=1):
    return measuring.measures(store, job=job).measures


def test_what_was_measured_stands_beside_what_was_planned(loom, now):
    assert told(loom).measured is None
    assert told(loom).planned.size == Size(inches(12), inches(30))
    assert told(loom).planned.grams > 0
    measure(loom, now)
    found = told(loom)
    assert found.measured == TAPED
    assert [(one.measured, one.at, one.counts) for one in found.lines] == [(TAPED, now, True)]


def test_a_correction_counts_and_what_was_before_stays(loom, now):
    measure(loom, now, Measured(TAPED.size))
    measure(loom, now + timedelta(days=1))
    found = told(loom)
    assert [(one.measured.weight, one.counts, one.struck) for one in found.lines] == [
        (TAPED.weight, True, False),
        (None, False, False),
    ]
    strike(loom, now, found.lines[0].id)
    after = told(loom)
    assert after.measured == Measured(TAPED.size)
    assert [(one.counts, one.struck) for one in after.lines] == [(False, True), (True, False)]
    with pytest.raises(Clash) as caught:
        strike(loom, now, found.lines[0].id)
    assert codes(caught) == {("", "measure.struck")}
    strike(loom, now, found.lines[1].id)
    assert told(loom).measured is None


def test_the_same_press_twice_is_one_measuring(loom, now):
    token = fresh_token()
    for _ in range(2):
        measure(loom, now, saving=token)
    assert len(told(loom).lines) == 1
    with pytest.raises(Clash):
        measure(loom, now, Measured(TAPED.size), saving=token)
    for _ in range(2):
        strike(loom, now, told(loom).lines[0].id, saving=token)
    assert told(loom).measured is None


@pytest.mark.parametrize(
    ("size", "weight", "wrong"),
    [
        ((Length(0), inches(30)), None, {("width", "length.small")}),
        ((inches(12), Length.of(9, "mm")), None, {("length", "length.small")}),
        ((WIDEST + Length(1), LONGEST + Length(1)), None, {("width", "length.most"), ("length", "length.most")}),
        ((inches(12), inches(30)), Weight(0), {("weight", "weight.zero")}),
        ((Length(0), inches(30)), HEAVIEST + Weight(1), {("width", "length.small"), ("weight", "weight.most")}),
    ],
)
def test_what_no_rug_measures_is_told_all_at_once(loom, now, size, weight, wrong):
    with pytest.raises(Refusal) as caught:
        measure(loom, now, Measured(Size(*size), weight))
    assert codes(caught) == wrong
    assert told(loom).lines == ()


def test_a_slip_of_the_hand_is_pointed_out_and_kept_all_the_same(loom, now):
    measure(loom, now)
    grams = told(loom).planned.grams
    usual = Measured(TAPED.size, Weight.of(grams, "g"))
    for measured, far_off in (
        (usual, False),
        (Measured(TAPED.size), False),
        (Measured(Size(Length.of(12, "cm"), inches(30))), True),
        (Measured(Size(inches(12), inches(40))), True),
        (Measured(TAPED.size, Weight.of(grams / 2, "g")), True),
    ):
        measure(loom, now, measured)
        assert (told(loom).measured, told(loom).far_off) == (measured, far_off)


def test_a_job_without_a_quote_is_measured_and_one_that_was_called_off_is_not(loom, now):
    plain = a_job(loom, now, name="Plain")
    measure(loom, now, job=plain)
    assert (told(loom, plain).planned, told(loom, plain).measured, told(loom, plain).far_off) == (None, TAPED, False)
    gone = a_job(loom, now, name="Gone")
    job.call_off(loom, number=gone, saving=fresh_token(), now=now)
    with pytest.raises(Refusal) as caught:
        measure(loom, now, job=gone)
    assert codes(caught) == {("", "job.no_rug")}
    assert not measuring.measures(loom, job=gone).can_be_measured


def test_a_measuring_is_struck_out_from_its_own_job_only(loom, now):
    other = a_job(loom, now, name="Another")
    measure(loom, now)
    one = told(loom).lines[0].id
    for number, entry, code in ((other, one, "measure.unknown"), (1, 2**70, "measure.unknown"), (99, one, "job.unknown")):
        with pytest.raises(NotFound) as caught:
            strike(loom, now, entry, job=number)
        assert codes(caught) == {("", code)}
    assert told(loom).measured == TAPED


def test_quoted_and_real_has_both(loom, now):
    before = quoted_real.quoted_real(loom, job=1)
    assert (before.measured, before.planned.size) == (None, Size(inches(12), inches(30)))
    measure(loom, now)
    after = quoted_real.quoted_real(loom, job=1)
    assert (after.measured, after.planned) == (TAPED, before.planned)
    assert after.comparison == before.comparison


def test_a_finished_rug_is_one_value_for_whoever_sells_it(loom, now, count_queries):
    bare = finished_rug.finished_rug(loom, job=1)
    assert (bare.job, bare.name, bare.width, bare.length, bare.weight) == (1, "Hall runner", None, None, None)
    assert (bare.photograph, bare.digest) == (None, "")
    measure(loom, now)
    for words in ("On the loom", "Done"):
        last = job_photograph.put_up(
            loom, job=1, content=a_photograph((60 + len(words), 40)), words=words, saving=fresh_token(), now=now
        )
    job_photograph.choose(loom, job=1, photograph=last, saving=fresh_token(), now=now)
    found = finished_rug.finished_rug(loom, job=1)
    assert (found.width, found.length, found.weight) == (TAPED.size.width, TAPED.size.length, TAPED.weight)
    assert found.photograph == last
    assert found.digest == job_photograph.shown(loom, job=1, photograph=last, small=True).digest
    others = [a_job(loom, now, name=f"Rug {number}") for number in range(5)]
    with loom.reading() as session:
        jobs = [job_in(session, number) for number in (*others, 1)]
        with count_queries(loom) as said:
            rugs = finished_rug.finished_in(session, jobs)
    assert [rug.job for rug in rugs] == [*others, 1]
    assert rugs[-1] == found
    assert len(said) == 2
    assert not any("image" in statement or "thumbnail" in statement for statement, _ in said)
    with pytest.raises(NotFound):
        finished_rug.finished_rug(loom, job=99)


ACTS = st.lists(
    st.one_of(st.tuples(st.just("measure"), st.integers(1, 9)), st.tuples(st.just("strike"), st.integers(0, 9))),
    max_size=12,
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=ACTS)
def test_what_counts_is_the_newest_that_is_not_struck_out(sqlite_store, now, acts):
    number = a_job(sqlite_store, now)
    standing = []
    for act, value in acts:
        if act == "measure":
            measure(sqlite_store, now, Measured(Size(inches(value), inches(30))), job=number)
            standing.append((measuring.measures(sqlite_store, job=number).measures.lines[0].id, inches(value)))
        elif standing:
            strike(sqlite_store, now, standing.pop(value % len(standing))[0], job=number)
    counts = told(sqlite_store, number).measured
    assert (counts.size.width if counts else None) == (standing[-1][1] if standing else None)
    assert measuring.measured(sqlite_store, job=number) == counts
