"""Price and usage, rate and efficiency, spending and efficiency variances of cost-accounting textbooks. Figures only.

All from memory, without the books at hand; each is worked out again beside its figures.
"""

from decimal import Decimal

import pytest

from shop.core.money import Money
from shop.core.variance import Actual, Direction, Input, InputKind, Standard, compare, variance_of

MATERIAL, LABOUR, OVERHEAD = InputKind.CLOTH, InputKind.LABOUR, InputKind.OVERHEAD


def dollars(amount):
    return Money.of(str(amount), "USD")


def an_input(kind, allowed, price, used, cost):
    return Input(
        key=kind.value,
        kind=kind,
        standard=Standard(quantity=allowed, unit="", price=Decimal(price)),
        actual=Actual(quantity=used, unit="", cost=dollars(cost)),
    )


# Horngren, Datar and Rajan, Cost Accounting, flexible budgets, Webb Company: 10,000 jackets. From memory.
WEBB = [
    # 22,200 x 28 = 621,600; 22,200 x 30 = 666,000; 10,000 x 2 x 30 = 600,000.
    (an_input(MATERIAL, 20_000, 30, 22_200, 621_600), -44_400, 66_000),
    # 9,000 x 22 = 198,000; 9,000 x 20 = 180,000; 10,000 x 0.8 x 20 = 160,000.
    (an_input(LABOUR, 8_000, 20, 9_000, 198_000), 18_000, 20_000),
    # 4,500 x 29 = 130,500; 4,500 x 30 = 135,000; 10,000 x 0.4 x 30 = 120,000.
    (an_input(OVERHEAD, 4_000, 30, 4_500, 130_500), -4_500, 15_000),
]
# Garrison and Noreen, Managerial Accounting, standard costs, Colonial Pewter: 2,000 pieces. From memory.
PEWTER = [
    # 6,500 x 3.80 = 24,700; 6,500 x 4 = 26,000; 2,000 x 3 x 4 = 24,000.
    (an_input(MATERIAL, 6_000, 4, 6_500, 24_700), -1_300, 2_000),
    # 5,400 x 13.75 = 74,250; 5,400 x 14 = 75,600; 2,000 x 2.5 x 14 = 70,000.
    (an_input(LABOUR, 5_000, 14, 5_400, 74_250), -1_350, 5_600),
    # 5,400 x 2.85 = 15,390; 5,400 x 3 = 16,200; 2,000 x 2.5 x 3 = 15,000.
    (an_input(OVERHEAD, 5_000, 3, 5_400, 15_390), -810, 1_200),
]
# Heisinger and Hoyle, Accounting for Managers, chapter 10, ice cream: 210,000 units. From memory.
ICE_CREAM = [
    # 18,900 x 15 = 283,500; 18,900 x 13 = 245,700; 210,000 x 0.1 x 13 = 273,000.
    (an_input(LABOUR, 21_000, 13, 18_900, 283_500), 37_800, -27_300),
    # 100,000; 18,900 x 5 = 94,500; 210,000 x 0.1 x 5 = 105,000.
    (an_input(OVERHEAD, 21_000, 5, 18_900, 100_000), 5_500, -10_500),
]


@pytest.mark.parametrize(("line", "price", "usage"), [*WEBB, *PEWTER, *ICE_CREAM])
def test_a_published_variance(line, price, usage):
    found = variance_of(line, "USD")
    assert (found.price, found.usage) == (dollars(price), dollars(usage))


@pytest.mark.parametrize(
    ("lines", "actual", "standard", "price", "usage", "direction"),
    [
        # 621,600 + 198,000 + 130,500 = 950,100; 600,000 + 160,000 + 120,000 = 880,000; 70,100 = -30,900 + 101,000.
        (WEBB, 950_100, 880_000, -30_900, 101_000, Direction.UNFAVOURABLE),
        # 24,700 + 74,250 + 15,390 = 114,340; 24,000 + 70,000 + 15,000 = 109,000; 5,340 = -3,460 + 8,800.
        (PEWTER, 114_340, 109_000, -3_460, 8_800, Direction.UNFAVOURABLE),
        # 283,500 + 100,000 = 383,500; 273,000 + 105,000 = 378,000; 5,500 = 43,300 - 37,800.
        (ICE_CREAM, 383_500, 378_000, 43_300, -37_800, Direction.UNFAVOURABLE),
        # 100,000 against 105,000: -5,000 = 5,500 - 10,500.
        (ICE_CREAM[1:], 100_000, 105_000, 5_500, -10_500, Direction.FAVOURABLE),
    ],
    ids=["jackets", "pewter", "ice cream", "ice cream, overhead"],
)
def test_a_published_job_as_a_whole(lines, actual, standard, price, usage, direction):
    whole = compare([line for line, _, _ in lines], "USD").whole
    assert (whole.actual, whole.standard) == (dollars(actual), dollars(standard))
    assert (whole.price, whole.usage) == (dollars(price), dollars(usage))
    assert Direction.of_cost(whole.total) is direction
