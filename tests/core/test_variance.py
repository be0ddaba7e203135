"""Where the cost of a rug left its quote: by another price, or by another quantity."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.core.cost import JobCost
from shop.core.errors import NotPossible
from shop.core.money import Money, total
from shop.core.price import hourly
from shop.core.variance import Actual, Direction, Earning, Input, InputKind, Standard, compare, variance_of


def dollars(amount):
    return Money.of(str(amount), "USD")


def quoted(quantity=None, price=None, cost=None, unit="kg"):
    return Standard(
        quantity=quantity,
        unit=unit,
        price=None if price is None else Decimal(str(price)),
        cost=None if cost is None else dollars(cost),
    )


def made(quantity, cost, unit="kg"):
    return Actual(quantity=quantity, unit=unit, cost=dollars(cost))


def an_input(standard, actual, kind=InputKind.CLOTH, key="cloth"):
    return Input(key=key, kind=kind, standard=standard, actual=actual)


def parts(standard, actual):
    """Price variance and usage variance, in dollars."""
    found = variance_of(an_input(standard, actual), "USD")
    assert found.price + found.usage == found.total
    return found.price.amount, found.usage.amount


def test_dearer_cloth_and_more_of_it():
    """4 kg at 5 were allowed, 4.5 kg cost 27: a dollar more on 4.5 kg, and half a kilogram more at 5."""
    assert parts(quoted(4, 5), made(4.5, 27)) == (Decimal("4.50"), Decimal("2.50"))


def test_the_price_is_rounded_and_the_usage_has_the_rest():
    """1.5 at 0.11 is 0.165, a quoted 0.17; 2.5 at 0.11 is 0.275, rounded 0.28; so 0.11 of usage, and 0.02 of price."""
    assert parts(quoted(1.5, "0.11"), made(2.5, "0.30")) == (Decimal("0.02"), Decimal("0.11"))


@pytest.mark.parametrize(
    ("standard", "actual", "price", "usage"),
    [
        pytest.param(None, made(2, 7), 0, 7, id="not in the quote"),
        pytest.param(quoted(), made(2, 7), 0, 7, id="in the quote without a figure"),
        pytest.param(quoted(0), made(2, 7), 0, 7, id="a quantity of zero without a price"),
        pytest.param(quoted(3, 4), None, 0, -12, id="quoted and not used"),
        pytest.param(quoted(3, 4), made(0, 0), 0, -12, id="quoted, and zero used"),
        pytest.param(quoted(cost=12), None, 0, -12, id="a sum quoted and not used"),
        pytest.param(quoted(3, cost=12), made(0, 0), 0, -12, id="a line quoted and not used"),
        pytest.param(quoted(3, 4), made(0, 5), 5, -12, id="paid and not used"),
        pytest.param(quoted(3, 0), made(2, 7), 7, 0, id="a price of zero"),
        pytest.param(quoted(3), made(2, 7), 7, 0, id="a price unknown"),
        pytest.param(quoted(0, 3), made(2, 7), 1, 6, id="a quantity of zero"),
        pytest.param(quoted(None, 3), made(2, 7), 1, 6, id="a quantity unknown"),
        pytest.param(quoted(cost=12), made(2, 7), -5, 0, id="a sum"),
        pytest.param(quoted(0, cost=12), made(0, 7), -5, 0, id="a sum, paid without a quantity"),
        pytest.param(quoted(cost=12), made(2, 0), -12, 0, id="a sum, and nothing paid"),
        pytest.param(quoted(3, cost=12), made(2, 7), -1, -4, id="a line and its quantity"),
        pytest.param(quoted(3, 5, cost=12), made(2, 7), -1, -4, id="a line goes before a price"),
        pytest.param(quoted(None, 3, cost=12), made(2, 7), 1, -6, id="a line and its price"),
        pytest.param(None, None, 0, 0, id="nothing at all"),
    ],
)
def test_what_is_not_known_or_not_there(standard, actual, price, usage):
    assert parts(standard, actual) == (price, usage)


@pytest.mark.parametrize(
    ("standard", "actual", "found"),
    [
        (quoted(1, 2, unit="m"), made(1, 2), [("cloth.unit", "variance.unit")]),
        (quoted(-1, 2), made(1, 2), [("cloth.standard.quantity", "variance.quantity")]),
        (quoted(1, 2), made(float("nan"), 2), [("cloth.actual.quantity", "variance.quantity")]),
        (quoted(1, 2), made(float("inf"), 2), [("cloth.actual.quantity", "variance.quantity")]),
        (quoted(1, "-0.01"), None, [("cloth.standard.price", "variance.price")]),
        (quoted(1, "NaN"), None, [("cloth.standard.price", "variance.price")]),
        (quoted(1, 2, cost=-1), None, [("cloth.standard.cost", "variance.cost")]),
        (
            None,
            made(-1, -2),
            [("cloth.actual.quantity", "variance.quantity"), ("cloth.actual.cost", "variance.cost")],
        ),
        (None, Actual(quantity=1, unit="kg", cost=Money.of(1, "SEK")), [("", "money.mixed")]),
        (quoted(10**12, 10**12), None, [("", "money.large")]),
        (quoted(1e-30, cost=1), made(1, 1), [("", "money.large")]),
    ],
)
def test_what_cannot_be_is_refused(standard, actual, found):
    for attempt in (variance_of, lambda line, currency: compare([line], currency)):
        with pytest.raises(NotPossible) as refusal:
            attempt(an_input(standard, actual), "USD")
        assert [(problem.where, problem.code) for problem in refusal.value.problems] == found


def test_the_problems_of_all_inputs_come_at_once():
    with pytest.raises(NotPossible) as refusal:
        compare(
            [an_input(quoted(-1, 2), None, key="a"), an_input(quoted(1, 2), made(1, 2, unit="m"), key="b")],
            "USD",
        )
    assert [problem.where for problem in refusal.value.problems] == ["a.standard.quantity", "b.unit"]


def test_more_is_good_for_earnings_and_bad_for_costs():
    up, down, same = dollars("0.01"), dollars("-0.01"), dollars(0)
    costs = [Direction.of_cost(amount) for amount in (up, down, same)]
    assert costs == [Direction.UNFAVOURABLE, Direction.FAVOURABLE, Direction.NONE]
    earnings = [Direction.of_earning(amount) for amount in (up, down, same)]
    assert earnings == [Direction.FAVOURABLE, Direction.UNFAVOURABLE, Direction.NONE]


# --- a whole rug --------------------------------------------------------------------------------


def a_rug():
    return [
        an_input(quoted(4, 5), made(4.5, 27)),
        an_input(quoted(300, "0.04", unit="g"), made(250, "10.00", unit="g"), InputKind.WARP, "warp"),
        an_input(quoted(6, 15, unit="h"), made(7, 105, unit="h"), InputKind.LABOUR, "weave"),
        an_input(None, made(1, 15, unit="h"), InputKind.LABOUR, "mend"),
        an_input(quoted(6, 2, unit="h"), made(8, 16, unit="h"), InputKind.OVERHEAD, "overhead"),
        an_input(quoted(cost=9, unit=""), made(1, "11.50", unit=""), InputKind.BOUGHT_IN, "postage"),
    ]


def an_earning(net, materials, overhead, bought_in, minutes):
    return Earning(
        net=dollars(net),
        materials=dollars(materials),
        overhead=dollars(overhead),
        bought_in=dollars(bought_in),
        minutes=minutes,
    )


def test_a_rug_as_quoted_and_as_made():
    """Standard 20 + 12 + 90 + 0 + 12 + 9 = 143; actual 27 + 10 + 105 + 15 + 16 + 11.50 = 184.50."""
    found = compare(
        a_rug(),
        "USD",
        quoted=an_earning(170, 32, 12, 9, 360.0),
        real=an_earning(160, 37, 16, "11.50", 480.0),
    )
    assert (found.whole.standard, found.whole.actual) == (dollars(143), dollars("184.50"))
    # price 4.50 + 0 + 0 + 0 + 0 + 2.50; usage 2.50 - 2 + 15 + 15 + 4 + 0
    assert (found.whole.price, found.whole.usage) == (dollars(7), dollars("34.50"))
    materials = found.of(InputKind.CLOTH, InputKind.WARP)
    assert (materials.price, materials.usage, materials.total) == (
        dollars("4.50"),
        dollars("0.50"),
        dollars(5),
    )
    assert found.of(InputKind.LABOUR).usage == dollars(30)
    # (170 - 32 - 12 - 9) / 6 = 19.50; (160 - 37 - 16 - 11.50) / 8 = 11.9375
    assert (found.hourly_quoted, found.hourly_real) == (dollars("19.50"), dollars("11.94"))
    assert found.hourly_difference == dollars("-7.56")
    assert [line.key for line, _ in found.lines] == ["cloth", "warp", "weave", "mend", "overhead", "postage"]


def test_a_rug_without_a_price_on_both_sides_has_no_difference_an_hour():
    earning = an_earning(170, 32, 12, 9, 360.0)
    assert compare(a_rug(), "USD", quoted=earning).hourly_difference is None
    assert compare(a_rug(), "USD", real=earning).hourly_difference is None
    assert compare([], "JPY").whole.total == Money.zero("JPY")


@pytest.mark.parametrize("minutes", [0.0, -1.0, float("nan"), float("inf")])
def test_no_hours_earn_nothing_an_hour(minutes):
    with pytest.raises(NotPossible, match=r"hourly\.no_hours"):
        compare([], "USD", real=an_earning(170, 32, 12, 9, minutes))


MINORS = st.integers(0, 10**7)
AMOUNTS = st.builds(Money, MINORS, st.just("USD"))


@given(st.lists(AMOUNTS, min_size=6, max_size=6), st.floats(1, 10_000))
def test_an_hour_earns_what_the_price_says_it_earns(amounts, minutes):
    net, cloth, warp, labour, overhead, bought_in = amounts
    cost = JobCost(cloth=cloth, warp=warp, labour=labour, overhead=overhead, bought_in=bought_in)
    earning = Earning(
        net=net, materials=cloth + warp, overhead=overhead, bought_in=bought_in, minutes=minutes
    )
    assert earning.hourly == hourly(net, cost, minutes)


# --- for any figures ----------------------------------------------------------------------------

USED = st.one_of(st.floats(0.001, 10_000), st.decimals("0.001", 10_000, places=3))
QUANTITIES = st.one_of(st.just(0.0), USED)
PRICES = st.decimals(0, 1_000, places=5)
STANDARDS = st.builds(
    Standard,
    quantity=st.none() | QUANTITIES,
    unit=st.just("kg"),
    price=st.none() | PRICES,
    cost=st.none() | AMOUNTS,
)
ACTUALS = st.builds(Actual, quantity=QUANTITIES, unit=st.just("kg"), cost=AMOUNTS)
INPUTS = st.builds(
    Input,
    key=st.just("any"),
    kind=st.sampled_from(InputKind),
    standard=st.none() | STANDARDS,
    actual=st.none() | ACTUALS,
)


@given(st.lists(INPUTS, max_size=8))
def test_the_parts_add_up_to_the_coin(inputs):
    found = compare(inputs, "USD")
    actual = total((line.actual.cost for line in inputs if line.actual), "USD")
    standard = total((variance.standard for _, variance in found.lines), "USD")
    assert found.whole.price + found.whole.usage == actual - standard
    assert found.whole.price == total((variance.price for _, variance in found.lines), "USD")
    assert found.whole.usage == total((variance.usage for _, variance in found.lines), "USD")
    assert sum(found.of(kind).total.minor for kind in InputKind) == (actual - standard).minor


@given(st.lists(st.tuples(USED, AMOUNTS, USED, AMOUNTS), min_size=1, max_size=5))
def test_standard_and_actual_changing_places_mirror_the_total(figures):
    def rug(rows):
        return [
            an_input(
                Standard(quantity=quantity, unit="kg", cost=cost),
                Actual(quantity=taken, unit="kg", cost=paid),
            )
            for quantity, cost, taken, paid in rows
        ]

    there = compare(rug(figures), "USD").whole
    back = compare(
        rug([(taken, paid, quantity, cost) for quantity, cost, taken, paid in figures]), "USD"
    ).whole
    assert there.total == -back.total
    assert (there.standard, there.actual) == (back.actual, back.standard)


@given(USED, PRICES)
def test_nothing_differs_where_all_went_as_quoted(quantity, price):
    standard = Standard(quantity=quantity, unit="kg", price=price)
    cost = variance_of(an_input(standard, None), "USD").standard
    found = variance_of(an_input(standard, Actual(quantity=quantity, unit="kg", cost=cost)), "USD")
    assert (found.price.minor, found.usage.minor) == (0, 0)


@given(USED, AMOUNTS)
def test_nothing_differs_from_a_quoted_line_that_came_to_its_cost(quantity, cost):
    standard = Standard(quantity=quantity, unit="kg", cost=cost)
    found = variance_of(an_input(standard, Actual(quantity=quantity, unit="kg", cost=cost)), "USD")
    assert (found.price.minor, found.usage.minor) == (0, 0)


@given(USED, PRICES, QUANTITIES)
def test_paying_the_standard_price_leaves_usage_alone(quantity, price, taken):
    standard = Standard(quantity=quantity, unit="kg", price=price)
    paid = variance_of(an_input(Standard(quantity=taken, unit="kg", price=price), None), "USD").standard
    found = variance_of(an_input(standard, Actual(quantity=taken, unit="kg", cost=paid)), "USD")
    assert found.price.minor == 0
    assert found.usage == found.total


@given(USED, PRICES, AMOUNTS)
def test_using_the_standard_quantity_leaves_price_alone(quantity, price, paid):
    standard = Standard(quantity=quantity, unit="kg", price=price)
    found = variance_of(an_input(standard, Actual(quantity=quantity, unit="kg", cost=paid)), "USD")
    assert found.usage.minor == 0
    assert found.price == found.total


@given(USED, PRICES, USED, AMOUNTS)
def test_each_part_is_its_formula_within_a_coin(quantity, price, taken, paid):
    """The price variance within half a coin, the usage variance within a whole one."""
    standard = Standard(quantity=quantity, unit="kg", price=price)
    found = variance_of(an_input(standard, Actual(quantity=taken, unit="kg", cost=paid)), "USD")
    allowed, used = Decimal(str(quantity)), Decimal(str(taken))
    by_price = (paid.amount / used - price) * used
    by_usage = (used - allowed) * price
    assert abs(found.price.amount - by_price) <= Decimal("0.0050001")
    assert abs(found.usage.amount - by_usage) <= Decimal("0.0100001")


@given(st.integers(0, 500), st.integers(0, 10_000), st.integers(0, 500), MINORS, st.integers(2, 50))
def test_so_many_rugs_differ_so_many_times_as_much(quantity, cents, taken, paid, rugs):
    def of(times):
        standard = Standard(quantity=quantity * times, unit="kg", price=Decimal(cents).scaleb(-2))
        actual = Actual(quantity=taken * times, unit="kg", cost=Money(paid, "USD") * times)
        return variance_of(an_input(standard, actual), "USD")

    assert of(rugs).price == of(1).price * rugs
    assert of(rugs).usage == of(1).usage * rugs
