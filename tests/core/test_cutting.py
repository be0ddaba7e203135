"""Cutting plans: the best there is on small cases, sound on every case, and exact in what they come to."""

import itertools
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.core.cutting import BandToFill, PieceToCut, Rules, Wish, reckoned, wished
from shop.core.cutting_plan import plan_cutting, relaxed
from shop.core.errors import NotPossible, Refusal
from shop.core.measure import Length
from shop.core.money import Money, total
from shop.core.strips import Way

INCH = Length.of(1, "in")
RULES = Rules(strip=INCH * 2)


def a_piece(name="sheet", width=20, length=40, paid=1000, **more):
    return PieceToCut(name=name, width=INCH * width, length=INCH * length, paid=Money(paid, "USD"), **more)


def a_band(need, *pieces, name="band"):
    return BandToFill(name=name, need=INCH * need, pieces=frozenset(pieces))


def planned(pieces, bands, rules=RULES, **more):
    return plan_cutting(pieces, bands, rules, currency="USD", **more)


def cut_on_paper(pieces, bands, rules, cutting):
    """Replay a plan on paper rectangles, strip by strip; gives how far each band reaches, in nanometres."""
    papers = {place: [piece.width.nm, piece.length.nm] for place, piece in enumerate(pieces)}
    turned = {}
    strips = [[] for _ in bands]
    spent = [Fraction(0)] * len(pieces)
    for cut in cutting.cuts:
        assert cut.piece in bands[cut.band].pieces
        assert turned.setdefault(cut.piece, cut.way) is cut.way
        piece = pieces[cut.piece]
        side = 1 if cut.way is Way.ACROSS else 0
        takes = rules.strip.nm + (2 * rules.fray.nm if piece.tears else 0)
        yields = [piece.width.nm, piece.length.nm][side] // takes
        for _ in range(cut.strips):
            papers[cut.piece][side] -= takes
            assert papers[cut.piece][side] >= 0, "a strip beyond the edge"
            strips[cut.band].append(papers[cut.piece][1 - side])
            spent[cut.piece] += Fraction(piece.paid.minor, yields)
    for place, exact in enumerate(spent):
        told = sum(cut.cost.minor for cut in cutting.cuts if cut.piece == place)
        assert abs(told - exact) < len(bands) + 1
    return [sum(band) - max(0, len(band) - 1) * rules.join_loss.nm if band else 0 for band in strips]


def test_one_band_out_of_one_sheet():
    """20 x 40 in in 2 in strips: 10 along; 110 in takes three with two joins of 3 in, 120 - 6 = 114."""
    plan = planned([a_piece()], [a_band(110, 0)])
    (cut,) = plan.cutting.cuts
    assert (cut.way, cut.strips, cut.length, cut.cost) == (Way.ALONG, 3, INCH * 120, Money(300, "USD"))
    assert (plan.cutting.joins, plan.cutting.reach, plan.cutting.short) == (2, (INCH * 114,), (Length(0),))
    (rest,) = plan.cutting.rests
    assert (rest.width, rest.length, rest.strips) == (INCH * 14, INCH * 40, 7)
    assert plan.gap == 0


def test_a_torn_strip_takes_its_fray():
    """2 1/4 in a strip: 8 of them out of 20 in, so 9 strips of 40 in cannot be had that way."""
    plan = planned([a_piece(tears=True)], [a_band(40 * 9 - 3 * 8, 0)])
    assert plan.cutting.short[0] > Length(0)
    assert planned([a_piece()], [a_band(40 * 9 - 3 * 8, 0)]).cutting.short == (Length(0),)


def test_what_is_missing_is_told_and_everything_useful_is_cut():
    plan = planned([a_piece()], [a_band(1000, 0)])
    assert plan.cutting.reach == (INCH * (400 - 27),)
    assert plan.cutting.short == (INCH * (1000 - 373),)


def test_a_band_that_nothing_serves_is_short_of_all():
    plan = planned([a_piece()], [a_band(50)])
    assert (plan.cutting.cuts, plan.cutting.short, plan.cutting.cost) == ((), (INCH * 50,), Money(0, "USD"))


def test_a_piece_partly_used_gives_its_share_of_whole_strips():
    half = a_piece(left=500_000_000)
    plan = planned([half], [a_band(1000, 0)])
    (cut,) = plan.cutting.cuts
    assert (cut.strips, cut.cost) == (5, Money(500, "USD"))
    assert plan.cutting.rests[0].strips == 0


@pytest.mark.parametrize(
    ("prefer", "name"),
    [
        ((Wish.COST,), "cheap and short"),
        ((Wish.JOINS,), "dear and long"),
        ((Wish.LEFT_OVER,), "just enough"),
        ((Wish.AGE,), "old"),
    ],
)
def test_wishes_are_kept_in_the_order_that_is_set(prefer, name):
    pieces = [
        a_piece("cheap and short", 40, 20, 100, bought=date(2026, 3, 1)),
        a_piece("dear and long", 24, 100, 4000, bought=date(2026, 2, 1)),
        a_piece("just enough", 8, 28, 900, bought=date(2026, 2, 1)),
        a_piece("old", 36, 25, 2000, bought=date(2025, 1, 1)),
    ]
    plan = planned(pieces, [a_band(100, 0, 1, 2, 3)], Rules(strip=INCH * 2, prefer=prefer))
    assert {pieces[cut.piece].name for cut in plan.cutting.cuts} == {name}
    assert plan.cutting.short == (Length(0),)


