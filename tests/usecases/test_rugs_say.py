"""What the shop's rugs say: learned from what was woven, used by what is planned, and undone exactly with its records."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.core.errors import Refusal
from shop.core.evidence import Grade, What
from shop.core.measure import Length
from shop.core.own_rugs import Question, answer
from shop.core.quick import Told
from shop.core.spread import Basis
from shop.usecases import (
    clock,
    drafting,
    job,
    job_card,
    learning,
    loom,
    measuring,
    pace,
    planning,
    quick_measure,
)
from shop.usecases.chosen import Chosen
from shop.usecases.evidence_of_jobs import key_of
from shop.usecases.given import fresh_token
from shop.usecases.pace import PaceGiven
from shop.usecases.quick_measure import MeasureGiven
from shop.usecases.rugs_say import rugs_say
from tests.builders import a_kept_loom, a_loom, a_planned_job, a_planned_quote, a_shaft_loom, codes, inches
from tests.usecases.woven_rugs import a_studio, some_rugs, woven


def codes_of(refused):
    return [code for _, code in codes(refused)]


def figures(store):
    """Every figure that was learned, to the last bit."""
    learned = rugs_say(store).learned
    found = {}
    for (what, on), lesson in learned.lessons.items():
        said = answer(learned, Question(what=what, on=on, kind="sheeting", cloth="1", size=1.5))
        found[what, on] = (said.estimate, said.sources, lesson.parts, len(lesson.records))
    return found


def a_plan(store, **chosen):
    given = {"width": inches(12), "length": inches(30), "pieces": ((1, Decimal(1)),), "strip": inches(2)}
    return planning.planned(store, chosen=Chosen(**{**given, **chosen}))


def measured(store, now, what, on, **told):
    given = MeasureGiven(what=what.value, on=on, told=Told(**told), kind="sheeting")
    return quick_measure.add(store, given=given, saving=fresh_token(), now=now)


def test_a_shop_that_has_woven_nothing_plans_as_before(store, now):
    a_studio(store, now)
    plan = a_plan(store)
    assert rugs_say(store).learned.lessons == {}
    assert "doubt" not in plan.document
    assert plan.reckoning.plan.own == ()


def test_a_woven_rug_tells_all_that_was_written_down_of_it(store, now):
    card = a_studio(store, now)
    number = a_planned_job(store, now, 1)
    woven(store, now, number)
    seen = rugs_say(store).seen
    by_what = {one.what: one for one in seen.records}
    assert set(by_what) == {What.PACKING, What.TAKE_UP, What.WASTE, What.ROW, What.CUT, What.WARP, What.FINISH}
    assert {one.source for one in seen.records} == {f"job {number}"}
    assert {one.on for one in seen.records} == {str(card.id), "rotary"}
    assert (by_what[What.PACKING].kind, by_what[What.PACKING].cloth) == ("sheeting", "1")
    # A fifth longer than planned with as many rows: each packs a fifth less tightly.
    assert by_what[What.PACKING].value == pytest.approx(1.2 * a_reckoning(store, number).plan.packing, rel=0.03)
    assert by_what[What.FINISH].value == pytest.approx(65)
    assert seen.sources[f"job {number}"].job == number


def a_reckoning(store, number):
    return job_card.card(store, number=number).rug.reckoning


def test_what_was_learned_is_planned_with_and_says_from_which_rugs(store, now):
    a_studio(store, now)
    before = a_plan(store).reckoning
    some_rugs(store, now, 6)
    plan = a_plan(store)
    after = plan.reckoning
    assert after.plan.basis("weft.packing") is Basis.MEASURED
    assert after.plan.packing > before.plan.packing
    assert after.rows.middle < before.rows.middle
    told = {one.of: one for one in after.plan.own}
    assert set(told) == {"weft.packing", "weft.take_up", "weft.waste", "hours.pace.weave_per_row", "hours.pace.cut_per_m",
                         "hours.pace.warp", "hours.pace.finish"}  # fmt: skip
    assert (told["weft.packing"].rugs, told["weft.packing"].kind, told["weft.packing"].cloth) == (6, 6, 1)
    assert after.rows.sigma < before.rows.sigma
    assert not after.minutes["warp"].is_sure
    assert "hours.pace.weave_per_row" not in after.plan.assumed


def test_a_saved_quote_keeps_what_it_was_made_with(store, now):
    a_studio(store, now)
    number = a_planned_quote(store, now, 1)
    before = drafting.open_quote(store, number=number)
    assert not before.moved_on
    some_rugs(store, now, 4)
    after = drafting.open_quote(store, number=number)
    assert after.reckoning == before.reckoning
    assert after.moved_on


def test_a_rug_on_the_loom_counts_half_and_not_before_it_is_well_begun(store, now):
    a_studio(store, now)
    number = a_planned_job(store, now, 1)
    whole = job_card.card(store, number=number).whole
    clock.type_in(store, job=number, step="weave", minutes=Decimal(40), saving=fresh_token(), now=now)
    job_card.mark_rows(store, job=number, rows=whole // 5, saving=fresh_token(), now=now)
    assert rugs_say(store).seen.records == ()
    job_card.mark_rows(store, job=number, rows=whole // 2, saving=fresh_token(), now=now)
    (one,) = rugs_say(store).seen.records
    assert (one.what, one.grade) == (What.ROW, Grade.PARTIAL)
    assert one.value == pytest.approx(40 / (whole // 2), rel=0.05)


def test_a_record_set_aside_and_taken_in_again_leaves_every_figure_as_it_was(store, now):
    card = a_studio(store, now)
    some_rugs(store, now, 5)
    before = figures(store)
    odd = next(one for one in rugs_say(store).seen.records if one.what is What.PACKING and one.cloth == "2")
    learning.set_aside(store, key=key_of(odd), reason="I had the flu", saving=fresh_token(), now=now)
    without = figures(store)
    assert without[What.PACKING, str(card.id)] != before[What.PACKING, str(card.id)]
    assert without[What.FINISH, str(card.id)] == before[What.FINISH, str(card.id)]
    aside = next(one for one in rugs_say(store).seen.records if key_of(one) == key_of(odd))
    assert aside.aside == "I had the flu"
    learning.restore(store, key=key_of(odd), saving=fresh_token(), now=now)
    assert figures(store) == before
    with pytest.raises(Refusal) as refused:
        learning.restore(store, key=key_of(odd), saving=fresh_token(), now=now)
    assert codes_of(refused) == ["evidence.unknown"]


def test_a_rug_taken_up_again_says_nothing_any_more_to_the_last_bit(store, now):
    a_studio(store, now)
    numbers = some_rugs(store, now, 4)
    four = figures(store)
    later = now + timedelta(days=60)
    number = a_planned_job(store, later, 7)
    woven(store, later, number, stray=1.4, piece=7)
    assert figures(store) != four
    job.take_up_again(store, number=number, saving=fresh_token(), now=later)
    assert figures(store) == four
    job.take_up_again(store, number=numbers[0], saving=fresh_token(), now=later)
    assert figures(store) != four


def test_time_and_measures_struck_out_undo_what_they_taught(store, now):
    a_studio(store, now)
    numbers = some_rugs(store, now, 3)
    before = figures(store)
    clock.type_in(store, job=numbers[1], step="finish", minutes=Decimal(500), saving=fresh_token(), now=now)
    spoiled = figures(store)
    assert spoiled != before
    entry = clock.time_of(store, job=numbers[1]).lines[0]
    clock.strike(store, job=numbers[1], entry=entry.id, saving=fresh_token(), now=now)
    assert figures(store) == before
    wrong = measuring.Measured(a_reckoning(store, numbers[2]).made.size)
    measuring.measure(store, job=numbers[2], measured=wrong, saving=fresh_token(), now=now)
    assert figures(store) != before
    newest = measuring.measures(store, job=numbers[2]).measures.lines[0]
    measuring.strike(store, job=numbers[2], measure=newest.id, saving=fresh_token(), now=now)
    assert figures(store) == before


def test_a_quick_measurement_counts_until_it_is_struck_out(store, now):
    card = a_studio(store, now)
    some_rugs(store, now, 2)
    before = figures(store)
    on = str(card.id)
    first = measured(store, now, What.PACKING, on, count=Decimal(8), first=inches(4), second=inches(2))
    assert figures(store)[What.PACKING, on][1].quick == 1
    quick_measure.strike(store, measurement=first, saving=fresh_token(), now=now)
    assert figures(store) == before
    with pytest.raises(Refusal) as refused:
        quick_measure.strike(store, measurement=first, saving=fresh_token(), now=now)
    assert codes_of(refused) == ["quick.struck"]


def test_a_quick_measurement_alone_already_takes_the_place_of_a_guess(store, now):
    card = a_studio(store, now)
    measured(store, now, What.ROW, str(card.id), minutes=Decimal(9), count=Decimal(3), second=inches(12))
    told = a_plan(store).reckoning.plan.own
    assert [(one.of, one.rugs, one.quick) for one in told] == [("hours.pace.weave_per_row", 0, 1)]


def test_the_same_press_writes_one_measurement(store, now):
    card = a_studio(store, now)
    token = fresh_token()
    given = MeasureGiven(what="hours.pace.finish", on=str(card.id), told=Told(minutes=Decimal(40), count=Decimal(2)))
    ids = [quick_measure.add(store, given=given, saving=token, now=now) for _ in range(2)]
    assert ids[0] == ids[1]
    assert len(rugs_say(store).seen.records) == 1


@pytest.mark.parametrize(
    ("what", "on", "told", "code"),
    [
        (What.ROW, "loom", {"minutes": Decimal(3)}, ["quick.missing", "quick.missing"]),
        (What.WASTE, "loom", {"first": inches(9), "second": inches(8)}, ["quick.longer"]),
        (What.CUT, "loom", {"minutes": Decimal(3), "first": inches(9)}, ["choice.unknown"]),
        (What.RELAXATION, "loom", {"first": inches(9), "second": inches(8)}, ["choice.unknown"]),
        (What.FINISH, "99", {"minutes": Decimal(3), "count": Decimal(2)}, ["loom.unknown"]),
        (What.FINISH, "loom", {"minutes": Decimal(-3), "count": Decimal(2)}, ["number.small"]),
        (What.TAKE_UP, "loom", {"first": Length.of(20_000, "m"), "count": Decimal(2), "second": inches(9)}, ["length.most"]),
    ],
)  # fmt: skip
def test_a_measurement_that_cannot_be_is_refused_and_nothing_kept(store, now, what, on, told, code):
    card = a_studio(store, now)
    with pytest.raises(Refusal) as refused:
        measured(store, now, what, str(card.id) if on == "loom" else on, **told)
    assert codes_of(refused) == code
    assert rugs_say(store).seen.records == ()


def test_what_the_weaver_set_stays_until_three_rugs_speak(store, now):
    a_studio(store, now)
    paces = (PaceGiven(loom_kind="any", key="finish_per_edge", minutes=Decimal(20), measured=True),)
    pace.change(store, paces=paces, revision=0, by="Ida", saving=fresh_token(), now=now)
    some_rugs(store, now, 2)
    names = {one.of for one in a_plan(store).reckoning.plan.own}
    assert "hours.pace.finish" not in names
    assert "hours.pace.warp" in names
    later = now + timedelta(days=60)
    woven(store, later, a_planned_job(store, later, 3), piece=3)
    assert "hours.pace.finish" in {one.of for one in a_plan(store).reckoning.plan.own}


def test_rows_that_were_counted_for_the_rug_go_before_what_others_say(store, now):
    a_studio(store, now)
    some_rugs(store, now, 4)
    plan = a_plan(store, rows_per_inch=Decimal(2)).reckoning.plan
    assert plan.rows_per_metre is not None
    assert "weft.packing" not in {one.of for one in plan.own}


def test_a_pace_that_holds_half_a_year_leans_on_the_newer_rugs(store, now):
    card = a_studio(store, now)
    for days, slow in ((0, 2.0), (700, 1.0), (710, 1.0)):
        on = now + timedelta(days=days)
        woven(store, on, a_planned_job(store, on, 1), slow=slow)
    before = figures(store)
    finish, packing = (What.FINISH, str(card.id)), (What.PACKING, str(card.id))
    learning.hold_pace(store, days=180, revision=0, saving=fresh_token(), now=now)
    after = figures(store)
    assert after[finish][0].middle < before[finish][0].middle
    assert after[packing] == before[packing]
    learning.hold_pace(store, days=None, revision=1, saving=fresh_token(), now=now)
    assert figures(store) == before
    with pytest.raises(Refusal) as refused:
        learning.hold_pace(store, days=90, revision=1, saving=fresh_token(), now=now)
    assert codes_of(refused) == ["learning.changed"]


def test_as_many_queries_however_many_rugs(store, now, count_queries):
    a_studio(store, now)
    some_rugs(store, now, 2)

    def asked():
        measuring_again(store, now)
        with count_queries(store) as said:
            rugs_say(store)
        return len(said)

    asked()
    few = asked()
    some_rugs(store, now + timedelta(days=90), 6)
    asked()  # what the new rugs were to become is read once
    assert asked() == few
    with count_queries(store) as said:
        rugs_say(store)
    assert len(said) <= 2


def measuring_again(store, now):
    """Something is saved, so that all has to be looked at again."""
    measured(store, now, What.CUT, "rotary", minutes=Decimal(4), first=Length.of(10, "m"))


def test_a_loom_put_away_still_says_what_it_said(store, now):
    card = a_studio(store, now)
    some_rugs(store, now, 2)
    before = figures(store)
    loom.put_away(store, loom_id=card.id)
    assert figures(store) == before


def test_a_width_in_the_reed_and_a_length_off_tension_are_learned_for_a_shaft_loom(store, now):
    a_studio(store, now)
    card = a_kept_loom(store, now, a_loom(a_shaft_loom()))
    chosen = {"loom_id": card.id, "width": inches(24), "length": inches(36), "strip": inches(1)}
    before = a_plan(store, **chosen).reckoning
    on = str(card.id)
    for _ in range(8):
        measured(store, now, What.DRAW_IN, on, first=inches(28), second=inches(25))
        measured(store, now, What.RELAXATION, on, first=inches(60), second=inches(54))
    after = a_plan(store, **chosen).reckoning
    assert after.plan.loom.draw_in > before.plan.loom.draw_in
    assert after.plan.loom.relaxation > before.plan.loom.relaxation
    assert after.warp.reed_width > before.warp.reed_width
    assert {"loom.draw_in", "loom.relaxation"} <= set(after.plan.measured)
    assert not {"loom.draw_in", "loom.relaxation"} & set(after.plan.assumed)
    assert after.plan.own == ()
