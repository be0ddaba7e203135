"""Stripe plans: whole rows that fill the rug exactly, the same from both ends where they are mirrored."""

import itertools
import math

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from shop.core.errors import NotPossible
from shop.core.stripe_plan import BandAsked, By, StripePlan, Turn, lay_out, rows_of_cloths

CLOTHS = 4
PITCHES = st.lists(st.floats(2, 30), min_size=CLOTHS, max_size=CLOTHS)
WOVEN = st.floats(300, 6000)
THOUSANDS = settings(max_examples=2000, deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])


@st.composite
def a_band(draw, ways=tuple(By)):
    turn = draw(st.sampled_from(list(Turn)))
    count = {Turn.ALONE: 1, Turn.PICK: 2, Turn.CHANCE: draw(st.integers(1, CLOTHS))}[turn]
    by = draw(st.sampled_from(ways))
    amounts = {By.ROWS: st.integers(1, 30), By.LENGTH: st.floats(5, 300), By.SHARE: st.floats(0.01, 0.3), By.REST: st.just(0)}
    least = draw(st.integers(1, 6))
    return BandAsked(
        cloths=tuple(draw(st.permutations(range(CLOTHS)))[:count]),
        by=by,
        amount=draw(amounts[by]),
        border=by is not By.REST and draw(st.booleans()),
        turn=turn,
        seed=draw(st.integers(0, 10**6)),
        least=least,
        most=least + draw(st.integers(0, 6)),
    )


@st.composite
def a_plan(draw):
    """A plan that has somewhere to go: a band of what is left, or one that goes on to the end."""
    to_the_end = draw(st.booleans())
    bands = draw(st.lists(a_band(ways=(By.ROWS, By.LENGTH, By.SHARE)), min_size=1, max_size=6))
    if to_the_end:
        bands.append(BandAsked(cloths=(0,), by=By.LENGTH, amount=draw(st.floats(20, 200))))
    else:
        bands.insert(draw(st.integers(0, len(bands))), BandAsked(cloths=(draw(st.integers(0, CLOTHS - 1)),), by=By.REST))
    return StripePlan(
        bands=tuple(bands), repeats=draw(st.integers(1, 4)), to_the_end=to_the_end, mirrored=draw(st.booleans())
    )


def laid(plan, pitches, woven):
    try:
        return lay_out(plan, pitches, woven)
    except NotPossible as refusal:
        assume(refusal.problems[0].code not in ("stripes.over", "stripes.no_rest", "stripes.thin"))
        raise


def reach(bands, pitches):
    return math.fsum(
        band.rows * (pitches[band.cloth] if band.second is None else (pitches[band.cloth] + pitches[band.second]) / 2)
        for band in bands
    )


@THOUSANDS
@given(a_plan(), PITCHES, WOVEN)
def test_the_rows_of_any_plan_fill_the_rug(plan, pitches, woven):
    bands = laid(plan, pitches, woven)
    assert all(isinstance(band.rows, int) and band.rows > 0 for band in bands)
    assert sum(rows_of_cloths(bands, CLOTHS)) == sum(band.rows for band in bands)
    assert math.isclose(sum(band.share for band in bands), 1)
    # Each band is off by less than a row; neighbours of one cloth are told as one, so bands that were asked for count too.
    asked = len(plan.bands) * (1 if plan.to_the_end else plan.repeats)
    assert abs(reach(bands, pitches) - woven) <= max(pitches) * 2 * (len(bands) + asked + 2)


@THOUSANDS
@given(a_plan(), PITCHES, WOVEN)
def test_what_is_mirrored_is_the_same_from_both_ends(plan, pitches, woven):
    assume(plan.mirrored)
    bands = laid(plan, pitches, woven)
    there, back = ([(band.cloth, band.second, band.rows) for band in order] for order in (bands, bands[::-1]))
    assert there == back


@given(a_plan(), PITCHES, WOVEN)
def test_the_same_plan_always_lays_out_the_same(plan, pitches, woven):
    assert laid(plan, pitches, woven) == lay_out(plan, pitches, woven)


@given(st.lists(st.integers(1, 40), min_size=1, max_size=8), PITCHES, st.booleans())
def test_bands_by_rows_have_just_those(rows, pitches, mirrored):
    asked = [BandAsked(cloths=(place % CLOTHS,), by=By.ROWS, amount=count) for place, count in enumerate(rows)]
    plan = StripePlan(bands=(*asked, BandAsked(cloths=((len(rows)) % CLOTHS,), by=By.REST)), mirrored=mirrored)
    bands = laid(plan, pitches, 6000.0)
    assert [band.rows for band in bands[: len(rows)]] == rows


