"""Quick measurements: what was counted, and what it comes to."""

from decimal import Decimal

import pytest

from shop.core.errors import NotPossible
from shop.core.evidence import What
from shop.core.measure import Length
from shop.core.quick import ASKED, Told, comes_to
from shop.core.spread import Estimate
from shop.core.weft import pitch_mm, solid_section_mm2
from tests.builders import codes


def inches(value):
    return Length.of(value, "in")


def test_counted_rows_give_the_packing_that_makes_such_rows():
    section = solid_section_mm2(50.8, 115, 1.54)
    value, size = comes_to(What.PACKING, Told(count=Decimal(8), first=inches(4), second=inches(2)), section)
    assert size == 1
    assert pitch_mm(Estimate(value), section).middle == pytest.approx(12.7)


@pytest.mark.parametrize(
    ("what", "told", "value", "size"),
    [
        (What.TAKE_UP, Told(first=inches(48), count=Decimal(2), second=inches(20)), 1.2, 1),
        (What.WASTE, Told(first=inches(3), second=inches(60)), 0.05, 1),
        (What.DRAW_IN, Told(first=inches(28), second=inches(26)), 1 / 14, 1),
        (What.RELAXATION, Told(first=inches(60), second=inches(57)), 0.05, 1),
        (What.ROW, Told(minutes=Decimal(9), count=Decimal(6), second=Length.of(75, "cm")), 1.5, 0.75),
        (What.CUT, Told(minutes=Decimal(7), first=Length.of(20, "m")), 0.35, 1),
        (What.WARP, Told(minutes=Decimal(90), count=Decimal(60)), 90, 60),
        (What.FINISH, Told(minutes=Decimal(40), count=Decimal(2)), 40, 2),
    ],
)
def test_each_number_comes_to_what_it_means(what, told, value, size):
    assert comes_to(what, told) == pytest.approx((value, size))


@pytest.mark.parametrize("what", list(What))
def test_whatever_is_asked_and_not_told_is_said_at_once(what):
    with pytest.raises(NotPossible) as refused:
        comes_to(what, Told())
    assert codes(refused) == {(name, "quick.missing") for name in ASKED[what]}


def test_no_more_can_be_lost_than_there_was():
    with pytest.raises(NotPossible) as refused:
        comes_to(What.WASTE, Told(first=inches(60), second=inches(60)))
    assert codes(refused) == {("second", "quick.longer")}
