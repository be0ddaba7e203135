"""So much of a piece, said one way, comes back the same in all the others, and is never more than there is."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.core.amount import All, Area, Run, Scale, Share, Strips, Stuff, Weighed, parts_of, said
from shop.core.cloth import Cloth
from shop.core.errors import NotPossible
from shop.core.ledger import WHOLE, Holding
from shop.core.measure import Length, Weight
from shop.core.money import Money
from shop.core.strips import FRAY, Tool, Way
from shop.core.warp import Yarn

STRIP = Length.of(2, "in")
NEARLY = WHOLE // 1_000_000
"""What is nearer to all that is left than this is all of it."""
FREE = Money(0, "USD")

lefts = st.integers(1, WHOLE)
sides = st.integers(50_000_000, 5_000_000_000).map(Length)
shares = st.decimals("0.000001", "1", places=6)
cloths = st.builds(
    lambda width, length, weight: Cloth(width=width, length=length, grams_per_m2=weight, paid=FREE),
    sides,
    sides,
    st.floats(20, 1500),
)
cones = st.builds(lambda left, run: Stuff(left=left, yarn=Yarn("8/4", 3360.0), run=Length(run * 10**6)), lefts,
                  st.integers(1000, 10_000_000))  # fmt: skip
pieces = st.builds(lambda left, cloth: Stuff(left=left, cloth=cloth), lefts, cloths)
stuffs = pieces | cones


def a_sheet(left=WHOLE):
    """2 by 3 m, 200 g to the square metre: 1.2 kg."""
    cloth = Cloth(width=Length.of(2, "m"), length=Length.of(3, "m"), grams_per_m2=200.0, paid=FREE)
    return Stuff(left=left, cloth=cloth)


def a_cone(left=WHOLE):
    """1680 m at 3360 m/kg: half a kilogram."""
    return Stuff(left=left, yarn=Yarn("8/4", 3360.0), run=Length.of(1680, "m"))


def refused(stuff, amount):
    with pytest.raises(NotPossible) as found:
        parts_of(stuff, amount)
    return found.value.problems[0]


@pytest.mark.parametrize(
    ("stuff", "amount", "share"),
    [
        (a_sheet(), All(), Fraction(1)),
        (a_sheet(WHOLE // 2), All(), Fraction(1, 2)),
        (a_sheet(WHOLE // 2), Share(Decimal("0.5")), Fraction(1, 4)),
        (a_sheet(), Strips(10, Length.of(3, "m"), Length.of(5, "cm")), Fraction(1, 4)),
        (a_sheet(), Area(Decimal("1.5")), Fraction(1, 4)),
        (a_sheet(), Weighed(Weight.of(300, "g")), Fraction(1, 4)),
        (a_sheet(), Scale(Weight.of(1200, "g"), Weight.of(900, "g")), Fraction(1, 4)),
        (a_sheet(WHOLE // 2), Scale(Weight.of(600, "g"), Weight.of(300, "g")), Fraction(1, 4)),
        (a_cone(), Run(Length.of(420, "m")), Fraction(1, 4)),
        (a_cone(), Weighed(Weight.of(125, "g")), Fraction(1, 4)),
    ],
)
def test_every_way_comes_to_its_share(stuff, amount, share):
    assert parts_of(stuff, amount) == share * WHOLE


def test_torn_strips_take_what_frays_besides():
    cut = parts_of(a_sheet(), Strips(8, Length.of(3, "m"), STRIP))
    torn = parts_of(a_sheet(), Strips(8, Length.of(3, "m"), STRIP, Tool.TEAR))
    assert abs(torn / cut - (STRIP + FRAY * 2).nm / STRIP.nm) < 1e-6


@pytest.mark.parametrize(
    ("stuff", "amount", "code"),
    [
        (a_sheet(0), All(), "amount.gone"),
        (a_sheet(), Share(Decimal(0)), "amount.none"),
        (a_sheet(), Share(Decimal("-0.1")), "amount.share"),
        (a_sheet(), Share(Decimal("1.01")), "amount.share"),
        (a_sheet(), Area(Decimal(0)), "amount.none"),
        (a_sheet(), Scale(Weight(5), Weight(6)), "amount.scale"),
        (a_sheet(), Scale(Weight(5), Weight(5)), "amount.none"),
        (a_sheet(), Scale(Weight(0), Weight(0)), "amount.none"),
        (a_sheet(), Run(Length.of(1, "m")), "amount.cloth"),
        (a_cone(), Strips(1, STRIP, STRIP), "amount.yarn"),
        (a_cone(), Area(Decimal(1)), "amount.yarn"),
        (a_cone(), Run(Length.of(1681, "m")), "amount.more"),
    ],
)
def test_what_cannot_be_taken_is_said(stuff, amount, code):
    assert refused(stuff, amount).code == code


def test_too_much_tells_what_is_left_and_what_was_asked_for():
    problem = refused(a_sheet(WHOLE // 4), Area(Decimal(3)))
    assert (problem.code, problem.where) == ("amount.more", "amount")
    assert problem.values == {"share": 0.25, "percent": 0.5}


@given(stuff=stuffs, share=shares)
def test_it_is_something_and_never_more_than_is_left(stuff, share):
    assert 1 <= parts_of(stuff, Share(share)) <= stuff.left
    assert parts_of(stuff, All()) == stuff.left


@given(stuff=stuffs, one=shares, other=shares)
def test_more_is_never_less(stuff, one, other):
    less, more = sorted((one, other))
    assert parts_of(stuff, Share(less)) <= parts_of(stuff, Share(more))


@given(stuff=stuffs, share=shares, tool=st.sampled_from(Tool), way=st.sampled_from([Way.ALONG, Way.ACROSS]))
def test_what_is_said_in_one_way_is_the_same_in_the_others(stuff, share, tool, way):
    """Said in square metres, grams, metres or strips, the same amount comes to the same parts, but for rounding."""
    parts = parts_of(stuff, Share(share))
    assume(parts > NEARLY)
    told = said(stuff, parts, strip=STRIP, tool=tool, way=way)
    again = [Weighed(Weight(round(told.grams * 10**9)))]
    if stuff.cloth is None:
        again.append(Run(Length(round(told.strip_m * 10**9))))
        assert told.strips == told.square_metres == 0
    else:
        strips = Strips(1, Length(round(told.strip_m * 10**9)), STRIP, tool)
        again += [Area(Decimal(repr(told.square_metres))), strips]
        each = stuff.cloth.width if way is Way.ACROSS else stuff.cloth.length
        assert told.strips * each.metres == pytest.approx(told.strip_m)
    for amount in again:
        assert abs(parts_of(stuff, amount) - parts) <= NEARLY
    assert told.of_whole == parts / WHOLE
    assert told.of_left == parts / stuff.left


@given(left=lefts, cost=st.integers(0, 10**9), taken=st.lists(shares, max_size=12), stuff=stuffs)
def test_whatever_is_said_in_turn_comes_to_the_whole(left, cost, taken, stuff):
    held, spent, parts = Holding(left, cost), 0, 0
    for amount in [*map(Share, taken), All()]:
        if not held.share:
            break
        lies = Stuff(left=held.share, cloth=stuff.cloth, yarn=stuff.yarn, run=stuff.run)
        share = parts_of(lies, amount)
        part = held.cost_of(share)
        held, spent, parts = held.after(-share, -part), spent + part, parts + share
    assert (held, spent, parts) == (Holding(), cost, left)


@given(stuff=stuffs, short=st.integers(0, NEARLY))
def test_what_is_as_good_as_all_is_all(stuff, short):
    assume(stuff.left > 2 * NEARLY)
    share = Decimal(stuff.left - short) / stuff.left
    assert parts_of(stuff, Share(share)) == stuff.left
