"""What to measure next: what it is expected to do, and what it then does."""

import math
from datetime import date

import numpy as np
import pytest
from scipy.stats import norm

from shop.core.evidence import COUNTS, Evidence, Grade, Guess, What
from shop.core.learning import learn
from shop.core.next_measurement import Measurement, gains, lessened
from shop.core.own_rugs import Question, answer
from shop.core.spread import Estimate

TODAY = date(2026, 3, 17)
GUESSES = {(What.PACKING, "barn"): Guess(6.5), (What.TAKE_UP, "barn"): Guess(2.0), (What.ROW, "barn"): Guess(0.3, 2.0)}


def a_history(rugs=24):
    """Packing of rugs of eight cloths in two kinds."""
    chance = np.random.default_rng(2)
    kinds = {"denim": 0.2, "jersey": -0.1}
    cloth = chance.normal(0, 0.08, 8)
    found = []
    for number in range(rugs):
        at = number % 8
        kind = "denim" if at < 4 else "jersey"
        value = 6.5 * math.exp(0.1 + kinds[kind] + cloth[at] + chance.normal(0, 0.05))
        found.append(
            Evidence(what=What.PACKING, value=value, on="barn", kind=kind, cloth=f"cloth {at}", day=TODAY, source=f"job {number}")
        )
    return found


def packing(kind="denim", cloth="new"):
    return Question(what=What.PACKING, on="barn", kind=kind, cloth=cloth)


@pytest.mark.parametrize("grade", list(Grade))
@pytest.mark.parametrize("cloth", ["new", "cloth 1"])
@pytest.mark.parametrize("about", [packing(), packing(cloth="cloth 1"), packing("jersey", "other"), packing("voile", "third")])
def test_what_it_is_expected_to_do_is_what_it_does_on_the_whole(grade, cloth, about):
    """The mean over what the measurement may say. Each also teaches a little of how unlike cloths and rugs are, which is left out."""
    records = a_history()
    before = learn(records, GUESSES, today=TODAY)
    asked, said = packing(cloth=cloth), answer(before, about)
    doubts = dict(said.estimate.doubts)
    spread = math.hypot(doubts["weft.packing"], doubts["weft.packing.rug"] / math.sqrt(COUNTS[grade]))
    after = []
    for chance in (0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95):
        value = said.middle * math.exp(norm.ppf(chance) * spread)
        new = Evidence(
            what=What.PACKING, value=value, on="barn", kind=about.kind, cloth=about.cloth, day=TODAY, source="now", grade=grade
        )
        after.append(answer(learn([*records, new], GUESSES, today=TODAY), asked).known_to ** 2)
    left = lessened(before, asked, Measurement(question=about, grade=grade))
    assert left == pytest.approx(math.sqrt(np.mean(after)) / answer(before, asked).known_to, rel=0.05)
    assert 0 < left < 1


def test_the_very_cloth_tells_more_than_its_kind_and_a_rug_more_than_an_inch():
    found = learn(a_history(), GUESSES, today=TODAY)

    def left(about, grade=Grade.QUICK):
        return lessened(found, packing(), Measurement(question=about, grade=grade))

    assert left(packing(), Grade.WHOLE) < left(packing()) < left(packing(cloth="cloth 1")) < 1
    assert left(packing(cloth="cloth 9")) < left(packing("jersey", "cloth 9"))
    assert left(Question(what=What.TAKE_UP, on="barn", kind="denim", cloth="new")) == 1
    assert left(Question(what=What.PACKING, on="other loom", kind="denim", cloth="new")) == 1


def test_before_any_rug_a_counted_inch_of_the_cloth_tells_most_of_all():
    found = learn([], GUESSES, today=TODAY)
    spared = 1 - lessened(found, packing(), Measurement(question=packing()))
    assert spared > 0.4


def test_of_all_that_can_be_measured_what_lessens_the_whole_most_comes_first():
    found = learn(a_history(), GUESSES, today=TODAY)
    take_up = Question(what=What.TAKE_UP, on="barn", kind="denim", cloth="new")
    said = {question.what.value: answer(found, question).estimate for question in (packing(), take_up)}
    strip = Estimate(100.0).over(said[What.PACKING.value]).times(said[What.TAKE_UP.value])
    questions = {What.PACKING.value: packing(), What.TAKE_UP.value: take_up}
    measurements = [Measurement(question=packing()), Measurement(question=take_up), Measurement(question=packing("voile", "x"))]
    first, second, third = gains(found, strip, questions, measurements)
    assert first.measurement.question == take_up
    assert first.name == "weft.take_up"
    assert first.after < second.after < third.after < first.before == pytest.approx(strip.sigma)
    assert first.spared == pytest.approx(1 - first.after / strip.sigma)


def test_what_changes_nothing_is_left_out():
    found = learn(a_history(), GUESSES, today=TODAY)
    strip = answer(found, packing()).estimate
    row = Question(what=What.ROW, on="barn", kind="denim", cloth="new", size=0.7)
    questions = {What.PACKING.value: packing(), What.ROW.value: row}
    assert gains(found, strip, questions, [Measurement(question=row)]) == ()
    no_pace = learn([], {(What.ROW, "barn"): Guess(0.0)}, today=TODAY)
    assert lessened(no_pace, row, Measurement(question=row)) == 1