def every_plan(pieces, bands, rules):
    """Every way to cut these pieces for these bands, by counting all of them."""
    choices = []
    for place, piece in enumerate(pieces):
        mine = [{}]
        for way in (Way.ALONG, Way.ACROSS):
            serves = [band for band in range(len(bands)) if place in bands[band].pieces]
            most = piece.strips(way, rules)
            mine.extend(
                {(place, band, way): n for band, n in zip(serves, counts, strict=True)}
                for counts in itertools.product(range(most + 1), repeat=len(serves))
                if 0 < sum(counts) <= most
            )
        choices.append(mine)
    for together in itertools.product(*choices):
        yield {key: count for one in together for key, count in one.items()}


small_pieces = st.lists(
    st.builds(
        lambda width, length, paid, tears, days: a_piece(
            "p", width, length, paid, tears=tears, bought=date.fromordinal(730000 + days)
        ),
        st.integers(2, 7),
        st.integers(2, 9),
        st.integers(0, 900),
        st.booleans(),
        st.integers(0, 400),
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(small_pieces, st.lists(st.integers(1, 30), min_size=1, max_size=2), st.permutations(list(Wish)), st.data())
def test_small_plans_are_the_best_there_are(pieces, needs, order, data):
    everyone = list(range(len(pieces)))
    bands = [
        a_band(need, *data.draw(st.sets(st.sampled_from(everyone)), label="who may serve")) for need in needs
    ]
    prefer = (Wish.SHORT, *(wish for wish in order[:3] if wish is not Wish.SHORT))
    rules = Rules(strip=INCH * 2, join_loss=INCH, prefer=prefer)
    plan = planned(pieces, bands, rules)
    best = min(
        tuple(round(wished(one, pieces, bands, wish, rules), 6) for wish in prefer)
        for one in (
            reckoned(pieces, bands, rules, chosen, currency="USD") for chosen in every_plan(pieces, bands, rules)
        )
    )
    assert tuple(round(stage.objective, 6) for stage in plan.stages) == pytest.approx(best, abs=2e-5)
    assert all(stage.proven for stage in plan.stages)
    assert plan.gap < 1e-4


def test_a_plan_begun_from_another_is_what_the_solver_says_it_is():
    """One strip is enough; the plan before had two of them, which cost nothing either."""
    pieces = [a_piece("p", 2, 3, 0), a_piece("p", 3, 4, 0, tears=True), a_piece("p", 2, 4, 0)]
    rules = Rules(strip=INCH * 2, join_loss=INCH, prefer=(Wish.SHORT, Wish.JOINS))
    plan = planned(pieces, [a_band(3, 0, 1, 2)], rules)
    assert [stage.objective for stage in plan.stages] == [0, 0]


pieces_at_random = st.lists(
    st.builds(
        lambda width, length, paid, tears, left: a_piece("p", width, length, paid, tears=tears, left=left),
        st.integers(1, 110),
        st.integers(1, 110),
        st.integers(0, 2000),
        st.booleans(),
        st.integers(0, 10**9),
    ),
    min_size=1,
    max_size=12,
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(pieces_at_random, st.lists(st.integers(1, 5000), min_size=1, max_size=4), st.data())
def test_no_plan_cuts_beyond_a_piece(pieces, needs, data):
    everyone = list(range(len(pieces)))
    bands = [a_band(need, *data.draw(st.sets(st.sampled_from(everyone)))) for need in needs]
    plan = planned(pieces, bands, seconds=2.0)
    reach = cut_on_paper(pieces, bands, RULES, plan.cutting)
    assert reach == [far.nm for far in plan.cutting.reach]
    for band, far, short in zip(bands, reach, plan.cutting.short, strict=True):
        assert short.nm == max(0, band.need.nm - far)
    assert plan.cutting.cost == total((cut.cost for cut in plan.cutting.cuts), "USD")
    for stage in plan.stages:
        assert stage.bound <= stage.objective + 1e-9


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(pieces_at_random, st.lists(st.integers(1, 3000), min_size=1, max_size=3))
def test_no_plan_goes_below_the_relaxation(pieces, needs):
    bands = [a_band(need, *range(len(pieces))) for need in needs]
    plan = planned(pieces, bands, Rules(strip=INCH * 2, prefer=(Wish.SHORT,)), seconds=2.0)
    assert relaxed(pieces, bands, RULES, Wish.SHORT) <= plan.stages[0].objective + 1e-6


def test_what_no_scissors_can_do_is_refused():
    pieces, bands = [a_piece(), a_piece("other")], [a_band(50, 0)]
    for chosen in ({(0, 0, Way.ALONG): 1, (0, 0, Way.ACROSS): 1}, {(0, 0, Way.ALONG): 11}, {(1, 0, Way.ALONG): 1}):
        with pytest.raises(NotPossible):
            reckoned(pieces, bands, RULES, chosen, currency="USD")


def test_a_strip_of_no_width_is_refused():
    with pytest.raises(Refusal):
        planned([a_piece()], [a_band(50, 0)], Rules(strip=Length(0)))
