"""What each loom can make, and what it says of a rug that it cannot."""

from dataclasses import fields
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.errors import CannotMake, Unreadable
from shop.core.loom import (
    MOST_PEGS,
    FrameLoom,
    PlankLoom,
    Sett,
    ShaftLoom,
    Size,
    fit,
    looms_that_can,
    parse_sett,
    usual_loom,
)
from shop.core.measure import Length


def inches(value):
    return Length.of(value, "in")


def a_size(width, length):
    return Size(inches(width), inches(length))


def test_a_frame_makes_its_own_length_and_whole_pegs_of_width():
    made = fit(FrameLoom(), a_size("23.2", "37.5"))
    assert (made.pegs, made.panels) == (24, 1)
    assert made.size == a_size(24, "37.5")


def test_a_length_within_the_tapes_slack_is_the_frames_own():
    assert fit(FrameLoom(), a_size(25, "37.3")).size.length == inches("37.5")


def test_a_length_that_the_frame_has_not_is_refused_with_the_nearest_sizes():
    frame = FrameLoom(bar_places=(inches(30), inches(24), inches(20)))
    with pytest.raises(CannotMake) as refusal:
        fit(frame, a_size(20, 28))
    (problem,) = refusal.value.problems
    assert (problem.code, problem.where) == ("loom.length", "rug.length")
    assert problem.values["nearest"] == (a_size(20, 24), a_size(20, 30))


def test_a_bar_can_be_moved_to_any_of_its_places():
    frame = FrameLoom(bar_places=(inches(30),))
    assert frame.lengths == (inches(30), inches("37.5"))
    assert fit(frame, a_size(20, 30)).size.length == inches(30)


def test_a_shaft_loom_weaves_any_length_in_the_width_left_by_draw_in():
    loom = ShaftLoom(width=inches(40), draw_in=0.1)
    assert loom.widest == inches(36)
    assert fit(loom, a_size(36, "61.25")).panels == 1
    assert fit(loom, a_size("36.001", 61)).panels == 2


def test_a_rug_wider_than_the_loom_is_woven_in_equal_panels():
    made = fit(ShaftLoom(width=inches(40), draw_in=0), a_size(100, 60))
    assert made.panels == 3
    assert made.panel_width.nm == -(-inches(100).nm // 3)


@given(st.integers(2, 700), st.integers(1, 60), st.integers(1, 40))
def test_panels_are_the_fewest_that_the_width_allows(width, pegs, spacing_mm):
    loom = PlankLoom(pegs=pegs, spacing=Length.of(spacing_mm, "mm"))
    made = fit(loom, a_size(width, 30))
    assert made.pegs <= pegs
    assert made.panel_width * made.panels == made.size.width
    assert made.size.width >= inches(width)
    assert made.size.width.nm - inches(width).nm <= loom.spacing.nm * made.panels
    assert made.panels == 1 or loom.widest * (made.panels - 1) < inches(width)


@pytest.mark.parametrize(
    ("size", "problems"),
    [
        (a_size(1, 30), {("rug.small", "rug.width")}),
        (a_size(900, 30), {("rug.width_large", "rug.width")}),
        (a_size(1, 4000), {("rug.small", "rug.width"), ("rug.length_large", "rug.length")}),
    ],
)
def test_a_size_beyond_reason_is_refused_all_at_once(size, problems):
    with pytest.raises(CannotMake) as refusal:
        fit(ShaftLoom(), size)
    assert {(problem.code, problem.where) for problem in refusal.value.problems} == problems


def test_every_loom_answers_for_itself():
    answers = looms_that_can((FrameLoom(), ShaftLoom(), PlankLoom()), a_size(24, 60))
    kinds = [(type(loom).__name__, isinstance(answer, CannotMake)) for loom, answer in answers]
    assert kinds == [("FrameLoom", True), ("ShaftLoom", False), ("PlankLoom", False)]


def test_a_loom_without_width_is_refused():
    with pytest.raises(CannotMake, match=r"loom\.no_width"):
        fit(PlankLoom(spacing=Length(0)), a_size(24, 60))


@pytest.mark.parametrize(
    ("text", "sett"),
    [("12.5/in", Sett(Decimal("12.5"), "in")), ("2/cm", Sett(Decimal(2), "cm")), ("8", Sett(Decimal(8), "in")),
     ("2,5/cm", Sett(Decimal("2.5"), "cm")), ('12/"', Sett(Decimal(12), "in"))],
)  # fmt: skip
def test_a_sett_is_read(text, sett):
    assert parse_sett(text) == sett
    assert parse_sett(sett.text()) == sett


@pytest.mark.parametrize("text", ["", "fine", "0/in", "0.5/in", "101", "50/cm", "12/ft", "-8", "nan", "9" * 10_000])
def test_a_sett_that_no_reed_has_is_refused(text):
    with pytest.raises(Unreadable):
        parse_sett(text)


def test_a_sett_to_the_centimetre_is_so_many_to_the_inch():
    assert Sett(Decimal(2), "cm").per_inch == pytest.approx(5.08)
    assert Sett(Decimal(12), "in").per_metre == pytest.approx(12 / 0.0254)


def test_nobody_has_a_million_pegs():
    assert MOST_PEGS < 1_000_000


@pytest.mark.parametrize("kind", ["frame", "shaft", "plank"])
def test_a_metric_shop_begins_with_round_metric_measures(kind):
    for field in fields(usual_loom(kind, "metric")):
        value = getattr(usual_loom(kind, "metric"), field.name)
        if isinstance(value, Length):
            assert value.nm % Length.of(5, "mm").nm == 0, field.name
            inch = getattr(usual_loom(kind, "imperial"), field.name)
            assert abs(value.nm - inch.nm) <= 0.1 * inch.nm, field.name