@given(st.floats(300, 3000), st.floats(2, 30))
def test_one_band_of_all_that_is_left_has_the_rows_of_a_plain_rug(woven, pitch):
    (band,) = lay_out(StripePlan(bands=(BandAsked(cloths=(0,), by=By.REST),)), [pitch], woven)
    assert band.rows == math.ceil(woven / pitch - 1e-9)


def test_borders_stand_at_both_ends_and_the_field_repeats():
    plan = StripePlan(
        bands=(
            BandAsked(cloths=(2,), by=By.ROWS, amount=4, border=True),
            BandAsked(cloths=(0,), by=By.ROWS, amount=10),
            BandAsked(cloths=(1,), by=By.REST),
        ),
        repeats=3,
    )
    bands = lay_out(plan, [10, 10, 10], 1000)
    assert [(band.cloth, band.rows) for band in bands] == [
        (2, 4), (0, 10), (1, 21), (0, 10), (1, 21), (0, 10), (1, 20), (2, 4),
    ]  # fmt: skip


def test_to_the_end_cuts_the_last_band_where_the_rug_ends():
    plan = StripePlan(
        bands=(BandAsked(cloths=(0,), by=By.LENGTH, amount=100), BandAsked(cloths=(1,), by=By.LENGTH, amount=50)),
        to_the_end=True,
    )
    bands = lay_out(plan, [10, 10], 530)
    assert [(band.cloth, band.rows) for band in bands] == [
        (0, 10), (1, 5), (0, 10), (1, 5), (0, 10), (1, 5), (0, 8),
    ]  # fmt: skip


def test_a_mirrored_plan_turns_back_at_its_last_band():
    plan = StripePlan(
        bands=(BandAsked(cloths=(0,), by=By.SHARE, amount=0.2), BandAsked(cloths=(1,), by=By.REST)), mirrored=True
    )
    assert [(band.cloth, band.rows) for band in lay_out(plan, [10, 10], 1000)] == [(0, 20), (1, 60), (0, 20)]


def test_two_cloths_pick_by_pick_have_half_the_rows_each():
    (band,) = lay_out(StripePlan(bands=(BandAsked(cloths=(0, 1), by=By.REST, turn=Turn.PICK),)), [10, 20], 1000)
    assert (band.cloth, band.second, band.rows) == (0, 1, 67)
    assert rows_of_cloths([band], 2) == [34, 33]


def test_chance_never_puts_a_cloth_beside_itself_and_another_number_gives_another_order():
    def orders(seed):
        band = BandAsked(cloths=(0, 1, 2), by=By.REST, turn=Turn.CHANCE, seed=seed)
        return lay_out(StripePlan(bands=(band,)), [10, 10, 10], 2000)

    first = orders(1)
    assert all(one.cloth != other.cloth for one, other in itertools.pairwise(first))
    assert all(band.rows <= 12 for band in first)
    assert len({tuple((band.cloth, band.rows) for band in orders(seed)) for seed in range(20)}) == 20


@pytest.mark.parametrize(
    ("bands", "more", "code"),
    [
        ((), {}, "stripes.none"),
        ((BandAsked(cloths=(0,), by=By.LENGTH, amount=1200),), {}, "stripes.over"),
        ((BandAsked(cloths=(0,), by=By.LENGTH, amount=700),), {}, "stripes.under"),
        ((BandAsked(cloths=(0,), by=By.LENGTH, amount=1000), BandAsked(cloths=(1,), by=By.REST)), {}, "stripes.no_rest"),
        ((BandAsked(cloths=(0,), by=By.REST),), {"to_the_end": True}, "stripes.endless"),
        ((BandAsked(cloths=(0,), by=By.LENGTH, amount=4), BandAsked(cloths=(1,), by=By.REST)), {}, "stripes.thin"),
        ((BandAsked(cloths=(0,), by=By.ROWS, amount=5, border=True),), {}, "stripes.no_field"),
        (
            (BandAsked(cloths=(0,), by=By.REST, border=True), BandAsked(cloths=(1,), by=By.REST)), {}, "stripes.border_rest",
        ),
        (tuple(BandAsked(cloths=(0,), by=By.ROWS, amount=1) for _ in range(30)), {"repeats": 100}, "stripes.many"),
    ],
)  # fmt: skip
def test_what_cannot_be_laid_out_is_said(bands, more, code):
    with pytest.raises(NotPossible) as refused:
        lay_out(StripePlan(bands=bands, **more), [10, 10], 1000)
    assert refused.value.problems[0].code == code
