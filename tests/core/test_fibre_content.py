"""The fibre content of a rug: what was drawn into it, in percent, and how a label states it."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.core.cloth import Fibre
from shop.core.errors import NotPossible
from shop.core.fibre_content import (
    NAMED_FROM,
    ContentLine,
    FibreContent,
    FibrePart,
    Said,
    fibre_content,
    within_tolerance,
)

ORDER = list(Fibre)
KNOWN = [fibre for fibre in Fibre if fibre is not Fibre.UNKNOWN]


def all_of(fibre, grams):
    return FibrePart(grams=grams, fibres=((fibre, Decimal(1)),))


def label(*parts):
    """Each line as what it says and its percent."""
    lines = fibre_content(parts).lines()
    return [(line.fibres[0] if line.said is Said.NAMED else line.said, line.percent) for line in lines]


@st.composite
def mixtures(draw):
    """One to four fibres with shares in thousandths that sum to 1; or nobody knows."""
    fibres = draw(st.lists(st.sampled_from(ORDER), max_size=4, unique=True))
    if not fibres:
        return ()
    cuts = sorted(draw(st.lists(st.integers(0, 1000), min_size=len(fibres) - 1, max_size=len(fibres) - 1)))
    ends = zip([0, *cuts], [*cuts, 1000], strict=True)
    return tuple((fibre, Decimal(end - start) / 1000) for fibre, (start, end) in zip(fibres, ends, strict=True))


WEIGHTS = st.one_of(
    st.integers(0, 20).map(Decimal),
    st.decimals(0, 5000, places=2),
    st.floats(0, 5000, allow_subnormal=False).map(lambda grams: round(grams, 3)),
)
PARTS = st.builds(lambda grams, fibres: FibrePart(grams=grams, fibres=fibres), WEIGHTS, mixtures())
RUGS = st.lists(PARTS, min_size=1, max_size=8).filter(lambda parts: any(part.grams for part in parts))


def grams_of(parts):
    """By hand: how many grams of each fibre, exactly."""
    found = dict.fromkeys(Fibre, Fraction(0))
    for part in parts:
        for fibre, share in part.fibres or ((Fibre.UNKNOWN, 1),):
            found[fibre] += Fraction(str(part.grams)) * Fraction(share)
    return found


@given(RUGS)
def test_percents_are_whole_and_sum_to_a_hundred(parts):
    percents = [line.percent for line in fibre_content(parts).lines()]
    assert sum(percents) == 100
    assert all(isinstance(percent, int) and percent >= 1 for percent in percents)


@given(RUGS)
def test_named_fibres_fall_then_the_others_then_the_unknown(parts):
    content = fibre_content(parts)
    lines = content.lines()
    said = [line.said for line in lines]
    assert said == sorted(said, key=list(Said).index)
    assert said.count(Said.OTHER) <= 1
    assert said.count(Said.UNKNOWN) <= 1
    named = [line for line in lines if line.said is Said.NAMED]
    assert [line.percent for line in named] == sorted((line.percent for line in named), reverse=True)
    keys = [(-content.percent(line.fibres[0]), ORDER.index(line.fibres[0])) for line in named]
    assert keys == sorted(keys)


@given(RUGS)
def test_each_fibre_put_in_is_told_once_and_no_other_is_claimed(parts):
    grams = grams_of(parts)
    lines = fibre_content(parts).lines()
    told = [fibre for line in lines for fibre in line.fibres]
    assert sorted(told, key=ORDER.index) == [fibre for fibre in KNOWN if grams[fibre]]
    assert any(line.said is Said.UNKNOWN for line in lines) == bool(grams[Fibre.UNKNOWN])


@given(RUGS)
def test_a_fibre_is_named_from_five_percent_and_only_from_there(parts):
    grams = grams_of(parts)
    named = {line.fibres[0] for line in fibre_content(parts).lines() if line.said is Said.NAMED}
    assert named == {fibre for fibre in KNOWN if grams[fibre] and grams[fibre] * 20 >= sum(grams.values())}


@given(RUGS)
def test_the_exact_percents_are_grams_over_all_grams(parts):
    content, grams = fibre_content(parts), grams_of(parts)
    for fibre in Fibre:
        assert content.percent(fibre) == grams[fibre] * 100 / sum(grams.values())
    assert sum(share for _, share in content.shares) == 1
    assert all(share > 0 for _, share in content.shares)


@given(RUGS, st.decimals("0.001", 1000, places=3))
def test_the_size_of_the_rug_changes_nothing(parts, times):
    larger = [FibrePart(grams=Decimal(str(part.grams)) * times, fibres=part.fibres) for part in parts]
    assert fibre_content(larger) == fibre_content(parts)
    assert fibre_content(larger).lines() == fibre_content(parts).lines()


@given(RUGS, st.data())
def test_a_part_in_two_is_the_same_part(parts, data):
    place = data.draw(st.integers(0, len(parts) - 1))
    taken = data.draw(st.integers(0, 100))
    part, whole = parts[place], Decimal(str(parts[place].grams))
    some = whole * taken / 100
    halves = [FibrePart(grams=grams, fibres=part.fibres) for grams in (some, whole - some)]
    assert fibre_content([*parts[:place], *halves, *parts[place + 1 :]]) == fibre_content(parts)


@given(RUGS)
def test_the_order_of_drawing_changes_nothing(parts):
    assert fibre_content(parts[::-1]).lines() == fibre_content(parts).lines()


@given(st.lists(WEIGHTS, min_size=1).filter(any), st.booleans())
def test_a_rug_of_unknown_cloth_is_all_unknown(weights, said):
    fibres = ((Fibre.UNKNOWN, Decimal(1)),) if said else ()
    content = fibre_content([FibrePart(grams=grams, fibres=fibres) for grams in weights])
    assert content.lines() == (ContentLine(said=Said.UNKNOWN, percent=100),)
    assert content.percent(Fibre.UNKNOWN) == 100


@given(RUGS)
def test_a_hundred_percent_is_wholly_so(parts):
    content = fibre_content(parts)
    assert any(line.percent == 100 for line in content.lines()) == (len(content.lines()) == 1)


@given(RUGS)
def test_a_label_states_its_own_rug(parts):
    content = fibre_content(parts)
    assert within_tolerance(content.lines(), content)


@given(RUGS, RUGS)
def test_a_tolerance_of_a_hundred_points_forgives_all_but_a_pure_claim(parts, others):
    lines = fibre_content(parts).lines()
    assume(not (len(lines) == 1 and lines[0].said is Said.NAMED))
    assert within_tolerance(lines, fibre_content(others), points=100)


@given(st.integers(8, 91), st.decimals(-8, 8, places=2))
def test_two_fibres_are_within_three_points_or_not(percent, by):
    stated = (
        ContentLine(said=Said.NAMED, percent=percent, fibres=(Fibre.COTTON,)),
        ContentLine(said=Said.NAMED, percent=100 - percent, fibres=(Fibre.WOOL,)),
    )
    found = fibre_content([all_of(Fibre.COTTON, percent + by), all_of(Fibre.WOOL, 100 - percent - by)])
    assert within_tolerance(stated, found) == (abs(by) <= 3)


def test_equal_weights_stand_in_the_order_of_the_fibres():
    found = label(all_of(Fibre.WOOL, 10), all_of(Fibre.LINEN, 10.0), all_of(Fibre.COTTON, Decimal("10.0")))
    assert found == [(Fibre.COTTON, 34), (Fibre.LINEN, 33), (Fibre.WOOL, 33)]


def test_the_others_are_lumped_and_known_to_the_shop():
    parts = [all_of(Fibre.COTTON, 93), all_of(Fibre.NYLON, 4), all_of(Fibre.WOOL, 3)]
    assert fibre_content(parts).lines() == (
        ContentLine(said=Said.NAMED, percent=93, fibres=(Fibre.COTTON,)),
        ContentLine(said=Said.OTHER, percent=7, fibres=(Fibre.NYLON, Fibre.WOOL)),
    )


def test_a_share_nobody_knows_is_unknown_in_a_part_that_is_known():
    part = FibrePart(grams=200, fibres=((Fibre.COTTON, Decimal("0.7")), (Fibre.UNKNOWN, Decimal("0.3"))))
    assert label(part, FibrePart(grams=Decimal(100))) == [(Fibre.COTTON, 47), (Said.UNKNOWN, 53)]


def test_a_share_of_nothing_is_not_in_it():
    part = FibrePart(grams=5, fibres=((Fibre.COTTON, Decimal(1)), (Fibre.WOOL, Decimal(0))))
    assert fibre_content([part]) == FibreContent(shares=((Fibre.COTTON, Fraction(1)),))


def test_a_fibre_told_twice_in_a_part_is_added_up():
    part = FibrePart(grams=5, fibres=((Fibre.WOOL, Decimal("0.25")), (Fibre.WOOL, Decimal("0.75"))))
    assert label(part) == [(Fibre.WOOL, 100)]


@pytest.mark.parametrize(
    ("cotton", "wool", "nylon", "unknown", "percents"),
    [
        (997, 0, 3, 0, [99, 1]),
        (997, 0, 0, 3, [99, 1]),
        (498, 498, 4, 0, [50, 49, 1]),
        (497, 497, 3, 3, [49, 49, 1, 1]),
        (0, 0, 3, 997, [1, 99]),
    ],
)
def test_what_is_hardly_there_is_one_percent_from_the_largest(cotton, wool, nylon, unknown, percents):
    parts = [all_of(Fibre.COTTON, cotton), all_of(Fibre.WOOL, wool), all_of(Fibre.NYLON, nylon)]
    lines = fibre_content([*parts, FibrePart(grams=unknown)]).lines()
    assert [line.percent for line in lines] == percents


def test_numbers_count_as_they_were_written():
    """In binary, 0.1 + 0.2 is more than 0.3, and a twentieth of 6 would fall short of the line or pass it."""
    parts = [all_of(Fibre.COTTON, 5.7), all_of(Fibre.WOOL, 0.1), all_of(Fibre.WOOL, 0.2)]
    assert fibre_content(parts).percent(Fibre.WOOL) == NAMED_FROM
    assert label(*parts) == [(Fibre.COTTON, 95), (Fibre.WOOL, 5)]


@pytest.mark.parametrize("parts", [[], [FibrePart(grams=0)], [all_of(Fibre.WOOL, Decimal(0)), FibrePart(grams=0.0)]])
def test_nothing_that_weighs_anything_has_no_content(parts):
    with pytest.raises(NotPossible, match=r"^fibre_content\.none$"):
        fibre_content(parts)


@pytest.mark.parametrize("grams", [-0.001, Decimal(-1), float("nan"), float("inf"), Decimal("NaN"), Decimal("sNaN")])
def test_a_weight_below_zero_or_that_is_none_is_refused(grams):
    with pytest.raises(NotPossible, match=r"^parts\.1\.grams: fibre_content\.weight$"):
        fibre_content([all_of(Fibre.COTTON, 100), FibrePart(grams=grams)])


@pytest.mark.parametrize("shares", [["0.5"], ["0.5", "0.499"], ["1", "0.001"], ["1.5", "-0.5"], ["NaN", "1"], ["Infinity"], ["0"]])
def test_shares_that_are_not_a_whole_are_refused(shares):
    fibres = tuple(zip(KNOWN, map(Decimal, shares), strict=False))
    with pytest.raises(NotPossible, match=r"^parts\.0\.fibres: fibre\.sum$"):
        fibre_content([FibrePart(grams=100, fibres=fibres)])


def test_every_problem_is_told_at_once():
    wrong = FibrePart(grams=-1, fibres=((Fibre.WOOL, Decimal(2)),))
    with pytest.raises(NotPossible) as refused:
        fibre_content([wrong, all_of(Fibre.WOOL, 1), wrong])
    places = [(problem.where, problem.code) for problem in refused.value.problems]
    assert places == [
        ("parts.0.grams", "fibre_content.weight"),
        ("parts.0.fibres", "fibre.sum"),
        ("parts.2.grams", "fibre_content.weight"),
        ("parts.2.fibres", "fibre.sum"),
    ]


@pytest.mark.parametrize(
    ("found", "holds"),
    [
        ({Fibre.COTTON: 80, Fibre.WOOL: 4, Fibre.NYLON: 3, None: 13}, True),
        ({Fibre.COTTON: 80, Fibre.WOOL: 4, Fibre.NYLON: 4, None: 12}, True),
        ({Fibre.COTTON: 79, Fibre.WOOL: 7, None: 14}, True),
        ({Fibre.COTTON: 78, Fibre.WOOL: 8, None: 14}, False),  # stated to be under 5 %: 8 is 3 points and more away
        ({Fibre.COTTON: 76, Fibre.WOOL: 4, Fibre.NYLON: 4, None: 16}, False),  # cotton
        ({Fibre.COTTON: 80, Fibre.WOOL: 4, Fibre.NYLON: 4, Fibre.LINEN: 3, None: 9}, False),  # the others, the unknown
        ({Fibre.COTTON: 83, Fibre.WOOL: 1, None: 16}, False),  # the others are too few
        ({Fibre.COTTON: 82, Fibre.WOOL: 4, Fibre.NYLON: 4, None: 10}, True),
        ({Fibre.COTTON: 83, Fibre.WOOL: 7.5, None: 9.5}, False),  # the unknown
    ],
)
def test_a_label_with_others_and_unknown_is_held_line_by_line(found, holds):
    stated = (
        ContentLine(said=Said.NAMED, percent=80, fibres=(Fibre.COTTON,)),
        ContentLine(said=Said.OTHER, percent=7, fibres=(Fibre.WOOL, Fibre.NYLON)),
        ContentLine(said=Said.UNKNOWN, percent=13),
    )
    parts = [all_of(fibre, grams) if fibre else FibrePart(grams=grams) for fibre, grams in found.items()]
    assert within_tolerance(stated, fibre_content(parts)) == holds
